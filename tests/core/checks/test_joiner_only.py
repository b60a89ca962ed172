"""W102: a piece of rail that only a joiner feeds."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.joiner_only import RULE
from core.layout.ids import PartId
from core.layout.parts import RunEnd, TrackJoint
from tests.core.checks.plank import drop, find, find_one, on, plank, straight


def test_fires_for_the_piece_without_a_drop() -> None:
    # D2 gone: the piece from 0.914 to 1.8 m hangs on the joiners at 0.914 m.
    found = find_one(RULE, plank(without=("D2",)))
    assert found.parts == ("R1",)
    assert found.severity is Severity.ADVICE
    assert found.place == on(pytest.approx((0.914 + 1.8) / 2))  # type: ignore[arg-type]
    assert "1 piece of Main has no drop" in found.sentence


def test_fires_where_only_one_rail_has_a_drop() -> None:
    layout = plank(changes={"D2": {"rails": "left"}})
    assert find_one(RULE, layout).parts == ("R1",)


def test_fires_once_a_run_however_many_pieces() -> None:
    # 4.5 m: joints at 0.914, 1.828, 2.742 and 3.656 m; only the first piece is fed.
    long = straight("R1", 4.5)
    found = find_one(
        RULE, plank(without=("D2",), changes={"R1": {"pieces": long.pieces}})
    )
    assert found.sentence.startswith("4 pieces of Main have no drop")


def test_fires_for_a_run_fed_from_its_neighbour() -> None:
    spur = straight("R2", 0.5, x_mm=1800.0)
    ends = RunEnd(run=PartId("R1"), end="end"), RunEnd(run=PartId("R2"), end="start")
    joint = TrackJoint(id=PartId("J1"), a=ends[0], b=ends[1])
    assert find_one(RULE, plank(spur, joint)).parts == ("R2",)


def test_quiet_where_the_joiner_is_soldered() -> None:
    layout = plank(without=("D2",), changes={"R1": {"joint": "soldered"}})
    assert find(RULE, layout) == []


def test_quiet_with_a_drop_on_the_last_centimetre_of_a_piece() -> None:
    layout = plank(drop("D3", 0.924, 0.9), without=("D2",))
    assert find(RULE, layout) == []
