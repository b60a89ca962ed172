"""Put a device into a bus: what lies beyond it hangs on its output."""

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import Device, add_inline
from core.layout.edits.attach import settle
from core.layout.edits.draft import Draft, needed
from core.layout.edits.halves import halves, hand_over
from core.layout.geometry import bus_path
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    Attachment,
    Booster,
    Bus,
    Inline,
    Point,
    ToBus,
    ToPort,
)

LEAST_PIECE_M = 0.01
"""No piece of a cut bus is shorter than this (house choice). [m]"""


def cut_in(layout: Layout, device: Device, on: ToBus) -> Change:
    """Return the change that puts a device into a bus.

    The bus is cut there: the side that power comes from feeds the device and keeps
    its id, the other is a bus of its own on the output. All that hangs on the bus
    stays where it is. At the far end of the bus the device just hangs on it.

    Raises
    ------
    EditError
        The bus begins there, or power comes to it from both sides.
    """
    bus = needed(layout, on.part, Bus)
    length = bus_path(bus).length_m
    at_m = min(max(on.position_m, 0.0), length)
    is_back = _is_fed_from_end(layout, bus, at_m)
    before_m = length - at_m if is_back else at_m
    place = bus_path(bus).at(at_m)
    here = Point(x_mm=place.x_mm, y_mm=place.y_mm)
    if before_m < LEAST_PIECE_M:
        raise EditError(
            f"Bus {bus.id} begins there, so nothing of it would feed the {device}.",
            "Click further along it.",
        )
    if length - before_m < LEAST_PIECE_M:
        end = ToBus(part=bus.id, position_m=0.0 if is_back else length)
        if (bus.start if is_back else bus.end) is None:
            return add_inline(layout, device, here, feed=end)
        raise EditError(
            f"Bus {bus.id} ends there, so nothing of it would hang on the {device}.",
            "Click further back on it.",
        )
    return _cut(layout, bus, device, at_m, here, is_back=is_back)


def _cut(
    layout: Layout, bus: Bus, device: Device, at_m: float, here: Point, *, is_back: bool
) -> Change:
    placed = add_inline(layout, device, here)
    (part,) = placed.after.values()
    assert isinstance(part, Inline), "a device was added"
    draft = Draft(layout)
    made = draft.put(part).id
    into, out = ToPort(part=made, port="in"), ToPort(part=made, port="out")
    first, second = halves(bus, at_m, here)
    new = draft.new_id(PREFIXES["bus"])
    if is_back:
        first = replace(first, id=new, name="", end=out)
        second = replace(second, start=into)
    else:
        first = replace(first, end=into)
        second = replace(second, id=new, name="", start=out)
    hand_over(draft, bus.id, at_m, first.id, second.id)
    draft.put(first)
    draft.put(second)
    settle(draft)
    return draft.change(f"Put {made} into bus {bus.id}")


def _is_fed_from_end(layout: Layout, bus: Bus, at_m: float) -> bool:
    """Return whether power comes to a place on a bus from the side of its end.

    Where none comes yet, the way it was drawn counts.
    """
    comes_m = _inlets_m(layout, bus)
    is_far = at_m > 0.5 * bus_path(bus).length_m
    behind = {p > at_m or (p == at_m and is_far) for p in comes_m}
    if len(behind) == 2:
        raise EditError(
            f"Power comes to bus {bus.id} from both sides of that place.",
            "Take one of its two feeds away first, or place the device beside the bus "
            "and draw the wires to it.",
        )
    return True in behind


def _inlets_m(layout: Layout, bus: Bus) -> list[float]:
    """Return where power comes to a bus, as far as its wires tell. [m]"""
    found: list[float] = []
    if bus.start is not None and not _is_input(layout, bus.start):
        found.append(0.0)
    if bus.end is not None and _is_source(layout, bus.end):
        found.append(bus_path(bus).length_m)
    for other in layout.of_kind(Bus):
        for to, far, is_end in (
            (other.end, other.start, True),
            (other.start, other.end, False),
        ):
            if other.id == bus.id or not isinstance(to, ToBus) or to.part != bus.id:
                continue
            if far is None:
                continue
            comes = not _is_input(layout, far) if is_end else _is_source(layout, far)
            if comes:
                found.append(to.position_m)
    return found


def _is_input(layout: Layout, to: Attachment) -> bool:
    return (
        isinstance(to, ToPort)
        and to.port == "in"
        and layout.get(to.part, Inline) is not None
    )


def _is_source(layout: Layout, to: Attachment) -> bool:
    if not isinstance(to, ToPort):
        return False
    return layout.get(to.part, Booster) is not None or to.port == "out"
