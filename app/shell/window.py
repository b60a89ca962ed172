"""The main window: menus, the start page and the workbench."""

from dataclasses import dataclass
from functools import partial

from PySide6.QtGui import QAction, QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QMainWindow, QMenu, QStackedWidget, QVBoxLayout, QWidget

from app.panels.stages.backdrop import BackdropPanel
from app.session.recent import Memory
from app.session.session import Session
from app.shell.actions import fill_menus
from app.shell.filing import SUFFIX, Filing
from app.shell.notices import Notices
from app.shell.start_page import Sample, StartPage
from app.shell.workbench import Workbench
from core.layout.ids import SETTINGS_ID

SIZE = (1280, 720)
"""Size at the first start; fits a screen of 1366 × 768. [px]"""

LEAST = (1000, 600)
"""Nothing overlaps down to this size. [px]"""

NAME = "Feederwright"


@dataclass(frozen=True)
class Rooms:
    """What the window shows, the panel that takes pictures, and where news stand."""

    start: StartPage
    bench: Workbench
    backdrop: BackdropPanel
    notices: Notices


class MainWindow(QMainWindow):
    """Shows the start page or the workbench under one set of menus."""

    def __init__(
        self,
        session: Session,
        memory: Memory,
        filing: Filing,
        rooms: Rooms,
        actions: dict[str, QAction],
    ) -> None:
        super().__init__()
        self._session, self._memory, self._backdrop = session, memory, rooms.backdrop
        self.filing, self.start, self.bench = filing, rooms.start, rooms.bench
        self.actions_by_id = actions
        self.setMinimumSize(*LEAST)
        self.resize(*SIZE)
        self.setAcceptDrops(True)
        self._pages = QStackedWidget()
        self._pages.addWidget(self.start)
        self._pages.addWidget(self.bench)
        inside = QWidget()
        box = QVBoxLayout(inside)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self._pages, 1)
        rooms.notices.lie_over(inside)
        self.setCentralWidget(inside)
        self._menus = fill_menus(self.menuBar(), actions)
        recent = self._menus["recent"]
        recent.aboutToShow.connect(partial(self._fill_recent, recent))
        filing.opened.connect(self.show_work)
        session.file_changed.connect(self._show_title)
        session.layout_changed.connect(lambda _: self._show_title())
        if memory.window is not None:
            self.restoreGeometry(memory.window)
        self._show_title()

    @property
    def is_at_work(self) -> bool:
        """Whether the workbench is shown."""
        return self._pages.currentWidget() is self.bench

    def offer(self, samples: tuple[Sample, ...]) -> None:
        """Offer samples on the start page and in the menu."""
        self.start.show_samples(samples)
        menu = self._menus["samples"]
        menu.clear()
        for sample in samples:
            menu.addAction(sample.title, partial(self.filing.open_sample, sample.path))

    def show_start(self) -> None:
        """Show the start page."""
        self.start.show_recent(self._memory.recent)
        self._pages.setCurrentWidget(self.start)
        self.start.new.setFocus()
        self._show_title()

    def show_work(self) -> None:
        """Show the workbench, on all of the layout."""
        self._pages.setCurrentWidget(self.bench)
        drawn = self._session.layout.parts.keys() - {SETTINGS_ID}
        self.bench.set_stage("prove" if drawn else "backdrop")
        self.bench.canvas.fit()
        self.bench.canvas.setFocus()
        self._show_title()

    # Qt overrides

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved work, and end all work in the background."""
        if not self.filing.may_leave():
            event.ignore()
            return
        self._memory.window = self.saveGeometry()
        self.bench.close_work()
        self._session.close()
        event.accept()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files and pictures."""
        mime = event.mimeData()
        if mime.hasUrls() or mime.hasImage():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open a layout, or lay a picture under the drawing."""
        mime = event.mimeData()
        files = [url.toLocalFile() for url in mime.urls() if url.isLocalFile()]
        if files and files[0].endswith(SUFFIX):
            self.filing.open_named(files[0])
        elif self.is_at_work and self._backdrop.take(mime):
            self.bench.set_stage("backdrop")
        event.acceptProposedAction()

    # Helpers

    def _show_title(self) -> None:
        if not self.is_at_work:
            self.setWindowTitle(NAME)
            self.setWindowModified(False)
            return
        path, title = self._session.path, self._session.layout.settings.title
        self.setWindowTitle(f"{path.name if path else title}[*] – {NAME}")
        self.setWindowModified(self._session.is_dirty)

    def _fill_recent(self, menu: QMenu) -> None:
        menu.clear()
        for path in self._memory.recent:
            menu.addAction(str(path), partial(self.filing.open, path))
        if menu.isEmpty():
            menu.addAction("Nothing yet").setEnabled(False)
