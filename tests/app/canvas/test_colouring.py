"""From values to colours and legends, by hand."""

from math import nan

import numpy as np
import pytest

from app.canvas.colouring import (
    BINS,
    DEAD,
    POOR_FROM,
    Colours,
    make_legend,
    make_scale,
)
from core.analysis.study import TrackValues
from core.layout.ids import PartId
from core.layout.parts import Limits, Settings

SETTINGS = Settings(limits=Limits(drop_good=0.05, drop_most=0.10), test_train_a=1.0)


def test_volts_are_coloured_by_the_share_that_is_lost() -> None:
    # Of 15 V: 5 % is 14.25 (a third of the ramp), 10 % is 13.5 (two thirds),
    # 15 % is 12.75 (its end).
    scale = make_scale("volts", SETTINGS, 15.0)
    assert scale.stops == pytest.approx((15.0, 14.25, 13.5, 12.75))
    values = np.array([15.2, 15.0, 14.26, 14.24, 13.51, 13.49, 12.0, nan])
    assert scale.bins(values).tolist() == [0, 0, 7, 8, 15, 16, BINS - 1, DEAD]


def test_poor_begins_where_tolerable_ends() -> None:
    scale = make_scale("volts", SETTINGS, 15.0)
    assert int(scale.bins(np.array([13.499]))[0]) == POOR_FROM


def test_loop_is_coloured_by_what_the_test_train_loses_in_it() -> None:
    # 5 % of 15 V at 1 A is 0.75 Ω; 10 % is 1.5 Ω.
    scale = make_scale("loop", SETTINGS, 15.0)
    assert scale.stops == pytest.approx((0.0, 0.75, 1.5, 2.25))


def test_short_is_coloured_by_its_margin() -> None:
    # Good from 2.0, tolerable from 1.5; ends at 1.0, where nothing trips.
    scale = make_scale("short", SETTINGS, 15.0)
    assert scale.stops[1:] == pytest.approx((2.0, 1.5, 0.75))
    assert scale.bins(np.array([9.0, 1.49, 0.5])).tolist() == [0, POOR_FROM, 23]


def test_colours_between_given_places_are_in_proportion() -> None:
    scale = make_scale("volts", SETTINGS, 15.0)
    values = TrackValues(PartId("R1"), np.array([0.0, 2.0]), np.array([15.0, 13.5]))
    # Half way is 14.25 V: the end of good; a little before it is bin 7.
    assert Colours(values, scale).bins_at(np.array([0.999])).tolist() == [7]


def test_a_run_without_values_is_dead() -> None:
    scale = make_scale("volts", SETTINGS, 15.0)
    nothing = TrackValues(PartId("R1"), np.zeros(0), np.zeros(0))
    assert Colours(nothing, scale).bins_at(np.array([0.5])).tolist() == [DEAD]


def test_the_legend_says_what_the_ends_and_thirds_of_the_ramp_are() -> None:
    legend = make_legend(make_scale("volts", SETTINGS, 15.0), ("#000000",) * BINS)
    assert (legend.low, legend.high) == pytest.approx((15.0, 12.75))
    assert legend.limits == pytest.approx((14.25, 13.5))
    assert legend.unit == "V"
