"""W207: a device in the feed that takes its share of the volts."""

import pytest
from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.detector_drop import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, on, run


def block(drop_v: float, *more: Part) -> Layout:
    return layout_with(
        layout_of(run(1, 2.0)),
        booster(),
        device("OD1", drop_v=drop_v),
        lead(1, on(1, 1.0), "OD1"),
        *more,
    )


def test_fires_for_a_pair_of_diodes() -> None:
    # needs.md N21: diode pair 1.4 V; of 15 V that is 9.3 %.
    found = find_one(RULE, block(1.4))
    assert found.severity is Severity.ADVICE
    assert found.parts == ("OD1",)
    assert found.figures.startswith("1.40 V / 15.00 V = 9.3 %")


def test_fires_once_for_all_detectors_of_one_make() -> None:
    more = device("OD2", drop_v=1.4), lead(2, on(1, 1.5), "OD2")
    assert find_one(RULE, block(1.4, *more)).parts == ("OD1", "OD2")


def test_fires_for_another_device_without_speaking_of_detectors() -> None:
    lamp = device("F1", drop_v=0.7), lead(1, on(1, 1.0), "F1")
    found = find_one(RULE, block(0.0, *lamp))
    assert "detector" not in found.remedy


@pytest.mark.parametrize(("drop_v", "count"), [(0.0, 0), (0.2, 0), (0.21, 1)])
def test_quiet_up_to_what_feedback_allows(drop_v: float, count: int) -> None:
    # NMRA RP-9.3.1: at most 200 mV in the answer window.
    assert len(find(RULE, block(drop_v))) == count


def test_quiet_about_a_detector_that_nothing_feeds() -> None:
    loose = replace(device("OD2", drop_v=1.4), feed=None)
    assert find(RULE, block(0.0, loose)) == []
