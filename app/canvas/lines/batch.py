"""Many small things in a few strokes of the painter instead of one by one."""

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QTransform

from app.canvas.drawings.afar import XY, Afar, Strand
from app.canvas.drawings.drawing import Small
from app.canvas.lines.chunks import Chunks, Floats
from app.canvas.lines.hatch import hatch_mm, strokes_along
from app.canvas.lines.stamps import Stamp, picture_of
from app.canvas.look import Look

LEAST_PX = 16.0
"""No device's box is drawn narrower than this, however far away. [px]"""

CELL_MM = 1500.0
"""Lines that begin in one square of this size are bunched together. [mm]"""


class Batch:
    """Draws what drawings look like from afar, batched by strand and by stamp."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._known: dict[Small, Afar] = {}
        self._ahead: dict[Small, Afar] = {}
        self._strands: list[tuple[Strand, Chunks]] = []
        self._edges: dict[Strand, Floats] = {}
        self._hatch: dict[Strand, tuple[float, Chunks]] = {}
        self._stamps: dict[Stamp, Floats] = {}
        self._boxes: Floats = np.zeros((0, 4))

    @property
    def is_empty(self) -> bool:
        """Whether it draws nothing."""
        return not (self._strands or self._stamps)

    def show_drawings(self, drawings: Iterable[Small]) -> list[Afar]:
        """Draw these and no others; return what stood for those that came or went.

        A drawing that was shown before is taken to look the same.
        """
        before, ahead = self._known, self._ahead
        self._known = {
            d: before.get(d) or ahead.get(d) or d.from_afar() for d in drawings
        }
        ahead.clear()
        changed = before.keys() ^ self._known.keys()
        if changed:
            self._gather()
        return [before.get(d) or self._known[d] for d in changed]

    def learn(self, drawing: Small) -> None:
        """Ask ahead of time what stands for a drawing that is to be drawn soon."""
        if drawing not in self._known and drawing not in self._ahead:
            self._ahead[drawing] = drawing.from_afar()

    def prepare(self) -> Iterator[None]:
        """Make all lines ready, bit by bit."""
        for _, chunks in self._strands:
            yield from chunks.prepare()

    def area(self) -> QRectF:
        """Return the box around all of it, but for what pens and stamps add. [mm]"""
        return area_of(self._known.values())

    def paint(self, painter: QPainter, exposed: QRectF, *, fine: bool) -> None:
        """Paint batch after batch, those that are fine too if wanted."""
        look = self._look
        for strand, chunks in self._strands:
            if fine or not strand.is_fine:
                strand.take_up(painter, look)
                reach_px = max(strand.width(look), 1.0) + 1.0
                chunks.draw(painter, exposed, reach_px * look.mm_per_px)
        if not look.is_rough:
            for strand in self._edges:
                self._paint_hatch(painter, exposed, strand)
        if self._stamps:
            self._paint_stamps(painter, exposed)
        if len(self._boxes):
            self._paint_boxes(painter)

    def _gather(self) -> None:
        lines: dict[Strand, list[Floats]] = {}
        edges: dict[Strand, list[Floats]] = {}
        spots: dict[Stamp, list[XY]] = {}
        for afar in self._known.values():
            for strand, ends in afar.lines:
                lines.setdefault(strand, []).append(ends)
            if afar.edge is not None:
                edges.setdefault(afar.edge[0], []).append(afar.edge[1])
            if afar.stamp is not None:
                spots.setdefault(afar.stamp[0], []).append(afar.stamp[1])
        self._strands = [
            (strand, Chunks(by_place(np.concatenate(lines[strand]))))
            for strand in sorted(lines, key=lambda strand: strand.over)
        ]
        self._edges = {strand: np.stack(rows) for strand, rows in edges.items()}
        self._stamps = {stamp: np.array(at) for stamp, at in spots.items()}
        boxes = [afar.box for afar in self._known.values() if afar.box is not None]
        self._boxes = np.stack(boxes) if boxes else np.zeros((0, 4))
        self._hatch.clear()

    def _paint_hatch(self, painter: QPainter, exposed: QRectF, strand: Strand) -> None:
        look = self._look
        size_mm = hatch_mm(look)
        kept = self._hatch.get(strand)
        if kept is None or kept[0] != size_mm:
            strokes = strokes_along(self._edges[strand], size_mm)
            kept = self._hatch[strand] = (size_mm, Chunks(strokes))
        strand.take_up(painter, look)
        kept[1].draw(painter, exposed, 2.0 * look.mm_per_px)

    def _paint_stamps(self, painter: QPainter, exposed: QRectF) -> None:
        look, world = self._look, painter.worldTransform()
        ratio = painter.device().devicePixelRatioF()
        scale = np.array((world.m11(), world.m22()))
        shift = np.array((world.dx(), world.dy()))
        painter.setWorldTransform(QTransform())
        for stamp, places in self._stamps.items():
            half_px = stamp.half_px(look) + 1.0
            seen = _inside(places, exposed, half_px * look.mm_per_px)
            picture = picture_of(stamp, look, ratio)
            half = 0.5 * picture.deviceIndependentSize().width()
            # Whole pixels: sharper, and steady while the drawing is scrolled.
            corners = np.rint(places[seen] * scale + shift - half).astype(np.int64)
            for x, y in corners.tolist():
                painter.drawPixmap(x, y, picture)
        painter.setWorldTransform(world)

    def _paint_boxes(self, painter: QPainter) -> None:
        look, world = self._look, painter.worldTransform()
        middle, size = self._boxes[:, :2], self._boxes[:, 2:]
        size = size * np.maximum(1.0, LEAST_PX * look.mm_per_px / size[:, :1])
        scale = np.array((world.m11(), world.m22()))
        middle = middle * scale + np.array((world.dx(), world.dy()))
        half = 0.5 * size * look.px_per_mm
        painter.setWorldTransform(QTransform())
        painter.setPen(Qt.PenStyle.NoPen)
        for colour, more in ((look.theme.device, 0.8), (look.theme.paper, -0.8)):
            low = np.rint(middle - half - more).astype(np.int64)
            high = np.rint(middle + half + more).astype(np.int64)
            painter.setBrush(QColor(colour))
            rects = np.column_stack((low, high - low)).tolist()
            painter.drawRects([QRect(*rect) for rect in rects])
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setWorldTransform(world)


def area_of(many: Iterable[Afar]) -> QRectF:
    """Return the box around what stands for things. [mm]"""
    points = [ends.reshape(-1, 2) for afar in many for _, ends in afar.lines]
    points += [np.array([afar.stamp[1]]) for afar in many if afar.stamp is not None]
    points = [rows for rows in points if len(rows)]
    if not points:
        return QRectF()
    every = np.concatenate(points)
    (x0, y0), (x1, y1) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    return QRectF(x0, y0, x1 - x0, y1 - y0)


def by_place(ends: Floats) -> Floats:
    """Return lines in an order in which neighbours lie near each other."""
    cells = np.floor(ends[:, :2] / CELL_MM)
    return ends[np.lexsort((cells[:, 0], cells[:, 1]))]


def _inside(places: Floats, area: QRectF, reach: float) -> NDArray[np.bool_]:
    x, y = places[:, 0], places[:, 1]
    across = (x >= area.left() - reach) & (x <= area.right() + reach)
    return across & (y >= area.top() - reach) & (y <= area.bottom() + reach)
