"""Set fields of parts, as typed in a form."""

from typing import Any

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.attach import check_attachment, settle
from core.layout.edits.cross import refuse_slip
from core.layout.edits.draft import Draft, place_on
from core.layout.edits.join import part_loose_ends
from core.layout.edits.opening import check_opening
from core.layout.edits.taps import keep_taps
from core.layout.edits.toe import slide_toe
from core.layout.ids import SETTINGS_ID, PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of
from core.layout.limits.complaint import field_words
from core.layout.parts import (
    Attachment,
    Bus,
    Crossing,
    Drop,
    Gap,
    Inline,
    Load,
    Opening,
    Part,
    Strip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import ways_taken

_DRAWN: dict[type, frozenset[str]] = {
    TrackRun: frozenset({"pieces"}),
    TrackJoint: frozenset({"a", "b"}),
    Turnout: frozenset({"leg", "opens"}),
    Turntable: frozenset({"bridge", "stalls"}),
    Crossing: frozenset({"a", "b"}),
}
"""Fields that follow from the drawing and are not set by themselves."""


def set_fields(layout: Layout, ids: frozenset[PartId], /, **fields: Any) -> Change:
    """Return the change that sets the same fields of one or several parts.

    Setting the same fields of the same parts again counts as one step. What
    depends on a field follows: wires go along with a moved strip, a turnout's
    leg with its toe, and ends of track that no longer meet are parted.

    Raises
    ------
    EditError
        A part is not there or has no such field, or a value is out of its
        limits or does not fit the rest of the layout.
    """
    draft = Draft(layout)
    for part_id in sorted(ids):
        part = layout.parts.get(part_id)
        if part is None:
            raise EditError(f"There is no part {part_id}.")
        _set(draft, part, fields)
    settle(draft)
    part_loose_ends(draft)
    names = ", ".join(field_words(name) for name in fields)
    whose = next(iter(ids)) if len(ids) == 1 else f"{len(ids)} parts"
    key = "set " + " ".join((*sorted(ids), *sorted(fields)))
    return draft.change(f"Change {names} of {whose}", key)


def set_settings(layout: Layout, /, **fields: Any) -> Change:
    """Return the change that sets fields of the settings."""
    return set_fields(layout, frozenset({SETTINGS_ID}), **fields)


def _set(draft: Draft, part: Part, fields: dict[str, Any]) -> None:
    for name in fields:
        if name == "id" or name not in part.__struct_fields__:
            raise EditError(f"{part.id} has no {field_words(name)} to set.")
        if name in _DRAWN.get(type(part), ()):
            raise EditError(
                f"The {field_words(name)} of {part.id} is as it is drawn.",
                "Draw the track otherwise.",
            )
    now = draft.view.parts[part.id]  # a part set before it may have moved it
    new = draft.put(replace(now, **fields))
    match new:
        case Drop() | Gap() | Load():
            draft.put(replace(new, on=place_on(draft.view, new.on)))
        case Turnout() if isinstance(now, Turnout) and now.on != new.on:
            draft.put(replace(new, on=now.on))
            slide_toe(draft, replace(new, on=now.on), new.on)
        case Crossing():
            refuse_slip(new, lie_of(draft.view, new))
        case Opening():
            check_opening(draft.view, new)
        case Strip():
            _refuse_lost_ways(draft, new)
        case Bus() if isinstance(now, Bus) and now.points != new.points:
            keep_taps(draft, now)
        case _:
            pass
    _check_wires(draft, new)


def _check_wires(draft: Draft, part: Part) -> None:
    ends: tuple[Attachment | None, ...]
    match part:
        case Drop():
            ends = (part.to,)
        case Bus():
            ends = (part.start, part.end)
        case Inline():
            ends = (part.feed, part.other)
        case _:
            return
    for to in ends:
        check_attachment(draft.view, to)
        if to is not None and to.part == part.id:
            raise EditError(
                f"{part.id} cannot be wired to itself.", "Choose another part."
            )


def _refuse_lost_ways(draft: Draft, strip: Strip) -> None:
    taken = ways_taken(draft.view, strip.id)
    beyond = max(taken, default=0)
    if beyond > strip.ways:
        raise EditError(
            f"Way {beyond} of {strip.id} is in use by {taken[beyond][0]}.",
            "Move that wire to another way first.",
        )
