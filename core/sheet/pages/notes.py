"""The person's own notes on the whole layout, and what was measured on it."""

from core.layout.rails import rails_measured
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf

TITLE = "Notes"


def note_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the notes of the settings and what was measured; nothing without."""
    notes = brief.settings.notes.strip()
    rails = rails_measured(brief.layout)
    if not notes and not rails:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    if notes:
        flow.text(notes, 13.0)
    if rails:
        flow.heading("Rails measured on this layout", 13.0)
        for words in rails:
            flow.text(words, 12.0)
    return flow.leaves()
