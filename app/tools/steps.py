"""Several edits, each made on what the one before it left, as one change."""

from collections.abc import Callable

from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout

Step = Callable[[Layout], Change]


def chain(layout: Layout, label: str, *steps: Step) -> Change:
    """Return one change that does all the steps; the layout stays untouched."""
    trial = layout.copy()
    whole = Change(label, {}, {})
    for step in steps:
        change = step(trial)
        trial.apply(change)
        whole = whole.then(change)
    return Change(label, whole.before, whole.after)


def added(change: Change) -> frozenset[PartId]:
    """Return the ids that a change adds."""
    return frozenset(i for i, part in change.before.items() if part is None)
