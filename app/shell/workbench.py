"""The place of work: stages above, tools left, plan in the middle, panels right."""

from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QAction, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QMenu,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.canvas.canvas import Canvas
from app.panels.legend import LegendStrip
from app.panels.preview import Preview
from app.panels.profile.strip import ProfileStrip
from app.panels.scale_bar import ScaleBar
from app.session.looks import Looks
from app.session.session import Session
from app.session.stages import Open
from app.session.views import View, quantity_of
from app.shell.context import Context
from app.shell.stage_bar import StageBar
from app.shell.status import StatusLine
from app.shell.tool_column import ToolColumn
from app.tools.catalogue import TOOLS
from core.layout.parts import Turnout, Turntable
from core.layout.queries import can_be_thrown

FIRST_COLOURS: dict[str, View | None] = {"drops": "volts", "prove": "volts"}
"""What colours the track in each stage until the person chooses otherwise."""


ON_PAPER = "These are the pages as they will be printed. Ctrl+P makes the PDF."


@dataclass(frozen=True)
class Pieces:
    """What the workbench is put together from; see `app.build`."""

    session: Session
    looks: Looks
    canvas: Canvas
    tools: ToolColumn
    context: Context
    preview: Preview
    part_actions: tuple[QAction, ...]
    throw_actions: tuple[QAction, ...]
    flip_actions: tuple[QAction, ...]


class Workbench(QWidget):
    """Keeps stage, tool and colouring in step across its pieces."""

    stage_changed = Signal(str)

    def __init__(self, pieces: Pieces) -> None:
        super().__init__()
        self._session, self.canvas = pieces.session, pieces.canvas
        self._looks, self._pieces = pieces.looks, pieces
        self.tools, self.context = pieces.tools, pieces.context
        self.preview = pieces.preview
        self.stage = ""
        self._colours = dict(FIRST_COLOURS)
        session, looks = pieces.session, pieces.looks
        self.stages = StageBar(session, looks, self._show_open)
        self.legend = LegendStrip(session, looks, self.canvas.show_place)
        self.scale = ScaleBar(session, looks)
        self.profile = ProfileStrip(session, looks)
        self.profile.hide()
        self.status = StatusLine(session, looks)
        self._centre = QStackedWidget()
        self._centre.addWidget(self.canvas)
        self._centre.addWidget(self.preview)
        self._strip = _strip(self.legend, self.scale)
        self._assemble()
        self._connect()
        self.set_stage("track")

    def set_stage(self, stage_id: str) -> None:
        """Go to a stage of the job."""
        if stage_id == self.stage:
            return
        self.stage = stage_id
        self.stages.show_stage(stage_id)
        self.tools.show_stage(stage_id)
        self.context.show_stage(stage_id)
        on_paper = stage_id == "sheet"
        self._centre.setCurrentWidget(self.preview if on_paper else self.canvas)
        self.tools.setVisible(not on_paper)
        self._strip.setVisible(not on_paper)
        if on_paper:
            self.profile.hide()
        self._show_colours(self._colours.get(stage_id))
        self.canvas.set_tool("probe" if stage_id == "prove" else "select")
        if on_paper:
            self.status.show_hint(ON_PAPER)
            self.status.pointer.clear()
        self.stage_changed.emit(stage_id)

    def set_tool(self, tool_id: str) -> None:
        """Take up a tool, in a stage that offers it."""
        stages = TOOLS[tool_id].stages
        if self.stage not in stages:
            self.set_stage(stages[0])
        self.canvas.set_tool(tool_id)
        self.canvas.setFocus()

    def set_colouring(self, view: View | None) -> None:
        """Show the track in a view, in this stage from now on."""
        self._colours[self.stage] = view
        self._show_colours(view)

    @property
    def colouring(self) -> View | None:
        """What the track is shown by now."""
        return self._colours.get(self.stage)

    def show_profile(self) -> None:
        """Show or hide the figures along the track as a plot."""
        if self.stage == "sheet":
            self.set_stage("prove")
        self.profile.setVisible(not self.profile.isVisible())

    def next_pane(self) -> None:
        """Move the keyboard on: stages, tools, plan, right side, and round again."""
        panes: list[QWidget] = [self.stages, self.tools, self._centre, self.context]
        shown = [pane for pane in panes if pane.isVisible()]
        now = QApplication.focusWidget()
        inside = [i for i, p in enumerate(shown) if now and p.isAncestorOf(now)]
        after = (inside[0] + 1) % len(shown) if inside else 0
        _focus_first(shown[after])

    def close_work(self) -> None:
        """End all work in the background."""
        self.preview.close_press()
        self.context.close_work()

    def _show_colours(self, view: View | None) -> None:
        self.legend.show_view(view)
        self.canvas.set_colouring(view)
        self.profile.set_quantity(quantity_of(view))

    def show_feeds(self, number: int) -> None:
        """Show what feeds the track, and the track of one district."""
        self.set_colouring("districts")
        self._show_district(number)

    def _show_district(self, number: int) -> None:
        rails = self.canvas.rails
        if rails is not None:
            whole = (
                run
                for run, stretches in rails.plan.runs.items()
                if {stretch.number for stretch in stretches} == {number}
            )
            self._session.select(whole)
        self.canvas.show_district(number)

    def _show_open(self, item: Open) -> None:
        self._session.select(item.parts)
        self.canvas.show_parts(item.parts)

    def _assemble(self) -> None:
        centre = QVBoxLayout()
        centre.setSpacing(0)
        centre.addWidget(self._centre, 1)
        centre.addWidget(self.profile)
        centre.addWidget(self._strip)
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(self.tools)
        middle.addLayout(centre, 1)
        middle.addWidget(self.context)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.stages)
        box.addLayout(middle, 1)
        box.addWidget(self.status)

    def _connect(self) -> None:
        canvas, status = self.canvas, self.status
        self.stages.chosen.connect(self.set_stage)
        self.tools.chosen.connect(self.set_tool)
        self.legend.switch.chosen.connect(self.set_colouring)
        canvas.tool_changed.connect(self.tools.show_tool)
        canvas.hint_changed.connect(status.show_hint)
        canvas.pointer_moved.connect(status.show_pointer)
        canvas.measure_changed.connect(status.show_measure)
        canvas.typing_changed.connect(status.show_typing)
        canvas.legend_changed.connect(self.legend.show_key)
        canvas.rails_changed.connect(self.legend.show_rails)
        self.legend.district_chosen.connect(self._show_district)
        canvas.zoom_changed.connect(self.scale.show_zoom)
        canvas.menu_asked.connect(self._show_menu)
        self.scale.show_zoom(canvas.look.px_per_mm)
        self._looks.changed.connect(lambda: canvas.set_theme(self._looks.theme))
        for tool in TOOLS.values():
            key = QShortcut(QKeySequence(tool.shortcut), canvas)
            key.setContext(Qt.ShortcutContext.WidgetShortcut)
            key.activated.connect(partial(self.set_tool, tool.id))

    def _show_menu(self, place: QPoint) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        layout, chosen = self._session.layout, self._session.selection
        shown = self._pieces.part_actions
        if any(
            can_be_thrown(layout, part) or layout.get(part, Turntable)
            for part in chosen
        ):
            shown = (*self._pieces.throw_actions, *shown)
        if any(layout.get(part, Turnout) is not None for part in chosen):
            shown = (*self._pieces.flip_actions, *shown)
        for action in shown:
            action.setEnabled(bool(chosen))
            # Its key works on, whatever is selected next.
            menu.aboutToHide.connect(partial(action.setEnabled, True))  # noqa: FBT003
            menu.addAction(action)
        menu.popup(place)


def _focus_first(pane: QWidget) -> None:
    """Give the keyboard to the first thing in a pane that takes it."""
    for widget in (pane, *pane.findChildren(QWidget)):
        takes = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if takes and widget.isVisible() and widget.isEnabled():
            widget.setFocus(Qt.FocusReason.TabFocusReason)
            return


def _strip(legend: LegendStrip, scale: ScaleBar) -> QFrame:
    made = QFrame()
    made.setProperty("kind", "strip")
    box = QHBoxLayout(made)
    box.setContentsMargins(0, 0, 0, 0)
    box.addWidget(legend, 1)
    box.addWidget(scale)
    return made
