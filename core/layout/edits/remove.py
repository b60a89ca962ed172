"""Remove parts, and whatever cannot be without them."""

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft
from core.layout.ids import SETTINGS_ID, PartId
from core.layout.layout import Layout
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
    TrackJoint,
    Turnout,
    Turntable,
)


def remove_parts(layout: Layout, ids: frozenset[PartId]) -> Change:
    """Return the change that removes parts so that the layout stays sound.

    A turntable and its bridge go together. With a track go its drops, gaps, trains,
    joints, turnouts and crossings; what was wired to a removed bus, strip or device
    stays and is let go of. The settings are never removed.

    Raises
    ------
    EditError
        A part is not there.
    """
    missing = sorted(ids - layout.parts.keys())
    if missing:
        raise EditError(f"There is no part {missing[0]}.")
    draft = Draft(layout)
    named = [i for i in layout.parts if i in ids and i != SETTINGS_ID]
    gone = set(named)
    for table in layout.of_kind(Turntable):
        if table.id in gone or table.bridge in gone:
            gone |= {table.id, table.bridge}
    gone |= {part.id for part in layout.parts.values() if _falls_with(part, gone)}
    for part in layout.parts.values():
        if part.id in gone:
            draft.take_out(part.id)
    for part in list(draft.view.parts.values()):
        _let_go(draft, part, gone)
    what = named[0] if len(named) == 1 else f"{len(named)} parts"
    return draft.change(f"Delete {what}")


def _falls_with(part: Part, gone: set[PartId]) -> bool:
    """Return whether a part cannot be without those that go."""
    match part:
        case Drop() | Gap() | Load():
            return part.on.run in gone
        case TrackJoint() | Crossing():
            return part.a.run in gone or part.b.run in gone
        case Turnout():
            return part.on.run in gone or part.leg.run in gone
        case Opening():
            return all(carried.run in gone for carried in part.carries)
        case _:
            return False


def _let_go(draft: Draft, part: Part, gone: set[PartId]) -> None:
    def kept(to: Attachment | None) -> Attachment | None:
        return None if to is not None and to.part in gone else to

    match part:
        case Drop() if kept(part.to) != part.to:
            draft.put(replace(part, to=None))
        case Bus() if (kept(part.start), kept(part.end)) != (part.start, part.end):
            draft.put(replace(part, start=kept(part.start), end=kept(part.end)))
        case Inline() if (kept(part.feed), kept(part.other)) != (part.feed, part.other):
            draft.put(replace(part, feed=kept(part.feed), other=kept(part.other)))
        case Opening():
            carries = tuple(c for c in part.carries if c.run not in gone)
            contact = None if part.contact in gone else part.contact
            if (carries, contact) != (part.carries, part.contact):
                draft.put(replace(part, carries=carries, contact=contact))
        case _:
            pass
