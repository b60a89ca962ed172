"""`report`: how a whole layout stands."""

from pathlib import Path

from app.commands.reading import examine
from app.commands.report_json import describe_report
from app.commands.report_text import write_report
from app.commands.say import say, say_json
from core.checks.finding import Severity


def print_report(path: Path, *, as_json: bool) -> int:
    """Print how a file's layout stands; return 1 for any FAULT or HAZARD, else 0."""
    study, findings = examine(path)
    if as_json:
        say_json({"file": str(path), **describe_report(study, findings)})
    else:
        say(write_report(study, findings))
    return int(any(f.severity is not Severity.ADVICE for f in findings))
