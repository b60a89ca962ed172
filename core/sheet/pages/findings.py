"""The findings: what is wrong, by how much, and what to do."""

from core.checks.finding import Finding, Severity
from core.layout.queries import place_name
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.table import Column, Row, lay_table

TITLE = "Findings"

SIGNS = {Severity.HAZARD: "■", Severity.FAULT: "▲", Severity.ADVICE: "○"}
"""A sign for each severity, which needs no colour."""


def finding_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the findings as a list to work off."""
    flow = Flow(TITLE, brief.body, brief.typeface)
    if not brief.findings:
        flow.text("No rule found anything wrong with the layout as drawn.", 14.0)
        flow.space(2.0)
        flow.text(
            "That is no proof of the layout as built: ring out every drop, and do the "
            "coin test at every length of rail.",
            11.0,
        )
        return flow.leaves()
    flow.text(
        f"{counted(brief.findings)}, worst first. {SIGNS[Severity.HAZARD]} can hurt or "
        f"burn, {SIGNS[Severity.FAULT]} will not work, {SIGNS[Severity.ADVICE]} may "
        "not work well. The sum behind each stands below it.",
        10.5,
    )
    flow.space(2.0)
    columns = (
        Column("How bad", 11.0, bold=True),
        Column("What is wrong", 11.5, grow=1.0),
        Column("What to do", 11.5, grow=1.0),
        Column("done", align="tick"),
    )
    lay_table(flow, columns, (_row(brief, f) for f in brief.findings))
    return flow.leaves()


def counted(findings: tuple[Finding, ...]) -> str:
    """Return how many findings of which severity, such as "1 hazard, 2 faults"."""
    words = {Severity.HAZARD: "hazard", Severity.FAULT: "fault"}
    parts: list[str] = []
    for severity in Severity:
        count = sum(f.severity is severity for f in findings)
        word = words.get(severity, "piece" if count == 1 else "pieces")
        if severity is Severity.ADVICE:
            word += " of advice"
        elif count != 1:
            word += "s"
        if count:
            parts.append(f"{count} {word}")
    return ", ".join(parts) or "none"


def _row(brief: Brief, finding: Finding) -> Row:
    sign = f"{SIGNS[finding.severity]} {finding.severity.value}\n{finding.code}"
    place = ""
    if finding.place is not None:
        place = f"At {place_name(brief.layout, finding.place)}. "
    note = f"{place}{finding.figures}".strip()
    return Row((sign, finding.sentence, finding.remedy, "□"), note)
