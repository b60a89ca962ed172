"""A form: the fields of some parts, each edit one undo step."""

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from app.panels.bits import empty, label
from app.panels.fields.editors import (
    MIXED,
    Editor,
    LineEditor,
    MemoEditor,
    PickEditor,
    TickEditor,
    name_for_readers,
)
from app.panels.fields.field import Field
from app.panels.fields.limits import check_range
from app.session.session import Session
from core.errors import CoreError
from core.layout.ids import PartId
from core.layout.parts import Part

LABEL_WIDTH = 118
"""Width of the words beside the fields. [px]"""


class Form(QWidget):
    """Shows the fields of some parts and commits what is typed into them.

    Signals
    -------
    left()
        A field was done with by Escape or Enter.
    """

    left = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._ids: tuple[PartId, ...] = ()
        self._rows: list[_Row] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(6)
        self._grid.setColumnMinimumWidth(0, LABEL_WIDTH)
        self._grid.setColumnStretch(1, 1)
        session.layout_changed.connect(lambda _: self._when_shown())
        session.layout_replaced.connect(self._when_shown)

    def show_parts(self, ids: Sequence[PartId], fields: Sequence[Field]) -> None:
        """Show these fields of these parts."""
        if tuple(ids) != self._ids or [r.field for r in self._rows] != list(fields):
            self._ids = tuple(ids)
            empty(self._grid)
            self._rows = [
                _Row(field, self._grid, i, self._edit) for i, field in enumerate(fields)
            ]
            for shown in self._rows:
                if isinstance(shown.editor, LineEditor | MemoEditor):
                    shown.editor.left.connect(self.left)
        self.refresh()

    def refresh(self) -> None:
        """Show what the parts hold now."""
        parts = self._parts()
        if parts:
            for shown in self._rows:
                shown.refresh(parts, self._session)

    def editor(self, name: str) -> Editor:
        """Return the widget of a field, by the field's name."""
        return next(r.editor for r in self._rows if r.field.name == name)

    def error(self, name: str) -> str:
        """Return the sentence that stands under a field."""
        return next(r.error.text() for r in self._rows if r.field.name == name)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what happened while it was hidden."""
        super().showEvent(event)
        self.refresh()

    def _when_shown(self) -> None:
        if self.isVisible():
            self.refresh()

    def _parts(self) -> list[Part]:
        parts = self._session.layout.parts
        return [parts[i] for i in self._ids if i in parts]

    def _edit(self, row: "_Row", typed: Any) -> None:
        parts, layout = self._parts(), self._session.layout
        if not parts:
            return
        try:
            value = row.read(typed, self._session, parts)
            change = row.field.change(
                layout, frozenset(part.id for part in parts), value
            )
        except CoreError as error:
            row.say(error.sentence())
            return
        row.say("")
        self._session.commit(change)
        self.refresh()


class _Row:
    """One field in the grid: its words, its editor, and a place for a complaint."""

    def __init__(
        self,
        field: Field,
        grid: QGridLayout,
        index: int,
        on_edit: Callable[["_Row", Any], None],
    ) -> None:
        self.field = field
        self.editor = _editor_of(field)
        self.words = label("" if field.ticked else field.label, "faint")
        self.words.setBuddy(self.editor)
        self.error = label("", "error")
        self.error.hide()
        name_for_readers(self.editor, field.label, field.tip)
        self.words.setToolTip(field.tip)
        line, wide = index * 3, field.ticked or field.lines > 1
        grid.addWidget(self.words, line, 0, 1, 2 if wide else 1)
        grid.addWidget(self.editor, line + wide, 0 if wide else 1, 1, 1 + wide)
        grid.addWidget(self.error, line + 2, 0, 1, 2)
        self.words.setVisible(not field.ticked)
        self.editor.edited.connect(lambda typed: self._on_edited(on_edit, typed))

    def refresh(self, parts: Sequence[Part], session: Session) -> None:
        """Show what the parts hold."""
        settings = session.layout.settings
        shown = all(self.field.shown(part) for part in parts)
        self.editor.setVisible(shown)
        self.words.setVisible(shown and not self.field.ticked)
        self.error.setVisible(shown and bool(self.error.text()))
        values = [self.field.value_of(part) for part in parts]
        value = values[0] if all(v == values[0] for v in values) else MIXED
        if isinstance(self.editor, PickEditor):
            assert self.field.choices is not None
            self.editor.show_choices(self.field.choices(settings))
        elif not isinstance(self.editor, TickEditor) and value is not MIXED:
            value = self.field.codec.to_text(value, settings)
        self.editor.show_value(value)

    def read(self, typed: Any, session: Session, parts: Sequence[Part]) -> Any:
        """Return the value that was typed, or raise a CoreError with a sentence."""
        if not isinstance(self.editor, LineEditor | MemoEditor):
            return typed
        settings, codec = session.layout.settings, self.field.codec
        value = codec.to_value(typed, settings)
        for kind in {type(part) for part in parts}:
            check_range(kind, self.field.name, value, codec, settings)
        return value

    def say(self, sentence: str) -> None:
        """Put a complaint under the field, or take it away."""
        self.error.setText(sentence)
        self.error.setVisible(bool(sentence))
        self.editor.show_wrong(bool(sentence))
        self.editor.setAccessibleDescription(sentence or self.field.tip)

    def _on_edited(self, on_edit: Callable[["_Row", Any], None], typed: Any) -> None:
        if typed is None:
            self.say("")
        else:
            on_edit(self, typed)


def _editor_of(field: Field) -> Editor:
    if field.ticked:
        return TickEditor(field.label)
    if field.choices is not None:
        return PickEditor()
    return MemoEditor(field.lines) if field.lines > 1 else LineEditor(field.blank)
