"""W205: the label at the far end of a drop says something else."""

from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.rule import Rule
from core.layout.ids import PartId
from core.layout.parts import Drop
from core.layout.queries import part_name


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each drop that is labelled with another name."""
    for drop in study.layout.of_kind(Drop):
        label = drop.far_label.strip()
        if not label or label == drop.id:
            continue
        other = study.layout.get(PartId(label), Drop)
        whose = f", which is {part_name(study.layout, other.id)}" if other else ""
        yield RULE.finding(
            f"The far end of {part_name(study.layout, drop.id)} is labelled "
            f"{label}{whose}.",
            f"{label} is not {drop.id}",
            f"Write {drop.id} on both ends of it.",
            parts=(drop.id, other.id) if other else (drop.id,),
            place=drop.on,
            severity=RULE.severity if other else Severity.ADVICE,
            fix=refit(study.layout, (drop.id,), f"Label {drop.id}", far_label=""),
        )


RULE = Rule(
    "W205",
    Severity.FAULT,
    "Wrong label",
    source="NEM 603 and 605: mark both ends of each wire, alike.",
    check=check,
)
