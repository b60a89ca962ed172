"""W122: two districts of unequal volts meet at a gap."""

from collections.abc import Iterator

from core.analysis.boundaries import find_boundaries
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.layout.queries import part_name
from core.units.figures import show_amps, show_ohms, show_volts

MOST_V = 0.5
"""Between the two sides of a gap. [V] House choice (needs 3.5: 0.2 good, 0.5 most)."""

GOOD_V = 0.2
"""Up to here nobody notices. [V] House choice."""


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each boundary whose sides differ too much."""
    for edge in find_boundaries(study):
        if edge.opposite or edge.mismatch_v <= GOOD_V + 1e-9:
            continue
        one, other = edge.feeds
        yield RULE.finding(
            f"At {part_name(study.layout, edge.part)} the sides of {one} and {other} "
            f"differ by {show_volts(edge.mismatch_v)}: a train across it carries "
            f"{show_amps(edge.bridge_a)} through its wheels.",
            f"{show_volts(edge.mismatch_v)} / {show_ohms(edge.loop_ohm)} = "
            f"{show_amps(edge.bridge_a)}; {show_volts(MOST_V)} at most, "
            f"{show_volts(GOOD_V)} is good",
            "Set both boosters to the same track volts, measured with one meter.",
            parts=tuple(p for p in (edge.part, one, other) if p is not None),
            place=edge.place,
            severity=RULE.severity if edge.mismatch_v > MOST_V else Severity.ADVICE,
            size=edge.mismatch_v / MOST_V,
        )


RULE = Rule(
    "W122",
    Severity.FAULT,
    "Unequal volts across a gap",
    source="House choice: 0.2 V good, 0.5 V at most, from the current it drives.",
    check=check,
)
