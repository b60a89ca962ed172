"""Where track is good, tolerable and poor."""

from math import nan

import numpy as np
import pytest

from core.analysis.along import worst_along
from core.analysis.grades import Stretch, grade_of, grade_stretches, stops_of
from core.analysis.study import TrackValues
from core.layout.ids import PartId
from core.layout.parts import Limits, OnRun, Settings

RUN = PartId("R1")
STOPS = (15.0, 14.25, 13.5, 12.75)
"""Of 15 V: 5 % and 10 % lost, as the default limits have it."""


def along(*pairs: tuple[float, float]) -> TrackValues:
    positions, values = zip(*pairs, strict=True)
    return TrackValues(RUN, np.array(positions), np.array(values))


def test_volts_have_their_limits_by_the_shares_lost() -> None:
    # 15 V less 5 %: 14.25 V, less 10 %: 13.5 V, less half as much again: 12.75 V.
    assert stops_of("volts", Settings(), 15.0) == pytest.approx(STOPS)


def test_the_loop_has_them_where_the_test_train_loses_so_much() -> None:
    # 5 % of 15 V are 0.75 V; 1.5 A lose them over 0.5 Ω.
    settings = Settings(test_train_a=1.5)
    assert stops_of("loop", settings, 15.0) == pytest.approx((0.0, 0.5, 1.0, 1.5))


def test_shorts_have_the_margins_of_the_settings() -> None:
    settings = Settings(limits=Limits(short_good=4.0, short_least=1.8))
    assert stops_of("short", settings, 15.0) == pytest.approx((6.0, 4.0, 1.8, 0.9))


@pytest.mark.parametrize(
    ("value", "grade"),
    [
        (14.9, "good"),
        (14.25, "good"),
        (14.24, "tolerable"),
        (13.5, "tolerable"),
        (13.49, "poor"),
        (nan, "dead"),
    ],
)
def test_a_figure_on_a_limit_is_of_the_better_grade(value: float, grade: str) -> None:
    assert grade_of(value, STOPS) == grade


def test_of_a_loop_less_is_better() -> None:
    stops = (0.0, 0.5, 1.0, 1.5)
    assert [grade_of(v, stops) for v in (0.5, 0.6, 1.1)] == [
        "good",
        "tolerable",
        "poor",
    ]


def test_an_even_fall_is_cut_where_it_meets_the_limits() -> None:
    # From 15 V to 13 V over 4 m: 14.25 V at 1.5 m, 13.5 V at 3 m.
    found = grade_stretches(along((0.0, 15.0), (2.0, 14.0), (4.0, 13.0)), STOPS)
    assert [s.grade for s in found] == ["good", "tolerable", "poor"]
    assert [s.end_m for s in found] == pytest.approx([1.5, 3.0, 4.0])
    assert [s.start_m for s in found] == pytest.approx([0.0, 1.5, 3.0])


def test_a_step_stays_a_step_and_dead_track_is_told() -> None:
    found = grade_stretches(
        along(
            (0.0, 15.0), (1.0, 15.0), (1.0, 13.0), (2.0, 13.0), (2.0, nan), (3.0, nan)
        ),
        STOPS,
    )
    assert found == (
        Stretch(0.0, 1.0, "good"),
        Stretch(1.0, 2.0, "poor"),
        Stretch(2.0, 3.0, "dead"),
    )


def test_a_valley_of_poor_has_tolerable_track_on_both_sides() -> None:
    # 14 V, 13 V, 14 V a metre apart: 13.5 V is crossed half way, down and up.
    found = grade_stretches(along((0.0, 14.0), (1.0, 13.0), (2.0, 14.0)), STOPS)
    assert [s.grade for s in found] == ["tolerable", "poor", "tolerable"]
    assert [s.end_m for s in found] == pytest.approx([0.5, 1.5, 2.0])


def test_the_worst_of_a_run_is_found_past_dead_track() -> None:
    values = along((0.0, nan), (1.0, 14.0), (2.0, 13.5), (3.0, 14.5))
    lowest = worst_along(values, highest=False)
    assert lowest is not None
    assert (lowest.place, lowest.value) == (OnRun(run=RUN, position_m=2.0), 13.5)
    highest = worst_along(values, highest=True)
    assert highest is not None
    assert highest.value == 14.5
    assert worst_along(along((0.0, nan), (1.0, nan)), highest=True) is None
