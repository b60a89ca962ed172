"""Short chapters follow each other on one page where they fit."""

from msgspec.structs import replace

from core.sheet.frame import Box, Leaf, baseline, text_height
from core.sheet.marks import (
    INK,
    Circle,
    Line,
    Mark,
    Picture,
    Shape,
    Text,
)
from core.sheet.typeface import Typeface

_SIZE = 15.0
_ABOVE, _BELOW = 7.0, 2.0
_WIDEST_TITLE = 0.65
"""A page's title takes no more of its width than this. [1]"""


def join_leaves(
    before: Leaf, after: tuple[Leaf, ...], body: Box, typeface: Typeface
) -> Leaf | None:
    """Return a chapter set under the leaf before it; None where it does not fit.

    Only a chapter of one leaf moves up, whole, under its title as a heading.
    """
    if len(after) != 1 or before.foot is None or after[0].foot is None:
        return None
    (leaf,) = after
    title = f"{before.title}, {leaf.title}"
    if typeface.width(title, 17.0, bold=True) > _WIDEST_TITLE * body.width:
        return None
    top = before.foot + _ABOVE + text_height(_SIZE) + _BELOW
    foot = top + after[0].foot - body.top
    if foot > body.bottom + 1e-6:
        return None
    rule_y, head_y = before.foot + _ABOVE / 2.0, before.foot + _ABOVE
    head = Text(body.left, baseline(head_y, _SIZE), leaf.title, _SIZE, bold=True)
    rule = Line(((body.left, rule_y), (body.right, rule_y)), 0.6, INK)
    moved = (_lower(mark, top - body.top) for mark in leaf.marks)
    return Leaf(title, (*before.marks, rule, head, *moved), before.flag, foot)


def _lower(mark: Mark, by: float) -> Mark:
    """Return a mark further down the paper. [mm]"""
    match mark:
        case Line() | Shape():
            return replace(mark, points=tuple((x, y + by) for x, y in mark.points))
        case Circle() | Text():
            return replace(mark, y=mark.y + by)
        case Picture():
            left, top, right, bottom = mark.window
            return replace(
                mark, y=mark.y + by, window=(left, top + by, right, bottom + by)
            )
