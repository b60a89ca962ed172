"""W106: unlike rails are one metal in a diamond or slip."""

from collections.abc import Iterator
from dataclasses import replace

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.checks.shorted import prospective_amps, show_short
from core.checks.trail import Trail, trail_of_short
from core.checks.turning import dead_crossings, without_turning
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Crossing
from core.layout.queries import drops_on, run_name
from core.network.build import build_circuit
from core.network.clashes import Clash, find_clashes
from core.network.crossings import plan_crossings
from core.network.heels import bare_crossings, with_heel_gaps
from core.network.islands import find_islands
from core.network.polarity import find_shorts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each crossing that joins unlike poles by its own metal.

    All crossings, turning ways and fed heels are thought parted, so that each rail
    shows the pole that it has without them.
    """
    plans = [plan for plan in plan_crossings(study.layout) if plan.joined]
    if not study.shorts or not plans:
        return
    layout = dead_crossings(without_turning(study))
    layout = with_heel_gaps(layout, bare_crossings(layout))
    kept = [plan for plan in plans if plan.crossing.id in layout.parts]
    for clash in find_clashes(build_circuit(layout, loads=False), kept):
        yield _finding(study, clash, _trail(layout, clash))


def _trail(layout: Layout, clash: Clash) -> Trail | None:
    """Return the way from pole to pole with this crossing as the only fault."""
    crossing = clash.plan.crossing
    alone = Layout({**layout.parts, crossing.id: crossing})
    circuit = build_circuit(alone, loads=False)
    for short in find_shorts(circuit, find_islands(circuit)):
        if short.booster == clash.booster:
            on = clash.plan.on_a(clash.meetings[0])
            meets = (on.run, on.position_m)
            return replace(
                trail_of_short(short.way), meets=meets, word="unlike rails meet"
            )
    return None


def _finding(study: Study, clash: Clash, trail: Trail | None) -> Finding:
    layout, crossing = study.layout, clash.plan.crossing
    booster = layout.need(clash.booster, Booster)
    amps = prospective_amps(study, booster.id)
    turned = _turned(study, booster.id)
    return RULE.finding(
        f"At {crossing.shape} {crossing.id}, {_who_meets(layout, clash)}: "
        f"A meets B in one metal, and {booster.id} is shorted.",
        f"{len(clash.meetings)} of its 4 crossings lead from pole to pole; "
        f"{show_short(booster, amps)}",
        _remedy(layout, clash, turned),
        parts=(crossing.id, crossing.b.run, crossing.a.run, *turned, booster.id),
        place=crossing.a,
        severity=RULE.severity if amps >= booster.trip_a else Severity.HAZARD,
        size=float("inf"),
        fix=_fix(layout, clash),
        trail=trail,
    )


def _who_meets(layout: Layout, clash: Clash) -> str:
    crossing = clash.plan.crossing
    a, b = run_name(layout, crossing.a.run), run_name(layout, crossing.b.run)
    if a == b:
        a, b = f"{a} going one way", f"{b} going the other"
    first, *more = clash.meetings
    if not clash.direct and {m.b_side for m in clash.meetings} == {first.b_side}:
        return f"the {first.b_side} rail of {b} meets both rails of {a}"
    if not clash.direct and {m.a_side for m in clash.meetings} == {first.a_side}:
        return f"the {first.a_side} rail of {a} meets both rails of {b}"
    words = f"the {first.b_side} rail of {b} meets the {first.a_side} rail of {a}"
    return words + "".join(f", and the {m.b_side} one the {m.a_side} one" for m in more)


def _turned(study: Study, booster: PartId) -> tuple[PartId, ...]:
    """Return the connections that alone explain the short, crossed over."""
    return tuple(
        dict.fromkeys(
            culprit.part
            for short in study.shorts
            if short.booster == booster
            for culprit in short.culprits
        )
    )


def _remedy(layout: Layout, clash: Clash, turned: tuple[PartId, ...]) -> str:
    crossing = clash.plan.crossing
    if crossing.frog == "switched":
        words = f"Cut the obtuse crossings of {crossing.id} out of the rails too"
        names = [list_names(turned)] if turned else _drops_of_either(layout, crossing)
        if names:
            words += f", or swap the wires of {' or of '.join(names)}"
            words += " if the two tracks are meant to be fed alike"
        return f"{words}."
    if _is_cured_by_acute(clash):
        return (
            f"Cut the two acute crossings of {crossing.id} out of both rails, and give "
            "each its pole by a change-over contact."
        )
    return (
        f"Cut all four crossings of {crossing.id} out of the rails, and give those "
        "that are long enough to stop a train their pole by a change-over contact."
    )


def _drops_of_either(layout: Layout, crossing: Crossing) -> list[str]:
    """Return the drops of the one track, and those of the other, in words."""
    found = []
    for run in dict.fromkeys((crossing.a.run, crossing.b.run)):
        drops = list_names([drop.id for drop in drops_on(layout, run)])
        if drops:
            found.append(f"{drops} on {run_name(layout, run)}")
    return found


def _fix(layout: Layout, clash: Clash) -> Change:
    crossing = clash.plan.crossing
    obtuse = "joined" if _is_cured_by_acute(clash) else "dead"
    label = f"Cut the crossings of {crossing.id}"
    return refit(layout, (crossing.id,), label, frog="switched", obtuse=obtuse)


def _is_cured_by_acute(clash: Clash) -> bool:
    """Return whether the obtuse crossings may stay one metal."""
    uncut = clash.plan.crossing.frog == "uncut"
    return uncut and clash.direct and all(m.acute for m in clash.meetings)


RULE = Rule(
    "W106",
    Severity.FAULT,
    "Unlike rails meet in a crossing",
    source="Plan geometry: of the four crossings of two tracks two join unlike poles, "
    "however the tracks are fed.",
    check=check,
)
