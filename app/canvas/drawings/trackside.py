"""What sits on track: joints between runs, gaps, turnouts."""

from dataclasses import dataclass
from math import pi

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from app.canvas.drawings.drawing import HIT_PX, Floats, Strand, box
from app.canvas.look import Look
from app.canvas.words.label import Label, cut_short, spots_around
from app.canvas.words.lettering import SMALL_PX, Style
from app.canvas.words.placer import Footprint
from core.layout.geometry import Path, Pose
from core.layout.parts import Gap, Sides, TrackJoint, Turnout

ID_FROM_PX_PER_MM = 0.16
JOINT_FROM_PX_PER_MM = 0.1
GAP_HALF = 1.0
"""Half the width of a gap's bars. [gauges]"""

FROG_STEP_MM = 10.0
CUT_PX, AFAR_MM = 2.0, 60.0
"""Width, and half the length, of a cut's bar from afar. [px, mm]"""

FROG_GAUGES = 2.2
"""How long the sign of the crossing is. [gauges]"""

NEAR_ALPHA = 46
RAILS_FROM_PX = 5.0


@dataclass(frozen=True, slots=True)
class _Across:
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


class _OnTrack:
    """What all things at one place on track share."""

    girth_mm = 0.0

    def __init__(self, pose: Pose, gauge_mm: float) -> None:
        self.across = _Across(pose, gauge_mm)
        self.at = QPointF(pose.x_mm, pose.y_mm)
        self.gauge_mm = gauge_mm

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

    def from_afar(self) -> tuple[Strand, Floats]:
        """Return a bar across the track where it is cut, else nothing."""
        if not self.is_cut:
            return Strand("ink", CUT_PX), np.zeros((0, 4))
        half = max(self.gauge_mm, AFAR_MM)
        bar = self.across.bar(0.0, half, -half)
        ends = np.array([[bar.x1(), bar.y1(), bar.x2(), bar.y2()]])
        return Strand("ink", CUT_PX), ends

    def way_aside(self) -> tuple[float, float]:
        """Return the way across the track that leads up the plan."""
        x, y = self.across.pose.left(1.0)
        way = (x - self.at.x(), y - self.at.y())
        return way if way[1] > -1e-9 else (-way[0], -way[1])


class JointDrawing(_OnTrack):
    """Two runs that meet: a tick, or a gap's bars on insulated rails."""

    def __init__(self, joint: TrackJoint, pose: Pose, gauge_mm: float) -> None:
        super().__init__(pose, gauge_mm)
        self._joint = joint

    @property
    def is_cut(self) -> bool:
        """Whether its rails are insulated."""
        return self._joint.insulated != "none"

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        if self.is_cut:
            rails = self._joint.insulated
            paint_gap(painter, look, self.across, rails, filled=True)
        elif look.px_per_mm >= JOINT_FROM_PX_PER_MM:
            half = max(self.gauge_mm, 4.5 * look.mm_per_px)
            painter.setPen(look.pen(look.theme.rail, 1.4))
            painter.drawLine(self.across.bar(0.0, half, -half))


class GapDrawing(_OnTrack):
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
        paint_gap(painter, look, self.across, gap.rails, filled=gap.filled)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id."""
        if look.px_per_mm < ID_FROM_PX_PER_MM:
            return ()
        style = Style(look.theme.ink, look.theme.paper, SMALL_PX)
        text, gap_px = self._gap.id, 2.0 + max(look.gauge_px, 7.0)
        spots = spots_around(look, text, style, way=self.way_aside(), gap_px=gap_px)
        return (Label(text, style, self.at, spots, rank=4),)


def paint_gap(
    painter: QPainter, look: Look, across: _Across, rails: Sides, *, filled: bool
) -> None:
    """Paint the two bars of a gap; a filled one has its filling between them."""
    half = max(GAP_HALF * across.gauge_mm, 6.0 * look.mm_per_px)
    left, right = across.span(rails, half)
    apart = max(1.2, 1.9 * look.mm_per_px)
    painter.setPen(look.plan_pen(look.theme.paper, 2.0 * apart))
    painter.drawLine(across.bar(0.0, left, right))
    if filled:
        painter.setPen(look.plan_pen(look.theme.tie, 1.2 * apart))
        painter.drawLine(across.bar(0.0, left, right))
    painter.setPen(look.pen(look.theme.ink, 1.6))
    painter.drawLine(across.bar(-apart, left, right))
    painter.drawLine(across.bar(apart, left, right))


class TurnoutDrawing(_OnTrack):
    """A turnout: a wedge from the blades to the crossing, between its two ways."""

    def __init__(
        self, turnout: Turnout, through: Path, leg: Path, gauge_mm: float
    ) -> None:
        pose = through.at(turnout.on.position_m)
        super().__init__(pose, gauge_mm)
        self._turnout = turnout
        self._wedge = _wedge(turnout, through, leg)
        self._frog = _frog(turnout, through, leg, gauge_mm)

    def bounds(self) -> QRectF:
        """Return the box around the wedge. [mm]"""
        return super().bounds().united(self._wedge.boundingRect())

    def outline(self) -> QPainterPath:
        """Return the edge of the wedge."""
        path = QPainterPath()
        path.addPolygon(self._wedge)
        path.closeSubpath()
        return path

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return the wedge, and a disc about the blades."""
        path = super().shape(mm_per_px)
        path.addPolygon(self._wedge)
        path.setFillRule(Qt.FillRule.WindingFill)
        return path

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        theme = look.theme
        fill = QColor(theme.rail)
        near = look.gauge_px >= RAILS_FROM_PX
        fill.setAlpha(NEAR_ALPHA if near else 255)
        painter.setPen(look.pen(theme.rail, 0.8 if near else 1.0))
        painter.setBrush(QBrush(fill))
        painter.drawPolygon(self._wedge)
        if near:
            # The crossing: a small arrowhead where the inner rails meet.
            painter.setBrush(QBrush(QColor(theme.rail)))
            painter.drawPolygon(self._frog)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        half = max(0.75 * self.gauge_mm, 4.0 * look.mm_per_px)
        painter.setPen(look.pen(theme.rail, 1.6))
        painter.drawLine(self.across.bar(0.0, half, -half))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name."""
        if look.px_per_mm < ID_FROM_PX_PER_MM:
            return ()
        turnout, theme = self._turnout, look.theme
        text = cut_short(f"{turnout.id} {turnout.name}".strip())
        style = Style(theme.ink, theme.paper, SMALL_PX)
        gap_px = 2.0 + max(look.gauge_px, 5.0)
        spots = spots_around(look, text, style, way=self._clear_side(), gap_px=gap_px)
        return (Label(text, style, self.at, spots, rank=4),)

    def _clear_side(self) -> tuple[float, float]:
        """Return the way across the track on which the leg does not leave."""
        left = self.across.pose.left(1.0)
        way = (left[0] - self.at.x(), left[1] - self.at.y())
        forward = self._turnout.opens == "forward"
        leg_is_left = (self._turnout.hand == "left") == forward
        return (-way[0], -way[1]) if leg_is_left else way


def _frog(turnout: Turnout, through: Path, leg: Path, gauge_mm: float) -> QPolygonF:
    """Return a small triangle from the crossing on, between its two ways."""
    sign = 1.0 if turnout.opens == "forward" else -1.0

    def middle(s: float, share: float) -> QPointF:
        a = through.at(turnout.on.position_m + sign * s)
        b = leg.at(s if turnout.leg.end == "start" else leg.length_m - s)
        return QPointF(
            a.x_mm + share * (b.x_mm - a.x_mm), a.y_mm + share * (b.y_mm - a.y_mm)
        )

    lead = turnout.lead_m
    back = lead + FROG_GAUGES * gauge_mm / 1000.0
    return QPolygonF([middle(lead, 0.5), middle(back, 0.35), middle(back, 0.65)])


def _wedge(turnout: Turnout, through: Path, leg: Path) -> QPolygonF:
    """Return the area between the two ways, from the blades to the crossing."""
    lead = turnout.lead_m
    steps = max(int(lead * 1000.0 / FROG_STEP_MM), 2)
    sign = 1.0 if turnout.opens == "forward" else -1.0
    first: list[QPointF] = []
    second: list[QPointF] = []
    for i in range(steps + 1):
        s = lead * i / steps
        on_through = through.at(turnout.on.position_m + sign * s)
        on_leg = leg.at(s if turnout.leg.end == "start" else leg.length_m - s)
        first.append(QPointF(on_through.x_mm, on_through.y_mm))
        second.append(QPointF(on_leg.x_mm, on_leg.y_mm))
    return QPolygonF(first + second[::-1])
