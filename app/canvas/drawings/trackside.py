"""What sits on track: joints between runs, and gaps."""

from dataclasses import dataclass
from math import pi
from typing import Literal

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF
from PySide6.QtGui import QPainter, QPainterPath

from app.canvas.drawings.afar import Afar, Strand
from app.canvas.drawings.border import ID_FROM, Cut, cut_labels, paint_cut
from app.canvas.drawings.drawing import HIT_PX, Room, box
from app.canvas.lines.chunks import Floats
from app.canvas.look import Look
from app.canvas.words.label import Label
from app.canvas.words.placer import Footprint
from core.layout.geometry import Pose
from core.layout.parts import Gap, Sides, TrackJoint

ID_FROM_PX_PER_MM = ID_FROM
JOINT_FROM_PX_PER_MM = 0.1
GAP_HALF = 1.0
"""Half the width of a gap's bars. [gauges]"""

CUT_PX, AFAR_MM = 2.0, 60.0
"""Width, and half the length, of a cut's bar from afar. [px, mm]"""

ROOM_PX = 16.0

TICK_MM = 40.0
"""Half the length of a tick from afar. [mm]"""

_CUT = Strand("ink", CUT_PX, over=1)
_TICK = Strand("rail", 1.4, is_fine=True)

Filling = Literal["air", "plastic", "metal"]
"""What is between the ends of a gap."""


@dataclass(frozen=True, slots=True)
class Across:
    """A place on track, and lines across it."""

    pose: Pose
    gauge_mm: float

    def bar(self, along_mm: float, left_mm: float, right_mm: float) -> QLineF:
        """Return a line across the track, moved along it."""
        x, y = self.pose.x_mm, self.pose.y_mm
        ahead = Pose(x, y, self.pose.heading - _QUARTER).left(along_mm)
        there = Pose(*ahead, self.pose.heading)
        return QLineF(QPointF(*there.left(left_mm)), QPointF(*there.left(right_mm)))

    def span(self, rails: Sides, half_mm: float) -> tuple[float, float]:
        """Return from where to where a bar over some rails reaches. [mm]"""
        if rails == "both":
            return half_mm, -half_mm
        middle = 0.5 * self.gauge_mm if rails == "left" else -0.5 * self.gauge_mm
        reach = 0.5 * half_mm
        return middle + reach, middle - reach


_QUARTER = pi / 2.0


class OnTrack:
    """What all things at one place on track share."""

    girth_mm = 0.0

    def __init__(self, pose: Pose, gauge_mm: float) -> None:
        self.across = Across(pose, gauge_mm)
        self.at = QPointF(pose.x_mm, pose.y_mm)
        self.gauge_mm = gauge_mm
        self.room: Room = (ROOM_PX, 1.5 * gauge_mm)
        self._cut: Cut | None = None

    def show_cut(self, cut: Cut | None) -> bool:
        """Take over what lies beside it; return whether it looks different now."""
        before, self._cut = self._cut, cut
        return before != cut

    def bounds(self) -> QRectF:
        """Return a box as wide as the track. [mm]"""
        size = 2.0 * self.gauge_mm
        return box(self.at.x(), self.at.y(), size, size)

    def outline(self) -> QPainterPath:
        """Return a line across the track."""
        bar = self.across.bar(0.0, self.gauge_mm, -self.gauge_mm)
        path = QPainterPath(bar.p1())
        path.lineTo(bar.p2())
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return a disc about the place."""
        path = QPainterPath()
        reach = max(0.6 * self.gauge_mm, 1.2 * HIT_PX * mm_per_px)
        path.addEllipse(self.at, reach, reach)
        return path

    def labels(self, look: Look) -> tuple[Label, ...]:  # noqa: ARG002
        """Return no words."""
        return ()

    def footprint(self, look: Look, step_mm: float) -> Footprint:  # noqa: ARG002
        """Return a point: the track below covers the rest."""
        return Footprint(np.array([[self.at.x(), self.at.y()]]))

    @property
    def is_cut(self) -> bool:
        """Whether rails are cut here, which shows from afar too."""
        return False

    def from_afar(self) -> Afar:
        """Return a bar across the track where it is cut, else nothing."""
        if not self.is_cut:
            return Afar()
        return Afar(((_CUT, self._bar(max(self.gauge_mm, AFAR_MM))),))

    def _bar(self, half_mm: float) -> Floats:
        """Return a line across the track, shape (1, 4). [mm]"""
        bar = self.across.bar(0.0, half_mm, -half_mm)
        return np.array([[bar.x1(), bar.y1(), bar.x2(), bar.y2()]])

    def way_aside(self) -> tuple[float, float]:
        """Return the way across the track that leads up the plan."""
        x, y = self.across.pose.left(1.0)
        way = (x - self.at.x(), y - self.at.y())
        return way if way[1] > -1e-9 else (-way[0], -way[1])


class JointDrawing(OnTrack):
    """Two runs that meet: a tick, or a gap's bars on insulated rails."""

    def __init__(self, joint: TrackJoint, pose: Pose, gauge_mm: float) -> None:
        super().__init__(pose, gauge_mm)
        self._joint = joint

    @property
    def is_cut(self) -> bool:
        """Whether its rails are insulated."""
        return self._joint.insulated != "none"

    def from_afar(self) -> Afar:
        """Return a bar where it is cut, else a tick."""
        if self.is_cut:
            return super().from_afar()
        return Afar(((_TICK, self._bar(TICK_MM)),))

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        if self.is_cut:
            rails = self._joint.insulated
            paint_gap(painter, look, self.across, rails, filling="plastic")
            paint_cut(painter, look, self._cut, self.across.pose, self.gauge_mm)
        elif look.px_per_mm >= JOINT_FROM_PX_PER_MM:
            half = max(self.gauge_mm, 4.5 * look.mm_per_px)
            painter.setPen(look.pen(look.theme.rail, 1.4))
            painter.drawLine(self.across.bar(0.0, half, -half))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id where it parts rails, and what lies on its sides."""
        if not self.is_cut:
            return ()
        at = (self.across.pose, self.at)
        way = self.way_aside()
        return cut_labels(look, self._joint.id, self._cut, at=at, way=way)


class GapDrawing(OnTrack):
    """A cut: two bars with paper between them, over the rails it cuts."""

    def __init__(self, gap: Gap, pose: Pose, gauge_mm: float) -> None:
        super().__init__(pose, gauge_mm)
        self._gap = gap

    @property
    def is_cut(self) -> bool:
        """A gap always is."""
        return True

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        gap = self._gap
        filling: Filling = "plastic" if gap.filled else "air"
        if gap.bridged:
            filling = "metal"
        paint_gap(painter, look, self.across, gap.rails, filling=filling)
        paint_cut(painter, look, self._cut, self.across.pose, self.gauge_mm)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id, and what lies on its sides."""
        at = (self.across.pose, self.at)
        return cut_labels(look, self._gap.id, self._cut, at=at, way=self.way_aside())


def paint_gap(
    painter: QPainter, look: Look, across: Across, rails: Sides, *, filling: Filling
) -> None:
    """Paint the two bars of a gap with what is between them.

    Air parts the rails, plastic lies between them; across metal they run on, and a
    cross strikes the gap out.
    """
    half = max(GAP_HALF * across.gauge_mm, 6.0 * look.mm_per_px)
    left, right = across.span(rails, half)
    apart = max(1.2, 1.9 * look.mm_per_px)
    if filling != "metal":
        painter.setPen(look.plan_pen(look.theme.paper, 2.0 * apart))
        painter.drawLine(across.bar(0.0, left, right))
    if filling == "plastic":
        painter.setPen(look.plan_pen(look.theme.tie, 1.2 * apart))
        painter.drawLine(across.bar(0.0, left, right))
    painter.setPen(look.pen(look.theme.ink, 1.6))
    ends = across.bar(-apart, left, right), across.bar(apart, left, right)
    for end in ends:
        painter.drawLine(end)
    if filling == "metal":
        painter.setPen(look.pen(look.theme.hazard, 2.0))
        wide = [across.bar(side * 3.0 * apart, left, right) for side in (-1.0, 1.0)]
        painter.drawLine(QLineF(wide[0].p1(), wide[1].p2()))
        painter.drawLine(QLineF(wide[1].p1(), wide[0].p2()))
