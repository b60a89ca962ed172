"""W206: a load that asks for more watts than the wiring can carry."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.parts import Load
from core.layout.queries import part_name
from core.units.figures import show_watts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each load that no current could satisfy."""
    for starved in study.starved:
        load = study.layout.need(starved.part, Load)
        yield RULE.finding(
            f"{part_name(study.layout, load.id)} cannot get its "
            f"{show_watts(starved.asked_w)} there.",
            f"most that the wiring can carry there, V²/(4·R) = "
            f"{show_watts(starved.most_w)} < {show_watts(starved.asked_w)}",
            "Feed that place better, or give the load a smaller figure.",
            parts=(load.id, load.on.run),
            place=load.on,
            size=starved.asked_w / starved.most_w,
        )


RULE = Rule(
    "W206",
    Severity.FAULT,
    "Load cannot be fed",
    source="Greatest power of a source behind a resistance: V²/(4·R).",
    check=check,
)
