"""W204: a wire that the standing loads load beyond its rating."""

from core.checks.finding import Severity
from core.checks.rules.hot_wire import RULE
from core.layout.ids import PartId
from core.layout.parts import Load
from tests.core.checks.fed import booster, layout_with, lead
from tests.core.checks.plank import find, find_one, on, plank
from tests.core.network.track import layout_of, run
from tests.core.network.track import on as on_run

# A lamp right at D2 with D1 gone: all its current runs through D2.
THIN = {"D2": {"wire": "0.14mm2-hookup"}}


def lamp(amps: float) -> Load:
    return Load(id=PartId("L1"), on=on(1.4), use="standing", amps_a=amps)


def test_fires_above_the_rating() -> None:
    # 0.14 mm² carries 1.5 A (hobby press, see the wire table).
    found = find_one(RULE, plank(lamp(1.6), without=("D1",), changes=THIN))
    assert found.severity is Severity.HAZARD
    assert found.parts == ("D2",)
    assert "1.60 A > 1.50 A" in found.figures


def test_quiet_just_below_the_rating() -> None:
    assert find(RULE, plank(lamp(1.49), without=("D1",), changes=THIN)) == []


def test_quiet_where_a_short_makes_the_figures_meaningless() -> None:
    crossed = {"D2": {"wire": "0.14mm2-hookup", "a_rail": "right"}}
    assert find(RULE, plank(lamp(1.6), changes=crossed)) == []


def test_fires_beside_another_booster_that_is_shorted() -> None:
    # What one booster's short makes meaningless says nothing of the other's track.
    extra = layout_with(
        layout_of(run(1, 2.0), run(2, 2.0)),
        booster(1),
        booster(2),
        lead(1, on_run(1, 1.0)),
        Load(id=PartId("L1"), on=on_run(1, 1.5), use="standing", amps_a=6.0),
        lead(2, on_run(2, 0.5), "PB2"),
        lead(3, on_run(2, 1.5), "PB2", "right"),
    )
    found = find_one(RULE, extra)
    assert found.parts == ("D1",)
    assert "6.00 A > 5.00 A" in found.figures
