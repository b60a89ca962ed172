"""The report as one JSON object, for a program: SI units, named in the keys."""

from collections import Counter
from typing import Any

from app.commands.figures import place_of, tidy
from core.analysis.probe import probe_place
from core.analysis.study import Extreme, Study
from core.checks.finding import Finding, Severity
from core.layout.layout import Layout
from core.layout.queries import run_name


def describe_report(study: Study, findings: tuple[Finding, ...]) -> dict[str, Any]:
    """Return the report as one JSON object: SI units, named in the keys."""
    layout = study.layout
    counts = Counter(f.severity for f in findings)
    return {
        "format": "feederwright-report",
        "version": 1,
        "title": layout.settings.title,
        "revision": layout.settings.revision,
        "test_train_a": tidy(study.scan.train_a),
        "counts": {severity.value: counts[severity] for severity in Severity},
        "poles_joined": bool(study.shorts),
        "lowest_volts": _describe_place(study, study.worst_volts),
        "highest_loop": _describe_place(study, study.worst_loop),
        "weakest_short": _describe_place(study, study.weakest_short),
        "boosters": [
            {
                "part": b.part,
                "volts_v": tidy(b.volts_v),
                "amps_a": tidy(b.amps_a),
                "rated_a": tidy(b.rated_a),
            }
            for b in study.boosters
        ],
        "unfed": [
            {
                "run": u.run,
                "track": run_name(layout, u.run),
                "start_m": tidy(u.start_m),
                "end_m": tidy(u.end_m),
                "sides": u.sides,
            }
            for u in study.unfed
        ],
        "findings": [_describe_finding(layout, f) for f in findings],
    }


def _describe_place(study: Study, worst: Extreme | None) -> dict[str, Any] | None:
    if worst is None:
        return None
    found = probe_place(study, worst.place)
    return {
        **place_of(study.layout, worst.place),
        "volts_v": tidy(found.volts_v),
        "drop_share": tidy(found.drop_share),
        "loop_ohm": tidy(found.loop_ohm),
        "margin": tidy(found.margin),
    }


def _describe_finding(layout: Layout, finding: Finding) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "title": finding.title,
        "sentence": finding.sentence,
        "figures": finding.figures,
        "remedy": finding.remedy,
        "parts": list(finding.parts),
        "place": place_of(layout, finding.place) if finding.place else None,
        "source": finding.source,
    }
