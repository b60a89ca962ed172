"""The report as text, for a person."""

from collections import Counter

from app.commands.answers import Answers, answer
from app.commands.answers_text import what_limits, write_answers
from app.commands.figures import write_rows, write_text
from core.analysis.beyond import say_beyond
from core.analysis.probe import judge_short, probe_place, say_starved
from core.analysis.study import BoosterDuty, Extreme, Probe, Study
from core.checks.finding import Finding, Severity
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.queries import part_name, place_name, run_name
from core.layout.rails import rails_measured
from core.units.figures import show_amps, show_ohms, show_share, show_volts
from core.units.length import show_length


def write_report(study: Study, findings: tuple[Finding, ...]) -> str:
    """Return the report as text; poles that are joined come first."""
    settings = study.layout.settings
    answers = answer(study)
    blocks = [
        f"{settings.title}, revision {settings.revision}",
        write_shorts(study),
        _write_figures(study, answers),
        *write_answers(answers),
        _count(findings),
        *map(_write_finding, findings),
    ]
    return "\n\n".join(block for block in blocks if block)


def write_shorts(study: Study) -> str:
    """Return what is to be cured before anything else; empty where nothing is."""
    said: list[str] = []
    for short in study.shorts:
        name = part_name(study.layout, short.booster)
        names = list_names(list(dict.fromkeys(c.part for c in short.culprits)))
        any_one = "any one of " if len(short.culprits) > 1 else ""
        cure = f" Turning {any_one}{names} round mends it." if names else ""
        said.append(f"SHORTED: {name} has its two poles joined.{cure}")
    for one, other in study.opposed:
        said.append(
            f"SHORTED: {one} and {other} drive into each other, joined in opposite "
            "phase."
        )
    if said:
        said.append("Cure that first. What it feeds is left out of the figures below.")
    return "\n".join(write_text(line) for line in said)


def _write_figures(study: Study, answers: Answers) -> str:
    sound = answers.sound
    train = show_amps(study.scan.train_a)
    shorted = set(study.shorted)
    rows: list[tuple[str, str]] = []
    if sound.worst_volts is not None or not shorted:
        rows += [
            _write_volts(sound, train),
            _write_loop(sound),
            _write_short(sound, answers),
        ]
    for duty in study.boosters:
        rows.append(("Booster", _write_booster(study.layout, duty, shorted)))
    rows += [("Measured", text) for text in rails_measured(study.layout)]
    rows += [("No feed", text) for text in _write_unfed(study)]
    return write_rows(rows, 15)


def _write_volts(study: Study, train: str) -> tuple[str, str]:
    if study.worst_volts is None:
        return "Lowest volts", "none: no booster reaches any track"
    found = probe_place(study, study.worst_volts.place)
    if found.starves:
        place = _place(study, study.worst_volts)
        words = say_starved(found.starves, found.test_train_a)
        return "Lowest volts", f"none left at {place}. {words}"
    band = f"{show_volts(found.volts_low_v)} to {show_volts(found.volts_high_v)}"
    text = (
        f"{show_volts(found.volts_v)} ({band}) at "
        f"{_place(study, study.worst_volts)}, with a {train} train there: "
        f"{_lost(found)}"
    )
    if found.beyond:
        text += f". But {say_beyond(found.beyond[0])}"
    return "Lowest volts", text


def _lost(found: Probe) -> str:
    return (
        f"{show_volts(found.source_v - found.volts_v)} lost, "
        f"{show_share(found.drop_share)}, {found.drop_verdict}"
    )


def _write_loop(study: Study) -> tuple[str, str]:
    if study.worst_loop is None:
        return "Highest loop", "none"
    worst = study.worst_loop.value
    loop, found = show_ohms(worst), probe_place(study, study.worst_loop.place)
    # At a gap a probe tells of one side, which need not be the worse one.
    if found.loop_low_ohm <= worst <= found.loop_high_ohm:
        low, high = show_ohms(found.loop_low_ohm), show_ohms(found.loop_high_ohm)
        loop += f" ({low} to {high})"
    return "Highest loop", f"{loop} at {_place(study, study.worst_loop)}"


def _write_short(study: Study, answers: Answers) -> tuple[str, str]:
    if not answers.weakest and any(lamp.held for lamp in answers.lamps):
        return "Weakest short", "none: lamps hold them all, see below"
    if not answers.weakest:
        return "Weakest short", "none: nothing here would trip"
    weak = answers.weakest[0]
    text = (
        f"{weak.margin:.2f} times ({weak.margin_low:.2f} to {weak.margin_high:.2f}) "
        f"the {show_amps(weak.by.trip_a)} that trip {weak.by.part}, at "
        f"{place_name(study.layout, weak.place)}: "
        f"{judge_short(weak.margin, study.layout.settings.limits)}"
    )
    if weak.limited_by == "inductance":
        text += f", {what_limits(weak)}"
    return "Weakest short", text


def _write_booster(layout: Layout, duty: BoosterDuty, shorted: set[PartId]) -> str:
    name = part_name(layout, duty.part)
    if duty.part in shorted:
        return f"{name} is shorted"
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
        # Where a short leaves hardly a volt, rails seem to hang on one pole.
        if not study.shorted or u.sides != "same"
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
