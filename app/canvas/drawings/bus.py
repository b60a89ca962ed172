"""A bus: two lines, A solid and B dashed, with a quiet mark where it is twisted."""

from itertools import pairwise
from math import atan2, cos, hypot, sin

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath

from app.canvas.drawings.afar import Afar, Strand
from app.canvas.drawings.drawing import HIT_PX, WIDE, octave_mm, polyline, widen
from app.canvas.lines.chunks import Chunks, Floats
from app.canvas.lines.pair import XY, Pair
from app.canvas.look import Look
from app.canvas.words.label import Label, cut_short, spot_beside
from app.canvas.words.lettering import SMALL_PX, Style
from app.canvas.words.placer import Footprint, points_between
from core.layout.geometry import Path, bus_path
from core.layout.parts import Bus, End
from core.materials.wires import WIRES

XY4 = tuple[float, float, float, float]

HALF_PX = 2.4
"""Half the distance between the two lines. [px]"""

WIDTH_PX = 1.8
MARK_STEP_PX = 80.0
MARK_PX = 3.6
TWIST = 0.6
"""Half the angle at which the strokes of a twist mark cross. [rad]"""

_ROUGH = Strand(
    "conductor_a", 2.0 * WIDTH_PX, runs_on=True, below=("conductor_a", 2.5 * WIDTH_PX)
)

LABEL_AT = (0.0, -0.12, 0.12, -0.2, 0.2, -0.28, 0.28, -0.36, 0.36)
"""Where along its longest leg the words may stand, from the middle, best first."""

LABEL_FROM_PX = 70.0
WIRE_FROM_PX = 210.0
LETTERS_FROM_PX, LETTERS_PX = 150.0, 14.0


class BusDrawing:
    """The drawing of one bus."""

    girth_mm = 0.0
    room = WIDE

    def __init__(self, bus: Bus, snubbed: tuple[End, ...] = ()) -> None:
        self._bus = bus
        self._points: tuple[XY, ...] = tuple((p.x_mm, p.y_mm) for p in bus.points)
        self._pair = Pair(self._points)
        self._path: Path = bus_path(bus)
        legs = pairwise(self._points)
        self._longest = max(legs, key=lambda leg: _length(*leg))
        self._twist: tuple[float, Chunks] | None = None
        self._snubbed = tuple(self._points[0 if e == "start" else -1] for e in snubbed)
        known = WIRES.get(bus.wire)
        self._wire = f"{known.label if known else bus.wire}, {_lay(bus)}"

    @property
    def ink(self) -> tuple[object, ...]:
        """What its lines follow from: drawings with equal ink have the same ones."""
        bus = self._bus
        return self._points, bus.lay, bus.spacing_mm, self._snubbed

    @property
    def text(self) -> tuple[str, ...]:
        """What its words follow from, besides."""
        return self._bus.id, self._bus.name, self._wire

    def bounds(self) -> QRectF:
        """Return the box around its corners. [mm]"""
        return self.outline().boundingRect()

    def areas(self) -> list[QRectF]:
        """Return the box around each leg. [mm]"""
        legs = pairwise(QPointF(x, y) for x, y in self._points)
        return [QRectF(here, there).normalized() for here, there in legs]

    def outline(self) -> QPainterPath:
        """Return its way."""
        return polyline(list(self._points))

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return where it is hit."""
        return widen(self.outline(), 2.0 * (HIT_PX + HALF_PX) * mm_per_px)

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        """Paint the pair, its twist and its words."""
        width = WIDTH_PX * (1.25 if look.underside else 1.0)
        half = self._half_px(look)
        if look.is_rough:
            _ROUGH.take_up(painter, look)
            self._pair.paint_middle(painter, exposed, 2.0 * width * look.mm_per_px)
            return
        self._pair.paint(painter, look, exposed, half_px=half, width_px=width)
        if self._bus.lay == "twisted":
            self._paint_twist(painter, look, exposed)
        self._paint_letters(painter, look, exposed, half)
        for at in self._snubbed:
            _paint_snubber(painter, look, at)

    def from_afar(self) -> Afar:
        """Return one line along it."""
        return Afar(((_ROUGH, self._pair.legs()),))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, and the wire where there is room."""
        (x0, y0), (x1, y1) = self._longest
        leg_px = _length(*self._longest) * look.px_per_mm
        if leg_px < LABEL_FROM_PX:
            return ()
        text = cut_short(f"{self._bus.id} {self._bus.name}".strip())
        if leg_px >= WIRE_FROM_PX:
            text = f"{text} · {self._wire}"
        style = Style(look.theme.ink, look.theme.paper)
        gap = self._half_px(look) + 4.0
        left = self._left()
        up = left if left[1] > -1e-9 else (-left[0], -left[1])
        side = -1.0 if look.underside else 1.0
        spots: list[XY] = []
        for share in LABEL_AT:
            x, y = share * (x1 - x0) * side, -share * (y1 - y0)
            for way in ((-up[0], -up[1]), up):
                dx, dy = spot_beside(look, text, style, way, gap)
                spots.append((x * look.px_per_mm + dx, y * look.px_per_mm + dy))
        middle = QPointF(0.5 * (x0 + x1), 0.5 * (y0 + y1))
        return (Label(text, style, middle, tuple(spots), rank=3),)

    def footprint(self, look: Look, step_mm: float) -> Footprint:
        """Return its legs, and a line across them where its letters stand."""
        legs = [points_between(a, b, step_mm) for a, b in pairwise(self._points)]
        if self._has_letters(look):
            at, (nx, ny) = self._letters_at(), self._left()
            reach = (self._half_px(look) + LETTERS_PX) * look.mm_per_px
            one = (at.x() + nx * reach, at.y() + ny * reach)
            other = (at.x() - nx * reach, at.y() - ny * reach)
            legs.append(points_between(one, other, 0.5 * step_mm))
        return Footprint(np.concatenate(legs))

    def _half_px(self, look: Look) -> float:
        if self._bus.lay == "apart":
            return max(HALF_PX, 0.5 * self._bus.spacing_mm * look.px_per_mm)
        return HALF_PX

    def _paint_twist(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        reach = MARK_PX * look.mm_per_px
        if self._twist is None or self._twist[0] != reach:
            step = octave_mm(MARK_STEP_PX, look.px_per_mm) / 1000.0
            self._twist = (reach, Chunks(_crosses(self._path, step, reach)))
        painter.setPen(look.pen(look.theme.faint, 1.0))
        self._twist[1].draw(painter, exposed, reach)

    def _paint_letters(
        self, painter: QPainter, look: Look, exposed: QRectF, half_px: float
    ) -> None:
        if not self._has_letters(look):
            return
        at = self._letters_at()
        reach = (half_px + 2.0 * LETTERS_PX) * look.mm_per_px
        if not exposed.adjusted(-reach, -reach, reach, reach).contains(at):
            return
        theme, left = look.theme, self._left()
        for letter, colour, way in (
            ("A", theme.conductor_a, left),
            ("B", theme.conductor_b, (-left[0], -left[1])),
        ):
            style = Style(colour, theme.paper, SMALL_PX, bold=True)
            spot = spot_beside(look, letter, style, way, half_px + 2.0)
            look.words.put(painter, at, letter, style, shift_px=spot)

    def _has_letters(self, look: Look) -> bool:
        return _length(*self._longest) * look.px_per_mm >= LETTERS_FROM_PX

    def _letters_at(self) -> QPointF:
        (x0, y0), (x1, y1) = self._longest
        return QPointF(x0 + 0.12 * (x1 - x0), y0 + 0.12 * (y1 - y0))

    def _left(self) -> XY:
        """Return the way to the left of the longest leg."""
        (x0, y0), (x1, y1) = self._longest
        heading = atan2(y1 - y0, x1 - x0)
        return -sin(heading), cos(heading)


def _paint_snubber(painter: QPainter, look: Look, at: XY) -> None:
    """Paint a resistor over the two plates of a capacitor, on the end of a bus."""
    px = look.mm_per_px
    body = QRectF(at[0] - 3.0 * px, at[1] - 1.0 * px, 6.0 * px, 8.0 * px)
    painter.setPen(look.pen(look.theme.device, 1.4))
    painter.setBrush(QColor(look.theme.paper))
    painter.drawRect(body)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for below in (3.0, 5.5):
        y = at[1] - below * px
        painter.drawLine(QPointF(at[0] - 5.0 * px, y), QPointF(at[0] + 5.0 * px, y))


def _lay(bus: Bus) -> str:
    if bus.lay == "apart":
        return f"{bus.spacing_mm:.0f} mm apart"
    return bus.lay


def _length(a: XY, b: XY) -> float:
    return hypot(b[0] - a[0], b[1] - a[1])


def _crosses(path: Path, step_m: float, reach_mm: float) -> Floats:
    """Return small crosses along a path, shape (N, 4). [mm]"""
    ends: list[XY4] = []
    for i in range(int(path.length_m / step_m + 0.5)):
        pose = path.at((i + 0.5) * step_m)
        for turn in (TWIST, -TWIST):
            dx = reach_mm * cos(pose.heading + turn)
            dy = reach_mm * sin(pose.heading + turn)
            x, y = pose.x_mm, pose.y_mm
            ends.append((x - dx, y - dy, x + dx, y + dy))
    return np.array(ends, np.float64).reshape(-1, 4)
