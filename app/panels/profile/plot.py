"""The plot itself: a line over the route, limits, loads, drops and the train."""

from collections.abc import Sequence
from math import isfinite, nan

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.panels.legend import SHOW
from app.session.looks import Looks
from core.analysis.profile import Profile
from core.analysis.study import Flow, Quantity
from core.layout.ids import PartId
from core.units.axis import Axis
from core.units.figures import show_amps
from core.units.length import show_length

LEFT, RIGHT, TOP, BOTTOM = 62, 34, 12, 24
"""Room round the plot for figures. [px]"""

KEY_STEP = 0.01
"""Share of the route that an arrow key moves the train. [1]"""

TICK_PX, BAR_PX = 7.0, 26.0
"""Height of a drop on the base line, and how much it grows at most. [px]"""

LEAST_TOLD = 0.1
"""Share of the most loaded drop from which a drop's amps are written. [1]"""

WORD_PX = 46.0
"""Room for the amps of one drop. [px]"""

HEADROOM = 0.08
"""Free room above and below the line. [1]"""


class ProfilePlot(QWidget):
    """Shows a profile; dragging moves the train along it."""

    scrubbed = Signal(float)

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self._looks = looks
        self._profile: Profile | None = None
        self._quantity: Quantity = "volts"
        self._limits: tuple[float, ...] = ()
        self._system = "m"
        self._train_m: float | None = None
        self._amps: dict[PartId, float] = {}
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setAccessibleName("Profile along the track")
        looks.changed.connect(self.update)

    @property
    def train_m(self) -> float | None:
        """Where the train stands along the route. [m]."""
        return self._train_m

    @property
    def amps(self) -> dict[PartId, float]:
        """What each drop carries with the train where it stands. [A]."""
        return self._amps

    def show_profile(
        self,
        profile: Profile | None,
        quantity: Quantity,
        limits: tuple[float, ...],
        system: str,
    ) -> None:
        """Show a profile by one quantity, with the figures where verdicts change."""
        self._profile, self._quantity = profile, quantity
        self._limits, self._system = limits, system
        self.update()

    def show_train(self, distance_m: float | None) -> None:
        """Put the train somewhere along the route, or take it away."""
        if distance_m != self._train_m:
            self._train_m = distance_m
            self.update()

    def show_flows(self, drops: Sequence[Flow]) -> None:
        """Show what each drop carries while the train stands where it does."""
        amps = {flow.part: flow.amps_a for flow in drops}
        if amps != self._amps:
            self._amps = amps
            self.update()

    def sizeHint(self) -> QSize:
        """Return room for a line that can be read."""
        return QSize(480, 150)

    # Qt overrides

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw axes, limits, what stands on the way, the line and the train."""
        profile = self._profile
        if profile is None or not len(profile.distance_m):
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        along, up = self._axes(profile)
        self._paint_ground(painter, along, up)
        self._paint_limits(painter, up)
        self._paint_things(painter, profile, along)
        self._paint_line(painter, profile, along, up)
        self._paint_train(painter, along, up)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the train where the pointer is."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._scrub_to(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the train along."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._scrub_to(event.position().x())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the train with the arrow keys."""
        steps = {Qt.Key.Key_Left: -KEY_STEP, Qt.Key.Key_Right: KEY_STEP}
        if event.key() in steps and self._profile is not None:
            whole = self._profile.length_m
            here = self._train_m or 0.0
            to = here + steps[Qt.Key(event.key())] * whole
            self.scrubbed.emit(min(max(to, 0.0), whole))
        else:
            super().keyPressEvent(event)

    # Helpers

    def _values(self, profile: Profile) -> list[float]:
        return [
            float(v)
            for v in {
                "volts": profile.volts_v,
                "loop": profile.loop_ohm,
                "short": profile.margin,
                "short_dc": profile.plain_margin,
            }[self._quantity]
        ]

    def _axes(self, profile: Profile) -> tuple[Axis, Axis]:
        width = max(self.width() - LEFT - RIGHT, 1)
        height = max(self.height() - TOP - BOTTOM, 1)
        shown = [v for v in self._values(profile) if isfinite(v)]
        shown += [v for v in self._limits if _is_near(v, shown)]
        low, high = min(shown, default=0.0), max(shown, default=1.0)
        room = HEADROOM * (high - low) or 0.05 * abs(high) or 1.0
        return (
            Axis(0.0, max(profile.length_m, 1e-6), width),
            Axis(low - room, high + room, height),
        )

    def _at(self, along: Axis, up: Axis, metres: float, figure: float) -> QPointF:
        return QPointF(LEFT + along.at(metres), TOP + up.length - up.at(figure))

    def _paint_ground(self, painter: QPainter, along: Axis, up: Axis) -> None:
        theme = self._looks.theme
        box = QRectF(LEFT, TOP, along.length, up.length)
        painter.fillRect(box, QColor(theme.paper))
        show = SHOW[self._quantity]
        for figure in up.ticks(4):
            y = TOP + up.length - up.at(figure)
            painter.setPen(QPen(QColor(theme.grid), 1))
            painter.drawLine(QPointF(LEFT, y), QPointF(LEFT + along.length, y))
            painter.setPen(QColor(theme.faint))
            painter.drawText(
                QRectF(0, y - 8, LEFT - 6, 16),
                Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
                show(figure),
            )
        for metres in along.ticks(max(int(along.length // 110), 1)):
            x = LEFT + along.at(metres)
            painter.drawText(
                QRectF(x - 40, TOP + up.length + 6, 80, 16),
                Qt.AlignmentFlag.AlignHCenter,
                show_length(metres, "ft" if self._system == "ft" else "m"),
            )

    def _paint_limits(self, painter: QPainter, up: Axis) -> None:
        theme = self._looks.theme
        for figure, colour in zip(
            self._limits, (theme.tolerable, theme.poor), strict=False
        ):
            if up.low < figure < up.high:
                y = TOP + up.length - up.at(figure)
                painter.setPen(QPen(QColor(colour), 1.2, Qt.PenStyle.DashLine))
                painter.drawLine(QPointF(LEFT, y), QPointF(self.width() - RIGHT, y))

    def _paint_things(self, painter: QPainter, profile: Profile, along: Axis) -> None:
        theme = self._looks.theme
        base = self.height() - BOTTOM
        self._paint_drops(painter, profile, along)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.device))
        for load in profile.loads:
            x = LEFT + along.at(load.distance_m)
            painter.drawRoundedRect(QRectF(x - 7, TOP + 1, 14, 6), 2, 2)
        offset = 0.0
        painter.setPen(QPen(QColor(theme.faint), 1, Qt.PenStyle.DotLine))
        for hop in profile.hops[:-1]:
            offset += hop.length_m
            x = LEFT + along.at(offset)
            painter.drawLine(QPointF(x, TOP), QPointF(x, base))

    def _paint_drops(self, painter: QPainter, profile: Profile, along: Axis) -> None:
        """Draw each drop; what it carries makes it taller, and the most are told."""
        theme = self._looks.theme
        base = self.height() - BOTTOM
        most = max(self._amps.values(), default=0.0)
        told: list[float] = []
        for drop in sorted(profile.drops, key=lambda d: -self._amps.get(d.part, 0.0)):
            x = LEFT + along.at(drop.distance_m)
            amps = self._amps.get(drop.part, 0.0)
            share = amps / most if most > 0.0 else 0.0
            top = base - TICK_PX - BAR_PX * share
            painter.setPen(QPen(QColor(theme.drop), 3.0 if share else 1.4))
            painter.drawLine(QPointF(x, base), QPointF(x, top))
            if share >= LEAST_TOLD and all(abs(x - at) > WORD_PX for at in told):
                told.append(x)
                painter.setPen(QColor(theme.ink))
                box = QRectF(x - WORD_PX, top - 16.0, 2.0 * WORD_PX, 15.0)
                painter.drawText(box, Qt.AlignmentFlag.AlignHCenter, show_amps(amps))

    def _paint_line(
        self, painter: QPainter, profile: Profile, along: Axis, up: Axis
    ) -> None:
        painter.setPen(QPen(QColor(self._looks.theme.accent), 2.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        line = QPolygonF()
        values = [*self._values(profile), nan]
        metres = [*(float(m) for m in profile.distance_m), 0.0]
        for here, value in zip(metres, values, strict=True):
            if isfinite(value):
                line.append(self._at(along, up, here, value))
            elif not line.isEmpty():
                painter.drawPolyline(line)
                line = QPolygonF()

    def _paint_train(self, painter: QPainter, along: Axis, up: Axis) -> None:
        if self._train_m is None:
            return
        theme = self._looks.theme
        x = LEFT + along.at(self._train_m)
        painter.setPen(QPen(QColor(theme.ink), 1.2))
        painter.drawLine(QPointF(x, TOP), QPointF(x, TOP + up.length))
        value = self.value_at(self._train_m)
        if not isfinite(value):
            return
        place = self._at(along, up, self._train_m, value)
        painter.setBrush(QColor(theme.accent))
        painter.setPen(QPen(QColor(theme.paper), 1.5))
        painter.drawEllipse(place, 5, 5)
        painter.setPen(QColor(theme.ink))
        left = x > self.width() - RIGHT - 90
        high = place.y() < TOP + 0.5 * up.length
        room = BAR_PX + 18 if self._amps else 0.0  # for the amps of the drops
        low = max(TOP + up.length - 20 - room, place.y() + 8)
        y = low if high else TOP + 2
        box = QRectF(x - 86 if left else x + 6, y, 80, 16)
        side = Qt.AlignmentFlag.AlignRight if left else Qt.AlignmentFlag.AlignLeft
        painter.drawText(box, side, SHOW[self._quantity](value))

    def value_at(self, distance_m: float) -> float:
        """Return the figure at a place on the route, between those worked out."""
        profile = self._profile
        if profile is None:
            return nan
        values, metres = self._values(profile), profile.distance_m
        for i in range(1, len(metres)):
            low, high = float(metres[i - 1]), float(metres[i])
            if low <= distance_m <= high and high > low:
                share = (distance_m - low) / (high - low)
                return values[i - 1] + share * (values[i] - values[i - 1])
        return values[-1] if values else nan

    def _scrub_to(self, x: float) -> None:
        if self._profile is None:
            return
        along, _ = self._axes(self._profile)
        whole = self._profile.length_m
        self.scrubbed.emit(min(max(along.figure(x - LEFT), 0.0), whole))


def _is_near(limit: float, shown: list[float]) -> bool:
    """Return whether a limit is worth making room for: within twice the spread."""
    if not shown:
        return False
    low, high = min(shown), max(shown)
    room = max(high - low, 0.02 * abs(high))
    return low - 2.0 * room <= limit <= high + 2.0 * room
