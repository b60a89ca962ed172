"""What a probe says in words: its bands, what limits a short, and who cuts it off."""

from app.panels.verdicts import show_margin, show_margins
from core.analysis.beyond import say_beyond
from core.analysis.borders import SIDES
from core.analysis.poles import PoleStretch
from core.analysis.probe import say_starved
from core.analysis.railmap import RailMap
from core.analysis.study import Flow, Probe, Racer
from core.checks.words import list_names
from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.layout.queries import part_name
from core.units.figures import (
    show_amps,
    show_ohms,
    show_seconds,
    show_share,
    show_watts,
)

OWN_LIMIT = "The booster itself gives no more"
"""Where its instructions name the most that it pushes into a short."""

MOST_DROPS = 4
"""So many drops are told in the card; the tip tells all."""

HARDLY = 0.02
"""Currents that differ by less are told as one. [1]"""


def volts_in_words(probe: Probe) -> str:
    """Return "(14.1 to 14.4 V) with a 1.00 A train; 4.6 % lost".

    Or which load the train starves: then there are no volts to tell.
    """
    if probe.starves:
        return f"{say_starved(probe.starves, probe.test_train_a)}."
    ends = (probe.volts_low_v, probe.volts_high_v)
    low, high = (f"{volts:.1f}" for volts in ends)
    if low == high:
        low, high = (f"{volts:.2f}" for volts in ends)
    train = show_amps(probe.test_train_a)
    lost = show_share(probe.drop_share)
    return f"({low} to {high} V) with a {train} train; {lost} lost"


def beyond_in_words(probe: Probe) -> str:
    """Return which devices cannot give what is drawn; empty where all can."""
    told = [f"{say_beyond(one)}." for one in probe.beyond]
    if any(one.stops for one in probe.beyond):
        told.append("So no train gets these volts.")
    return " ".join(told)


def loop_in_words(probe: Probe) -> str:
    """Return "0.42 Ω (0.40 to 0.45 Ω)"; the low end has its unit where it differs."""
    low, high = show_ohms(probe.loop_low_ohm), show_ohms(probe.loop_high_ohm)
    (low_figure, low_unit), (_, unit) = low.split(), high.split()
    start = low_figure if low_unit == unit else low
    return f"{show_ohms(probe.loop_ohm)} ({start} to {high})"


def rails_in_words(rails: RailMap, place: OnRun) -> str:
    """Return which rail is which at a place, and what stands before both.

    Such as "Left rail A, right B · 2: PB1 → CB1 → OD3".
    """
    poles = rails.poles.runs.get(place.run) if rails.poles is not None else None
    words: list[str] = []
    if poles is not None:
        left, right = (poles.at(side, place.position_m) for side in SIDES)
        words.append(f"Left rail {_pole(left)}, right {_pole(right)}")
        if any(rail is not None and rail.shorted for rail in (left, right)):
            words.append("both poles are on this metal")
    district = rails.plan.at(place.run, place.position_m)
    if district is None:
        words.append("nothing feeds it")
    elif district.is_joined:
        words.append(f"{list_names(district.feeders)} feed it, nothing parts them")
    else:
        words.append(f"{district.number}: {' → '.join(district.chain)}")
    return " · ".join(words)


def chain_in_words(rails: RailMap, place: OnRun, layout: Layout) -> str:
    """Return what stands before a place with the kind of each, one a line."""
    district = rails.plan.at(place.run, place.position_m)
    chain = district.chain if district is not None else ()
    known = [part_name(layout, part) for part in chain if part in layout.parts]
    return "\n".join(known)


def _pole(stretch: PoleStretch | None) -> str:
    return "not fed" if stretch is None or stretch.pole is None else stretch.pole


def cut_off_in_words(probe: Probe) -> str:
    """Return who cuts a short off and when; nothing where a lamp holds it."""
    if probe.held_by is not None and not any(racer.trips for racer in probe.race):
        return f"Nothing: {probe.held_by} holds it while it lasts."
    return race_in_words(probe.race)


def race_in_words(race: tuple[Racer, ...]) -> str:
    """Return who cuts a short off and when: "CB1 in 16 ms, before PB1 in 100 ms"."""
    if not race:
        return "Nothing: no breaker stands before this rail."
    opened = [racer for racer in race if racer.opens_s is not None]
    late = [racer for racer in race if racer.trips and racer.opens_s is None]
    hold = [racer for racer in race if not racer.trips]
    if not opened:
        return f"Nothing, maybe: {list_names([_holds(racer) for racer in hold])}."
    said = _in_turn(opened)
    later = [f"{r.part} in {show_seconds(r.trip_s)}" for r in late]
    if len(opened) == 1 and late and late[0].trip_s == opened[0].trip_s:
        said += f", or {list_names(later)}: either may go first"
    elif late:
        said += f", before {list_names(later)}"
    if hold:
        said += f"; {list_names([_holds(racer) for racer in hold])}"
    return f"{said}."


def _in_turn(opened: list[Racer]) -> str:
    """Return "CB1 in 16 ms, then CB2 after 32 ms, with 8.40 A"."""
    said = f"{opened[0].part} in {show_seconds(opened[0].opens_s or 0.0)}"
    for racer in opened[1:]:
        said += f", then {racer.part} after {show_seconds(racer.opens_s or 0.0)}"
        if racer.then_a is not None:
            said += f" with {show_amps(racer.then_a)}"
    return said


def short_in_words(probe: Probe) -> str:
    """Return what a coin draws as the device before it senses it.

    Where several feed the place, all of it and the part of that device:
    "8.54 A, CB2 4.21 A".
    """
    sensed, whole = _true_short_a(probe), probe.short_mean_ones_a
    if probe.margin is None or whole is None or _is_held_back(probe):
        return show_amps(sensed)
    if sensed >= whole * (1.0 - HARDLY):
        return show_amps(sensed)
    return f"{show_amps(whole)}, {probe.cleared_by} {show_amps(sensed)}"


def limit_in_words(probe: Probe) -> str:
    """Return how sure the trip is, what holds the current down, and what helps.

    Where a lamp holds the short: how hot it gets, and what it draws cold.
    """
    if probe.held_by is not None:
        watts, cold = show_watts(probe.held_w or 0.0), show_amps(probe.surge_a or 0.0)
        return f"{probe.held_by} lights and gets {watts}; cold it draws {cold}."
    sure = [words for words in (_short_band(probe), _margin(probe)) if words]
    said = [", ".join(sure)] if sure else []
    if abs(probe.short_dc_a - _true_short_a(probe)) >= HARDLY * probe.short_dc_a:
        said.append(f"{show_amps(probe.short_dc_a)} by resistance alone")
    if _is_held_back(probe):
        said.append(OWN_LIMIT)
    elif probe.short_verdict != "good" and probe.helps:
        said.append(probe.helps)
    return f"{'. '.join(said)}." if said else ""


def lazy_in_words(watts: float | None) -> str:
    """Return how hot a bad contact may get while nothing trips."""
    if watts is None:
        return "would burn on: nothing cuts it off"
    return f"up to {show_watts(watts)} before anything trips"


def devices_in_words(flows: tuple[Flow, ...]) -> str:
    """Return what devices carry: "PB1 2.30 A of 5.00 A, CB1 1.30 A of 3.00 A"."""
    return ", ".join(map(_of_rated, flows))


def drops_in_words(flows: tuple[Flow, ...]) -> str:
    """Return what the most loaded drops carry: "D3 0.82 A, D4 0.71 A and 2 more"."""
    told = flows[:MOST_DROPS]
    said = ", ".join(f"{flow.part} {show_amps(flow.amps_a)}" for flow in told)
    rest = len(flows) - len(told)
    return f"{said} and {rest} more" if rest else said or "nothing"


def every_drop_in_words(flows: tuple[Flow, ...]) -> str:
    """Return what each drop carries and what its wire is good for, one a line."""
    return "\n".join(map(_of_rated, flows))


def _of_rated(flow: Flow) -> str:
    return f"{flow.part} {show_amps(flow.amps_a)} of {show_amps(flow.rated_a)}"


def _true_short_a(probe: Probe) -> float:
    """Return the short current as it is sensed, else its rms over ones. [A]."""
    if probe.held_a is not None:
        return probe.held_a
    if probe.margin is not None and probe.trip_a is not None:
        return probe.margin * probe.trip_a
    return probe.short_rms_ones_a or probe.short_dc_a


def _short_band(probe: Probe) -> str:
    """Return "(3.11 to 3.90 A)" of what a coin draws, as rail and joints vary."""
    if probe.short_low_a is None or probe.short_high_a is None:
        return ""
    low, high = show_amps(probe.short_low_a), show_amps(probe.short_high_a)
    (low_figure, low_unit), (_, unit) = low.split(), high.split()
    return f"({low_figure if low_unit == unit else low} to {high})"


def _margin(probe: Probe) -> str:
    if probe.margin is None:
        return ""
    if probe.margin_low is None or probe.margin_high is None:
        return show_margin(probe.margin)
    return show_margins(probe.margin, probe.margin_low, probe.margin_high)


def _is_held_back(probe: Probe) -> bool:
    """Return whether the booster's own limit, not the wiring, sets the current."""
    by = next((r for r in probe.race if r.part == probe.cleared_by), None)
    if by is None:
        return False
    # Once others have opened it may sense less than at first.
    senses = by.sensed_a if by.then_a is None else min(by.sensed_a, by.then_a)
    return _true_short_a(probe) < senses * (1.0 - HARDLY)


def _holds(racer: Racer) -> str:
    trip, sensed = show_amps(racer.trip_a), show_amps(racer.sensed_a)
    if racer.sensed_a >= racer.trip_a:  # the wiring would let enough through
        return f"{racer.part} wants {trip}, more than the booster gives"
    return f"{racer.part} wants {trip} and senses {sensed}"
