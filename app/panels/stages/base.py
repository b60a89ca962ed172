"""What all stage panels share."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtGui import QShowEvent

from app.panels.bits import Card, Panel
from app.panels.fields.field import Field
from app.panels.fields.form import Form
from app.panels.lists import Entry
from app.session.looks import Looks
from app.session.session import Session
from app.tools.catalogue import TOOLS
from core.checks.trail import Trail
from core.layout.ids import SETTINGS_ID, PartId
from core.layout.parts import OnRun


@dataclass(frozen=True)
class Hands:
    """What a panel may ask of the rest of the window."""

    show_parts: Callable[[Sequence[PartId]], None]
    show_place: Callable[[OnRun], None]
    set_tool: Callable[[str], None]
    show_all: Callable[[], None]
    show_trail: Callable[[Trail | None], None]

    def show_entry(self, entry: Entry) -> None:
        """Show what a row of a list is about."""
        if entry.place is not None:
            self.show_place(entry.place)
        else:
            self.show_parts(entry.parts)


class StagePanel(Panel):
    """The panel of one stage; `refresh` shows the state of the session."""

    def __init__(self, session: Session, looks: Looks, hands: Hands, name: str) -> None:
        super().__init__(name)
        self.session, self.looks, self.hands = session, looks, hands
        session.layout_changed.connect(lambda _: self._when_shown())
        session.layout_replaced.connect(self._when_shown)
        session.study_ready.connect(lambda _: self._when_shown())

    def refresh(self) -> None:
        """Show the state of the session."""

    def close_work(self) -> None:
        """End what it does in the background."""

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while it was hidden."""
        super().showEvent(event)
        self.refresh()

    def settings_card(self, heading: str, fields: Sequence[Field]) -> Card:
        """Return a card with some fields of the settings."""
        card = Card(heading)
        form = Form(self.session)
        form.show_parts((SETTINGS_ID,), fields)
        card.box.addWidget(form)
        return card

    def _when_shown(self) -> None:
        if self.isVisible():
            self.refresh()


def key_of(tool_id: str) -> str:
    """Return the letter that takes up a tool."""
    return TOOLS[tool_id].shortcut
