"""The legend strip below the plan: what the colours mean, and the worst point."""

from collections.abc import Callable, Sequence
from typing import Protocol

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.panels.bits import button, row
from app.panels.colour_switch import ColourSwitch
from app.panels.rail_keys import RailKeys
from app.panels.verdicts import show_margin
from app.session.looks import Looks
from app.session.session import Session
from app.session.views import View, quantity_of
from core.analysis.railmap import RailMap
from core.analysis.study import Quantity
from core.layout.parts import OnRun
from core.layout.queries import place_name
from core.units.figures import show_ohms, show_volts

SHOW: dict[str, Callable[[float], str]] = {
    "volts": show_volts,
    "loop": show_ohms,
    "short": show_margin,
    "short_dc": show_margin,
}
"""How the figures of each quantity are written."""


RAMP_PX, APART_PX = 200, 40
"""What the ramp wants beside the worst point's words, and all gaps together. [px]"""


class Key(Protocol):
    """What the canvas says about its colours."""

    @property
    def quantity(self) -> Quantity:
        """What colours the track."""

    @property
    def low(self) -> float:
        """Figure at the left end."""

    @property
    def high(self) -> float:
        """Figure at the right end."""

    @property
    def colours(self) -> Sequence[str]:
        """Colours from left to right."""

    @property
    def limits(self) -> Sequence[float]:
        """Figures where the verdict changes: at even steps along the ramp."""


class Ramp(QWidget):
    """The colours with their figures, the limits marked."""

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self._looks = looks
        self._key: Key | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        looks.changed.connect(self.update)

    def show_key(self, key: Key | None) -> None:
        """Show what the colours mean."""
        self._key = key
        if key is not None:
            show = SHOW[key.quantity]
            self.setAccessibleName(f"Colours from {show(key.low)} to {show(key.high)}")
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for a bar and a line of figures."""
        return QSize(300, 34)

    def minimumSizeHint(self) -> QSize:
        """Return the least room that can be read."""
        return QSize(150, 34)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw bar, figures and limits."""
        if self._key is None:
            return
        painter = QPainter(self)
        bar = QRectF(4, 3, min(self.width() - 8, 460), 11)
        self._paint_bar(painter, bar, self._key.colours)
        self._paint_figures(painter, bar, self._key)
        painter.end()

    def _paint_bar(
        self, painter: QPainter, bar: QRectF, colours: Sequence[str]
    ) -> None:
        step = bar.width() / max(len(colours), 1)
        for i, colour in enumerate(colours):
            left = bar.left() + i * step
            painter.fillRect(
                QRectF(left, bar.top(), step + 0.6, bar.height()), QColor(colour)
            )
        painter.setPen(QPen(QColor(self._looks.theme.panel_edge), 1))
        painter.drawRect(bar)

    def _paint_figures(self, painter: QPainter, bar: QRectF, key: Key) -> None:
        theme, show = self._looks.theme, SHOW[key.quantity]
        painter.setPen(QColor(theme.ink))
        line = QRectF(bar.left(), bar.bottom() + 2, bar.width(), 16)
        low, high = show(key.low), show(key.high)
        painter.drawText(line, Qt.AlignmentFlag.AlignLeft, low)
        painter.drawText(line, Qt.AlignmentFlag.AlignRight, high)
        metrics = painter.fontMetrics()
        taken = line.left() + metrics.horizontalAdvance(low) + 8
        last = line.right() - metrics.horizontalAdvance(high) - 8
        for i, limit in enumerate(key.limits, start=1):
            x = bar.left() + bar.width() * i / (len(key.limits) + 1)
            painter.setPen(QPen(QColor(theme.ink), 2))
            top, bottom = round(bar.top() - 3), round(bar.bottom() + 3)
            painter.drawLine(round(x), top, round(x), bottom)
            width = metrics.horizontalAdvance(show(limit))
            if x - width / 2 > taken and x + width / 2 < last:
                at = QPointF(x - width / 2, line.bottom() - 3)
                painter.drawText(at, show(limit))
                taken = x + width / 2 + 8


class LegendStrip(QWidget):
    """Switch, the key of the view, and the worst point, side by side.

    Signals
    -------
    district_chosen(int)
        The district to show.
    """

    district_chosen = Signal(int)

    def __init__(
        self, session: Session, looks: Looks, show_place: Callable[[OnRun], None]
    ) -> None:
        super().__init__()
        self._session, self._show_place = session, show_place
        self._quantity: Quantity | None = None
        self.switch = ColourSwitch()
        self.ramp = Ramp(looks)
        self.keys = RailKeys(looks, self.district_chosen.emit)
        self.worst = button("", self._on_worst, "link", "Put the probe there")
        shown = (self.ramp, self.keys.poles, self.keys.districts)
        box = row(self.switch, *shown, self.worst)
        box.setContentsMargins(8, 4, 8, 4)
        self.setLayout(box)
        session.study_ready.connect(lambda _: self._refresh_worst())
        session.layout_replaced.connect(self._refresh_worst)
        self.show_view(None)

    def show_view(self, view: View | None) -> None:
        """Show what the track is shown by."""
        self._quantity = quantity_of(view)
        self.switch.show_choice(view)
        self.ramp.setVisible(view not in ("poles", "districts"))
        self.keys.poles.setVisible(view == "poles")
        self.keys.districts.setVisible(view == "districts")
        if self._quantity is None:
            self.ramp.show_key(None)
        self._refresh_worst()

    def show_key(self, key: Key | None) -> None:
        """Show what the colours mean."""
        self.ramp.show_key(key if self._quantity is not None else None)

    def show_rails(self, rails: RailMap | None) -> None:
        """Show which districts there are."""
        self.keys.show_rails(rails, self._session.layout.settings.lengths)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the worst point out where there is no room for it."""
        super().resizeEvent(event)
        self._refresh_worst()

    def _refresh_worst(self) -> None:
        result, quantity = self._session.result, self._quantity
        worst = result.sound.worst(quantity) if result and quantity else None
        if result is None or worst is None or quantity is None:
            self.worst.hide()
            return
        figure = SHOW[quantity](worst.value)
        where = place_name(result.study.layout, worst.place)
        room = self.width() - self.switch.sizeHint().width() - RAMP_PX - APART_PX
        # Without room F7 still goes there.
        self.worst.hide()
        for words in (f"Worst: {figure} at {where}", f"Worst: {figure}"):
            self.worst.setText(words)
            if self.worst.sizeHint().width() <= room:
                self.worst.show()
                return

    def _on_worst(self) -> None:
        result, quantity = self._session.result, self._quantity
        worst = result.sound.worst(quantity) if result and quantity else None
        if worst is not None:
            self._session.set_probe(worst.place)
            self._show_place(worst.place)
