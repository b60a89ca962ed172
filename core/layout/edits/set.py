"""Set fields of parts, as typed in a form."""

from typing import Any

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.attach import check_attachment, keep_taps, settle
from core.layout.edits.draft import Draft, place_on
from core.layout.edits.move import part_loose_ends
from core.layout.ids import SETTINGS_ID, PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop, Gap, Inline, Load, Part, TrackRun, Turnout


def set_fields(layout: Layout, ids: frozenset[PartId], /, **fields: Any) -> Change:
    """Return the change that sets the same fields of one or several parts.

    Setting the same fields of the same parts again counts as one step.

    Raises
    ------
    EditError
        A part has no such field, or a value is out of its limits.
    """
    draft = Draft(layout)
    for part_id in sorted(ids):
        part = layout.parts.get(part_id)
        if part is None:
            raise EditError(f"There is no part {part_id}.")
        _set(draft, part, fields)
    settle(draft)
    part_loose_ends(draft)
    names = ", ".join(name.rsplit("_", 1)[0].replace("_", " ") for name in fields)
    whose = next(iter(ids)) if len(ids) == 1 else f"{len(ids)} parts"
    key = "set " + " ".join((*sorted(ids), *sorted(fields)))
    return draft.change(f"Change {names} of {whose}", key)


def set_settings(layout: Layout, /, **fields: Any) -> Change:
    """Return the change that sets fields of the settings."""
    return set_fields(layout, frozenset({SETTINGS_ID}), **fields)


def _set(draft: Draft, part: Part, fields: dict[str, Any]) -> None:
    known = set(part.__struct_fields__) - {"id"}
    for name in fields:
        if name not in known:
            raise EditError(f"{part.id} has no {name}.")
    new: Part = replace(part, **fields)
    draft.put(new)
    match new:
        case Drop() | Gap() | Load() | Turnout():
            place_on(draft.view, new.on)
        case _:
            pass
    match new:
        case Drop():
            check_attachment(draft.view, new.to)
        case Bus():
            check_attachment(draft.view, new.start)
            check_attachment(draft.view, new.end)
        case Inline():
            check_attachment(draft.view, new.feed)
        case _:
            pass
    if isinstance(part, Bus) and isinstance(new, Bus) and part.points != new.points:
        keep_taps(draft, part, shift=(0.0, 0.0))
    if isinstance(new, TrackRun) and isinstance(part, TrackRun):
        _refuse_shape(part, new)


def _refuse_shape(part: TrackRun, new: TrackRun) -> None:
    if part.pieces != new.pieces:
        raise EditError(
            "The shape of a track is not a field.",
            "Use the edits of core.layout.edits.shape.",
        )
