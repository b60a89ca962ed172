"""W128: a programming track that the main can reach, by metal or by an engine."""

from collections.abc import Iterator

from core.analysis.programming import Bridge, Mixed, change_overs, find_bridge
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Booster, Inline
from core.layout.queries import part_name, place_name, run_name
from core.units.length import show_length
from core.units.si import Metre


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each change-over switch that lets the main through."""
    layout = study.layout
    if not any(b.use == "programming" for b in layout.of_kind(Booster)):
        return
    for switch in change_overs(layout):
        found = find_bridge(layout, switch, study.case.thrown)
        if isinstance(found, Mixed):
            yield _mixed(study, switch, found)
        elif found is not None:
            yield _bridge(study, switch, found)


def _mixed(study: Study, switch: Inline, found: Mixed) -> Finding:
    layout = study.layout
    return RULE.finding(
        f"With {part_name(layout, switch.id)} set to programming, {found.output} and "
        f"the main are joined by metal at {place_name(layout, found.place)}: every "
        "engine may be programmed.",
        f"{switch.poles} {_poles(switch)} changed over; 2 rails lead on",
        "Cut both rails at both ends of the programming track, and change over both "
        "its wires.",
        parts=(switch.id, found.output, found.place.run),
        place=found.place,
        size=2.0,
    )


def _bridge(study: Study, switch: Inline, found: Bridge) -> Finding:
    layout = study.layout
    engine = layout.settings.engine_m
    why = "nothing between the two is dead meanwhile"
    if switch.poles == 4:
        why = "the dead piece between the two is shorter than an engine"
    return RULE.finding(
        f"With {part_name(layout, switch.id)} set to programming, an engine across "
        f"the end of {run_name(layout, found.track.run)} joins it to "
        f"{run_name(layout, found.main)}: {why}.",
        f"isolation piece {_show(study, found.apart_m)} < longest engine "
        f"{_show(study, engine)}; switch of {switch.poles} {_poles(switch)}",
        "Use a change-over switch of 4 poles: 2 for the track, 2 for an isolation "
        f"piece of {_show(study, engine)} or more between double gaps, dead while "
        "programming.",
        parts=(switch.id, found.track.run, found.main),
        place=found.track,
        size=1.0 + (engine - found.apart_m) / engine,
    )


def _poles(switch: Inline) -> str:
    return "pole" if switch.poles == 1 else "poles"


def _show(study: Study, length_m: float) -> str:
    return show_length(Metre(length_m), study.layout.settings.lengths)


RULE = Rule(
    "W128",
    Severity.FAULT,
    "Programming track bridged",
    source="Four poles and an isolation piece as long as an engine (common practice, "
    "no source).",
    check=check,
)
