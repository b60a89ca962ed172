"""The railway of many turnouts: as many as asked for, and soundly wired."""

import pytest

from core.analysis.examine import study_layout
from core.checks.run import run_checks
from core.layout.parts import Turnout
from core.network.reversing import find_reversing
from tests.bench.turnouts import station_layout


@pytest.mark.parametrize("count", [3, 10, 11, 50, 200])
def test_it_has_as_many_turnouts_as_asked_for(count: int) -> None:
    assert len(list(station_layout(count).of_kind(Turnout))) == count


def test_both_loops_turn() -> None:
    assert len(find_reversing(station_layout(30))) == 2


@pytest.mark.parametrize("count", [3, 30, 200])
def test_it_is_soundly_wired(count: int) -> None:
    assert run_checks(study_layout(station_layout(count))) == ()
