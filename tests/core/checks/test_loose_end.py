"""W104: wire or device that hangs on nothing, or track ends that only touch."""

import msgspec
import pytest

from core.analysis.examine import study_layout
from core.analysis.study import Case
from core.checks.finding import Severity
from core.checks.rules.loose_end import RULE
from core.layout.ids import PartId
from core.layout.parts import Booster, Inline, RunEnd, ToPort, TrackJoint
from tests.core.checks.plank import (
    drop,
    find,
    find_one,
    mended,
    plank,
    straight,
    to_bus,
)
from tests.core.network.test_openings import over


def test_fires_for_a_drop_that_ends_nowhere() -> None:
    found = find_one(RULE, plank(changes={"D2": {"to": None}}))
    assert found.parts == ("D2",)
    assert "its lower end hangs free" in found.sentence


def test_fires_for_a_drop_whose_bus_is_gone() -> None:
    found = find_one(RULE, plank(changes={"D2": {"to": to_bus(0.5, "B9")}}))
    assert "B9 is not there" in found.sentence


def test_fires_once_for_a_whole_heap_of_dead_wiring() -> None:
    # The bus has no start: it, with both drops, is one heap.
    layout = plank(changes={"B1": {"start": None}})
    sentences = [f.sentence for f in find(RULE, layout)]
    assert sentences == ["No booster feeds B1 (bus).", "PB1 (booster) feeds nothing."]


def test_fires_for_a_breaker_that_nothing_feeds() -> None:
    breaker = Inline(id=PartId("CB1"), device="breaker", x_mm=0.0, y_mm=0.0)
    assert find_one(RULE, plank(breaker)).parts == ("CB1",)


def test_fires_for_a_booster_that_feeds_nothing() -> None:
    spare = Booster(id=PartId("PB2"), x_mm=0.0, y_mm=300.0)
    assert find_one(RULE, plank(spare)).parts == ("PB2",)


def test_fires_for_track_ends_that_touch_and_joins_them() -> None:
    # R2 begins 1 mm behind the end of R1.
    layout = plank(straight("R2", 0.5, x_mm=1801.0))
    found = find_one(RULE, layout)
    assert found.severity is Severity.ADVICE
    assert set(found.parts) == {"R1", "R2"}
    assert find(RULE, mended(layout, found)) == []


def test_quiet_for_track_ends_further_apart_than_a_joiner() -> None:
    assert find(RULE, plank(straight("R2", 0.5, x_mm=1803.0))) == []


def test_quiet_for_track_that_is_joined() -> None:
    ends = RunEnd(run=PartId("R1"), end="end"), RunEnd(run=PartId("R2"), end="start")
    joint = TrackJoint(id=PartId("J1"), a=ends[0], b=ends[1])
    assert find(RULE, plank(straight("R2", 0.5, x_mm=1800.0), joint)) == []


def test_quiet_behind_a_switch_that_is_open() -> None:
    switch = Inline(
        id=PartId("SW1"),
        device="switch",
        x_mm=0.0,
        y_mm=300.0,
        feed=ToPort(part=PartId("PB1")),
        closed=False,
    )
    spur = msgspec.structs.replace(straight("R2", 0.5, y_mm=500.0))
    fed = drop("D3", 0.2, 0.0, to=ToPort(part=PartId("SW1")))
    assert find(RULE, plank(switch, spur, fed)) == []


def test_quiet_for_a_bus_whose_far_end_is_free() -> None:
    assert find(RULE, plank()) == []


@pytest.mark.parametrize("opened", [(), ("LO1",)])
def test_quiet_about_a_bus_whose_plug_is_drawn(opened: tuple[str, ...]) -> None:
    case = Case(opened=frozenset(map(PartId, opened)))
    assert list(RULE.check(study_layout(over("plugs"), case))) == []
