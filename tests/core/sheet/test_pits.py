"""Turntables on the printed plan and on a page of their own."""

from math import hypot

import msgspec
import pytest

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Board, Part, Turntable
from core.sheet.frame import Leaf
from core.sheet.marks import INK, Line
from core.sheet.pages.pits import pit_leaves
from core.sheet.pages.plan import plan_leaves, underside_leaves
from core.sheet.schedules.pits import pit_words, stall_rows
from tests.core.checks.fed import device
from tests.core.checks.plank import study_of
from tests.core.checks.shed import feed, shed
from tests.core.sheet.boards import brief_of, texts
from tests.samples.build import build_sample

KEY = "turntable, split: its ring is cut"


def boarded(layout: Layout) -> Layout:
    """Return a shed on a board of 1.8 m all round the pit."""
    under = Board(id=PartId("BD1"), x_mm=-900, y_mm=-900, width_mm=1800, depth_mm=1800)
    return Layout({**layout.parts, under.id: under})


def plan_of(layout: Layout) -> Leaf:
    (leaf,) = plan_leaves(brief_of(boarded(layout)))
    return leaf


def the_table(layout: Layout) -> Turntable:
    (table,) = layout.of_kind(Turntable)
    return table


def said(layout: Layout) -> list[str]:
    """Return the words of the pages about pits."""
    return [t for leaf in pit_leaves(brief_of(layout)) for t in texts(leaf.marks)]


def bars(leaf: Leaf) -> list[Line]:
    """Return the bars at the cuts of a ring: 2 mm long, across it."""
    return [
        m
        for m in leaf.marks
        if isinstance(m, Line)
        and m.ink == INK
        and len(m.points) == 2
        and hypot(m.points[1][0] - m.points[0][0], m.points[1][1] - m.points[0][1])
        == pytest.approx(2.0)
    ]


def test_the_plan_names_it_numbers_its_stalls_and_marks_its_split() -> None:
    words = texts(plan_of(shed(30, 150)).marks)
    assert {"TT1", "1", "2", "split"} <= set(words)


def test_the_cuts_of_the_ring_lie_where_it_is_said() -> None:
    # Two bars a cut, 8 degrees to each side of it, at 0.82 of 150 mm: in all four
    # whose middle is the middle of the pit.
    leaf = plan_of(shed(30, 150, split_deg=70.0))
    found = bars(leaf)
    assert len(found) == 4
    x = sum(p[0] for bar in found for p in bar.points) / 8.0
    y = sum(p[1] for bar in found for p in bar.points) / 8.0
    rings = {
        round(hypot(bar.points[0][0] - x, bar.points[0][1] - y), 3) for bar in found
    }
    assert len(rings) == 1


@pytest.mark.parametrize("fields", [{"ring": "whole"}, {"form": "traverser"}])
def test_what_has_no_split_ring_shows_no_cut(fields: dict[str, str]) -> None:
    layout = shed(90)
    (table,) = layout.of_kind(Turntable)
    parts: dict[PartId, Part] = dict(layout.parts)
    parts[table.id] = msgspec.structs.replace(table, **fields)
    leaf = plan_of(Layout(parts))
    assert bars(leaf) == []
    assert "split" not in texts(leaf.marks)


def test_the_key_has_it_where_there_is_one_and_only_from_above() -> None:
    assert KEY in texts(plan_of(shed(30)).marks)
    without = shed(30, without=["TT1"])
    assert KEY not in texts(plan_of(without).marks)
    for leaf in underside_leaves(brief_of(boarded(shed(30)))):
        assert KEY not in texts(leaf.marks)


# The table: split at 90 and 270 degrees, A left of every stall.


def test_which_rail_is_which_at_each_stall() -> None:
    layout = shed(20, 160, 200)
    rows = stall_rows(study_of(layout), the_table(layout))
    assert [(r.number, r.track) for r in rows] == [
        (1, "Shed 1"),
        (2, "Shed 2"),
        (3, "Shed 3"),
    ]
    assert [r.angle_deg for r in rows] == pytest.approx([20.0, 160.0, 200.0])
    assert [(r.stall_a, r.bridge_a, r.fit) for r in rows] == [
        ("left", ("left",), "agrees"),
        ("left", ("left",), "agrees"),
        ("left", ("right",), "reversed"),
    ]


def test_a_plain_bridge_is_the_other_way_with_its_other_end() -> None:
    layout = shed(20, ring="whole")
    (row,) = stall_rows(study_of(layout), the_table(layout))
    assert set(row.bridge_a) == {"left", "right"}
    assert row.fit == "one way round reversed"


def test_a_reverser_turns_it() -> None:
    parts: list[Part] = [device("AR1"), feed(1, "AR1")]
    layout = shed(20, more=parts, ring="whole")
    (row,) = stall_rows(study_of(layout), the_table(layout))
    assert row.fit == "a reverser turns it"


def test_a_stall_without_power_says_so() -> None:
    layout = shed(20, without=["D2"])
    (row,) = stall_rows(study_of(layout), the_table(layout))
    assert (row.stall_a, row.bridge_a, row.fit) == (None, (), "")
    words = said(layout)
    assert words.count("no power") == 2


def test_the_page_says_where_the_ring_is_cut_and_what_feeds_the_bridge() -> None:
    words = " ".join(said(shed(20)))
    assert "Ring cut at 90° and 270°" in words
    assert "lies along 0° and 180°" in words
    assert "Fed by D1." in words


def test_a_traverser_has_no_ring_in_its_words() -> None:
    assert "does not turn" in pit_words(the_table(shed(90, form="traverser")))


def test_without_a_pit_there_is_no_page() -> None:
    assert pit_leaves(brief_of(shed(20, without=["TT1"]))) == ()


def test_the_faults_of_the_sample_stand_in_its_table() -> None:
    layout = build_sample("lorrimoor-shed-faults")
    study = study_of(layout)
    found = {
        table.id: [r.number for r in stall_rows(study, table) if r.fit == "reversed"]
        for table in layout.of_kind(Turntable)
    }
    assert found == {"TT1": [5], "TT2": [3]}


def test_angles_are_rounded_alike() -> None:
    # arctan(2) = 63.4349 degrees: cut there, the poles change over square to it, at
    # 153.4349 and 333.4349; the stall is at arctan(1/2) = 26.5651.
    words = " ".join(said(shed(26.56505, split_deg=63.4349488)))
    assert "Ring cut at 63.4° and 243.4°" in words
    assert "lies along 153.4° and 333.4°" in words
    assert "26.6°" in words
