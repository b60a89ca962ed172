"""The key under a plan keeps clear of the scale bar, whatever there is to tell."""

from itertools import combinations

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Board,
    Conductor,
    Joist,
    Part,
    Settings,
    Straight,
    Turntable,
)
from core.sheet.frame import Box, body_of
from core.sheet.marks import POINT_MM, Circle, Line, Mark, Shape, Text
from core.sheet.pages.plan import plan_leaves, underside_leaves
from core.sheet.typeface import Typeface
from tests.core.checks.gate import carried, opening
from tests.core.network.cross import across, crossing, drop
from tests.core.sheet.boards import brief_of

FACE = Typeface()
LONG = Conductor(name="A", colour="transparent violet")


def everything(**settings: object) -> Layout:
    """Return tracks with a crossing, a pit and an opening, on a board."""
    bridge = replace(
        across(3, 0.0), x_mm=600.0, y_mm=-300.0, pieces=(Straight(length_mm=300),)
    )
    pit = Turntable(
        id=PartId("TT1"), x_mm=750, y_mm=-300, across_mm=300, bridge=bridge.id
    )
    parts: list[Part] = [
        replace(Settings(), **settings),
        Board(id=PartId("BD1"), x_mm=-1100, y_mm=-600, width_mm=2200, depth_mm=1200),
        Joist(id=PartId("JS1"), x1_mm=0, y1_mm=-600, x2_mm=0, y2_mm=600),
        across(1, 0.0),
        across(2, 20.0),
        bridge,
        pit,
        crossing("insulated"),
        opening(carried(1, 0.3, 0.6)),
        drop(1, 1, 0.1),
    ]
    return Layout({part.id: part for part in parts})


def box_of(mark: Mark) -> Box:
    """Return what a mark covers; words as high as capitals. [mm]"""
    if isinstance(mark, Text):
        wide = FACE.width(mark.text, mark.size, bold=mark.bold)
        left = mark.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
        # Capitals of the typeface are 0.73 of the size high (its own table says so).
        return Box(left, mark.y - 0.73 * mark.size * POINT_MM, left + wide, mark.y)
    if isinstance(mark, Circle):
        r = mark.radius
        return Box(mark.x - r, mark.y - r, mark.x + r, mark.y + r)
    assert isinstance(mark, Line | Shape)
    rim = mark.width / 2.0 if isinstance(mark, Line) else 0.0
    xs, ys = zip(*mark.points, strict=True)
    return Box(min(xs) - rim, min(ys) - rim, max(xs) + rim, max(ys) + rim)


def meet(one: Box, other: Box) -> bool:
    return (
        one.left < other.right - 0.05
        and other.left < one.right - 0.05
        and one.top < other.bottom - 0.05
        and other.top < one.bottom - 0.05
    )


def assert_caption_is_clear(marks: tuple[Mark, ...], body: Box) -> None:
    """Nothing crosses the scale bar; no words touch words, or the drawing."""
    bold = [m for m in marks if isinstance(m, Text) and "   1:" in m.text]
    (words,) = bold
    bar = Box(body.left, box_of(words).top, box_of(words).right, words.y)
    ticks = [m for m in marks if isinstance(m, Line) and m.width in (0.25, 0.4, 1.6)]
    inside = [
        m for m in marks if m is not words and m not in ticks and meet(box_of(m), bar)
    ]
    assert inside == []
    low = [m for m in marks if isinstance(m, Text) and m.y > body.bottom - 13.0]
    told = [m for m in low if m.size >= 8.5]
    assert len(told) > 4
    for one, other in combinations(told, 2):
        assert not meet(box_of(one), box_of(other)), (one.text, other.text)
    for line in told:
        assert box_of(line).left >= body.left
        assert box_of(line).right <= body.right + 0.05
    signs = [m for m in marks if isinstance(m, Circle | Shape)]
    for sign in signs:
        hit = [t.text for t in told if meet(box_of(sign), box_of(t))]
        assert hit == [], hit


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("lengths", ["m", "ft"])
def test_with_all_there_is_to_tell_the_key_keeps_off_the_scale_bar(
    paper: str, lengths: str
) -> None:
    layout = everything(paper=paper, lengths=lengths)
    body = body_of(layout.settings.paper)
    above = list(plan_leaves(brief_of(layout)))
    told = {m.text for m in above[0].marks if isinstance(m, Text)}
    assert {"opening: hinge side", "crossing, live or dead"} <= told
    for leaf in (*above, *underside_leaves(brief_of(layout))):
        assert_caption_is_clear(leaf.marks, body)


@pytest.mark.parametrize("scale", [5.0, 10.0, 50.0])
def test_so_it_does_at_every_scale_and_with_long_colours(scale: float) -> None:
    layout = everything(conductor_a=LONG, conductor_b=replace(LONG, name="B"))
    body = body_of("a4")
    for leaf in (
        *plan_leaves(brief_of(layout, plan_scale=scale)),
        *underside_leaves(brief_of(layout, plan_scale=scale)),
    ):
        assert_caption_is_clear(leaf.marks, body)
