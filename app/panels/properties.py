"""What is selected: its name, its fields, how it hangs together, what to do with it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout

from app.panels.bits import (
    SPACE,
    IconButton,
    Panel,
    Tick,
    button,
    empty,
    label,
    row,
    rule,
)
from app.panels.facts import facts_of, thrown_words
from app.panels.fields.form import Form
from app.panels.fields.tables import fields_of
from app.session.looks import Looks
from app.session.session import Session
from core.errors import CoreError
from core.layout.change import Change
from core.layout.edits.flip import flip_drop
from core.layout.edits.mirror import flip_hand, flip_opening
from core.layout.edits.remove import remove_parts
from core.layout.edits.shape import reverse_run
from core.layout.edits.turn import to_next_stall, turn_round
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Part, TrackRun, Turnout, Turntable
from core.layout.queries import can_be_thrown, part_name

EMPTY = "Nothing is selected. Click a part on the plan to see and change it here."


@dataclass(frozen=True, slots=True)
class Deed:
    """Something that can be done to one kind of part with a button."""

    word: str
    tip: str
    build: Callable[[Layout, PartId], Change]


DEEDS: dict[type[Part], tuple[Deed, ...]] = {
    Drop: (Deed("Swap A and B", "Solder A to the other rail.", flip_drop),),
    Turnout: (
        Deed("Flip", "Let the leg leave to the other side.", flip_hand),
        Deed("Turn round", "Let it open the other way.", flip_opening),
    ),
    TrackRun: (Deed("Turn round", "Let start and end change places.", reverse_run),),
    Turntable: (
        Deed("Next stall", "Bring the bridge to the next stall (F9).", to_next_stall),
        Deed("End for end", "Turn the bridge by half a circle.", turn_round),
    ),
}


class Properties(Panel):
    """Shows the selected parts; every edit is one undo step.

    Signals
    -------
    left()
        A field was done with by Escape or Enter: the keys are the plan's again.
    """

    left = Signal()

    def __init__(
        self,
        session: Session,
        looks: Looks,
        show_parts: Callable[[Sequence[PartId]], None],
    ) -> None:
        super().__init__("Selected part")
        self._session, self._show_parts = session, show_parts
        box = self.box
        self.title = label("", "title")
        self._empty = label(EMPTY, "faint")
        self.go_to = IconButton(looks, "goto", "Show on the plan", self._on_go_to)
        self.delete = IconButton(looks, "trash", "Delete (Del)", self._on_delete)
        box.addLayout(row(self.title, self.go_to, self.delete, spacing=2))
        box.addWidget(self._empty)
        self.thrown = Tick("")
        self.thrown.setToolTip("How it lies for the figures; it is not saved.")
        self.thrown.clicked.connect(lambda _: session.throw(session.selection))
        box.addWidget(self.thrown)
        self.form = Form(session)
        self.form.left.connect(self.left)
        box.addWidget(self.form)
        self._deeds = QVBoxLayout()
        self._deeds.setSpacing(SPACE)
        box.addLayout(self._deeds)
        self._rule = rule()
        box.addWidget(self._rule)
        self._facts = label("", "faint")
        box.addWidget(self._facts)
        self.close_up()
        session.selection_changed.connect(self.refresh)
        session.layout_changed.connect(lambda _: self._when_shown())
        session.layout_replaced.connect(self.refresh)
        session.case_changed.connect(self._show_thrown)
        self.refresh()

    def refresh(self) -> None:
        """Show what is selected now."""
        layout = self._session.layout
        ids = sorted(i for i in self._session.selection if i in layout.parts)
        parts = [layout.parts[i] for i in ids]
        some = bool(parts)
        self._empty.setVisible(not some)
        for widget in (self.title, self.go_to, self.delete, self.form, self._rule):
            widget.setVisible(some)
        self.title.setText(_title(layout, ids))
        self.form.show_parts(ids, fields_of(parts))
        facts = facts_of(layout, parts[0]) if len(parts) == 1 else ()
        self._facts.setText("\n".join(facts))
        self._facts.setVisible(bool(facts))
        self._rule.setVisible(bool(facts))
        self._refresh_deeds(parts)
        self._show_thrown()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while it was hidden."""
        super().showEvent(event)
        self.refresh()

    def _when_shown(self) -> None:
        if self.isVisible():
            self.refresh()

    def _show_thrown(self) -> None:
        chosen = self._session.selection
        one = next(iter(chosen)) if len(chosen) == 1 else None
        layout = self._session.layout
        self.thrown.setVisible(one is not None and can_be_thrown(layout, one))
        setting = self._session.case.thrown
        self.thrown.setText(thrown_words(layout, one, setting) if one else "")
        self.thrown.setChecked(one in (*self._session.thrown, *self._session.opened))

    def _refresh_deeds(self, parts: Sequence[Part]) -> None:
        empty(self._deeds)
        deeds = DEEDS.get(type(parts[0]), ()) if len(parts) == 1 else ()
        if deeds:
            made = [
                button(deed.word, partial(self._on_deed, deed), tip=deed.tip)
                for deed in deeds
            ]
            self._deeds.addLayout(row(*made, None))

    def _on_deed(self, deed: Deed) -> None:
        part_id = next(iter(self._session.selection))
        try:
            self._session.commit(deed.build(self._session.layout, part_id))
        except CoreError as error:
            self._session.notice.emit(error.sentence())

    def _on_delete(self) -> None:
        chosen = self._session.selection
        self._session.commit(remove_parts(self._session.layout, chosen))

    def _on_go_to(self) -> None:
        self._show_parts(sorted(self._session.selection))


def _title(layout: Layout, ids: Sequence[PartId]) -> str:
    if len(ids) == 1:
        return part_name(layout, ids[0])
    return f"{len(ids)} parts selected" if ids else ""
