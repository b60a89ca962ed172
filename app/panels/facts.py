"""What a part is besides its fields: lengths, and what it hangs on."""

from app.tools.snapping.turns import turns_at
from core.layout.climbs import climb_sentence
from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import longest_m, section_drops
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Crossing,
    Drop,
    Inline,
    Opening,
    Part,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.passing import plugs_needed
from core.layout.queries import (
    attached_to,
    board_of,
    bus_length_m,
    drop_lead_m,
    drops_on,
    edge_distances,
    grade_of,
    joint_positions,
    part_name,
    place_xy,
    run_name,
    table_of,
    turns_of,
    ways_taken,
)
from core.layout.rails import measured_of, rail_of
from core.layout.roads import setting_words
from core.layout.turntables import (
    is_swapping,
    stall_deg,
    standing_at,
    swap_line_deg,
    tables_at,
)
from core.materials.filament import WARM_S, Filament
from core.network.crossings import plan_crossing
from core.network.frogs import frog_sentence
from core.network.three_way import partner_of
from core.units.figures import (
    show_amps,
    show_both_ways,
    show_degrees,
    show_ohms,
    show_seconds,
    show_volts,
    show_watts,
)
from core.units.length import show_length
from core.units.si import Metre

LIT = (
    "Lit it is hot enough to burn and to set fire: in the open, in a holder for its "
    "watts, clear of wood, scenery and wires."
)
UNPLUG = "Each bus that crosses it needs a plug there."
_BUSES = {
    "whole": "in one piece: it needs a plug",
    "plugs": "by a plug",
    "clear": "clear of it",
}


def facts_of(layout: Layout, part: Part) -> tuple[str, ...]:
    """Return plain sentences about a part."""
    match part:
        case TrackRun() | Turnout():
            return _of_track(layout, part)
        case Bus():
            return _of_bus(layout, part)
        case Drop():
            return _of_drop(layout, part)
        case Strip() | Inline() | Booster():
            return _of_power(layout, part)
        case Turntable():
            return _of_table(layout, part)
        case Crossing() | Opening():
            return _of_set(layout, part)
        case _:
            return ()


def _of_set(layout: Layout, part: Crossing | Opening) -> tuple[str, ...]:
    if isinstance(part, Opening):
        return _of_opening(layout, part)
    return _of_crossing(layout, part)


def _fed(layout: Layout, device: Inline) -> tuple[str, ...]:
    fed = f"Fed from {_end(layout, device.feed)}."
    if device.other is None:
        return (fed,)
    return fed, f"Switched off, it is fed from {_end(layout, device.other)}."


def _lamp(layout: Layout, device: Inline) -> tuple[str, ...]:
    """Return what a lamp costs in running, and what to mind of it."""
    if device.device != "lamp":
        return ()
    filament = Filament(device.lamp_v, device.lamp_a)
    train = layout.settings.test_train_a
    loss = show_volts(filament.loss_at(train))
    full = show_watts(device.lamp_v * device.lamp_a)
    cold, hot = show_ohms(filament.cold_ohm), show_ohms(filament.hot_ohm)
    wait = show_seconds(WARM_S)
    return (
        f"Takes {loss} with a {show_amps(train)} train behind it.",
        f"{cold} cold, {hot} at its rating: a short lights it, at {full} or more.",
        f"Nothing trips then, if the booster waits {wait} or more.",
        LIT,
    )


def thrown_words(
    layout: Layout, part_id: PartId, setting: frozenset[PartId] = frozenset()
) -> str:
    """Return what it means that a turnout or crossing is thrown.

    For one that has several ways: what it is set for now.
    """
    if layout.get(part_id, Opening) is not None:
        return "Open: out, or swung aside"
    crossing = layout.get(part_id, Crossing)
    if crossing is None:
        return "Thrown: set to its leg"
    if crossing.shape != "diamond":
        return f"Thrown: {setting_words(layout, part_id, setting)}"
    return f"Thrown: set for {run_name(layout, crossing.b.run)}"


def _of_crossing(layout: Layout, crossing: Crossing) -> tuple[str, ...]:
    plan = plan_crossing(layout, crossing)
    if plan is None:
        return ()
    a, b = (run_name(layout, on.run) for on in (crossing.a, crossing.b))
    found = [f"{a} and {b} cross at {plan.lie.sharp_deg:.0f}°."]
    if plan.contacts:
        found.append(
            f"{plan.contacts} of its 4 crossings are cut out of both rails; each has "
            f"a change-over contact: {plan.leads} wires in all. Give both tracks "
            "drops on both sides of it."
        )
    if plan.joined:
        found.append(f"{len(plan.joined)} of its 4 crossings are one metal with both.")
    if plan.dead:
        found.append(f"{len(plan.dead)} of its 4 crossings are dead.")
    if plan.roads:
        one = len(plan.roads) == 1
        found.append(
            f"{'A slip road leads' if one else 'Two slip roads lead'} from one track "
            "to the other and join like rails."
        )
    return tuple(found)


def _of_track(layout: Layout, part: TrackRun | Turnout) -> tuple[str, ...]:
    if isinstance(part, TrackRun):
        return _of_run(layout, part)
    return _of_turnout(layout, part)


def _of_power(layout: Layout, part: Strip | Inline | Booster) -> tuple[str, ...]:
    hangs = _hangs_on(layout, part)
    match part:
        case Strip():
            taken = len(ways_taken(layout, part.id))
            return (f"{taken} of {part.ways} ways taken.", *hangs)
        case Inline():
            return (*_lamp(layout, part), *_fed(layout, part), *hangs)
        case Booster():
            return hangs


def _of_bus(layout: Layout, bus: Bus) -> tuple[str, ...]:
    drawn = _length(layout, bus_path(bus).length_m)
    bought = _length(layout, bus_length_m(bus))
    return (
        f"Drawn: {drawn}. Wire to buy, each of A and B: {bought}.",
        f"From {_end(layout, bus.start)} to {_end(layout, bus.end)}.",
        *_hangs_on(layout, bus),
    )


def _of_run(layout: Layout, run: TrackRun) -> tuple[str, ...]:
    drops = len(drops_on(layout, run.id))
    pieces = len(joint_positions(run)) + 1
    table = table_of(layout, run.id)
    also = (f"The bridge of {table.id}.",) if table is not None else ()
    stalls = tuple(
        f"Stall {number} of {pit.id}."
        for pit in tables_at(layout, run.id)
        for number, end in enumerate(pit.stalls, start=1)
        if end.run == run.id
    )
    return (
        *also,
        *stalls,
        (
            f"{_length(layout, run_path(run).length_m)} long, "
            f"{pieces} {'piece' if pieces == 1 else 'pieces'} of rail, "
            f"{drops} {'drop' if drops == 1 else 'drops'}."
        ),
        _rail_words(layout, run),
        *_climb(layout, run),
    )


def _rail_words(layout: Layout, run: TrackRun) -> str:
    """Return what a metre of one rail has, and how sure that is."""
    section = rail_of(layout.settings, run.rail)
    measured = measured_of(layout.settings, run.rail) is not None
    per_m = [1e3 * ohm for ohm in (section.ohm_per_m, section.low, section.high)]
    return (
        f"One rail has {per_m[0]:.3g} mΩ a metre ({per_m[1]:.3g} to {per_m[2]:.3g}), "
        f"{'as measured' if measured else 'by the table'}."
    )


def _climb(layout: Layout, run: TrackRun) -> tuple[str, ...]:
    """Return how a run climbs, and how often it goes round."""
    found: list[str] = []
    turns = turns_of(run)
    if turns:
        found.append(f"A helix of {turns:.3g} turns.")
    if run.level_end_mm is not None and run.level_end_mm != run.level_mm:
        rise = (run.level_end_mm - run.level_mm) / 1000.0
        word = "Climbs" if rise > 0 else "Goes down"
        each = f", {_length(layout, abs(rise) / turns)} a turn" if turns else ""
        found.append(
            f"{word} {_length(layout, abs(rise))}{each}: {abs(grade_of(run)):.1%} "
            "(rise over length)."
        )
    return tuple(found)


def _of_turnout(layout: Layout, turnout: Turnout) -> tuple[str, ...]:
    run, leg = (run_name(layout, i) for i in (turnout.on.run, turnout.leg.run))
    way = "end" if turnout.opens == "forward" else "start"
    pair = partner_of(layout, turnout)
    third: tuple[str, ...] = ()
    if pair is not None:
        mate = pair.second if pair.first.id == turnout.id else pair.first
        far = _length(layout, pair.third_m)
        told = (
            f"With {mate.id} it is a three-way turnout: a third frog lies {far} "
            f"from the toe of {pair.first.id}, taken as cut out and dead."
        )
        third = (told,)
    lead = _length(layout, turnout.lead_m)
    return (
        f"On {run}, opens towards its {way}; toe to frog {lead}.",
        f"Its leg is the {turnout.leg.end} of {leg}.",
        frog_sentence(turnout),
        *third,
    )


def _of_table(layout: Layout, table: Turntable) -> tuple[str, ...]:
    found: list[str] = []
    here = [
        f"stall {place.number} with its {place.by}"
        for place in standing_at(layout, table)
    ]
    stands = f"at {' and '.join(here)}" if here else "at no stall"
    found.append(f"The bridge, {run_name(layout, table.bridge)}, stands {stands}.")
    if is_swapping(table):
        line = swap_line_deg(table)
        found.append(f"Its poles change over as it lies along {show_both_ways(line)}.")
    if not table.stalls:
        found.append("No stalls yet: draw track up to the edge of the pit.")
    for number, end in enumerate(table.stalls, start=1):
        angle = stall_deg(layout, table, end)
        where = (
            ""
            if angle is None or table.form == "traverser"
            else f" at {show_degrees(angle)}"
        )
        found.append(f"Stall {number}: {run_name(layout, end.run)}{where}.")
    return tuple(found)


def _of_drop(layout: Layout, drop: Drop) -> tuple[str, ...]:
    turns = turns_at(layout, drop.on)
    found = [f"On turn {turns.index + 1} of {turns.count}."] if turns else []
    found += [
        f"Goes to {_end(layout, drop.to)}.",
        f"Lead, each of A and B: {_length(layout, drop_lead_m(layout, drop))}.",
    ]
    if climb := climb_sentence(layout, drop):
        found.append(climb)
    place = place_xy(layout, drop.on)
    board = board_of(layout, *place) if place is not None else None
    if place is not None and board is not None:
        left, front = edge_distances(board, *place)
        found.append(
            f"Hole: {_length(layout, left / 1000)} from the left edge, "
            f"{_length(layout, front / 1000)} from the front edge of "
            f"{board.name or board.id}."
        )
    return tuple(found)


def _of_opening(layout: Layout, opening: Opening) -> tuple[str, ...]:
    runs = dict.fromkeys(c.run for c in opening.carries)
    names = ", ".join(run_name(layout, run) for run in runs)
    over = tuple(
        f"{passing.bus} crosses its edge {_length(layout, passing.position_m)} along, "
        f"{_BUSES[opening.buses]}."
        for passing in plugs_needed(layout, opening)
    )
    if opening.use == "board joint":
        return (f"Parts both rails of {names}.", *(over or (UNPLUG,)))
    drops = [drop.id for drop in section_drops(layout, opening)]
    pairs = f"{len(drops)} {'pair' if len(drops) == 1 else 'pairs'}"
    jumper = "No drop is on it yet: its rails carry nothing."
    if drops:
        jumper = f"Its jumper needs {pairs}: {', '.join(drops)}."
    longest = _length(layout, longest_m(opening))
    return (
        f"Carries {names}; the longest stretch is {longest}.",
        jumper,
        *over,
        "Double-click its edge, or F9, to open and shut it.",
    )


def _hangs_on(layout: Layout, part: Part) -> tuple[str, ...]:
    ids = [other.id for other in attached_to(layout, part.id)]
    if not ids:
        return ("Nothing is wired to it yet.",)
    shown = ", ".join(ids[:8]) + (f" and {len(ids) - 8} more" if len(ids) > 8 else "")
    return (f"Wired to it: {shown}.",)


def _end(layout: Layout, to: Attachment | None) -> str:
    match to:
        case None:
            return "nothing yet"
        case ToPort():
            side = {"in": "the input of ", "iso": "the isolation poles of "}.get(
                to.port, "the output of "
            )
            return side + part_name(layout, to.part)
        case ToBus():
            where = _length(layout, to.position_m)
            return f"{part_name(layout, to.part)}, {where} along"
        case ToStrip():
            return f"way {to.way} of {part_name(layout, to.part)}"


def _length(layout: Layout, length_m: float) -> str:
    return show_length(Metre(length_m), layout.settings.lengths)
