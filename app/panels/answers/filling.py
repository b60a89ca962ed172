"""Pieces of rail without a drop: what one for each would come to, and adding them."""

from dataclasses import dataclass
from functools import partial

from app.panels.answers.fold import Fold
from app.panels.answers.hindrance import NOT_YET
from app.panels.bits import button, label, row
from app.session.asking import Inquiry, Talk
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.study import Study
from core.checks.words import count_of
from core.layout.change import Change
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop
from core.layout.queries import drop_lead_m, run_name
from core.proposals.spacing import fill_drops
from core.units.length import show_length
from core.units.si import Metre

NONE_BARE = "Every piece of rail has a drop of its own."
LOOKING = "Looking for pieces of rail without a drop…"


@dataclass(frozen=True, slots=True)
class Filling:
    """The change that gives each bare piece its drop, and what it comes to."""

    change: Change
    sentence: str
    is_wanted: bool


class FillCard(Fold):
    """Says what would be added; one press adds it as one step."""

    def __init__(self, session: Session, looks: Looks) -> None:
        super().__init__(session, looks, "Fill bare pieces")
        self.inquiry = Inquiry(self)
        self.inquiry.answered.connect(self._on_answered)
        self._of: Study | None = None
        self._filling: Filling | None = None
        self.words = label("", "faint")
        self.add = button("Add drops", self._on_add, "main")
        self.body.addWidget(self.words)
        self.body.addLayout(row(self.add, None))
        session.layout_changed.connect(lambda _: self._show())
        self._show()

    def refresh(self) -> None:
        """Look for bare pieces in the plan as it was last studied."""
        result = self.session.result
        if result is None:
            self.inquiry.stop()
            self._of = self._filling = None
        elif result.study is not self._of:
            self._of, self._filling = result.study, None
            self.inquiry.ask(partial(plan_filling, result.study.layout))
        self._show()

    def close_work(self) -> None:
        """Give up what is being worked out."""
        self.inquiry.close()
        self._of = None

    def _show(self) -> None:
        filling, result = self._filling, self.session.result
        waiting = NOT_YET if result is None else LOOKING
        self.words.setText(filling.sentence if filling is not None else waiting)
        self.add.setVisible(filling is not None and filling.is_wanted)
        if filling is not None:
            self.add.setText(filling.change.label)
        # What was worked out fits the plan that was studied, and no other.
        fresh = result is not None and not result.stale and result.study is self._of
        self.add.setEnabled(fresh)

    def _on_answered(self, filling: object) -> None:
        assert isinstance(filling, Filling)
        self._filling = filling
        self._show()

    def _on_add(self) -> None:
        if self._filling is not None:
            self.session.commit(self._filling.change)


def plan_filling(layout: Layout, talk: Talk) -> Filling:
    """Return the change that gives each bare piece a drop, and a sentence on it."""
    change = fill_drops(layout, go_on=talk.goes_on)
    new = [part for part in change.after.values() if isinstance(part, Drop)]
    if not new:
        return Filling(change, NONE_BARE, is_wanted=False)
    runs = list(dict.fromkeys(drop.on.run for drop in new))
    where = run_name(layout, runs[0])
    if len(runs) > 1:
        where = f"{len(runs)} runs"
    has, its = ("has", "its") if len(new) == 1 else ("have", "their")
    first = f"{count_of(len(new), 'piece')} of {where} {has} no drop of {its} own"
    if any(drop.to is None for drop in new):
        nothing = "there is no bus and no free way of a strip to tie one to"
        return Filling(change, f"{first}, and {nothing}.", is_wanted=False)
    return Filling(
        change, f"{first}. {_what_it_takes(layout, change, new)}", is_wanted=True
    )


def _what_it_takes(layout: Layout, change: Change, new: list[Drop]) -> str:
    work = layout.copy()
    work.apply(change)
    wire_m = sum(2.0 * drop_lead_m(work, drop) for drop in new)
    metres = show_length(Metre(wire_m), layout.settings.lengths)
    middle = "its middle" if len(new) == 1 else "the middle of each"
    said = (
        f"A drop in {middle}, tied to the nearest bus or strip, takes {metres} of "
        "wire, A and B together."
    )
    if sum(1 for _ in layout.of_kind(Bus)) > 1:
        said += " See afterwards that each went to the bus of its own district."
    return said
