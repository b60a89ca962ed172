"""W211: a lamp or filter on a detected block."""

import pytest

from core.checks.rules.always_occupied import RULE
from core.layout.layout import Layout
from tests.core.checks.fed import booster, device, layout_with, lead, train
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, on, run


def block(feed: str, amps_a: float, use: str = "standing") -> Layout:
    thing = train(
        1,
        on(1, 1.5),
        0.0,
        name="Filter",
        active=True,
        amps_a=amps_a,
        use="train" if use == "train" else "standing",
    )
    return layout_with(
        layout_of(run(1, 2.0)),
        booster(),
        device("OD1"),
        device("F1", "OD1"),
        lead(1, on(1, 1.0), feed),
        thing,
    )


@pytest.mark.parametrize("feed", ["OD1", "F1"])
def test_fires_for_a_filter_behind_a_detector(feed: str) -> None:
    # needs.md N54 and S4, F3: a snubber of 0.1 µF draws 52 mA at 15 V.
    found = find_one(RULE, block(feed, 0.052))
    assert found.parts == ("L1", "OD1")
    assert "L1 (Filter, standing load on R1) draws 52.0 mA behind OD1" in found.sentence


@pytest.mark.parametrize(("amps_a", "count"), [(0.0009, 0), (0.0011, 1)])
def test_quiet_up_to_a_milliampere(amps_a: float, count: int) -> None:
    assert len(find(RULE, block("OD1", amps_a))) == count


def test_quiet_before_the_detector() -> None:
    assert find(RULE, block("PB1", 0.052)) == []


def test_quiet_about_trains() -> None:
    assert find(RULE, block("OD1", 0.3, use="train")) == []
