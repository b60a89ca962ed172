"""The tools of the stage, and the switches of the view, at the left."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QAction, QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QFrame,
    QGridLayout,
    QSizePolicy,
    QVBoxLayout,
)

from app.panels.bits import IconButton, empty, label
from app.session.looks import Looks
from app.tools.catalogue import TOOLS, Tool

WIDTH = 128
"""Width of the column. [px]"""


class ToolButton(QAbstractButton):
    """One tool: its picture, its name and its key."""

    def __init__(self, tool: Tool, looks: Looks) -> None:
        super().__init__()
        self.tool, self._looks = tool, looks
        self.setText(tool.title)
        self.setToolTip(f"{tool.hint} ({tool.shortcut})")
        self.setAccessibleName(f"{tool.title} tool")
        self.setAccessibleDescription(tool.hint)
        self.setCheckable(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        looks.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room for one line."""
        return QSize(WIDTH - 16, 34)

    def paintEvent(self, _: QPaintEvent) -> None:
        """Draw picture, name and key."""
        theme, here = self._looks.theme, self.isChecked()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        ground = theme.accent if here else theme.panel_edge
        painter.setPen(QPen(QColor(theme.ink if self.hasFocus() else ground), 1))
        if not self.hasFocus() and not here:
            painter.setPen(Qt.PenStyle.NoPen)
        lit = here or self.underMouse()
        painter.setBrush(QColor(ground) if lit else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(box, 6, 6)
        role = "on_accent" if here else "ink"
        picture = self._looks.icon(self.tool.id, role)
        picture.paint(painter, 8, 0, 20, self.height())
        painter.setPen(QColor(theme.on_accent if here else theme.ink))
        words = box.adjusted(34, 0, -6, 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, self.text())
        painter.setPen(QColor(theme.on_accent if here else theme.faint))
        side = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
        painter.drawText(words, side, self.tool.shortcut)
        painter.end()


class ToolColumn(QFrame):
    """Shows the tools of one stage; one of them is taken up."""

    chosen = Signal(str)

    def __init__(self, looks: Looks, views: Sequence[tuple[str, QAction]]) -> None:
        super().__init__()
        self._looks = looks
        self._buttons: dict[str, ToolButton] = {}
        self._group: QButtonGroup | None = None
        self.setFixedWidth(WIDTH)
        self.setAccessibleName("Tools")
        box = QVBoxLayout(self)
        box.setContentsMargins(8, 8, 8, 8)
        self._tools = QVBoxLayout()
        self._tools.setSpacing(2)
        box.addLayout(self._tools)
        box.addStretch(1)
        box.addWidget(label("View", "faint"))
        grid = QGridLayout()
        grid.setSpacing(2)
        for i, (icon, action) in enumerate(views):
            grid.addWidget(_view_button(looks, icon, action), i // 3, i % 3)
        box.addLayout(grid)

    @property
    def tool_ids(self) -> tuple[str, ...]:
        """The tools that are offered, top to bottom."""
        return tuple(self._buttons)

    def button(self, tool_id: str) -> ToolButton:
        """Return the button of a tool that is offered."""
        return self._buttons[tool_id]

    def show_stage(self, stage_id: str) -> None:
        """Offer the tools of a stage."""
        empty(self._tools)
        self._buttons = {}
        self._group = QButtonGroup(self)
        for tool in TOOLS.values():
            if stage_id in tool.stages:
                made = ToolButton(tool, self._looks)
                made.clicked.connect(lambda _=False, t=tool.id: self.chosen.emit(t))
                self._group.addButton(made)
                self._buttons[tool.id] = made
                self._tools.addWidget(made)

    def show_tool(self, tool_id: str) -> None:
        """Show which tool is taken up."""
        if tool_id in self._buttons:
            self._buttons[tool_id].setChecked(True)


def _view_button(looks: Looks, icon: str, action: QAction) -> IconButton:
    trigger: Callable[[], None] = action.trigger
    key = action.shortcut().toString()
    name = action.text().replace("&", "") + (f" ({key})" if key else "")
    made = IconButton(looks, icon, name, trigger)
    made.setCheckable(action.isCheckable())
    made.setChecked(action.isChecked())
    action.toggled.connect(made.setChecked)
    return made
