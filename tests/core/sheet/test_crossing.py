"""Diamonds and slips on the printed plan: a lozenge, filled or hollow signs, a key."""

from math import hypot

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Board, Crossing, Part, Settings
from core.sheet.frame import Leaf
from core.sheet.marks import INK, WHITE, XY, Circle, Line, Shape
from core.sheet.pages.plan import plan_leaves, underside_leaves
from tests.core.network.cross import across, crossing
from tests.core.sheet.boards import brief_of, texts


def laid(made: Crossing | None) -> Layout:
    parts: list[Part] = [
        Settings(scale="HO"),
        Board(id=PartId("BD1"), x_mm=-1100, y_mm=-500, width_mm=2200, depth_mm=1000),
        across(1, 0.0),
        across(2, 20.0),
        *([made] if made is not None else []),
    ]
    return Layout({part.id: part for part in parts})


def plan_of(made: Crossing | None) -> Leaf:
    (leaf,) = plan_leaves(brief_of(laid(made)))
    return leaf


def noses(leaf: Leaf, *, key: bool = False) -> list[str]:
    """Return the fills of the triangles on the drawing, or in the key below it."""
    return [
        mark.fill
        for mark in leaf.marks
        if isinstance(mark, Shape)
        and len(mark.points) == 3
        and (mark.points[0][1] > 180.0) == key
    ]


@pytest.mark.parametrize(
    ("made", "fills"),
    [
        (crossing("insulated"), [WHITE, WHITE]),
        (crossing("switched"), [INK, INK]),
        (crossing("uncut"), [INK, INK]),
    ],
)
def test_acute_crossings_are_filled_where_live_and_hollow_where_dead(
    made: Crossing, fills: list[str]
) -> None:
    assert noses(plan_of(made)) == fills


@pytest.mark.parametrize(("obtuse", "fill"), [("joined", INK), ("dead", WHITE)])
def test_so_are_the_obtuse_ones(obtuse: str, fill: str) -> None:
    made = replace(crossing("switched"), obtuse=obtuse)
    dots = [m for m in plan_of(made).marks if isinstance(m, Circle) and m.radius == 0.4]
    assert [dot.fill for dot in dots] == [fill, fill]


def test_it_is_named_and_says_how_many_contacts_it_needs() -> None:
    words = said(plan_of(replace(crossing("switched"), name="Wharf")))
    assert any("X1" in text and "Wharf" in text for text in words)
    assert "2 contacts" in words
    assert not any("contacts" in text for text in said(plan_of(crossing())))


@pytest.mark.parametrize(
    ("shape", "roads"), [("diamond", 0), ("single slip", 1), ("double slip", 2)]
)
def test_slip_roads_are_drawn(shape: str, roads: int) -> None:
    def curves(leaf: Leaf) -> int:
        return sum(
            isinstance(m, Line) and m.width == 0.45 and len(m.points) == 9
            for m in leaf.marks
        )

    assert curves(plan_of(replace(crossing(), shape=shape))) == roads


def test_the_lozenge_reaches_from_one_acute_crossing_to_the_other() -> None:
    leaf = plan_of(crossing())
    tips = [
        m.points[0] for m in leaf.marks if isinstance(m, Shape) and len(m.points) == 3
    ][:2]
    rings = [m for m in leaf.marks if isinstance(m, Shape) and len(m.points) == 4]
    found = [ring for ring in rings if all(near(ring, tip) for tip in tips)]
    assert [ring.fill for ring in found] == [WHITE]


def near(ring: Shape, tip: XY) -> bool:
    """Return whether a corner of a shape lies on a point."""
    return any(hypot(x - tip[0], y - tip[1]) < 1e-6 for x, y in ring.points)


def said(leaf: Leaf) -> list[str]:
    return texts(leaf.marks)


def test_the_key_has_it_where_there_is_one_and_only_from_above() -> None:
    assert "crossing, live or dead" in said(plan_of(crossing()))
    assert noses(plan_of(crossing()), key=True) == [INK, WHITE]
    assert "crossing, live or dead" not in said(plan_of(None))
    for leaf in underside_leaves(brief_of(laid(crossing()))):
        assert "crossing, live or dead" not in said(leaf)
