"""A turnout: its two ways, the crossing, and the blades as they lie."""

from dataclasses import dataclass
from math import cos, sin

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF

from app.canvas.drawings.afar import Afar, Strand
from app.canvas.drawings.border import cut_labels, paint_cut
from app.canvas.drawings.settable import RAILS_FROM_PX, Settable
from app.canvas.drawings.trackside import TICK_MM, Across, paint_gap
from app.canvas.look import Look
from app.canvas.words.label import Label
from core.layout.edits.sides import other_side
from core.layout.geometry import Path, Pose
from core.layout.parts import Side, Turnout

STEP_MM = 10.0
"""Lines along the two ways are drawn in steps of about this. [mm]"""

FROG_GAUGES = 2.2
"""How long the sign of the crossing is. [gauges]"""

BLADE_SHARE = 0.7
"""How much of the way to the crossing the blades reach. [1]"""

OPEN_GAUGES = 0.24
"""How far the tip of the open blade stands off its stock rail. [gauges]"""

BLADE_PX = 2.6

_TOE = Strand("rail", 1.6, is_fine=True)


@dataclass(frozen=True, slots=True)
class _Ways:
    """The two ways of a turnout, both walked from its toe."""

    turnout: Turnout
    through: Path
    leg: Path

    def on_through(self, s_m: float) -> Pose:
        """Return a place on the through way, looking away from the toe."""
        ahead = self.turnout.opens == "forward"
        pose = self.through.at(self.turnout.on.position_m + (s_m if ahead else -s_m))
        return pose if ahead else pose.reversed()

    def on_leg(self, s_m: float) -> Pose:
        """Return a place on the leg, looking away from the toe."""
        ahead = self.turnout.leg.end == "start"
        pose = self.leg.at(s_m if ahead else self.leg.length_m - s_m)
        return pose if ahead else pose.reversed()

    def between(self, s_m: float, share: float) -> QPointF:
        """Return a place between the ways: on the through one at share 0."""
        a, b = self.on_through(s_m), self.on_leg(s_m)
        return QPointF(
            a.x_mm + share * (b.x_mm - a.x_mm), a.y_mm + share * (b.y_mm - a.y_mm)
        )

    def line(self, share: float, length_m: float) -> list[QPointF]:
        """Return a line from the toe along one way, or between the two."""
        steps = max(int(length_m * 1000.0 / STEP_MM), 2)
        return [self.between(length_m * i / steps, share) for i in range(steps + 1)]

    def blade(self, *, leg: bool, gap_mm: float, gauge_mm: float) -> QPolygonF:
        """Return a blade of one way, its tip so far off the stock rail. [mm]"""
        turnout = self.turnout
        side: Side = other_side(turnout.hand) if leg else turnout.hand
        sign = 1.0 if side == "left" else -1.0
        length = BLADE_SHARE * turnout.lead_m
        steps = max(int(length * 1000.0 / STEP_MM), 2)
        points: list[QPointF] = []
        for i in range(steps + 1):
            s = length * i / steps
            pose = self.on_leg(s) if leg else self.on_through(s)
            off = 0.5 * gauge_mm - gap_mm * (1.0 - i / steps)
            points.append(QPointF(*pose.left(sign * off)))
        return QPolygonF(points)


class TurnoutDrawing(Settable):
    """A turnout: a wedge from the blades to the crossing, between its two ways.

    A live crossing is a full arrowhead, a dead one an empty one; behind a live one
    the gaps in the two inner rails are shown. Of a three-way turnout, the one with the
    first toe shows the third crossing. Thrown, a broad line runs along its leg, and
    a word says so.
    """

    def __init__(
        self,
        ways: tuple[Turnout, Path, Path],
        gauge_mm: float,
        *,
        thrown: bool = False,
        third_m: float | None = None,
    ) -> None:
        turnout, through, leg = ways
        super().__init__(through.at(turnout.on.position_m), gauge_mm, thrown=thrown)
        self._turnout = turnout
        both = _Ways(turnout, through, leg)
        lead, back = turnout.lead_m, turnout.lead_m + FROG_GAUGES * gauge_mm / 1000.0
        self._area = QPolygonF([*both.line(0.0, lead), *both.line(1.0, lead)[::-1]])
        self._frog = QPolygonF(
            [
                both.between(lead, 0.5),
                both.between(back, 0.35),
                both.between(back, 0.65),
            ]
        )
        self._way = QPolygonF(both.line(1.0, back))
        # Walked along the leg's run, as its rails are named.
        end = both.on_leg(back)
        heel = end if turnout.leg.end == "start" else end.reversed()
        self._heel = Across(heel, gauge_mm)
        self._heels = tuple(
            (Across(pose, gauge_mm), side)
            for pose, side in (
                (both.on_through(back), turnout.hand),
                (end, other_side(turnout.hand)),
            )
            if self._is_live and turnout.heel_gaps
        )
        third = None if third_m is None else both.on_through(third_m)
        self._third = QPolygonF() if third is None else _lozenge(third, gauge_mm)
        open_mm = OPEN_GAUGES * gauge_mm
        self._blades = tuple(
            both.blade(
                leg=leg, gap_mm=0.0 if leg == thrown else open_mm, gauge_mm=gauge_mm
            )
            for leg in (False, True)
        )

    @property
    def _is_live(self) -> bool:
        return self._turnout.frog != "insulated"

    @property
    def heels(self) -> int:
        """How many gaps are shown behind its crossing. [1]"""
        return len(self._heels)

    @property
    def has_third(self) -> bool:
        """Whether it shows the third crossing of a three-way turnout."""
        return not self._third.isEmpty()

    @property
    def blades(self) -> tuple[QPolygonF, ...]:
        """The blades, from their tips: that of the through way, that of the leg."""
        return self._blades

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        theme = look.theme
        near = look.gauge_px >= RAILS_FROM_PX
        self._paint_area(painter, look, near=near)
        if near:
            # The crossing: a small arrowhead where the inner rails meet.
            live = self._is_live
            painter.setPen(look.pen(theme.ink, 1.2))
            painter.setBrush(QBrush(QColor(theme.ink if live else theme.paper)))
            painter.drawPolygon(self._frog)
            painter.setBrush(QBrush(QColor(theme.paper)))
            painter.drawPolygon(self._third)
            for heel, side in self._heels:
                paint_gap(painter, look, heel, side, filling="air")
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if near:
            painter.setPen(look.pen(theme.ink, BLADE_PX))
            for blade in self._blades:
                painter.drawPolyline(blade)
        half = max(0.75 * self.gauge_mm, 4.0 * look.mm_per_px)
        painter.setPen(look.pen(theme.rail, 1.6))
        painter.drawLine(self.across.bar(0.0, half, -half))
        rails = self._turnout.leg_insulated
        if rails != "none":
            paint_gap(painter, look, self._heel, rails, filling="plastic")
            paint_cut(painter, look, self._cut, self._heel.pose, self.gauge_mm)

    def from_afar(self) -> Afar:
        """Return its wedge, and a tick at its toe."""
        return Afar((*super().from_afar().lines, (_TOE, self._bar(TICK_MM))))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, whether it is thrown, and what its leg parts."""
        way = self._clear_side()
        name = self._named(look, self._turnout, "thrown", way=way, gap_px=2.0)
        return (*name, *self._at_heel(look))

    def _at_heel(self, look: Look) -> tuple[Label, ...]:
        if self._turnout.leg_insulated == "none":
            return ()
        pose = self._heel.pose
        at = (pose, QPointF(pose.x_mm, pose.y_mm))
        x, y = pose.left(1.0)
        way = (x - pose.x_mm, y - pose.y_mm)
        name = f"{self._turnout.id} leg"
        return cut_labels(look, name, self._cut, at=at, way=way)

    def _clear_side(self) -> tuple[float, float]:
        """Return the way across the track on which the leg does not leave."""
        left = self.across.pose.left(1.0)
        way = (left[0] - self.at.x(), left[1] - self.at.y())
        forward = self._turnout.opens == "forward"
        leg_is_left = (self._turnout.hand == "left") == forward
        return (-way[0], -way[1]) if leg_is_left else way


def _lozenge(pose: Pose, gauge_mm: float) -> QPolygonF:
    """Return a small lozenge along the track about a place. [mm]"""
    length, width = 0.9 * gauge_mm, 0.28 * gauge_mm
    c, s = cos(pose.heading), sin(pose.heading)
    corners = ((length, 0.0), (0.0, width), (-length, 0.0), (0.0, -width))
    return QPolygonF(
        [
            QPointF(pose.x_mm + a * c - b * s, pose.y_mm + a * s + b * c)
            for a, b in corners
        ]
    )
