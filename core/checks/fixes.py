"""Remedies that change fields of parts and touch nothing else."""

from collections.abc import Iterable
from typing import Any

from msgspec.structs import replace

from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part


def refit(layout: Layout, ids: Iterable[PartId], label: str, **fields: Any) -> Change:
    """Return the change that sets fields which no other part depends on.

    The edits that follow every consequence look at the whole layout; a study of
    ten thousand drops has no time for that.
    """
    before: dict[PartId, Part | None] = {i: layout.parts[i] for i in ids}
    after: dict[PartId, Part | None] = {
        i: replace(part, **fields) for i, part in before.items() if part is not None
    }
    return Change(label, before, after)
