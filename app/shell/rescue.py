"""Unsaved work of a run that ended badly: kept, offered, brought back."""

from PySide6.QtCore import QDateTime, QLocale, QObject, Signal

from app.session.session import Session
from app.shell.filing import Filing
from app.shell.notices import Notices
from app.shell.start_page import Rescued, StartPage
from core.errors import CoreError
from core.layout.storage.recover import Recovery


class Rescue(QObject):
    """Offers what other runs left on the start page."""

    opened = Signal()

    def __init__(
        self, session: Session, filing: Filing, start: StartPage, notices: Notices
    ) -> None:
        super().__init__()
        self._session, self._filing = session, filing
        self._start, self._notices = start, notices

    def keep(self) -> str:
        """Keep the work at once; return where it is kept, as a sentence."""
        if not self._session.is_dirty:
            return "everything is saved."
        where = self._session.keep_now()
        return f"it is kept in {where} and will be offered at the next start."

    def offer(self) -> int:
        """Show on the start page what can be brought back; return how much."""
        try:
            found = self._session.recoveries()
        except CoreError as error:
            self._notices.warn(error.sentence())
            return 0
        self._start.show_rescues([self._rescued(recovery) for recovery in found])
        return len(found)

    def _rescued(self, recovery: Recovery) -> Rescued:
        when = "at an unknown time"
        if recovery.saved_at is not None:
            moment = QDateTime.fromSecsSinceEpoch(round(recovery.saved_at.timestamp()))
            form = QLocale.FormatType.ShortFormat
            when = f"on {QLocale().toString(moment.toLocalTime(), form)}"
        return Rescued(
            recovery.title,
            when,
            open=lambda: self._bring_back(recovery),
            forget=lambda: self._throw_away(recovery),
        )

    def _bring_back(self, recovery: Recovery) -> None:
        if not self._filing.may_leave():
            return
        try:
            self._session.bring_back(recovery)
        except CoreError as error:
            self._notices.warn(error.sentence())
            return
        self.opened.emit()

    def _throw_away(self, recovery: Recovery) -> None:
        try:
            self._session.throw_away(recovery)
        except CoreError as error:
            self._notices.warn(error.sentence())
        self.offer()
