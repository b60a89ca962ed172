"""A quantity along track: the same run by run as all at once."""

from typing import get_args

import numpy as np
import pytest

from core.analysis.along import every_track_values, track_values
from core.analysis.examine import study_layout
from core.analysis.study import Quantity
from core.layout.layout import Layout
from core.layout.parts import TrackRun
from tests.bench.generate import club_layout


@pytest.fixture(scope="module")
def club() -> Layout:
    return club_layout(40)


@pytest.mark.parametrize("quantity", get_args(Quantity))
def test_all_runs_at_once_are_as_each_alone(club: Layout, quantity: Quantity) -> None:
    study = study_layout(club)
    every = every_track_values(study, quantity)
    assert set(every) == {run.id for run in club.of_kind(TrackRun)}
    for run, found in every.items():
        alone = track_values(study, run, quantity)
        np.testing.assert_array_equal(found.positions_m, alone.positions_m)
        np.testing.assert_allclose(found.values, alone.values, rtol=1e-12)


def test_places_go_from_the_start_to_the_end_of_the_run(club: Layout) -> None:
    study = study_layout(club)
    for found in every_track_values(study, "volts").values():
        assert found.positions_m[0] == 0.0
        assert np.all(np.diff(found.positions_m) >= 0.0)
