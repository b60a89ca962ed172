"""Small pieces that all panels are made of."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QStyle,
    QStyleOptionButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.session.looks import Looks

SPACE = 8
"""The distance between things that belong together. [px]"""


def label(text: str = "", kind: str = "", *, wraps: bool = True) -> QLabel:
    """Return a label; `kind` is a name of the style sheet."""
    made = QLabel(text)
    made.setProperty("kind", kind)
    made.setWordWrap(wraps)
    made.setTextFormat(Qt.TextFormat.PlainText)
    return made


def button(
    text: str, on_click: Callable[[], object], kind: str = "", tip: str = ""
) -> QPushButton:
    """Return a push button; `kind` is "main", "link" or plain."""
    made = QPushButton(text)
    made.setProperty("kind", kind)
    made.setToolTip(tip)
    made.setAutoDefault(False)
    if kind == "link":
        made.setCursor(Qt.CursorShape.PointingHandCursor)
        made.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    made.clicked.connect(lambda *_: on_click())
    return made


class IconButton(QToolButton):
    """A small button that shows an icon of the theme."""

    def __init__(
        self, looks: Looks, icon: str, name: str, on_click: Callable[[], object]
    ) -> None:
        super().__init__()
        self._looks, self._icon = looks, icon
        self.setToolTip(name)
        self.setAccessibleName(name)
        self.setIconSize(QSize(18, 18))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(lambda *_: on_click())
        self.toggled.connect(lambda _: self._tint())
        looks.changed.connect(self._tint)
        self._tint()

    def _tint(self) -> None:
        role = "on_accent" if self.isChecked() else "ink"
        self.setIcon(self._looks.icon(self._icon, role))


class Mark(QLabel):
    """A small shape in the colour of a verdict or severity; see the icons."""

    def __init__(self, looks: Looks, size: int = 18) -> None:
        super().__init__()
        self._looks, self._size = looks, size
        self._shown = ("", "ink")
        self.setFixedSize(size, size)
        looks.changed.connect(self._draw)

    def show_mark(self, icon: str, role: str) -> None:
        """Show an icon in a colour of the theme."""
        self._shown = (icon, role)
        self._draw()

    def _draw(self) -> None:
        icon, role = self._shown
        if icon:
            scale = self.devicePixelRatioF()
            self.setPixmap(self._looks.pixmap(icon, role, self._size, scale))


class Tick(QCheckBox):
    """A yes or no, drawn in the colours of the theme.

    WORKAROUND: Fusion derives the edge of the box from the window's colour, so
    that on dark it cannot be seen.
    """

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw the box, its mark, and the words."""
        option = QStyleOptionButton()
        self.initStyleOption(option)
        style, part = self.style(), QStyle.SubElement.SE_CheckBoxIndicator
        box = QRectF(style.subElementRect(part, option, self)).adjusted(1, 1, -1, -1)
        palette = self.palette()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        no = self.checkState() == Qt.CheckState.Unchecked
        edge = palette.dark() if no and not self.hasFocus() else palette.highlight()
        painter.setPen(QPen(edge.color(), 1.2))
        painter.setBrush(palette.base() if no else palette.highlight())
        painter.drawRoundedRect(box, 3, 3)
        self._draw_mark(painter, box)
        words = style.subElementRect(
            QStyle.SubElement.SE_CheckBoxContents, option, self
        )
        painter.setPen(palette.windowText().color())
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self.text())
        painter.end()

    def _draw_mark(self, painter: QPainter, box: QRectF) -> None:
        painter.setPen(QPen(self.palette().highlightedText().color(), 1.8))
        middle, across = box.center(), box.width()
        if self.checkState() == Qt.CheckState.Checked:
            low = QPointF(middle.x() - 0.06 * across, middle.y() + 0.22 * across)
            left = QPointF(middle.x() - 0.27 * across, middle.y())
            right = QPointF(middle.x() + 0.28 * across, middle.y() - 0.24 * across)
            painter.drawLine(left, low)
            painter.drawLine(low, right)
        elif self.checkState() == Qt.CheckState.PartiallyChecked:
            reach = QPointF(0.25 * across, 0.0)
            painter.drawLine(middle - reach, middle + reach)


class Card(QFrame):
    """A framed piece of a panel with a heading."""

    def __init__(self, heading: str = "") -> None:
        super().__init__()
        self.setProperty("kind", "card")
        self.box = QVBoxLayout(self)
        self.box.setContentsMargins(12, 10, 12, 12)
        self.box.setSpacing(SPACE)
        self.heading = label(heading, "heading")
        self.heading.setVisible(bool(heading))
        self.box.addWidget(self.heading)


def rule() -> QFrame:
    """Return a thin line across."""
    made = QFrame()
    made.setProperty("kind", "rule")
    made.setFixedHeight(1)
    return made


def row(*widgets: QWidget | None, spacing: int = SPACE) -> QHBoxLayout:
    """Return widgets side by side; None is a space that stretches."""
    made = QHBoxLayout()
    made.setContentsMargins(0, 0, 0, 0)
    made.setSpacing(spacing)
    for widget in widgets:
        if widget is None:
            made.addStretch(1)
        else:
            made.addWidget(widget)
    return made


def column(parent: QWidget, *, margin: int = 12) -> QVBoxLayout:
    """Give a widget a column to put things in."""
    made = QVBoxLayout(parent)
    made.setContentsMargins(margin, margin, margin, margin)
    made.setSpacing(SPACE)
    return made


def empty(layout: QLayout) -> None:
    """Take everything out of a layout and let it go."""
    while (item := layout.takeAt(0)) is not None:
        inner, widget = item.layout(), item.widget()
        if inner is not None:
            empty(inner)
        if widget is not None:
            widget.hide()
            widget.deleteLater()


def restyle(widget: QWidget, name: str, value: str) -> None:
    """Set a property that the style sheet looks at."""
    if widget.property(name) != value:
        widget.setProperty(name, value)
        widget.style().unpolish(widget)
        widget.style().polish(widget)


class Panel(QScrollArea):
    """A column of cards that scrolls when it must."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(name)
        inside = QWidget()
        inside.setProperty("ground", "panel")
        self.box = column(inside)
        self.setWidget(inside)

    def add(self, *widgets: QWidget) -> None:
        """Put widgets below each other."""
        for widget in widgets:
            self.box.addWidget(widget)

    def close_up(self) -> None:
        """Let what is left of the height stay empty."""
        self.box.addStretch(1)
