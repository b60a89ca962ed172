"""Add lift-outs, gates and board joints; the switch that opens with one."""

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.draft import Draft, needed, place_on
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import carried_by_line, carried_in_box
from core.layout.parts import PREFIXES, Carried, Inline, OnRun, Opening, Point


def add_opening(layout: Layout, corner: Point, other: Point) -> Change:
    """Return the change that adds an opening by two corners of a rectangle.

    It carries the stretches of track inside; a rectangle less than 20 mm wide one
    way is a line across the tracks: a board joint.

    Raises
    ------
    EditError
        No track lies in it.
    """
    ends = (corner.x_mm, corner.y_mm), (other.x_mm, other.y_mm)
    is_line = min(abs(a - b) for a, b in zip(*ends, strict=True)) < LINE_MM
    carries = (carried_by_line if is_line else carried_in_box)(layout, *ends)
    if not carries:
        raise EditError(
            "No track lies in it.",
            "Drag a box over the tracks that go with the section, or a line across "
            "them for a board joint.",
        )
    draft = Draft(layout)
    opening = Opening(
        id=draft.new_id(PREFIXES["opening"]),
        use="board joint" if is_line else "lift-out",
        carries=carries,
    )
    draft.put(opening)
    return draft.change(f"Add {opening.use} {opening.id}")


LINE_MM = 20.0
"""A narrower rectangle is meant as a line (house choice). [mm]"""


def set_contact(layout: Layout, opening_id: PartId, contact: PartId | None) -> Change:
    """Return the change that lets an in-line device open with an opening."""
    opening = needed(layout, opening_id, Opening)
    draft = Draft(layout)
    changed = replace(opening, contact=contact)
    check_opening(draft.view, changed)
    draft.put(changed)
    words = f"Let {contact} open with" if contact else "Take the contact from"
    return draft.change(f"{words} {opening_id}")


def check_opening(layout: Layout, opening: Opening) -> None:
    """Refuse an opening whose track or contact is not there.

    Raises
    ------
    EditError
        A stretch is off its run or runs backwards; the contact is no device.
    """
    for carried in opening.carries:
        for end in (carried.from_m, carried.to_m):
            place_on(layout, OnRun(run=carried.run, position_m=end))
        _need_forward(opening, carried)
    if opening.contact is not None:
        device = layout.parts.get(opening.contact)
        if not isinstance(device, Inline) or device.device != "switch":
            raise EditError(
                f"{opening.contact} is no switch.",
                "Place a switch in the feed of the approach, and choose that.",
            )


def _need_forward(opening: Opening, carried: Carried) -> None:
    if carried.from_m > carried.to_m:
        raise EditError(
            f"{opening.id} would end before it begins on {carried.run}.",
            "Give where it begins first.",
        )
