"""W209: a long open leg, where a snubber would go, and where it must not."""

import pytest
from msgspec.structs import replace

from core.analysis.legs import describe_legs
from core.checks.finding import Severity
from core.checks.rules.always_occupied import RULE as ALWAYS
from core.checks.rules.snubber import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Attachment,
    Bus,
    Drop,
    Load,
    OnRun,
    Part,
    Point,
    ToBus,
    ToPort,
)
from core.sheet.pages.wiring import leg_words
from tests.core.checks.fed import booster, device, layout_with
from tests.core.checks.plank import find, find_one, study_of
from tests.core.network.track import layout_of, run


def bus(
    number: int, length_m: float, feed: str = "PB1", end: Attachment | None = None
) -> Bus:
    return Bus(
        id=PartId(f"B{number}"),
        points=(Point(x_mm=0.0, y_mm=-500.0), Point(x_mm=length_m * 1e3, y_mm=-500.0)),
        slack=0.0,
        start=ToPort(part=PartId(feed)),
        end=end,
    )


def legs(*buses: Part) -> Layout:
    return layout_with(layout_of(run(1, 1.0)), booster(), device("OD1"), *buses)


def test_fires_for_n54() -> None:
    # needs.md N54: 15 V, 0.1 µF: 0.78 W worst: "1/2 W part is too small, use 2 W".
    found = find_one(RULE, legs(bus(1, 40.0)))
    assert found.severity is Severity.ADVICE
    assert found.parts == ("B1",)
    assert "0.78 W" in found.remedy
    assert "one of 2 W or more" in found.remedy
    assert "detector" not in found.remedy


@pytest.mark.parametrize(("volts", "rated"), [(18.0, "2 W"), (22.0, "3 W")])
def test_the_bus_page_names_the_same_resistor(volts: float, rated: str) -> None:
    # needs.md 3.7: 2 W parts, 3 W at 22 V.
    layout = legs(bus(1, 40.0))
    layout = layout_with(layout, booster(volts_v=volts))
    (leg,) = describe_legs(study_of(layout))
    assert f"take one of {rated} or more" in find_one(RULE, layout).remedy
    assert f"take one of {rated} or more" in leg_words(leg)


def test_fires_and_warns_behind_a_detector() -> None:
    # needs.md N54: upstream of detectors.
    found = find_one(RULE, legs(bus(1, 40.0, "OD1")))
    assert "behind OD1 its current reads as a train" in found.remedy


def test_fires_once_for_several_legs_the_longest_first() -> None:
    found = find_one(RULE, legs(bus(1, 10.0), bus(2, 12.0)))
    assert found.parts == ("B2", "B1")


@pytest.mark.parametrize(("length_m", "count"), [(8.9, 0), (9.1, 1)])
def test_quiet_up_to_thirty_feet(length_m: float, count: int) -> None:
    # Common practice, no source: 30 ft, 9 m.
    assert len(find(RULE, legs(bus(1, length_m)))) == count


def test_quiet_about_a_leg_that_ends_on_a_device() -> None:
    assert find(RULE, legs(bus(1, 40.0, end=ToPort(part=PartId("OD1"))))) == []


def test_the_bus_page_tells_the_notch_of_the_standing_loads() -> None:
    # 40 m of twisted pair: 0.62 µH/m (needs 3.6), 24.8 µH; 2 A at its end leave
    # I·L/V = 2 · 24.8e-6 / 15 = 3.3 µs in each half-bit, 5.7 % of the 58 µs of a one.
    train = Load(
        id=PartId("L1"), on=OnRun(run=PartId("R1"), position_m=0.5), amps_a=2.0
    )
    feed = Drop(
        id=PartId("D1"),
        on=OnRun(run=PartId("R1"), position_m=0.5),
        to=ToBus(part=PartId("B1"), position_m=40.0),
    )
    (leg,) = describe_legs(study_of(layout_with(legs(bus(1, 40.0)), train, feed)))
    told = leg_words(leg)
    assert "Its standing loads, 2.00 A, leave a notch of " in told
    notch_us = float(told.split("notch of ")[1].split(" µs")[0])
    assert notch_us == pytest.approx(3.3, rel=0.1)


def test_the_bus_page_tells_no_notch_without_a_load() -> None:
    (leg,) = describe_legs(study_of(legs(bus(1, 40.0))))
    assert "notch" not in leg_words(leg)


def test_a_bus_with_its_snubber_fitted_is_settled() -> None:
    plain = legs(bus(1, 40.0))
    change = find_one(RULE, plain).fix
    assert change is not None
    plain.apply(change)
    assert plain.need(PartId("B1"), Bus).snubber
    assert find(RULE, plain) == []
    (leg,) = describe_legs(study_of(plain))
    told = leg_words(leg)
    # 0.1 µF at 15 V: 0.78 W (needs.md N54), so a part of 2 W.
    assert "120 Ω of 2 W or more and 0.1 µF in series" in told


def test_behind_a_detector_none_is_offered() -> None:
    # The bus hangs on OD1; a snubber there would read as a train.
    assert find_one(RULE, legs(bus(1, 40.0, "OD1"))).fix is None


def test_a_snubber_that_is_fitted_behind_a_detector_is_found() -> None:
    # Each edge moves C·2V: 2 · 0.1 µF · 15 V in 58 µs are 52 mA, fifty times 1 mA.
    layout = legs(replace(bus(1, 4.0, "OD1"), snubber=True))
    found = find_one(ALWAYS, layout)
    assert found.parts == ("B1", "OD1")
    assert "51.7 mA" in found.figures
    assert found.fix is not None
    layout.apply(found.fix)
    assert find(ALWAYS, layout) == []


def test_a_snubber_before_the_detector_is_no_train() -> None:
    assert find(ALWAYS, legs(replace(bus(1, 40.0), snubber=True))) == []
