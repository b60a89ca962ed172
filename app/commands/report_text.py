"""The report as text, for a person."""

from collections import Counter

from app.commands.figures import write_rows, write_text
from core.analysis.probe import probe_place
from core.analysis.study import BoosterDuty, Extreme, Probe, Study
from core.checks.finding import Finding, Severity
from core.layout.layout import Layout
from core.layout.queries import part_name, place_name, run_name
from core.units.figures import show_amps, show_ohms, show_share, show_volts
from core.units.length import show_length


def write_report(study: Study, findings: tuple[Finding, ...]) -> str:
    """Return the report as text."""
    settings = study.layout.settings
    heading = f"{settings.title}, revision {settings.revision}"
    blocks = [heading, _write_figures(study), _count(findings)]
    if study.shorts:
        blocks.insert(
            1,
            write_text(
                "The two poles are joined somewhere: cure that first, the figures "
                "below hold only after it."
            ),
        )
    return "\n\n".join([*blocks, *map(_write_finding, findings)])


def _write_figures(study: Study) -> str:
    train = show_amps(study.scan.train_a)
    rows = [_write_volts(study, train), _write_loop(study), _write_short(study)]
    rows += [("Booster", _write_booster(study.layout, b)) for b in study.boosters]
    rows += [("No feed", text) for text in _write_unfed(study)]
    return write_rows(rows, 15)


def _write_volts(study: Study, train: str) -> tuple[str, str]:
    if study.worst_volts is None:
        return "Lowest volts", "none: no booster reaches any track"
    found = probe_place(study, study.worst_volts.place)
    text = (
        f"{show_volts(found.volts_v)} at {_place(study, study.worst_volts)}, with a "
        f"{train} train there: {_lost(found)}"
    )
    return "Lowest volts", text


def _lost(found: Probe) -> str:
    return (
        f"{show_volts(found.source_v - found.volts_v)} lost, "
        f"{show_share(found.drop_share)}, {found.drop_verdict}"
    )


def _write_loop(study: Study) -> tuple[str, str]:
    if study.worst_loop is None:
        return "Highest loop", "none"
    loop = show_ohms(study.worst_loop.value)
    return "Highest loop", f"{loop} at {_place(study, study.worst_loop)}"


def _write_short(study: Study) -> tuple[str, str]:
    if study.weakest_short is None:
        return "Weakest short", "none: nothing here would trip"
    found = probe_place(study, study.weakest_short.place)
    assert found.cleared_by is not None, "a margin has a device"
    assert found.trip_a is not None, "a margin has a trip current"
    text = (
        f"{study.weakest_short.value:.2f} times the {show_amps(found.trip_a)} that "
        f"trip {found.cleared_by}, at {_place(study, study.weakest_short)}: "
        f"{found.short_verdict}"
    )
    return "Weakest short", text


def _write_booster(layout: Layout, duty: BoosterDuty) -> str:
    name = part_name(layout, duty.part)
    return f"{name} gives {show_amps(duty.amps_a)} of {show_amps(duty.rated_a)}"


def _place(study: Study, worst: Extreme) -> str:
    return place_name(study.layout, worst.place)


def _write_unfed(study: Study) -> list[str]:
    system = study.layout.settings.lengths
    rails = {"both": "both rails", "same": "both rails hang on one pole"}
    return [
        f"{run_name(study.layout, u.run)}, {show_length(u.start_m, system)} to "
        f"{show_length(u.end_m, system)}: {rails.get(u.sides, f'{u.sides} rail')}"
        for u in study.unfed
    ]


def _count(findings: tuple[Finding, ...]) -> str:
    if not findings:
        return "Nothing is wrong that the rules know of."
    counts = Counter(f.severity for f in findings)
    many = {Severity.HAZARD: "hazards", Severity.FAULT: "faults"}
    said = [
        f"{counts[s]} {s.value if counts[s] == 1 else many.get(s, 'pieces of advice')}"
        for s in Severity
        if counts[s]
    ]
    return f"Found: {', '.join(said)}, worst first."


def _write_finding(finding: Finding) -> str:
    lines = [f"{finding.severity.value.upper()} {finding.code}  {finding.title}"]
    lines.append(write_text(finding.sentence, "  "))
    if finding.figures:
        lines.append(write_text(finding.figures, "  "))
    if finding.remedy:
        lines.append(write_text(f"Do: {finding.remedy}", "  "))
    return "\n".join(lines)
