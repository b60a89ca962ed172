"""Layouts as the commands read them: notes to stderr, errors upwards."""

import sys
from pathlib import Path

from core.analysis.examine import study_layout
from core.analysis.study import Study
from core.checks.finding import Finding
from core.checks.run import run_checks
from core.layout.layout import Layout
from core.layout.storage.read import read_layout


def open_layout(path: Path) -> Layout:
    """Return a layout; what had to be mended in reading is said on stderr."""
    layout, report = read_layout(path)
    for note in (*report.fixed, *report.unfixed):
        print(f"{path}: {note}", file=sys.stderr)
    return layout


def examine(path: Path) -> tuple[Study, tuple[Finding, ...]]:
    """Return the study of a file's layout and what is wrong with it."""
    study = study_layout(open_layout(path))
    return study, run_checks(study)
