"""From plan millimetres to paper: scale, mirror, turn, tiles."""

from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from core.layout.parts import Edge
from core.sheet.drawing.clipping import clip_line, clip_shape
from core.sheet.frame import Box
from core.sheet.marks import XY, Line, Shape

Region = tuple[float, float, float, float]
"""x0, y0, x1, y1 in plan. [mm]"""

SCALES: dict[Literal["m", "ft"], tuple[float, ...]] = {
    "m": (1, 2, 2.5, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500),
    "ft": (1, 2, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 384, 768, 1536),
}
"""Scales that a rule can be laid on: round metres, or round inches to the foot."""

OVERLAP = 8.0
"""What neighbouring tiles show both. [mm of paper]"""

_DOWN: dict[Edge, XY] = {
    "front": (0.0, -1.0),
    "back": (0.0, 1.0),
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class View:
    """How a part of the plan lies on a sheet of paper.

    Attributes
    ----------
    scale : float
        Plan over paper, such as 10 for 1:10. [1]
    mirrored : bool
        Whether it is seen from below: left and right change places.
    down : Edge
        The plan edge that is at the foot of the page.
    window : Box
        The paper that the plan may be drawn on.
    right, up : XY
        Plan directions that run to the right and up on the paper.
    x, y : float
        Where the plan's zero lies on the paper. [mm]
    """

    scale: float
    mirrored: bool
    down: Edge
    window: Box
    right: XY
    up: XY
    x: float
    y: float

    def at(self, x_mm: float, y_mm: float) -> XY:
        """Return where a point of the plan lies on the paper. [mm]"""
        along = x_mm * self.right[0] + y_mm * self.right[1]
        away = x_mm * self.up[0] + y_mm * self.up[1]
        return self.x + along / self.scale, self.y - away / self.scale

    def shows(self, x_mm: float, y_mm: float) -> bool:
        """Return whether a point of the plan lies in the window."""
        x, y = self.at(x_mm, y_mm)
        w = self.window
        return w.left <= x <= w.right and w.top <= y <= w.bottom

    def cut_to(self, region: Region, rim: float) -> "View":
        """Return the same view, its window cut to a region of the plan and a rim."""
        x0, y0, x1, y1 = _extent(self, region)
        w = self.window
        window = Box(
            max(w.left, x0 - rim),
            max(w.top, y0 - rim),
            min(w.right, x1 + rim),
            min(w.bottom, y1 + rim),
        )
        return replace(self, window=window)

    def region(self, rim: float) -> Region:
        """Return the part of the plan that the window shows, and a rim. [mm]"""
        w = self.window.inset(-rim)
        ends = [self._back(w.left, w.top), self._back(w.right, w.bottom)]
        xs, ys = [e[0] for e in ends], [e[1] for e in ends]
        return min(xs), min(ys), max(xs), max(ys)

    def _back(self, x: float, y: float) -> XY:
        along, away = (x - self.x) * self.scale, (self.y - y) * self.scale
        return (
            along * self.right[0] + away * self.up[0],
            along * self.right[1] + away * self.up[1],
        )

    def direction(self, dx: float, dy: float) -> XY:
        """Return how a plan direction runs on the paper (y down). [1]"""
        return (
            dx * self.right[0] + dy * self.right[1],
            -(dx * self.up[0] + dy * self.up[1]),
        )

    def lines(
        self,
        points: tuple[XY, ...],
        width: float,
        ink: str,
        dash: tuple[float, ...] = (),
    ) -> list[Line]:
        """Return what the window shows of a line given in paper millimetres."""
        return [Line(p, width, ink, dash) for p in clip_line(points, self.window)]

    def shapes(self, points: tuple[XY, ...], fill: str) -> list[Shape]:
        """Return what the window shows of a shape given in paper millimetres."""
        left = clip_shape(points, self.window)
        return [Shape(left, fill)] if len(left) > 2 else []


def whole_view(
    region: Region,
    window: Box,
    scale: float,
    *,
    mirrored: bool = False,
    down: Edge = "front",
) -> View:
    """Return a view with a region of the plan in the middle of a window.

    Parameters
    ----------
    region : Region
        What is to be shown. [mm of plan]
    window : Box
        Where. [mm of paper]
    scale : float
        Plan over paper. [1]
    mirrored : bool
        Seen from below: what is at x' from the one edge then lies at W − x' on
        the paper.
    down : Edge
        The edge that lies towards the reader.
    """
    right, up = _axes(down, mirrored=mirrored)
    bare = View(scale, mirrored, down, window, right, up, 0.0, 0.0)
    x0, y0, x1, y1 = _extent(bare, region)
    dx = (window.left + window.right - x0 - x1) / 2.0
    dy = (window.top + window.bottom - y0 - y1) / 2.0
    return View(scale, mirrored, down, window, right, up, dx, dy)


@dataclass(frozen=True, slots=True)
class Tile:
    """One of the pages that a large drawing is cut into."""

    view: View
    column: int
    row: int
    columns: int
    rows: int

    @property
    def name(self) -> str:
        """Such as "B2": column letter and row number; "" for a single page."""
        if self.columns * self.rows == 1:
            return ""
        letters, n = "", self.column
        while n >= 0:
            letters = chr(ord("A") + n % 26) + letters
            n = n // 26 - 1
        return f"{letters}{self.row + 1}"


def tile_views(
    region: Region,
    window: Box,
    scale: float,
    *,
    mirrored: bool = False,
    down: Edge = "front",
) -> tuple[Tile, ...]:
    """Return the views that show a region at a scale, row by row from the top left.

    Neighbours overlap by `OVERLAP`; a region that fits gives one view.
    """
    whole = whole_view(region, window, scale, mirrored=mirrored, down=down)
    x0, y0, x1, y1 = _extent(whole, region)
    columns = _count(x1 - x0, window.width)
    rows = _count(y1 - y0, window.height)
    step_x, step_y = window.width - OVERLAP, window.height - OVERLAP
    wide = window.width + (columns - 1) * step_x
    tall = window.height + (rows - 1) * step_y
    left = (x0 + x1 - wide) / 2.0
    top = (y0 + y1 - tall) / 2.0
    tiles: list[Tile] = []
    for row in range(rows):
        for column in range(columns):
            dx = window.left - (left + column * step_x)
            dy = window.top - (top + row * step_y)
            view = View(
                scale,
                mirrored,
                down,
                window,
                whole.right,
                whole.up,
                whole.x + dx,
                whole.y + dy,
            )
            tiles.append(Tile(view, column, row, columns, rows))
    return tuple(tiles)


def best_scale(
    region: Region, window: Box, system: Literal["m", "ft"], down: Edge = "front"
) -> float:
    """Return the largest drawing whose scale is round and that fits a window."""
    width, height = region[2] - region[0], region[3] - region[1]
    if down in ("left", "right"):
        width, height = height, width
    needed = max(width / window.width, height / window.height) - 1e-9
    ladder = SCALES[system]
    return next((s for s in ladder if s >= needed), float(ceil(needed)))


def _count(size: float, window: float) -> int:
    if size <= window + 1e-6:
        return 1
    return max(ceil((size - OVERLAP - 1e-6) / (window - OVERLAP)), 1)


def _axes(down: Edge, *, mirrored: bool) -> tuple[XY, XY]:
    dx, dy = _DOWN[down]
    up = (-dx, -dy)
    right = (up[1], -up[0])
    return ((-right[0], -right[1]) if mirrored else right), up


def _extent(view: View, region: Region) -> Region:
    x0, y0 = view.at(region[0], region[1])
    x1, y1 = view.at(region[2], region[3])
    return min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)
