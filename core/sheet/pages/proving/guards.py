"""Protection: what trips where, who is first, and how power comes back."""

from math import isinf

from core.analysis.districts import District, find_districts
from core.analysis.limiters import Limiter, find_limiters
from core.analysis.returning import Return, Together, plan_together, returns
from core.checks.guards import GuardRow, first_words, guard_rows
from core.checks.words import chain_words, left_words, list_names
from core.layout.parts import Booster
from core.layout.queries import kind_word, part_name
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps, show_seconds, show_volts, show_watts

TITLE = "Protection"

_HOW = (
    "Set each device as it stands here. The nearest to a short should trip first, so "
    "that one short stops one district: each about three times as fast as the next "
    "above it. ▲ marks those that are not first, or hardly, or not wired."
)
_DISTRICTS = (
    "Track by the last device before it. What is left is the least that any device on "
    "the way may still give, up to its rated or its trip amps, whichever is less."
)
_BACK = (
    "Energy stores (sound, keep-alive) charge all at once when power comes back, and "
    "a device sees that as a short. More engines than “restart at most” keep it "
    "tripping. Bring districts back in this order; “then gives” is what the booster "
    "gives at most at that moment."
)
_LAMPS = (
    "A lamp in the feed lights on a short and lets little through, so that the rest "
    "of the layout stays on; nothing trips. It costs volts in running, and lit it is "
    "hot enough to burn and to set fire: in the open, upright, in a holder for its "
    "watts, clear of wood, scenery, foam and wires. A lamp that glows is a short: "
    "find it. A booster that is faster than the lamp, about a quarter of a second, "
    "trips on what it draws cold."
)
_SIZE = 12.5


def guard_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the devices that trip and the restart; nothing where there are none."""
    rows = guard_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(_HOW, 10.0)
    flow.space(1.5)
    columns = (
        Column("Device", _SIZE, bold=True, grow=1.0),
        Column("rated", _SIZE),
        Column("trips at", _SIZE, bold=True),
        Column("within", _SIZE, bold=True),
        Column("senses", _SIZE),
        Column("above it", _SIZE),
        Column("who is first", _SIZE, grow=1.0),
        Column("set", align="tick"),
        Column("tried", align="tick"),
    )
    lay_table(flow, columns, (_guard_row(brief, row) for row in rows))
    _set_districts(brief, flow)
    _set_lamps(brief, flow)
    _set_restart(brief, flow)
    return flow.leaves()


def _guard_row(brief: Brief, row: GuardRow) -> Row:
    device = row.device
    name = part_name(brief.layout, device.id)
    if device.name:
        name = f"{device.id} {device.name}, {kind_word(device)}"
    cells = (
        name,
        show_amps(device.rated_a),
        show_amps(row.own.trip_a),
        show_seconds(row.own.trip_s),
        _senses(row),
        ", ".join(a.part for a in row.above) or "–",
        first_words(row),
        "□",
        "□",
    )
    return Row(cells)


def _senses(row: GuardRow) -> str:
    words = {"average": "average", "peak": "peak", "rms": "rms"}[row.own.sensing]
    if isinstance(row.device, Booster) and row.device.limit_a is not None:
        words += f", holds {show_amps(row.device.limit_a)}"
    return words


def _set_districts(brief: Brief, flow: Flow) -> None:
    """Put what each district draws, and what is left on the way to it."""
    districts = find_districts(brief.study).districts
    if not districts:
        return
    flow.heading("Districts", 13.0, keep=45.0)
    flow.text(_DISTRICTS, 10.0)
    flow.space(1.5)
    columns = (
        Column("No.", _SIZE, bold=True),
        Column("fed by", _SIZE, bold=True, grow=1.0),
        Column("track", _SIZE),
        Column("standing loads draw", _SIZE),
        Column("then there is", _SIZE, grow=1.0),
    )
    lay_table(flow, columns, (_district_row(brief, d) for d in districts))


def _district_row(brief: Brief, district: District) -> Row:
    room = district.headroom
    left = left_words(district)
    if room is None or room.amps_a < 0.0:
        left = f"▲ {left}"
    fed = chain_words(district)
    if district.is_joined:
        fed = f"▲ {fed}"
    cells = (
        str(district.number),
        fed,
        brief.length(district.length_m),
        show_amps(district.amps_a),
        left,
    )
    return Row(cells)


def _set_lamps(brief: Brief, flow: Flow) -> None:
    """Put what lamp limiters take in running and in a short, where there are some."""
    found = find_limiters(brief.study)
    if not found:
        return
    flow.heading("Lamp limiters", 13.0, keep=45.0)
    flow.text(_LAMPS, 10.0)
    flow.space(1.5)
    columns = (
        Column("Lamp", _SIZE, bold=True, grow=1.0),
        Column("rated", _SIZE),
        Column("takes with the train", _SIZE),
        Column("takes at 1 A", _SIZE),
        Column("drawn cold", _SIZE),
        Column("holds a short at", _SIZE, bold=True),
        Column("in the lamp", _SIZE, bold=True),
        Column("trips all the same", _SIZE),
        Column("clear of wood", align="tick"),
        Column("tried", align="tick"),
    )
    lay_table(flow, columns, (_lamp_row(brief, lamp) for lamp in found))


def _lamp_row(brief: Brief, lamp: Limiter) -> Row:
    held = lamp.held
    shorted = ("–", "▲ nothing", "–", "–")
    if held is not None:
        first = held.first
        shorted = (
            show_amps(held.surge_a),
            show_amps(held.amps_a),
            show_watts(held.watts_w),
            "nothing" if first is None else f"▲ {first.part}",
        )
    cells = (
        part_name(brief.layout, lamp.part),
        f"{lamp.rated_v:g} V {lamp.rated_a:g} A",
        f"{show_volts(lamp.loss_v)} at {show_amps(lamp.train_a)}",
        show_volts(lamp.loss_1a_v),
        *shorted,
        "□",
        "□",
    )
    return Row(cells)


def _set_restart(brief: Brief, flow: Flow) -> None:
    """Put how power comes back, where anything charges or a booster has several."""
    found = returns(brief.study)
    several = len(found) > len({r.booster.id for r in found})
    if not several and not any(r.restart.stores for r in found):
        return
    flow.heading("When power comes back", 13.0, keep=45.0)
    flow.text(_BACK, 10.0)
    flow.space(1.5)
    columns = (
        Column("Switch on", _SIZE, bold=True),
        Column("after", _SIZE, bold=True),
        Column("sound engines behind it", _SIZE),
        Column("restart at most", _SIZE, bold=True),
        Column("charging takes", _SIZE),
        Column("it waits", _SIZE),
        Column("then gives", _SIZE, grow=1.0),
        Column("tried", align="tick"),
    )
    lay_table(flow, columns, (_return_row(r) for r in found))
    flow.space(1.5)
    for together in plan_together(brief.study):
        if together.is_news:
            flow.text(_at_once(together), 10.0, bold=not together.holds)


def _at_once(together: Together) -> str:
    """Return how a device copes when all behind it close at once."""
    below = f"{list_names(together.below, most=6)} close at once"
    if len(together.below) == 1:
        below = f"{together.below[0]} closes with all behind it"
    if together.holds:
        return f"{together.part} stays on even if {below}."
    takes = "for ever"
    if not isinf(together.charge_s):
        takes = show_seconds(together.charge_s)
    return (
        f"▲ {together.part} trips again if {below}: charging takes "
        f"{takes}, it waits {show_seconds(together.trip_s)}."
    )


def _return_row(found: Return) -> Row:
    restart = found.restart
    gives = f"{found.booster.id}: {show_amps(found.peak_a)}"
    if not found.holds:
        gives = f"▲ {gives}, trips at {show_amps(found.booster.trip_a)}"
    elif found.peak_a > found.booster.trip_a:
        gives += f" for {show_seconds(found.lasts_s)}: it waits longer"
    cells = (
        restart.part,
        f"{restart.close_after_s:.1f} s",
        str(restart.stores) if restart.stores else "none",
        _most(found),
        show_seconds(restart.charge_s) if not isinf(restart.charge_s) else "for ever",
        show_seconds(restart.trip_s),
        gives,
        "□",
    )
    return Row(cells)


def _most(found: Return) -> str:
    restart = found.restart
    if not restart.stores:
        return "–"
    if restart.most >= restart.stores:
        return "all"
    return f"▲ {restart.most or 'none'}"
