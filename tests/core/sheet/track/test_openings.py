"""Lift-outs and gates on paper: the list, the mark, the key."""

import pytest

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.sheet.drawing.opening import PIN
from core.sheet.marks import Circle
from core.sheet.pages.plan import plan_leaves
from core.sheet.pages.track.openings import opening_leaves
from core.sheet.schedules.power import bus_rows
from core.sheet.schedules.track.openings import OpeningRow, opening_rows
from tests.core.checks.gate import carried, gate, opening
from tests.core.network.test_openings import over
from tests.core.network.track import layout_of, run
from tests.core.sheet.boards import brief_of, texts


def row(layout: Layout) -> OpeningRow:
    (only,) = opening_rows(study_layout(layout))
    return only


def words(layout: Layout) -> str:
    (leaf,) = opening_leaves(brief_of(layout))
    return " ".join(texts(leaf.marks))


def test_the_row_says_what_the_jumper_and_the_plug_need() -> None:
    # D2 alone is on the section; PB1 trips at 5 A, so a plug must stand 5 A.
    found = row(gate())
    assert found.drops == ("D2",)
    assert found.plug_a == 5.0
    assert abs(found.longest_m - 0.8) < 1e-9
    assert found.live == ()


def test_the_page_tells_switch_dead_track_and_the_danger() -> None:
    told = words(gate())
    assert "drops trains on the floor" in told
    assert "1 pair, left side: D2" in told
    assert "SW1 opens with it" in told
    assert "dead for 900 mm on the left and right side" in told
    assert "LIVE" not in told


def test_a_live_side_and_a_missing_jumper_stand_out() -> None:
    told = words(gate(without=("D2", "G2", "D3")))
    assert "NO DROP" in told
    assert "LIVE right side, 0 to 900 mm" in told


def test_without_a_switch_it_says_so() -> None:
    assert "NO SWITCH" in words(gate(changes={"LO1": {"contact": None}}))


@pytest.mark.parametrize(
    ("buses", "said"),
    [
        ("whole", "▲ IN ONE PIECE: B1, 2.400 m along"),
        ("plugs", "plug in B1, 2.400 m along, right side"),
        ("clear", "clear of it: B1, 2.400 m along"),
    ],
)
def test_the_page_tells_how_a_bus_gets_over_an_edge(buses: str, said: str) -> None:
    # From x = 0 along the track; the edges lie at 1.6 m, the hinge, and 2.4 m.
    assert said in words(over(buses, "gate"))


def test_a_plug_stands_among_the_taps_of_its_bus() -> None:
    (found,) = bus_rows(over("plugs", "gate"))
    assert [t.position_m for t in found.taps if t.kind == "plug"] == [2.4]
    assert any(t.what.startswith("plug at the edge of LO1") for t in found.taps)


def test_no_opening_no_page() -> None:
    assert opening_leaves(brief_of(gate(without=("LO1",)))) == ()


def test_the_plan_shows_the_hinge_by_two_pins_and_the_name() -> None:
    pins = {
        without: sum(
            isinstance(mark, Circle) and mark.radius == PIN
            for leaf in plan_leaves(brief_of(layout))
            for mark in leaf.marks
        )
        for without, layout in (("", gate()), ("LO1", gate(without=("LO1",))))
    }
    assert pins[""] > pins["LO1"]
    told = " ".join(
        text for leaf in plan_leaves(brief_of(gate())) for text in texts(leaf.marks)
    )
    assert "LO1: gate" in told
    assert "opening: hinge side" in told


def test_a_board_joint_asks_for_plugs_in_the_buses() -> None:
    parted = layout_of(run(1, 4.0), opening(carried(1, 2.0, 2.0), use="board joint"))
    assert parted.parts[PartId("LO1")] is not None
    assert "a plug in each bus that crosses" in words(parted)
