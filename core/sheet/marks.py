"""What a page is made of: five kinds of mark, in millimetres of paper.

The origin is the top left corner of the paper, x to the right, y down. A page is
a tuple of marks in drawing order. The screen and the PDF are two short loops over
the same marks; neither decides anything. Sizes of type are in points, as
everywhere in print; all else is in millimetres.

There are a hundred thousand marks in a large sheet: they are msgspec records, made
faster than dataclasses, and no work for the garbage collector.
"""

from dataclasses import dataclass
from typing import Literal

from msgspec import Struct

XY = tuple[float, float]
Anchor = Literal["start", "middle", "end"]

POINT_MM = 25.4 / 72.0
"""One typographic point. [mm]"""

INK = "#111111"
"""Text and whatever matters."""

SOFT = "#5a5a5a"
"""What may be read second; still 6:1 against white paper."""

FAINT = "#a8a8a8"
"""Rules and hidden things."""

GRID = "#dcdcdc"
"""Grids: just there."""

TINT = "#efefef"
"""Grounds behind black text."""

WHITE = "#ffffff"
"""Paper."""


class Line(Struct, frozen=True, gc=False):
    """A stroke through points, with butt ends and round corners.

    Attributes
    ----------
    points : tuple of XY
        At least two. [mm]
    width : float
        Weight of the stroke. [mm]
    ink : str
        Colour, "#rrggbb".
    dash : tuple of float
        Lengths on, off, on … along it; empty: solid. [mm]
    closed : bool
        Whether the last point is joined to the first.
    """

    points: tuple[XY, ...]
    width: float = 0.25
    ink: str = INK
    dash: tuple[float, ...] = ()
    closed: bool = False


class Shape(Struct, frozen=True, gc=False):
    """A filled polygon without an edge. [mm]"""

    points: tuple[XY, ...]
    fill: str = INK


class Circle(Struct, frozen=True, gc=False):
    """A circle; `fill` None leaves it open, `width` 0 leaves the edge out. [mm]"""

    x: float
    y: float
    radius: float
    fill: str | None = None
    ink: str = INK
    width: float = 0.25


class Text(Struct, frozen=True, gc=False):
    """One line of text in the sheet's own typeface, without kerning.

    Letters stand in reading order; a painter that does not turn right-to-left
    scripts round by itself asks `core.sheet.scripts.paper_order`.

    Attributes
    ----------
    x, y : float
        The point on the baseline that `anchor` names. [mm]
    text : str
        What it says.
    size : float
        Size of type. [pt]
    anchor : "start", "middle" or "end"
        Which point of the line lies at x, y.
    rotation : float
        Counter-clockwise on the paper, about x, y. [deg]
    bold : bool
        Whether the bold cut is used.
    ink : str
        Colour.
    """

    x: float
    y: float
    text: str
    size: float = 11.0
    anchor: Anchor = "start"
    rotation: float = 0.0
    bold: bool = False
    ink: str = INK


class Picture(Struct, frozen=True, gc=False):
    """A picture stretched over a box, seen through a window. [mm]

    Attributes
    ----------
    x, y, width, height : float
        The box of the whole picture.
    data : bytes
        The picture as a PNG or JPEG file.
    window : tuple of float
        Left, top, right, bottom: only what lies inside is drawn.
    opacity : float
        0 (not there) to 1. [1]
    """

    x: float
    y: float
    width: float
    height: float
    data: bytes
    window: tuple[float, float, float, float]
    opacity: float = 1.0


Mark = Line | Shape | Circle | Text | Picture


@dataclass(frozen=True, slots=True)
class Page:
    """One side of paper.

    Attributes
    ----------
    title : str
        What it is, for bookmarks and progress.
    width, height : float
        Size of the paper. [mm]
    marks : tuple of Mark
        In drawing order.
    """

    title: str
    width: float
    height: float
    marks: tuple[Mark, ...]


def box(x: float, y: float, width: float, height: float) -> tuple[XY, ...]:
    """Return the corners of an upright rectangle. [mm]"""
    return (x, y), (x + width, y), (x + width, y + height), (x, y + height)
