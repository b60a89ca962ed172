"""Opening, saving, and the question before unsaved work is left."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog

from app.panels.dialogs import ask_where, plain_name
from app.session.recent import Memory
from app.session.session import Session
from app.shell.notices import Notices, ask
from core.errors import CoreError
from core.layout.storage.report import LoadReport

FILTER = "Layouts (*.fwl);;All files (*)"
SUFFIX = ".fwl"

SAVE, LEAVE = 0, 1

Ask = Callable[..., int | None]


class Filing(QObject):
    """Does what the File menu says.

    Signals
    -------
    opened()
        Another layout is open: show it.
    """

    opened = Signal()

    def __init__(
        self,
        session: Session,
        memory: Memory,
        notices: Notices,
        ask_person: Ask = ask,
    ) -> None:
        super().__init__()
        self._session, self._memory, self._notices = session, memory, notices
        self._ask = ask_person

    def new(self) -> None:
        """Begin an empty layout."""
        if self.may_leave():
            self._session.new_layout()
            self.opened.emit()

    def choose(self) -> None:
        """Ask for a file and open it."""
        if not self.may_leave():
            return
        chosen, _ = QFileDialog.getOpenFileName(
            self._notices.window(), "Open a layout", self._memory.folder, FILTER
        )
        if chosen:
            self._open(Path(chosen))

    def open(self, path: Path) -> bool:
        """Open a file; return whether it is open now."""
        return self.may_leave() and self._open(path)

    def open_named(self, name: str) -> bool:
        """Open a file by its name; see `open`."""
        return self.open(Path(name))

    def open_sample(self, path: Path) -> bool:
        """Open a sample as a layout without a file, so that it is never changed."""
        return self.may_leave() and self._open(path, sample=True)

    def save(self) -> bool:
        """Save; return whether all is in the file now."""
        if self._session.path is None:
            return self.save_as()
        return self._save(self._session.path)

    def save_as(self) -> bool:
        """Ask for a file and save there."""
        name = plain_name(self._session.layout.settings.title)
        path = self._session.path or Path(self._memory.folder) / f"{name}{SUFFIX}"
        chosen = ask_where(self._notices.window(), "Save the layout", path, FILTER)
        return chosen is not None and self._save(chosen)

    def may_leave(self) -> bool:
        """Ask what becomes of unsaved work; return whether to go on."""
        if not self._session.is_dirty:
            return True
        title = self._session.layout.settings.title
        answer = self._ask(
            self._notices.window(),
            f"Save the changes to “{title}”?",
            "They are lost if you leave without saving.",
            "Save",
            "Leave without saving",
        )
        if answer == SAVE:
            return self.save()
        if answer == LEAVE:
            self._session.forget_recovery()
        return answer == LEAVE

    def _open(self, path: Path, *, sample: bool = False) -> bool:
        try:
            report = self._session.open_file(path, sample=sample)
        except CoreError as error:
            self._notices.warn(error.sentence())
            return False
        if not sample:
            self._memory.note_file(path)
        self.opened.emit()
        self._tell(path, report)
        return True

    def _save(self, path: Path) -> bool:
        try:
            self._session.save_as(path)
        except CoreError as error:
            self._notices.warn(error.sentence())
            return False
        self._memory.note_file(path)
        self._notices.tell(f"Saved: {path.name}")
        return True

    def _tell(self, path: Path, report: LoadReport) -> None:
        if report.is_clean:
            return
        said = [*report.unfixed, *report.fixed]
        more = f" And {len(said) - 3} more." if len(said) > 3 else ""
        self._notices.warn(f"{path.name}: {' '.join(said[:3])}{more}")
