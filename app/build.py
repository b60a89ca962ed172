"""Puts the whole program together, by hand, in one place."""

import sys
from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import get_args

from PySide6.QtCore import QTimer
from PySide6.QtGui import QFontDatabase, QGuiApplication, QIcon
from PySide6.QtWidgets import QApplication

from app.canvas.canvas import Canvas
from app.data import data_dir
from app.panels.preview import Preview
from app.panels.printing import Progress, Wishes
from app.panels.probe_card import ProbeCard
from app.panels.properties import Properties
from app.panels.stages.backdrop import BackdropPanel
from app.panels.stages.base import Hands
from app.panels.stages.drops import DropsPanel
from app.panels.stages.power import PowerPanel
from app.panels.stages.prove import ProvePanel
from app.panels.stages.sheet import SheetPanel
from app.panels.stages.track import TrackPanel
from app.session.looks import Looks
from app.session.recent import Memory
from app.session.result import Examine, Result
from app.session.session import Session
from app.session.sweeping import Sweeper
from app.shell.actions import connect_actions, make_actions
from app.shell.context import Context, StagePanels
from app.shell.crash import CrashGuard
from app.shell.deeds import Deeds
from app.shell.filing import Filing
from app.shell.notices import Notices
from app.shell.rescue import Rescue
from app.shell.samples import read_samples
from app.shell.start_page import StartPage, Starts
from app.shell.tool_column import ToolColumn
from app.shell.window import MainWindow, Rooms
from app.shell.workbench import Pieces, Workbench
from core.analysis.study import Case, Quantity, Study
from core.checks.finding import Finding
from core.errors import CoreError
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.network.memory import PartMemory
from core.sheet.brief import Options

SWITCH_S = 0.0005
"""How long a study may hold Python before the window gets its turn. [s]"""

VIEWS = ("zoom-out", "zoom-in", "fit", "grid", "snap", "underside")
"""Commands that stand as small buttons below the tools."""


def run_window(path: Path | None) -> int:
    """Open the window, on a file where one is named; return the exit code."""
    sys.setswitchinterval(SWITCH_S)
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    dress(app)
    program = Program(make_examine())
    guard = CrashGuard(program.rescue.keep)
    guard.install()
    session = program.session
    sweeper = Sweeper(session, session.layout_changed, program.canvas.pointer_moved)
    program.window.show()
    QTimer.singleShot(0, lambda: program.begin(path))
    try:
        return app.exec()
    finally:
        guard.remove()
        program.close()
        sweeper.close()


def dress(app: QApplication) -> None:
    """Give the program its name, its sign and letters that are there everywhere."""
    app.setApplicationName("Feederwright")
    app.setApplicationDisplayName("Feederwright")
    app.setWindowIcon(QIcon(str(data_dir("assets") / "icons" / "feederwright.svg")))
    for font in sorted((data_dir("assets") / "fonts").glob("*.ttf")):
        QFontDatabase.addApplicationFont(str(font))


def make_examine() -> Examine:
    """Return what studies a layout; it keeps what can be used again."""
    # Late: the analysis brings scipy, which the first paint need not wait for.
    memory, shelf = PartMemory(), list[object]()

    def study(layout: Layout, case: Case) -> Study:
        from core.analysis.examine import PatternShelf, study_layout  # noqa: PLC0415

        if not shelf:
            shelf.append(PatternShelf())
        kept = shelf[0]
        assert isinstance(kept, PatternShelf)
        return study_layout(layout, case, pattern=kept.take, memory=memory)

    def check(study: Study) -> tuple[Finding, ...]:
        from core.checks.run import run_checks  # noqa: PLC0415

        return run_checks(study)

    return Examine(study, check, _prepare)


def _prepare(result: Result) -> None:
    """Work out what the panels and the legend show of every result."""
    for quantity in get_args(Quantity):
        result.sound.worst(quantity)


def write_pages(
    result: Result, path: Path, options: Options, progress: Progress
) -> bool:
    """Write the sheet of a result; see `core.sheet.write`."""
    from core.sheet.write import write_sheet  # noqa: PLC0415  wanted late

    return write_sheet(
        result.study, result.findings, path, options=options, progress=progress
    )


class Program:
    """All objects of one window, made in order and handed to each other.

    Parameters
    ----------
    examine : Examine
        What studies a layout; see `make_examine`.
    """

    def __init__(self, examine: Examine) -> None:
        self.memory = Memory()
        self.session = Session(examine)
        self.looks = Looks(data_dir("assets") / "icons")
        self.looks.choose(self.memory.theme)
        self.actions = make_actions(self.session.undo_stack)
        self.notices = Notices(self.looks)
        self.session.notice.connect(self.notices.warn)
        self.session.refusal.connect(self.notices.refuse)
        self.filing = Filing(self.session, self.memory, self.notices)
        self.canvas = Canvas(self.session, self.looks.theme)
        self.canvas.gesture_begun.connect(self.notices.pass_by)
        self.wishes = Wishes()
        self.hands = Hands(
            self._show_parts,
            self.canvas.show_place,
            self.canvas.set_tool,
            self.canvas.fit,
            self.canvas.show_trail,
        )
        self._make_panels()
        self.bench = self._make_bench()
        feeds = self.panels.prove.feeds
        feeds.chosen.connect(self.bench.show_feeds)
        for show in (feeds.show_rails, self.card.show_rails):
            self.canvas.rails_changed.connect(show)
        self.start = StartPage(self.looks, self._starts())
        self.window = MainWindow(
            self.session,
            self.memory,
            self.filing,
            Rooms(self.start, self.bench, self.backdrop, self.notices),
            self.actions,
        )
        self.rescue = Rescue(self.session, self.filing, self.start, self.notices)
        self.rescue.opened.connect(self.window.show_work)
        self.deeds = Deeds(self.window, self.session, self.notices, self.panels)
        slots = self.deeds.slots(self.looks, self.memory, program_version())
        connect_actions(self.actions, slots)
        hints = QGuiApplication.styleHints()
        hints.colorSchemeChanged.connect(self._on_system_theme)

    def begin(self, path: Path | None) -> None:
        """Open a file, or show the start page with what can be opened."""
        samples = data_dir("sample_layouts")
        rescued = self.rescue.offer()
        opened = False
        if path is not None and path.resolve().parent == samples.resolve():
            opened = self.filing.open_sample(path)
        elif path is not None:
            opened = self.filing.open(path)
        if not opened:
            self.window.show_start()
        elif rescued:
            self.notices.tell(
                "Unsaved work of an earlier run was kept; see the start page."
            )
        try:
            self.window.offer(tuple(read_samples(samples)))
        except CoreError as error:
            self.notices.warn(error.sentence())

    def close(self) -> None:
        """End all work in the background; a crash may have left it running."""
        self.window.hide()
        self.bench.close_work()
        self.session.close()

    def _on_system_theme(self) -> None:
        if self.memory.theme == "system":
            self.looks.choose("system")

    def _make_panels(self) -> None:
        session, looks, hands = self.session, self.looks, self.hands
        self.backdrop = BackdropPanel(session, looks, hands)
        prove = ProvePanel(session, looks, hands)
        sheet = SheetPanel(session, looks, hands, write=write_pages, wishes=self.wishes)
        self.panels = StagePanels(
            self.backdrop,
            TrackPanel(session, looks, hands),
            PowerPanel(session, looks, hands),
            DropsPanel(session, looks, hands),
            prove,
            sheet,
        )

    def _make_bench(self) -> Workbench:
        session, looks, hands = self.session, self.looks, self.hands
        self.card = ProbeCard(
            session, looks, show_place=hands.show_place, show_parts=hands.show_parts
        )
        properties = Properties(session, looks, hands.show_parts)
        properties.left.connect(self.canvas.setFocus)
        views = [(name, self.actions[name]) for name in VIEWS]
        return Workbench(
            Pieces(
                session,
                looks,
                self.canvas,
                ToolColumn(looks, views),
                Context(session, self.panels, properties, self.card),
                Preview(session, looks, write_pages, self.wishes),
                tuple(self.actions[name] for name in ("part", "delete")),
                (self.actions["throw"],),
                (self.actions["flip"], self.actions["turn"]),
            )
        )

    def _starts(self) -> Starts:
        filing = self.filing
        return Starts(filing.new, filing.choose, filing.open, filing.open_sample)

    def _show_parts(self, ids: Sequence[PartId]) -> None:
        self.session.select(ids)
        if ids:
            self.canvas.show_parts(ids)


def program_version() -> str:
    """Return the version that is installed, or a word where it is not."""
    try:
        return version("feederwright")
    except PackageNotFoundError:
        return "from source"
