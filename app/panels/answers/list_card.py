"""A folded card with a sentence and a list, both worked out in the background."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from app.panels.answers.fold import Fold
from app.panels.answers.hindrance import hindrance, omission
from app.panels.bits import label
from app.panels.lists import Entry, EntryList
from app.session.asking import Inquiry, Talk
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.study import Study


@dataclass(frozen=True, slots=True)
class Answer:
    """What a card shows: a sentence, and rows that lead to the plan."""

    entries: tuple[Entry, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class Question:
    """What a card asks, the words while it waits, and who answers.

    `work` runs off the window thread, on a study that nobody changes.
    """

    heading: str
    waiting: str
    work: Callable[[Study, Talk], Answer]


class ListCard(Fold):
    """Asks its question of each new study, once it is open."""

    def __init__(
        self,
        session: Session,
        looks: Looks,
        question: Question,
        on_press: Callable[[Entry], None],
    ) -> None:
        super().__init__(session, looks, question.heading)
        self._question = question
        self.inquiry = Inquiry(self)
        self.inquiry.answered.connect(self._on_answered)
        self._of: Study | None = None
        self.words = label("", "faint")
        self.list = EntryList(looks, on_press)
        self.body.addWidget(self.words)
        self.body.addWidget(self.list)

    def refresh(self) -> None:
        """Show what is known of the last study, and ask for what is not."""
        why_not, result = hindrance(self.session), self.session.result
        self.show_note(omission(self.session))
        if why_not or result is None:
            self.inquiry.stop()
            self._of = None
            self._on_answered(Answer((), why_not))
        elif result.study is not self._of:
            self._of = result.study
            self.words.setText(self._question.waiting)
            self.inquiry.ask(partial(self._question.work, result.study))

    def close_work(self) -> None:
        """Give up what is being worked out."""
        self.inquiry.close()
        self._of = None

    def _on_answered(self, answer: object) -> None:
        assert isinstance(answer, Answer)
        self.words.setText(answer.sentence)
        self.list.show_entries(answer.entries)
