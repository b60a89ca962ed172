"""Openings follow their runs, and find them on the plan."""

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.edits.move import move_parts
from core.layout.edits.opening import add_opening, set_contact
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields
from core.layout.edits.shape import extend_run, reverse_run, set_pieces, split_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import edge_lines, edges_of, holds
from core.layout.parts import Opening, Point, Straight
from core.layout.queries import part_name, uses_of
from core.layout.storage.text import parse_layout
from tests.core.checks.gate import carried, gate, opening, switch
from tests.core.network.track import end, joint, layout_of, on, run

LO1 = PartId("LO1")


def two_tracks() -> Layout:
    """Two straights of 4 m, at y = 100 and y = 200 mm; the second drawn backwards."""
    second = replace(run(2, 4.0), x_mm=4000.0, heading_deg=180.0)
    return layout_of(run(1, 4.0), second)


def stretches(layout: Layout) -> list[tuple[str, float, float]]:
    carries = layout.need(LO1, Opening).carries
    return [(c.run, round(c.from_m, 6), round(c.to_m, 6)) for c in carries]


def test_a_box_carries_the_track_inside() -> None:
    layout = two_tracks()
    at, to = Point(x_mm=1000.0, y_mm=0.0), Point(x_mm=1800.0, y_mm=300.0)
    layout.apply(add_opening(layout, at, to))
    # Seen from the right-hand start of R2: 4.0 − 1.8 = 2.2 to 4.0 − 1.0 = 3.0 m.
    assert stretches(layout) == [("R1", 1.0, 1.8), ("R2", 2.2, 3.0)]
    assert layout.need(LO1, Opening).use == "lift-out"


def test_a_line_is_a_board_joint() -> None:
    layout = two_tracks()
    at, to = Point(x_mm=1500.0, y_mm=0.0), Point(x_mm=1505.0, y_mm=150.0)
    layout.apply(add_opening(layout, at, to))
    # It crosses R1 at y = 100, two thirds of the way: x = 1503.3 mm. R2 it misses.
    assert stretches(layout) == [("R1", 1.503, 1.503)]
    assert layout.need(LO1, Opening).use == "board joint"


def test_a_box_beside_the_track_is_refused() -> None:
    with pytest.raises(EditError, match="No track lies in it"):
        add_opening(two_tracks(), Point(x_mm=0, y_mm=500), Point(x_mm=900, y_mm=900))


def test_both_ends_of_each_stretch_are_edges_and_know_the_way_out() -> None:
    layout = gate()
    found = edges_of(layout, layout.need(LO1, Opening))
    assert [(e.position_m, e.facing) for e in found] == [(1.6, -1), (2.4, 1)]


def test_an_end_of_track_on_the_section_is_no_edge() -> None:
    spur = layout_of(run(1, 4.0), opening(carried(1, 3.2, 4.0)))
    (edge,) = edges_of(spur, spur.need(LO1, Opening))
    assert (edge.position_m, edge.facing) == (3.2, -1)


def test_a_joint_at_the_edge_is_one() -> None:
    joined = layout_of(
        run(1, 4.0),
        run(2, 1.0),
        joint(1, end(1, "end"), end(2, "start")),
        opening(carried(1, 3.2, 4.0)),
    )
    found = edges_of(joined, joined.need(LO1, Opening))
    assert [(e.position_m, e.facing) for e in found] == [(3.2, -1), (4.0, 1)]


def test_it_holds_what_lies_on_it() -> None:
    gated = opening(carried(1, 1.6, 2.4))
    held = [m for m in (1.5, 1.7, 2.4, 2.5) if holds(gated, on(1, m))]
    assert held == [1.7, 2.4]


def test_the_lines_of_its_edges_go_through_all_tracks() -> None:
    layout = two_tracks()
    at, to = Point(x_mm=1000.0, y_mm=0.0), Point(x_mm=1800.0, y_mm=300.0)
    layout.apply(add_opening(layout, at, to))
    lines = {s: (a, b) for s, a, b in edge_lines(layout, layout.need(LO1, Opening), 50)}
    assert set(lines) == {"left", "right"}
    for side, x in (("left", 1000.0), ("right", 1800.0)):
        ys = sorted(point[1] for point in lines[side])  # type: ignore[index]
        xs = [point[0] for point in lines[side]]  # type: ignore[index]
        assert ys == pytest.approx([50.0, 250.0])
        assert xs == pytest.approx([x, x], abs=1.0)


def test_split_inside_it_carries_both_halves() -> None:
    layout = gate()
    layout.apply(split_run(layout, on(1, 2.0)))
    assert stretches(layout) == [("R1", 1.6, 2.0), ("R2", 0.0, 0.4)]
    edges = edges_of(layout, layout.need(LO1, Opening))
    assert [(e.run, round(e.position_m, 6)) for e in edges] == [
        ("R1", 1.6),
        ("R2", 0.4),
    ]


def test_split_before_it_carries_the_new_track() -> None:
    layout = gate()
    layout.apply(split_run(layout, on(1, 1.0)))
    assert stretches(layout) == [("R2", 0.6, 1.4)]


def test_drawn_the_other_way_it_stays_where_it_is() -> None:
    layout = gate()
    layout.apply(reverse_run(layout, PartId("R1")))
    assert stretches(layout) == [("R1", 1.6, 2.4)]
    layout = layout_of(run(1, 4.0), opening(carried(1, 0.5, 1.0)))
    layout.apply(reverse_run(layout, PartId("R1")))
    assert stretches(layout) == [("R1", 3.0, 3.5)]


def test_track_put_on_before_its_start_shifts_it() -> None:
    layout = gate()
    more = (Straight(length_mm=500.0),)
    layout.apply(extend_run(layout, PartId("R1"), more, at="start"))
    assert stretches(layout) == [("R1", 2.1, 2.9)]


def test_track_cut_short_takes_its_share() -> None:
    layout = gate()
    layout.apply(set_pieces(layout, PartId("R1"), (Straight(length_mm=2000.0),)))
    assert stretches(layout) == [("R1", 1.6, 2.0)]
    layout.apply(set_pieces(layout, PartId("R1"), (Straight(length_mm=1000.0),)))
    assert layout.get(LO1, Opening) is None


def test_it_slides_along_its_track() -> None:
    layout = gate()
    layout.apply(move_parts(layout, frozenset({LO1}), 300.0, 20.0))
    assert stretches(layout) == [("R1", 1.9, 2.7)]


def test_moved_with_its_track_it_stays_on_it() -> None:
    layout = gate()
    layout.apply(move_parts(layout, frozenset({LO1, PartId("R1")}), 300.0, 0.0))
    assert stretches(layout) == [("R1", 1.6, 2.4)]


def test_it_goes_with_the_last_of_its_tracks() -> None:
    layout = layout_of(
        run(1, 4.0), run(2, 4.0), opening(carried(1, 1.0, 2.0), carried(2, 1.0, 2.0))
    )
    layout.apply(remove_parts(layout, frozenset({PartId("R1")})))
    assert stretches(layout) == [("R2", 1.0, 2.0)]
    layout.apply(remove_parts(layout, frozenset({PartId("R2")})))
    assert layout.get(LO1, Opening) is None


def test_it_lets_go_of_a_contact_that_is_deleted() -> None:
    layout = gate()
    layout.apply(remove_parts(layout, frozenset({PartId("SW1")})))
    assert layout.need(LO1, Opening).contact is None


def test_only_a_switch_opens_with_it() -> None:
    layout = gate(switch("CB1", device="breaker"))
    with pytest.raises(EditError, match="CB1 is no switch"):
        set_contact(layout, LO1, PartId("CB1"))
    with pytest.raises(EditError, match="off"):
        set_fields(layout, frozenset({LO1}), carries=(carried(1, 3.0, 9.0),))


def test_it_has_a_name_and_names_what_it_needs() -> None:
    layout = gate()
    assert part_name(layout, LO1) == "LO1 (gate)"
    assert uses_of(layout, PartId("R1"))[0].id == "LO1"
    assert "LO1" in {part.id for part in uses_of(layout, PartId("SW1"))}


FILE = """{"format": "feederwright-layout", "version": 1, "parts": [
{"kind": "run", "id": "R1", "x_mm": 0, "y_mm": 0, "heading_deg": 0,
 "pieces": [{"piece": "straight", "length_mm": 2000}]},
{"kind": "opening", "id": "LO1", "contact": "SW9",
 "carries": [{"run": "R1", "from_m": 1.5, "to_m": 2.5},
             {"run": "R7", "from_m": 0, "to_m": 1}]}]}"""


def test_a_file_with_a_torn_opening_is_mended() -> None:
    layout, report = parse_layout(FILE.encode(), "x")
    assert stretches(layout) == [("R1", 1.5, 2.0)]
    assert layout.need(LO1, Opening).contact is None
    assert not report.is_clean
