"""W215: the label at an end of a bus says something else."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus
from core.layout.queries import part_name


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each bus with a wrong label; two that are swapped once."""
    layout = study.layout
    told: set[PartId] = set()
    for bus in layout.of_kind(Bus):
        for end, label in _wrong(bus):
            if bus.id in told:
                break
            other = layout.get(PartId(label), Bus)
            if other is not None and any(says == bus.id for _, says in _wrong(other)):
                told |= {bus.id, other.id}
                yield _swapped(layout, bus, other, end)
            else:
                told.add(bus.id)
                yield _odd(layout, bus, end, label)


def _wrong(bus: Bus) -> Iterator[tuple[str, str]]:
    """Yield the ends with a label that is not the bus's own, and what it says."""
    for end, text in (("start", bus.start_label), ("end", bus.end_label)):
        label = text.strip()
        if label and label != bus.id:
            yield end, label


def _swapped(layout: Layout, bus: Bus, other: Bus, end: str) -> Finding:
    return RULE.finding(
        f"{part_name(layout, bus.id)} and {part_name(layout, other.id)} are labelled "
        f"as each other at the {end}: they may be joined in the wrong order.",
        f"{bus.id} says {other.id}, {other.id} says {bus.id}",
        f"Ring both through from end to end with the buzzer, join each where it "
        f"belongs, and write {bus.id} and {other.id} on both ends of each.",
        parts=(bus.id, other.id),
        fix=_relabel(layout, bus, other),
    )


def _odd(layout: Layout, bus: Bus, end: str, label: str) -> Finding:
    other = layout.get(PartId(label), Bus)
    whose = f", which is {part_name(layout, other.id)}" if other else ""
    return RULE.finding(
        f"The {end} of {part_name(layout, bus.id)} is labelled {label}{whose}.",
        f"{label} is not {bus.id}",
        f"Ring it through with the buzzer and write {bus.id} on both ends of it.",
        parts=(bus.id, other.id) if other else (bus.id,),
        severity=RULE.severity if other else Severity.ADVICE,
        fix=_relabel(layout, bus),
    )


def _relabel(layout: Layout, *buses: Bus) -> Change:
    names = " and ".join(bus.id for bus in buses)
    ids = [bus.id for bus in buses]
    return refit(layout, ids, f"Label {names}", start_label="", end_label="")


RULE = Rule(
    "W215",
    Severity.FAULT,
    "Wrong label on a bus",
    source="NEM 603 and 605: mark both ends of each wire, alike.",
    check=check,
)
