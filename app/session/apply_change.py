"""The one undo step of the program."""

from PySide6.QtGui import QUndoCommand

from core.layout.change import Change
from core.layout.layout import Layout

MERGE_ID = 1
"""All steps may merge; their merge keys decide."""


class ApplyChange(QUndoCommand):
    """The one command class: it carries a change forward and back."""

    def __init__(self, layout: Layout, change: Change) -> None:
        super().__init__(change.label)
        self._layout, self._change = layout, change

    def redo(self) -> None:
        """Make the change."""
        self._layout.apply(self._change)

    def undo(self) -> None:
        """Take it back."""
        self._layout.apply(self._change.inverse())

    def id(self) -> int:
        """Return the same for all, so that Qt asks `mergeWith`."""
        return MERGE_ID

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Swallow a step with the same merge key; vanish where nothing is left."""
        if not isinstance(other, ApplyChange):
            return False
        later = other._change  # noqa: SLF001
        if not later.merge_key or later.merge_key != self._change.merge_key:
            return False
        self._change = self._change.then(later)
        self.setText(later.label)
        self.setObsolete(self._change.is_empty)
        return True
