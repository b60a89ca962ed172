"""W509: a bus in one piece over the edge of a lift-out, a gate or a board's joint."""

import pytest
from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.bus_over_edge import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Board, Bus, Opening, Point, ToPort
from tests.core.checks.gate import carried, gate, opening
from tests.core.checks.plank import find, find_one, mended

# The gate's edges lie across the track at x = 1600 and 2400 mm, to 150 mm beyond the
# middle of the track, which lies at y = 100. Its hinge is on the left.


def bus(*points: tuple[float, float], number: int = 1) -> Bus:
    return Bus(
        id=PartId(f"B{number}"),
        points=tuple(Point(x_mm=x, y_mm=y) for x, y in points),
        start=ToPort(part=PartId("PB1")),
    )


def across(use: str, y_mm: float = 40.0, **fields: object) -> Layout:
    """Return a bus from the left to the right of the section, beside the track."""
    changes = {"LO1": {"use": use, **fields}}
    return gate(bus((0.0, y_mm), (3900.0, y_mm)), changes=changes)


@pytest.mark.parametrize(
    ("use", "said", "plugs"),
    [
        ("lift-out", "it cannot be lifted out", "2 plugs"),
        ("gate", "it cannot be swung open", "1 plug"),
    ],
)
def test_fires_where_a_bus_runs_over_the_section(
    use: str, said: str, plugs: str
) -> None:
    found = find_one(RULE, across(use))
    assert found.severity is Severity.FAULT
    assert found.parts == ("LO1", "B1")
    assert found.sentence.endswith(f"in one piece: {said}.")
    assert plugs in found.figures
    assert "B1 2.40 m from its start, right side" in found.figures


def test_fires_once_for_two_buses_and_its_fix_puts_plugs_in() -> None:
    layout = across("lift-out")
    more = bus((0.0, 150.0), (2000.0, 150.0), number=2)
    layout = Layout({**layout.parts, more.id: more})
    found = find_one(RULE, layout)
    assert found.parts == ("LO1", "B1", "B2")
    better = mended(layout, found)
    assert better.need(PartId("LO1"), Opening).buses == "plugs"
    assert find(RULE, better) == []


@pytest.mark.parametrize("buses", ["plugs", "clear"])
def test_quiet_where_it_is_said_to_part_or_to_pass_clear(buses: str) -> None:
    assert find(RULE, across("lift-out", buses=buses)) == []


def test_quiet_about_a_loose_loop_at_the_hinge() -> None:
    # It ends on the section, at a strip or a drop: only the hinge's edge is crossed.
    layout = gate(bus((0.0, 40.0), (2000.0, 40.0)))
    assert find(RULE, layout) == []
    assert find(RULE, Layout({**layout.parts, **across("lift-out").parts})) != []


@pytest.mark.parametrize(("y_mm", "count"), [(-49.0, 1), (-51.0, 0)])
def test_quiet_beyond_the_edge(y_mm: float, count: int) -> None:
    assert len(find(RULE, across("lift-out", y_mm))) == count


@pytest.mark.parametrize(("y_mm", "count"), [(-590.0, 1), (-610.0, 0)])
def test_fires_over_the_whole_joint_of_two_boards_and_is_quiet_beyond(
    y_mm: float, count: int
) -> None:
    # Two boards, 700 mm from the track to their fronts, that meet at x = 2000 mm.
    boards = [
        Board(id=PartId(f"BD{n}"), x_mm=x, y_mm=-600.0, width_mm=2000.0, depth_mm=900.0)
        for n, x in ((1, 0.0), (2, 2000.0))
    ]
    joint = opening(carried(1, 2.0, 2.0), use="board joint")
    layout = gate(*boards, bus((0.0, y_mm), (3900.0, y_mm)))
    layout = Layout({**layout.parts, joint.id: joint})
    found = find(RULE, layout)
    assert len(found) == count
    assert all("the boards cannot be parted" in f.sentence for f in found)


def test_quiet_where_a_bus_only_runs_along_the_section() -> None:
    layout = gate(bus((1700.0, 40.0), (2300.0, 40.0)))
    assert find(RULE, layout) == []
    lift_out = replace(layout.need(PartId("LO1"), Opening), use="lift-out")
    assert find(RULE, Layout({**layout.parts, lift_out.id: lift_out})) == []
