"""A track drawn from its other end is the same track: no finding changes."""

import pytest

from core.analysis.examine import study_layout
from core.checks.run import run_checks
from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import TrackRun
from tests.samples.build import build_sample

NAMES = (
    "dapplecombe-sidings-faults",
    "fennimarsh-loops",
    "fennimarsh-loops-faults",
    "lorrimoor-shed-faults",
    "orrinside-quay-faults",
    "thistlewick-junction-faults",
    "wulfenmoor-regional-faults",
)
RUNS = [
    (name, run.id) for name in NAMES for run in build_sample(name).of_kind(TrackRun)
]


def told(layout: Layout) -> list[tuple[str, str, frozenset[PartId]]]:
    found = run_checks(study_layout(layout))
    return sorted((f.code, f.severity.value, frozenset(f.parts)) for f in found)


@pytest.mark.parametrize(("name", "run"), RUNS)
def test_a_run_drawn_the_other_way_gives_the_same_findings(
    name: str, run: PartId
) -> None:
    layout = build_sample(name)
    before = told(layout)
    layout.apply(reverse_run(layout, run))
    assert told(layout) == before
