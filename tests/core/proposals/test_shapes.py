"""Ways to feed a bus, worked out whole: against sums by hand.

A bus of 20 m of 2.5 mm² (7.98 Ω/km, IEC 60228 class 5), no slack; near its start and
at its end a stub of track of its own, each with one drop; a test train of 3 A. With
the booster at the start the far train loses 3 A · 2 · 20 m · 7.98 mΩ/m = 0.958 V in
the bus, the near one nothing.
"""

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Drop, OnRun, Straight, ToBus, TrackRun
from core.proposals.shapes import Shape, trials_of, try_shapes
from tests.core.analysis.layouts import booster, layout_of, straight_bus

BUS = PartId("B1")
PER_M = 7.98e-3
TRAIN_A = 3.0


def stub(number: int, x_mm: float) -> TrackRun:
    return TrackRun(
        id=PartId(f"R{number}"),
        x_mm=x_mm,
        y_mm=0.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=100.0),),
    )


def feed(number: int, bus_m: float) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=PartId(f"R{number}"), position_m=0.05),
        to=ToBus(part=BUS, position_m=bus_m),
        lead_m=0.2,
    )


def shelf() -> Layout:
    bus = replace(straight_bus(20.0), slack=0.0, wire="2.5mm2-c5")
    plain = layout_of(
        booster(), bus, stub(1, 0.0), stub(2, 19_900.0), feed(1, 0.0), feed(2, 20.0)
    )
    settings = replace(plain.settings, test_train_a=TRAIN_A)
    return Layout({**plain.parts, settings.id: settings})


@pytest.fixture(scope="module")
def shapes() -> dict[str, Shape]:
    return {shape.kind: shape for shape in try_shapes(shelf(), BUS)}


def gain(shapes: dict[str, Shape], kind: str) -> float:
    now, then = shapes["as it is"].volts_v, shapes[kind].volts_v
    assert now is not None
    assert then is not None
    return then - now


def test_every_way_is_tried_once(shapes: dict[str, Shape]) -> None:
    assert list(shapes) == ["as it is", "moved", "feeder", "ring", "star"]


def test_a_moved_booster_stands_best_in_the_middle(shapes: dict[str, Shape]) -> None:
    # Both trains are 10 m away: half of 0.958 V is saved, less 0.12 m of lead.
    assert shapes["moved"].at_m == pytest.approx(10.0, abs=0.5)
    by_hand = TRAIN_A * 2.0 * PER_M * (20.0 - 10.0 - 0.12)
    assert gain(shapes, "moved") == pytest.approx(by_hand, rel=0.05)


def test_a_feeder_saves_the_loads_of_others_not_the_way(
    shapes: dict[str, Shape],
) -> None:
    # One train at a time: by a feeder to x the far one is 20 m away, as before, if x
    # lies at or before it, and the near one 2·x. Nothing is to be had.
    assert gain(shapes, "feeder") == pytest.approx(0.0, abs=0.02)


def test_a_ring_halves_the_way_to_the_far_end(shapes: dict[str, Shape]) -> None:
    # 20 m of bus beside 20 m straight back: half the ohms.
    by_hand = TRAIN_A * 2.0 * PER_M * 10.0
    assert gain(shapes, "ring") == pytest.approx(by_hand, rel=0.05)


def test_a_star_feeds_the_far_leg_in_its_middle(shapes: dict[str, Shape]) -> None:
    # Feeder of 16.67 m and half a leg of 3.33 m: 20 m, as before; the near one has
    # 3.33 m of feeder and as much back: still less than the far one.
    assert gain(shapes, "star") == pytest.approx(0.0, abs=0.02)


def test_what_each_takes_to_buy_stands_beside_it(shapes: dict[str, Shape]) -> None:
    # Two wires of 20 m; 2.5 mm² · 8.89 g/cm³ are 22.2 g a metre.
    assert shapes["as it is"].metres == pytest.approx(40.0)
    assert shapes["as it is"].kg == pytest.approx(40.0 * 0.02222, rel=0.01)
    assert shapes["moved"].metres == pytest.approx(40.24)
    assert shapes["ring"].metres == pytest.approx(80.0)
    # Feeders of 3.33, 10 and 16.67 m beside the bus.
    assert shapes["star"].metres == pytest.approx(100.0)


def test_each_change_makes_what_was_tried(shapes: dict[str, Shape]) -> None:
    layout = shelf()
    change = shapes["moved"].change
    assert change is not None
    layout.apply(change)
    (again, *_) = try_shapes(layout, BUS)
    assert again.volts_v == pytest.approx(shapes["moved"].volts_v)
    assert layout.need(PartId("PB1"), Booster).x_mm == pytest.approx(10_000, abs=500)


def test_a_bus_that_is_fed_nowhere_has_its_own_figures_only() -> None:
    layout = shelf()
    loose = replace(layout.need(BUS, Bus), start=None)
    layout = Layout({**layout.parts, BUS: loose})
    assert trials_of(layout, BUS) == 0


def test_it_stops_where_it_is_told_to() -> None:
    asked = iter([True, True, False])
    found = list(try_shapes(shelf(), BUS, go_on=lambda: next(asked, False)))
    # The bus as it is, and the one place of the booster that was tried till then.
    assert [shape.kind for shape in found] == ["as it is", "moved"]


def test_it_makes_no_more_trials_than_it_says() -> None:
    asked: list[None] = []

    def go_on() -> bool:
        asked.append(None)
        return True

    list(try_shapes(shelf(), BUS, go_on=go_on))
    assert len(asked) <= trials_of(shelf(), BUS)
