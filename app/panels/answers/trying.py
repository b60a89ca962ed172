"""A card that tries something on a bus in the background, one trial a row."""

from collections.abc import Sequence
from typing import Generic, TypeVar

from PySide6.QtWidgets import QProgressBar

from app.panels.answers.fold import Fold
from app.panels.answers.hindrance import hindrance, omission
from app.panels.answers.trial_table import Named, TrialTable
from app.panels.bits import button, label, row
from app.panels.fields.editors import PickEditor
from app.panels.fields.field import Choice
from app.session.asking import Inquiry
from app.session.looks import Looks
from app.session.session import Session
from core.layout.change import Change
from core.layout.ids import PartId
from core.proposals.outcome import Outcome

MOVED_ON = "The plan has changed since these were tried. Try again for fresh figures."
STOPPED = "Stopped."

NO_PART = PartId("")
"""What is chosen while there is nothing to pick."""

T = TypeVar("T", bound=Outcome)


class TryingCard(Fold, Generic[T]):
    """Tries each way on the bus that is picked; one press takes one of them.

    Attributes
    ----------
    says, no_bus : str
        What it does, and what to draw before it can.
    """

    says = no_bus = ""

    def __init__(
        self, session: Session, looks: Looks, heading: str, column: str
    ) -> None:
        super().__init__(session, looks, heading)
        self.inquiry = Inquiry(self)
        self.inquiry.told.connect(self._on_told)
        self.inquiry.answered.connect(lambda _: self._end(self._sum_up()))
        self.inquiry.refused.connect(self._end)
        self._trials: list[T] = []
        self._said = ""
        self.words = label(self.says, "faint")
        self.pick = PickEditor()
        self.pick.setAccessibleName("Bus")
        self.start = button("Try them", self._on_start, "main")
        self.stop = button("Stop", self._on_stop)
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.table: TrialTable[T] = TrialTable(looks, column, self._named, self._on_use)
        self.body.addWidget(self.words)
        self.body.addWidget(self.pick)
        self._add_more()
        self.body.addLayout(row(self.start, self.stop, None))
        self.body.addWidget(self.bar)
        self.body.addWidget(self.table)
        session.layout_changed.connect(self._on_change)
        session.layout_replaced.connect(self._forget)
        self._forget()

    def refresh(self) -> None:
        """Offer what can be picked, and show what was found out."""
        choices = self._choices()
        values = [choice.value for choice in choices]
        chosen = self._chosen()
        self.pick.show_choices(choices)
        if values:
            self.pick.show_value(chosen if chosen in values else values[0])
        self.pick.setVisible(len(choices) > 1)
        self._refresh_more()
        busy = self.inquiry.is_busy
        why_not = hindrance(self.session) if choices else self.no_bus
        self.show_note(omission(self.session) if choices else "")
        self.start.setEnabled(not why_not and not busy)
        self.stop.setVisible(busy)
        self.bar.setVisible(busy)
        self.words.setText(self._said or why_not or self.says)
        self.table.show_trials(self._trials, self._is_in_use)

    def close_work(self) -> None:
        """Give up what is being tried."""
        self.inquiry.close()

    def _add_more(self) -> None:
        """Add what else there is to choose."""

    def _refresh_more(self) -> None:
        """Show what else there is to choose."""

    def _choices(self) -> Sequence[Choice]:
        """Return the buses that it can be tried on."""
        raise NotImplementedError

    def _on_start(self) -> None:
        raise NotImplementedError

    def _on_told(self, told: object) -> None:
        raise NotImplementedError

    def _sum_up(self) -> str:
        """Return what all trials come to."""
        raise NotImplementedError

    def _named(self, trial: T) -> Named:
        raise NotImplementedError

    def _is_in_use(self, trial: T) -> bool:
        raise NotImplementedError

    def _on_use(self, trial: T) -> None:
        raise NotImplementedError

    def _on_change(self, change: Change) -> None:
        raise NotImplementedError

    def _begin(self, count: int, said: str) -> None:
        """Show that so many trials are on their way."""
        self._trials, self._said = [], said
        self.bar.setRange(0, count)
        self.bar.setValue(0)

    def _on_stop(self) -> None:
        self.inquiry.stop()
        self._end(STOPPED)

    def _end(self, said: str) -> None:
        self._said = said
        self.refresh()

    def _forget(self) -> None:
        self.inquiry.stop()
        self._trials, self._said = [], ""
        self.refresh()

    def _chosen(self) -> PartId:
        data = self.pick.currentData()
        return data.value if isinstance(data, Choice) else NO_PART
