"""Bus schedule and terminal-strip maps."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from core.layout.geometry import bus_path
from core.layout.layout import Layout
from core.layout.parts import (
    Attachment,
    Bus,
    Drop,
    End,
    Inline,
    Opening,
    Strip,
    ToBus,
    ToStrip,
)
from core.layout.passing import plugs_in
from core.layout.queries import bus_length_m, open_ends, run_name
from core.materials.joints import joint
from core.materials.wires import wire
from core.sheet.schedules.benches import Bench, bench_at, benches_of
from core.sheet.schedules.words import NOWHERE, end_words, letters_of
from core.units.length import show_length

TapKind = Literal["start", "bend", "drop", "bus", "device", "plug", "end"]


_Found = tuple[float, int, TapKind, str]
"""Position [m], order among things at one place, kind, words."""


@dataclass(frozen=True, slots=True)
class Tap:
    """Something that happens along a bus.

    Attributes
    ----------
    position_m : float
        From the bus's start along the drawn path. [m]
    step_m : float
        From the tap before. [m]
    kind : TapKind
        What it is.
    what : str
        In words.
    """

    position_m: float
    step_m: float
    kind: TapKind
    what: str


@dataclass(frozen=True, slots=True)
class BusRow:
    """One bus, with all its taps in order.

    Attributes
    ----------
    bus : Bus
        The bus.
    wire : str
        Label of its wire.
    path_m, length_m : float
        Drawn path; what to buy of the pair, slack and legs included. [m]
    starts, ends : str
        What its ends are joined to.
    taps : tuple of Tap
        From its start to its end.
    """

    bus: Bus
    wire: str
    path_m: float
    length_m: float
    starts: str
    ends: str
    taps: tuple[Tap, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """A pair of screws of a strip, and what is under them."""

    number: int
    lands: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StripMap:
    """A terminal strip, way by way."""

    strip: Strip
    ways: tuple[Way, ...]

    @property
    def free(self) -> tuple[int, ...]:
        """Numbers of the ways with nothing under them."""
        return tuple(w.number for w in self.ways if not w.lands)


def bus_rows(layout: Layout) -> tuple[BusRow, ...]:
    """Return every bus with its taps."""
    benches = benches_of(layout)
    plugs, free = plugs_in(layout), open_ends(layout)
    return tuple(
        _bus_row(layout, bus, benches, plugs.get(bus.id, ()), free[bus.id])
        for bus in layout.of_kind(Bus)
    )


def strip_maps(layout: Layout) -> tuple[StripMap, ...]:
    """Return every strip, way by way."""
    return tuple(_strip_map(layout, strip) for strip in layout.of_kind(Strip))


def _bus_row(
    layout: Layout,
    bus: Bus,
    benches: tuple[Bench, ...],
    plugs: Iterable[tuple[float, Opening]],
    free: tuple[End, ...],
) -> BusRow:
    a, b = letters_of(layout.settings)
    crossed = f", crossed: {a} to {b}"
    starts = _bus_end(layout, bus.start, crossed if bus.start_flipped else "")
    ends = _bus_end(layout, bus.end, crossed if bus.end_flipped else "")
    if bus.snubber and "start" in free:
        starts += ", with a snubber"
    if bus.snubber and "end" in free:
        ends += ", with a snubber"
    path_m = bus_path(bus).length_m
    found: list[_Found] = [
        (0.0, 0, "start", starts),
        (path_m, 3, "end", ends),
        *_bends(layout, bus, benches),
        *_joined(layout, bus),
        *_plugs(plugs),
    ]
    taps: list[Tap] = []
    before = 0.0
    for position, _, kind, what in sorted(found, key=lambda f: (f[0], f[1], f[3])):
        taps.append(Tap(position, position - before, kind, what))
        before = position
    return BusRow(
        bus=bus,
        wire=wire(bus.wire).label,
        path_m=path_m,
        length_m=bus_length_m(bus),
        starts=starts,
        ends=ends,
        taps=tuple(taps),
    )


def _bus_end(layout: Layout, to: Attachment | None, crossed: str) -> str:
    words = end_words(layout, to)
    return "a free end" if words == NOWHERE else words + crossed


def _bends(layout: Layout, bus: Bus, benches: tuple[Bench, ...]) -> Iterable[_Found]:
    length = 0.0
    system = layout.settings.lengths
    for here, there in zip(bus.points, bus.points[1:-1], strict=False):
        dx, dy = there.x_mm - here.x_mm, there.y_mm - here.y_mm
        length += (dx * dx + dy * dy) ** 0.5 / 1000.0
        bench = bench_at(benches, there.x_mm, there.y_mm)
        at = bench.measure(there.x_mm, there.y_mm)
        along, inward = show_length(at.along, system), show_length(at.inward, system)
        if bench.board is None:
            words = f"{along} right of zero, {inward} behind it"
        else:
            words = f"{bench.board.id}: {along} from {bench.end}, {inward} from aisle"
        yield length, 1, "bend", words


def _joined(layout: Layout, bus: Bus) -> Iterable[_Found]:
    for drop in layout.of_kind(Drop):
        if isinstance(drop.to, ToBus) and drop.to.part == bus.id:
            name = run_name(layout, drop.on.run)
            yield _held(bus, drop.to), 2, "drop", f"{drop.id}, drop to {name}"
    for other in layout.of_kind(Bus):
        for end, to in (("start", other.start), ("end", other.end)):
            if isinstance(to, ToBus) and to.part == bus.id:
                yield _held(bus, to), 2, "bus", f"bus {other.id}, its {end}"
    for device in layout.of_kind(Inline):
        if isinstance(device.feed, ToBus) and device.feed.part == bus.id:
            words = f"{device.id} in, {device.device}"
            yield _held(bus, device.feed), 2, "device", words
        if isinstance(device.other, ToBus) and device.other.part == bus.id:
            words = f"{device.id}, its other feed"
            yield _held(bus, device.other), 2, "device", words


def _plugs(plugs: Iterable[tuple[float, Opening]]) -> Iterable[_Found]:
    for position, opening in plugs:
        words = f"plug at the edge of {opening.id}, {joint(opening.plug).label}"
        yield position, 2, "plug", words


def _held(bus: Bus, to: ToBus) -> float:
    return min(to.position_m, bus_path(bus).length_m)


def _strip_map(layout: Layout, strip: Strip) -> StripMap:
    lands: dict[int, list[str]] = {}
    for way, words in _landing(layout, strip):
        lands.setdefault(way, []).append(words)
    most = max([strip.ways, *lands])
    return StripMap(
        strip, tuple(Way(n, tuple(lands.get(n, ()))) for n in range(1, most + 1))
    )


def _landing(layout: Layout, strip: Strip) -> Iterable[tuple[int, str]]:
    a, b = letters_of(layout.settings)
    crossed = f" (crossed: {a} under {b})"

    def way_of(to: Attachment | None) -> int | None:
        return to.way if isinstance(to, ToStrip) and to.part == strip.id else None

    for bus in layout.of_kind(Bus):
        for end, to, flipped in (
            ("start", bus.start, bus.start_flipped),
            ("end", bus.end, bus.end_flipped),
        ):
            way = way_of(to)
            if way is not None:
                words = f"bus {bus.id}, its {end}"
                yield way, words + (crossed if flipped else "")
    for device in layout.of_kind(Inline):
        way = way_of(device.feed)
        if way is not None:
            words = f"{device.id} in, {device.device}"
            yield way, words + (crossed if device.feed_flipped else "")
        other = way_of(device.other)
        if other is not None:
            yield other, f"{device.id}, its other feed"
    for drop in layout.of_kind(Drop):
        way = way_of(drop.to)
        if way is not None:
            name = run_name(layout, drop.on.run)
            yield way, f"{drop.id}, {name}" + (crossed if strip.flipped else "")
