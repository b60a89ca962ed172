"""The person's own notes on the whole layout."""

from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf

TITLE = "Notes"


def note_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the notes of the settings; nothing where there are none."""
    notes = brief.settings.notes.strip()
    if not notes:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(notes, 13.0)
    return flow.leaves()
