"""Where things lie, as a builder measures it: board, two edges, place to lie."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from core.layout.geometry import bus_path, run_path
from core.layout.layout import Layout
from core.layout.parts import Board, Booster, Bus, Edge, Inline, Joist, Strip, TrackRun

Region = tuple[float, float, float, float]

PLACE_M = {"m": 1.0, "ft": 0.9144}
"""Width that a person lying on the back reaches without shifting: half a metre to
each side, or a yard in all; house choice. [m]"""

_ROUND_MM = 100.0


@dataclass(frozen=True, slots=True)
class Measured:
    """A place as measured on a bench. [m]

    `along` is measured along the aisle edge from the bench's end, `inward`
    from the aisle edge.
    """

    along: float
    inward: float


@dataclass(frozen=True, slots=True)
class Bench:
    """A board, or the plain plan where there is no board.

    Attributes
    ----------
    board : Board or None
        The board; None: measured from the zero of the plan.
    title : str
        What people call it.
    region : tuple of float
        Its rectangle in plan. [mm]
    aisle : Edge
        The edge where the builder stands.
    """

    board: Board | None
    title: str
    region: Region
    aisle: Edge

    @property
    def end(self) -> Edge:
        """The edge that places along the aisle are measured from."""
        return "left" if self.aisle in ("front", "back") else "front"

    @property
    def end_word(self) -> str:
        """What that edge is called: the left end, the front edge."""
        return "end" if self.end == "left" else "edge"

    @property
    def area_mm2(self) -> float:
        """Its area. [mm²]"""
        x0, y0, x1, y1 = self.region
        return (x1 - x0) * (y1 - y0)

    def measure(self, x_mm: float, y_mm: float) -> Measured:
        """Return a place as measured from two edges, or from the plan's zero."""
        if self.board is None:
            return Measured(x_mm / 1000.0, y_mm / 1000.0)
        x0, y0, x1, y1 = self.region
        from_edge = {
            "left": x_mm - x0,
            "right": x1 - x_mm,
            "front": y_mm - y0,
            "back": y1 - y_mm,
        }
        return Measured(from_edge[self.end] / 1000.0, from_edge[self.aisle] / 1000.0)

    def holds(self, x_mm: float, y_mm: float) -> bool:
        """Return whether a place lies on it, its edges included."""
        x0, y0, x1, y1 = self.region
        return x0 <= x_mm <= x1 and y0 <= y_mm <= y1


def benches_of(layout: Layout) -> tuple[Bench, ...]:
    """Return the boards of a layout, and the plan itself for what lies off them.

    The last bench has no board; it holds everything.
    """
    boards = [_bench(board) for board in layout.of_kind(Board)]
    title = "off the boards" if boards else "whole layout"
    return (*boards, Bench(None, title, extent_of(layout), "front"))


def bench_at(benches: tuple[Bench, ...], x_mm: float, y_mm: float) -> Bench:
    """Return the smallest board that holds a place; the plan itself holds all."""
    boards = [b for b in benches[:-1] if b.holds(x_mm, y_mm)]
    return min(boards, key=lambda b: b.area_mm2, default=benches[-1])


def extent_of(layout: Layout) -> Region:
    """Return the box round everything drawn, in whole tenths of a metre. [mm]"""
    points = tuple(_extreme_points(layout))
    if not points:
        return 0.0, 0.0, 1000.0, 600.0
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (
        floor(min(xs) / _ROUND_MM - 0.3) * _ROUND_MM,
        floor(min(ys) / _ROUND_MM - 0.3) * _ROUND_MM,
        ceil(max(xs) / _ROUND_MM + 0.3) * _ROUND_MM,
        ceil(max(ys) / _ROUND_MM + 0.3) * _ROUND_MM,
    )


def _bench(board: Board) -> Bench:
    x1, y1 = board.x_mm + board.width_mm, board.y_mm + board.depth_mm
    title = f"{board.id} {board.name}".strip()
    return Bench(board, title, (board.x_mm, board.y_mm, x1, y1), board.aisle)


def _extreme_points(layout: Layout) -> Iterable[tuple[float, float]]:
    for part in layout.parts.values():
        match part:
            case TrackRun():
                x0, y0, x1, y1 = run_path(part).bounds()
            case Bus():
                x0, y0, x1, y1 = bus_path(part).bounds()
            case Board():
                x0, y0 = part.x_mm, part.y_mm
                x1, y1 = x0 + part.width_mm, y0 + part.depth_mm
            case Joist():
                x0, y0, x1, y1 = part.x1_mm, part.y1_mm, part.x2_mm, part.y2_mm
            case Booster() | Inline() | Strip():
                x0, y0 = x1, y1 = part.x_mm, part.y_mm
            case _:
                continue
        yield x0, y0
        yield x1, y1
