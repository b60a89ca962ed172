"""The answers of a report as text: shorts, connections, restart, legs."""

from collections.abc import Iterable
from math import isinf

from app.commands.answers import CARRIERS, Answers, Judged
from app.commands.figures import write_rows, write_text
from core.analysis.districts import District
from core.analysis.failure import connection_name, open_side
from core.analysis.legs import LEAST_A, SNUBBER_FARAD, SNUBBER_OHM, Leg
from core.analysis.limiters import Limiter
from core.analysis.restart import Restart
from core.analysis.returning import Return, Together
from core.analysis.weak import WeakShort
from core.checks.bearing import LoadRow
from core.checks.guards import GuardRow, first_words
from core.checks.holding import (
    HoldRow,
    conductor_name,
    told_rows,
    verdict_words,
)
from core.checks.words import chain_words, count_of, left_words
from core.layout.layout import Layout
from core.layout.queries import place_name
from core.materials.signal import HALF_BIT_ONE_S
from core.units.figures import (
    show_amps,
    show_henry,
    show_seconds,
    show_share,
    show_volts,
    show_watts,
)
from core.units.length import show_length

COLUMN = 9
"""Where the texts of the rows begin."""


def write_answers(answers: Answers) -> Iterable[str]:
    """Yield a block of text for each answer that there is something to say of."""
    layout = answers.sound.layout
    if answers.weakest:
        yield _block(
            "Weakest shorts, as what clears them senses them over its trip:",
            [(f"{w.margin:.2f} ×", _short(layout, w)) for w in answers.weakest],
        )
    if answers.guards:
        yield _block(
            "Who trips first on a short behind each device:",
            [(g.own.part, _guard(g)) for g in answers.guards],
        )
    if answers.districts:
        yield _block(
            "Districts, with what their standing loads draw and what is left:",
            [(str(d.number), _district(layout, d)) for d in answers.districts],
        )
    if answers.holds:
        yield _block(
            "Each conductor against what protects it, the weakest of its kind:",
            [
                (row.worst.by.part, _hold(layout, row, more))
                for row, more in told_rows(answers.holds)
            ],
        )
    if answers.connections:
        yield _openings(layout, answers)
    if answers.lamps:
        yield _block(
            "Lamp limiters; lit they burn and set fire, keep them clear of all else:",
            [(lamp.part, _lamp(layout, lamp)) for lamp in answers.lamps],
        )
    if answers.carried:
        train = show_amps(answers.sound.scan.train_a)
        yield _block(
            f"Fullest drops and buses, with a {train} train at the worst place:",
            [(r.carried.part, _load(layout, r)) for r in answers.carried[:CARRIERS]],
        )
    if any(turn.restart.stores for turn in answers.restarts):
        yield _block(
            "When power comes back, in this order:",
            [
                *((t.restart.part, _turn(t)) for t in answers.restarts),
                *((t.part, _together(t)) for t in answers.together if t.is_news),
            ],
        )
    if answers.legs:
        yield _block(
            "Buses, as the signal sees them:",
            [(leg.bus, _leg(layout, leg)) for leg in answers.legs],
        )


def _block(head: str, rows: list[tuple[str, str]]) -> str:
    listed = write_rows([(f"  {name}", text) for name, text in rows], COLUMN + 2)
    return f"{write_text(head)}\n{listed}"


def _district(layout: Layout, district: District) -> str:
    length = show_length(district.length_m, layout.settings.lengths)
    said = f"{chain_words(district)}: {length} of track"
    if district.reverser is not None:
        said += f", turned by {district.reverser}"
    return f"{said}; draws {show_amps(district.amps_a)}, {left_words(district)}"


def _short(layout: Layout, short: WeakShort) -> str:
    return (
        f"{place_name(layout, short.place)}: {show_amps(short.sensed_a)}, "
        f"{short.by.part} trips at {show_amps(short.by.trip_a)}; "
        f"{short.margin_low:.2f} to {short.margin_high:.2f} × as rail, joints and wire "
        f"vary; {what_limits(short)}"
    )


def what_limits(short: WeakShort) -> str:
    """Return what holds a short down, and what it would be without inductance."""
    if short.limited_by == "resistance":
        return "limited by resistance"
    return (
        f"limited by inductance: by resistance alone {show_amps(short.plain_a)}, "
        f"{short.plain_margin:.2f} ×"
    )


def _guard(row: GuardRow) -> str:
    trip = f"{show_amps(row.own.trip_a)} in {show_seconds(row.own.trip_s)}"
    return f"trips at {trip}; first: {first_words(row)}"


def _hold(layout: Layout, row: HoldRow, more: int) -> str:
    own = row.worst
    name = f"{own.kind} {conductor_name(layout, own)}, {own.size}"
    same = f"; so behind {count_of(more, 'more device')}" if more else ""
    return f"{name}, {verdict_words(own, in_full=True)}{same}"


def _openings(layout: Layout, answers: Answers) -> str:
    bad = [judged for judged in answers.openings if judged.matters]
    tried = count_of(answers.connections, "connection")
    if not bad:
        return write_text(
            f"Of {tried} any one may open: no track goes dead, and hardly a volt is "
            "lost."
        )
    rows = [(str(n), _opening(layout, j)) for n, j in enumerate(bad, start=1)]
    return _block(f"Of {tried} these matter most, should one of them open:", rows)


def _opening(layout: Layout, judged: Judged) -> str:
    opening = judged.opening
    name, side = connection_name(layout, opening), open_side(opening)
    if opening.dead_m > 0.0:
        dead = show_length(opening.dead_m, layout.settings.lengths)
        return f"{name}, {side}: {dead} of track dead"
    volts = show_volts(max(opening.volts_v, 0.0))
    return f"{name}, {side}: lowest {volts} at {place_name(layout, opening.worst)}"


def _lamp(layout: Layout, lamp: Limiter) -> str:
    said = (
        f"{lamp.rated_v:g} V {lamp.rated_a:g} A; takes {show_volts(lamp.loss_1a_v)} at "
        f"1 A, {show_volts(lamp.loss_v)} at {show_amps(lamp.train_a)} with the train"
    )
    held = lamp.held
    if held is None or lamp.place is None:
        return f"{said}; holds no short"
    cold = show_amps(held.surge_a)
    said += (
        f"; holds a short at {place_name(layout, lamp.place)} at "
        f"{show_amps(held.amps_a)}, {show_watts(held.watts_w)} in the lamp; draws "
        f"{cold} cold, "
    )
    return said + (
        "nothing trips" if held.first is None else f"{held.first.part} trips"
    )


def _load(layout: Layout, row: LoadRow) -> str:
    carried, bears = row.carried, row.bearing
    most = f"{show_amps(carried.amps_a)} of {show_amps(bears.amps_a)}"
    what = "its connector" if bears.contact_a < bears.wire_a else "its wire"
    said = f"{most} that {what} stands"
    if carried.at is not None:
        said += f", the train at {place_name(layout, carried.at)}"
    if carried.open_a is not None and carried.open_part is not None:
        said += f"; {show_amps(carried.open_a)} with {carried.open_part} open"
    return said


def _turn(turn: Return) -> str:
    """Return how a device comes back in its turn, and what its booster gives."""
    gives = f"{turn.booster.id} then gives {show_amps(turn.peak_a)}"
    if not turn.holds:
        gives += f" and trips at {show_amps(turn.booster.trip_a)}"
    return f"{_restart(turn.restart)}; {gives}"


def _together(together: Together) -> str:
    """Return how a device copes when all behind it come back at once."""
    engines = count_of(together.stores, "sound engine")
    said = f"all at once, {engines}"
    if together.holds:
        return f"{said}: stays on"
    takes = f"charging takes {show_seconds(together.charge_s)}"
    if isinf(together.charge_s):
        takes = "standing still alone takes all it lets through"
    waits = f"it waits {show_seconds(together.trip_s)}"
    return f"{said}: trips again; {takes}, {waits}"


def _restart(restart: Restart) -> str:
    after = f"after {restart.close_after_s:.1f} s"
    if not restart.stores:
        return f"{after}: nothing behind it charges"
    engines = count_of(restart.stores, "sound engine")
    waits = f"it waits {show_seconds(restart.trip_s)}"
    takes = f"charging takes {show_seconds(restart.charge_s)}"
    if isinf(restart.charge_s):
        takes = "standing still alone takes all it lets through"
    most = "none" if restart.most == 0 else f"at most {restart.most}"
    if restart.most == restart.stores:
        most = "it" if restart.stores == 1 else "all"
    return f"{after}: {engines}, {most} will restart; {takes}, {waits}"


def _leg(layout: Layout, leg: Leg) -> str:
    length = show_length(leg.length_m, layout.settings.lengths)
    said = [f"{length}, {show_henry(leg.henry)}"]
    if leg.shorted:
        said.append("its booster is shorted, so its load is not told")
    elif leg.amps_a >= LEAST_A:
        share = show_share(leg.notch_s / HALF_BIT_ONE_S)
        notch = f"{leg.notch_s * 1e6:.1f} µs"
        said.append(
            f"{show_amps(leg.amps_a)} leave a notch of {notch}, {share} of a half-bit"
        )
    else:
        said.append("no load, so no notch")
    if leg.snubber_w is not None:
        said.append(_snubber(leg))
    return "; ".join(said)


def _snubber(leg: Leg) -> str:
    parts = f"{SNUBBER_OHM:.0f} Ω and {SNUBBER_FARAD * 1e6:.1f} µF"
    watts = f"{show_watts(leg.snubber_w or 0.0)}: take {leg.resistor_w:g} W"
    has = "fitted" if leg.snubber_fitted else f"snubber of {parts}"
    words = f"open end: {has}, {watts}"
    return f"{words}, but before {leg.behind}" if leg.behind else words
