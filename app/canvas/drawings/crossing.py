"""A diamond or slip: its four small crossings, its slip roads, the road that is set."""

from dataclasses import dataclass
from math import atan2, cos, sin

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF

from app.canvas.drawings.settable import RAILS_FROM_PX, Settable
from app.canvas.look import Look
from app.canvas.words.label import Label, cut_short
from core.layout.geometry import Path, Pose
from core.layout.lie import Lie, Meeting, road_ends
from core.layout.parts import Crossing, Side
from core.layout.roads import Road
from core.network.crossings import CrossingPlan

NOSE_GAUGES = 1.6
"""How long the sign of an acute crossing is, out from where rails meet. [gauges]"""

DOT_GAUGES = 0.16
"""Radius of the sign of an obtuse crossing. [gauges]"""

ROAD_SHARE = 0.8
"""How far out a slip road begins, of the way to the acute crossings. [1]"""

ROAD_STEPS = 14
CUT_PX = 2.4
"""Width of the paper round a piece that is cut out of its rails. [px]"""

DEAD_PX, LIVE_PX, ROAD_PX = 1.8, 1.2, 1.8


@dataclass(frozen=True, slots=True)
class _Piece:
    """One of the four small crossings: its sign, and what becomes of it."""

    meeting: Meeting
    at: QPointF
    nose: QPolygonF
    is_dead: bool
    is_switched: bool


class CrossingDrawing(Settable):
    """Two tracks across each other: the lozenge between their rails, and its signs.

    A live crossing is filled, with paper round it where it is cut out of its rails; a
    dead one is hollow and grey. Thrown, a broad line runs along the second track,
    or the slip road, and words say which.
    """

    def __init__(
        self,
        plan: CrossingPlan,
        paths: tuple[Path, Path],
        gauge_mm: float,
        *,
        road: Road = "a",
        words: str = "",
    ) -> None:
        crossing = plan.crossing
        a_path, b_path = paths
        pose = a_path.at(crossing.a.position_m)
        super().__init__(pose, gauge_mm, thrown=road != "a")
        self._crossing: Crossing = crossing
        self._words = words
        b_pose = b_path.at(crossing.b.position_m)
        spots = _spots(plan.lie, a_path, gauge_mm)
        self.pieces = tuple(
            _piece(plan, meeting, spot, (self.across.pose, b_pose), gauge_mm)
            for meeting, spot in zip(plan.lie.meetings, spots, strict=True)
        )
        self._area = _around(spots, self.at)
        half = plan.lie.half_a_m + NOSE_GAUGES * gauge_mm / 1000.0
        middle = crossing.b.position_m
        places = b_path.line(max(middle - half, 0.0), middle + half)
        self._way = QPolygonF([QPointF(x, y) for x, y in places.tolist()])
        self.roads = tuple(
            _road(plan.lie, side, (a_path, b_path), crossing) for side in plan.roads
        )
        for side, poses in zip(plan.roads, self.roads, strict=True):
            if side == road:
                self._way = _line_of(poses, 0.0)

    @property
    def way(self) -> QPolygonF:
        """The way that lights up where it is thrown. [mm]"""
        return self._way

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:  # noqa: ARG002
        """Paint it."""
        theme = look.theme
        near = look.gauge_px >= RAILS_FROM_PX
        self._paint_area(painter, look, near=near)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if near:
            self._paint_roads(painter, look)
            for piece in self.pieces:
                self._paint_piece(painter, look, piece)
            painter.setBrush(Qt.BrushStyle.NoBrush)
        elif self.roads:
            painter.setPen(look.pen(theme.rail, ROAD_PX))
            for road in self.roads:
                painter.drawPolyline(_line_of(road, 0.0))

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its id and name, and which track it is set for if thrown."""
        set_for = cut_short(self._words)
        way = self.way_aside()
        return self._named(look, self._crossing, set_for, way=way, gap_px=4.0)

    def _paint_roads(self, painter: QPainter, look: Look) -> None:
        painter.setPen(look.pen(look.theme.ink, ROAD_PX))
        for road in self.roads:
            for off in (0.5, -0.5):
                painter.drawPolyline(_line_of(road, off * self.gauge_mm))

    def _paint_piece(self, painter: QPainter, look: Look, piece: _Piece) -> None:
        theme, radius = look.theme, DOT_GAUGES * self.gauge_mm
        if piece.is_dead:
            painter.setBrush(QBrush(QColor(theme.paper)))
            painter.setPen(look.pen(theme.dead, DEAD_PX))
        else:
            painter.setBrush(QBrush(QColor(theme.rail)))
            painter.setPen(look.pen(theme.rail, LIVE_PX))
        if piece.is_switched:
            painter.setPen(look.pen(theme.paper, CUT_PX))
        if piece.meeting.acute or piece.is_switched:
            painter.drawPolygon(piece.nose)
        else:
            painter.drawEllipse(piece.at, radius, radius)


def _spots(lie: Lie, a_path: Path, gauge_mm: float) -> tuple[QPointF, ...]:
    """Return where the four pairs of rails meet in plan. [mm]"""
    found: list[QPointF] = []
    for meeting in lie.meetings:
        sign = 0.5 if meeting.a_side == "left" else -0.5
        found.append(QPointF(*a_path.at(meeting.a_m).left(sign * gauge_mm)))
    return tuple(found)


def _around(spots: tuple[QPointF, ...], middle: QPointF) -> QPolygonF:
    """Return four corners in order round their middle."""
    return QPolygonF(
        sorted(spots, key=lambda p: atan2(p.y() - middle.y(), p.x() - middle.x()))
    )


def _piece(
    plan: CrossingPlan,
    meeting: Meeting,
    spot: QPointF,
    poses: tuple[Pose, Pose],
    gauge_mm: float,
) -> _Piece:
    """Return a small crossing; its nose opens outwards between its two rails."""
    corners = [spot]
    for pose, ahead in zip(poses, (meeting.a_ahead, meeting.b_ahead), strict=True):
        reach = NOSE_GAUGES * gauge_mm * (1.0 if ahead else -1.0)
        if plan.lie.square:
            reach *= 0.4
        corners.append(
            QPointF(
                spot.x() + reach * cos(pose.heading),
                spot.y() + reach * sin(pose.heading),
            )
        )
    return _Piece(
        meeting,
        spot,
        QPolygonF(corners),
        is_dead=meeting in plan.dead,
        is_switched=meeting in plan.switched,
    )


def _road(
    lie: Lie, side: Side, paths: tuple[Path, Path], crossing: Crossing
) -> tuple[Pose, ...]:
    """Return places along a slip road: a curve that touches both tracks."""
    reach = ROAD_SHARE * lie.half_a_m
    ends = []
    places = (crossing.a.position_m, crossing.b.position_m)
    for path, place, ahead in zip(paths, places, road_ends(lie, side), strict=True):
        there = path.at(place + (reach if ahead else -reach))
        ends.append((there.x_mm, there.y_mm))
    middle = paths[0].at(crossing.a.position_m)
    (x0, y0), (x1, y1), (x2, y2) = ends[0], (middle.x_mm, middle.y_mm), ends[1]
    poses: list[Pose] = []
    for i in range(ROAD_STEPS + 1):
        t = i / ROAD_STEPS
        near, mid, far = (1 - t) ** 2, 2 * t * (1 - t), t * t
        heading = atan2(
            (1 - t) * (y1 - y0) + t * (y2 - y1), (1 - t) * (x1 - x0) + t * (x2 - x1)
        )
        poses.append(
            Pose(
                near * x0 + mid * x1 + far * x2,
                near * y0 + mid * y1 + far * y2,
                heading,
            )
        )
    return tuple(poses)


def _line_of(road: tuple[Pose, ...], offset_mm: float) -> QPolygonF:
    return QPolygonF([QPointF(*pose.left(offset_mm)) for pose in road])
