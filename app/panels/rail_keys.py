"""The keys of the two views of rails: line styles for poles, a swatch a district."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QLineF, QPoint, QPointF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QIcon,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QMenu, QSizePolicy, QToolButton, QWidget

from app.session.hues import hue_of, pattern_of
from app.session.looks import Looks
from app.session.theme import Theme
from core.analysis.districts import District, DistrictPlan
from core.analysis.railmap import RailMap
from core.checks.words import chain_words
from core.units.figures import show_amps
from core.units.length import System, show_length
from core.units.si import Metre

SAMPLE_PX, WORD_GAP_PX, SPACE_PX = 30, 6, 16
HEIGHT_PX = 34
SWATCH = QSize(30, 12)

POLE_KEYS: tuple[tuple[str, str], ...] = (
    ("a", "A"),
    ("b", "B"),
    ("dead", "not fed"),
    ("short", "both: a short"),
    ("flip", "flips"),
)
"""The samples and their words; they are drawn as on the plan."""


class PolesKey(QWidget):
    """A sample of each line, and its word."""

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self._looks = looks
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        words = "A solid, B dashed, not fed dotted, a short with ticks across"
        self.setAccessibleName(f"Rails by their poles: {words}")
        self.setToolTip(
            "Each rail as the feeds make it. Two arrowheads: there a rail goes over "
            "from A to B, as it must at the ends of a reversing section."
        )
        looks.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room for all samples."""
        return QSize(430, HEIGHT_PX)

    def minimumSizeHint(self) -> QSize:
        """Return the least room: the first samples."""
        return QSize(120, HEIGHT_PX)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the samples, as many as find room."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        x, middle = 4.0, 0.5 * self.height()
        metrics = painter.fontMetrics()
        for which, word in POLE_KEYS:
            width = metrics.horizontalAdvance(word)
            if x + SAMPLE_PX + WORD_GAP_PX + width > self.width():
                break
            _paint_sample(painter, self._looks.theme, which, x, middle)
            x += SAMPLE_PX + WORD_GAP_PX
            painter.setPen(QColor(self._looks.theme.ink))
            painter.drawText(QPointF(x, middle + 0.35 * metrics.height()), word)
            x += width + SPACE_PX
        painter.end()


class DistrictsKey(QWidget):
    """A button for each district as long as there is room, and one for all of them.

    Signals
    -------
    chosen(int)
        The district to show.
    """

    chosen = Signal(int)

    def __init__(self, looks: Looks) -> None:
        super().__init__()
        self._looks = looks
        self._plan: DistrictPlan | None = None
        self._lengths: System = "m"
        self._buttons: list[QToolButton] = []
        self.every = QToolButton()
        self.every.clicked.connect(lambda *_: self._open_list())
        self.every.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._box = QHBoxLayout(self)
        self._box.setContentsMargins(0, 0, 0, 0)
        self._box.setSpacing(1)
        self._box.addStretch(1)
        self._box.addWidget(self.every)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Districts")
        looks.changed.connect(self._rebuild)
        self._rebuild()

    @property
    def buttons(self) -> tuple[QToolButton, ...]:
        """The buttons of the districts, by number."""
        return tuple(self._buttons)

    def show_plan(self, plan: DistrictPlan | None, lengths: System) -> None:
        """Show these districts."""
        before = self._plan
        self._plan, self._lengths = plan, lengths
        if (before.districts if before else ()) != (plan.districts if plan else ()):
            self._rebuild()

    def minimumSizeHint(self) -> QSize:
        """Return room for the button that opens the list."""
        return QSize(self.every.sizeHint().width() + 4, HEIGHT_PX)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many districts as there is room for."""
        super().resizeEvent(event)
        self._fit()

    def make_list(self) -> QMenu:
        """Return a menu of all districts, each with its figures."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for district in self._plan.districts if self._plan is not None else ():
            icon = swatch(self._looks.theme, district.number)
            text = district_words(district, self._lengths)
            menu.addAction(icon, text, partial(self.chosen.emit, district.number))
        return menu

    def _open_list(self) -> None:
        menu = self.make_list()
        top = self.every.mapToGlobal(self.every.rect().topLeft())
        menu.popup(top - QPoint(0, menu.sizeHint().height()))

    def _rebuild(self) -> None:
        districts = self._plan.districts if self._plan is not None else ()
        while len(self._buttons) > len(districts):
            old = self._buttons.pop()
            self._box.removeWidget(old)
            old.hide()
            old.deleteLater()
        while len(self._buttons) < len(districts):
            self._buttons.append(self._button(len(self._buttons)))
        for made, district in zip(self._buttons, districts, strict=True):
            self._tell(made, district)
        self.every.setEnabled(bool(districts))
        count = len(districts)
        self.every.setText(
            "Nothing is fed"
            if not count
            else f"List all {count}"
            if count > 1
            else "List"
        )
        self._fit()

    def _button(self, at: int) -> QToolButton:
        made = QToolButton()
        made.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        made.setIconSize(SWATCH)
        made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        made.clicked.connect(partial(self._on_clicked, at))
        self._box.insertWidget(at, made)
        return made

    def _tell(self, made: QToolButton, district: District) -> None:
        made.setIcon(swatch(self._looks.theme, district.number))
        made.setText(f"{district.number} {'+'.join(district.feeders)}")
        made.setToolTip(district_words(district, self._lengths))
        made.setAccessibleName(f"District {district_words(district, self._lengths)}")

    def _on_clicked(self, at: int, *_: object) -> None:
        if self._plan is not None:
            self.chosen.emit(self._plan.districts[at].number)

    def _fit(self) -> None:
        room = self.width() - self.every.sizeHint().width() - 6
        for made in self._buttons:
            room -= made.sizeHint().width() + 1
            made.setVisible(room >= 0)


class RailKeys:
    """Both keys; one is shown at a time, or none."""

    def __init__(self, looks: Looks, on_district: Callable[[int], object]) -> None:
        self.poles = PolesKey(looks)
        self.districts = DistrictsKey(looks)
        self.districts.chosen.connect(on_district)

    def show_rails(self, rails: RailMap | None, lengths: System) -> None:
        """Show the districts there are now."""
        self.districts.show_plan(rails.plan if rails is not None else None, lengths)


def district_words(district: District, lengths: System) -> str:
    """Return "2  PB1 → CB2: 3.10 m, 0.80 A drawn, 3.20 A left at CB2"."""
    words = [
        show_length(Metre(district.length_m), lengths),
        f"{show_amps(district.amps_a)} drawn",
    ]
    room = district.headroom
    if room is None:
        words.append("shorted")
    elif room.amps_a >= 0.0:
        words.append(f"{show_amps(room.amps_a)} left at {room.by}")
    else:
        words.append(f"{show_amps(-room.amps_a)} too much for {room.by}")
    if district.reverser is not None:
        words.append(f"turned by {district.reverser}")
    return f"{district.number}  {chain_words(district)}: {', '.join(words)}"


def swatch(theme: Theme, number: int) -> QIcon:
    """Return a piece of a district's band, patterned as on the plan."""
    pixmap = QPixmap(SWATCH * 2)
    pixmap.setDevicePixelRatio(2.0)
    pixmap.fill(QColor(theme.paper))
    painter = QPainter(pixmap)
    middle, width = 0.5 * SWATCH.height(), 8.0
    line = QLineF(1.0, middle, SWATCH.width() - 1.0, middle)
    painter.setPen(_pen(hue_of(theme.hues, number), width))
    painter.drawLine(line)
    slit = 0.34 * width
    match pattern_of(number):
        case "split":
            painter.setPen(_pen(theme.paper, slit))
            painter.drawLine(line)
        case "broken":
            painter.setPen(_pen(theme.paper, width, 3.0, 10.0))
            painter.drawLine(line)
        case "barred":
            painter.setPen(_pen(theme.paper, slit, 5.0, 5.0))
            painter.drawLine(line)
        case "whole":
            pass
    painter.end()
    return QIcon(pixmap)


def _pen(colour: str, width: float, dash: float = 0.0, gap: float = 0.0) -> QPen:
    pen = QPen(QColor(colour), width)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dash:
        pen.setDashPattern([dash / width, gap / width])
    return pen


def _paint_sample(
    painter: QPainter, theme: Theme, which: str, x: float, y: float
) -> None:
    line = QLineF(x, y, x + SAMPLE_PX, y)
    match which:
        case "a":
            painter.setPen(_pen(theme.conductor_a, 3.0))
            painter.drawLine(line)
        case "b":
            painter.setPen(_pen(theme.conductor_b, 3.0, 8.0, 4.0))
            painter.drawLine(line)
        case "dead":
            painter.setPen(_pen(theme.dead, 1.6, 2.0, 3.0))
            painter.drawLine(line)
        case "short":
            painter.setPen(_pen(theme.conductor_a, 3.0))
            painter.drawLine(line)
            painter.setPen(_pen(theme.hazard, 1.6))
            for i in range(4):
                across = x + 3.0 + 8.0 * i
                painter.drawLine(QLineF(across, y - 6.0, across, y + 6.0))
        case _:
            _paint_arrowheads(painter, theme, QPointF(x + 0.5 * SAMPLE_PX, y))


def _paint_arrowheads(painter: QPainter, theme: Theme, at: QPointF) -> None:
    painter.setPen(_pen(theme.ink, 1.2))
    for sign, colour in ((-1.0, theme.ink), (1.0, theme.paper)):
        painter.setBrush(QColor(colour))
        back = at.x() + sign * 9.0
        corners = [at, QPointF(back, at.y() + 6.0), QPointF(back, at.y() - 6.0)]
        painter.drawPolygon(QPolygonF(corners))
    painter.setBrush(Qt.BrushStyle.NoBrush)
