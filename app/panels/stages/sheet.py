"""The Sheet panel: what stands on the cover, and the way to paper."""

from functools import partial
from pathlib import Path

from PySide6.QtCore import QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QProgressBar

from app.panels.bits import Card, Tick, button, label, row
from app.panels.dialogs import ask_where, plain_name
from app.panels.fields.settings import CONDUCTORS, COVER, NOTES
from app.panels.printing import Done, Press, Wishes, WriteSheet
from app.panels.stages.base import Hands, StagePanel
from app.session.looks import Looks
from app.session.session import Session

SAYS = (
    "One PDF: cover and cautions, findings, plan, underside plan, drop schedule, "
    "buses and strips, cut list, and what is ticked below. Print it at full size, not "
    "fitted to the page."
)
PAGES = (
    ("gaps", "Gap list"),
    ("turnouts", "Turnouts and crossings"),
    ("maps", "Maps and profiles"),
    ("protection", "Protection and restart"),
    ("ring_out", "Ring-out table"),
    ("coins", "Coin test"),
    ("volts", "Loaded volts"),
    ("labels", "Labels to cut out"),
    ("backdrop", "Picture under the plan"),
)
"""Pages that can be left out, and what they are called."""

WAITS = "The figures are still being worked out; printing begins when they are there."


class SheetPanel(StagePanel):
    """Sets the cover and prints.

    Signals
    -------
    printed(Path)
        A sheet was written.
    """

    printed = Signal(object)

    def __init__(
        self,
        session: Session,
        looks: Looks,
        hands: Hands,
        *,
        write: WriteSheet,
        wishes: Wishes,
    ) -> None:
        super().__init__(session, looks, hands, "Sheet")
        self._press = Press(write, wishes, self)
        self._press.progressed.connect(self._on_progress)
        self._press.finished.connect(self._on_finished)
        self._wanted: Path | None = None
        self._last: Path | None = None
        session.study_ready.connect(lambda _: self._start())
        card = Card("Wiring sheet")
        self._words = label(SAYS, "faint")
        self.print = button("Print to PDF…", self.ask_for_file, "main")
        self.stop = button("Stop", self._on_stop)
        self.bar = QProgressBar()
        self.bar.setRange(0, 100)
        self.open = button("Open it", self.open_it, "link")
        self.folder = button("Show its folder", self._on_folder, "link")
        card.box.addWidget(self._words)
        card.box.addLayout(row(self.print, self.stop, None))
        card.box.addWidget(self.bar)
        card.box.addLayout(row(self.open, self.folder, None))
        self.add(
            card,
            _pages_card(wishes),
            self.settings_card("On the cover", COVER),
            self.settings_card("The two conductors", CONDUCTORS),
            self.settings_card("Notes", NOTES),
        )
        self.close_up()
        self._show_idle()

    def ask_for_file(self) -> None:
        """Ask where the PDF goes, and print."""
        path = self.session.path
        title = self.session.layout.settings.title
        first = path.with_suffix(".pdf") if path else Path(f"{plain_name(title)}.pdf")
        chosen = ask_where(self, "Print to PDF", first, "PDF (*.pdf)")
        if chosen is not None:
            self.print_to(chosen)

    def print_to(self, path: Path) -> None:
        """Write the sheet to a file as soon as the figures are fresh."""
        self._wanted, self._last = path, None
        self._show_busy(WAITS)
        self._start()

    def open_it(self) -> None:
        """Open the sheet that was written last."""
        if self._last is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._last)))

    def close_work(self) -> None:
        """Stop printing."""
        self._press.close()

    def _start(self) -> None:
        result = self.session.result
        if self._wanted is None or result is None or result.stale:
            return
        path, self._wanted = self._wanted, None
        self._press.start(result, path)

    def _on_progress(self, share: float, words: str) -> None:
        self.bar.setValue(round(share * 100))
        self._words.setText(f"{words} …")

    def _on_finished(self, done: Done) -> None:
        self._show_idle()
        if done.trouble:
            self.session.notice.emit(done.trouble)
        elif not done.stopped:
            self._last = done.path
            self._words.setText(f"Written: {done.path.name}")
            self._show_idle(keep_words=True)
            self.printed.emit(done.path)

    def _on_stop(self) -> None:
        self._wanted = None
        self._press.stop()
        self._show_idle()

    def _show_busy(self, words: str) -> None:
        self._words.setText(words)
        self.bar.setValue(0)
        for widget in (self.stop, self.bar):
            widget.show()
        self.print.setEnabled(False)
        for widget in (self.open, self.folder):
            widget.hide()

    def _show_idle(self, *, keep_words: bool = False) -> None:
        if not keep_words:
            self._words.setText(SAYS)
        for widget in (self.stop, self.bar):
            widget.hide()
        self.print.setEnabled(True)
        for link in (self.open, self.folder):
            link.setVisible(self._last is not None)

    def _on_folder(self) -> None:
        assert self._last is not None
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(self._last.parent)))


def _pages_card(wishes: Wishes) -> Card:
    card = Card("Pages")
    for name, words in PAGES:
        tick = Tick(words)
        tick.setChecked(getattr(wishes.options, name))
        tick.toggled.connect(partial(wishes.set_option, name))
        card.box.addWidget(tick)
    return card
