"""The power side of a circuit: boosters, devices, strips, buses and drops."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import partial

from core.layout.geometry import bus_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import Sections, opened_devices
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Drop,
    Inline,
    OnRun,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
)
from core.layout.passing import plugs_in
from core.layout.queries import bus_length_m, drop_lead_m
from core.materials.copper import at_temperature
from core.materials.filament import Filament
from core.materials.joints import Joint, joint
from core.materials.pair import loop_inductance_of_bus
from core.materials.wires import Wire, wire
from core.network.assembly import Assembly
from core.network.circuit import BranchKind, Link, Pair, Source, Stretch
from core.network.tracks import spread_of

_Taps = tuple[tuple[float, Pair], ...]

_Plug = tuple[float, str, bool]
"""Where along a bus a plug is, its kind of contact, and whether it is drawn. [m]"""

SAME_PLACE_M = 1e-6
"""Two taps closer than this are one node. [m]"""


class Power:
    """Puts the power parts of a layout on the bench."""

    def __init__(
        self, layout: Layout, bench: Assembly, opened: Collection[PartId] = ()
    ) -> None:
        self._layout = layout
        self._opened = frozenset(opened)
        self._sections = Sections(layout)
        self._open_devices = opened_devices(layout, self._opened)
        by_hand = {d.id for d in layout.of_kind(Inline) if not d.closed}
        self._swung_open = self._open_devices - by_hand
        self._bench = bench
        self._ports: dict[tuple[PartId, str], Pair] = {}
        self._strips: dict[PartId, Pair] = {}
        self._taps: dict[PartId, _Taps] = {}
        self._celsius = layout.settings.temperature_c
        self._leads: dict[str, _Lead] = {}
        self._plugs = {
            bus: tuple((at, o.plug, o.id in self._opened) for at, o in plugs)
            for bus, plugs in plugs_in(layout).items()
        }

    def place_devices(self) -> None:
        """Add boosters, in-line devices and strips."""
        for booster in self._layout.of_kind(Booster):
            self._place_booster(booster)
        for device in self._layout.of_kind(Inline):
            self._place_inline(device)
        for strip in self._layout.of_kind(Strip):
            self._strips[strip.id] = self._bench.pair(strip.id)

    def place_buses(self) -> None:
        """Add the taps of each bus and the wire between them."""
        wanted = self._tap_positions()
        for bus in self._layout.of_kind(Bus):
            plugs = self._plugs.get(bus.id, ())
            facts = (bus, tuple(wanted[bus.id]), self._celsius, plugs)
            make = partial(self._place_bus, bus, wanted[bus.id], plugs)
            self._taps[bus.id] = self._bench.place(bus.id, facts, make, _moved)

    def link_buses(self) -> None:
        """Join the ends of each bus to what they are attached to."""
        for bus in self._layout.of_kind(Bus):
            taps = self._taps[bus.id]
            for where, near, to, flipped in (
                ("start", taps[0][1], bus.start, bus.start_flipped),
                ("end", taps[-1][1], bus.end, bus.end_flipped),
            ):
                self._link(bus.id, where, near, to, flipped=flipped)

    def link_feeds(self) -> None:
        """Join the input of each in-line device to its feed."""
        for device in self._layout.of_kind(Inline):
            near = self._ports[device.id, "in"]
            self._link(
                device.id, "feed", near, device.feed, flipped=device.feed_flipped
            )
            self._link_other(device)

    def link_drops(self, place_at: Callable[[OnRun], Pair | None]) -> None:
        """Add each drop, from its bus or strip to its rails.

        Those of an opening's section cross by its jumper; not while it is open.
        """
        for drop in self._layout.of_kind(Drop):
            opening = self._sections.of(drop.on)
            if opening is not None and opening.id in self._opened:
                continue
            rails = place_at(drop.on)
            source = self._pair_at(drop.to)
            if rails is not None and source is not None:
                plug = opening.plug if opening is not None else ""
                self._put_drop(drop, source, rails, plug)

    # Devices

    def _place_booster(self, booster: Booster) -> None:
        a, b = pair = self._bench.pair(booster.id)
        for port in ("in", "out"):
            self._ports[booster.id, port] = pair
        plus, minus = (b, a) if booster.reversed_phase else (a, b)
        self._bench.sources.append(
            Source(plus, minus, booster.volts_v, booster.inner_ohm, booster.id)
        )

    def _place_inline(self, device: Inline) -> None:
        before = self._bench.pair(device.id, where="in")
        self._ports[device.id, "in"] = before
        is_open = device.id in self._open_devices
        source: Pair | None = None if is_open else before
        if device.other is not None:
            other = self._bench.pair(device.id, where="other")
            self._ports[device.id, "other"] = other
            if is_open and device.id not in self._swung_open:
                source = other
        common = before[1] if device.device == "switch" and device.poles == 1 else None
        self._ports[device.id, "out"] = self._pass_on(device, source, "out", common)
        if device.poles == 4:
            through = None if is_open else before
            self._ports[device.id, "iso"] = self._pass_on(device, through, "iso", None)

    def _pass_on(
        self, device: Inline, source: Pair | None, where: str, common: int | None
    ) -> Pair:
        """Add an output; A comes through the device, B straight or where common."""
        if source is None:
            if common is None:
                return self._bench.pair(device.id, where=where)
            return self._bench.node(device.id, 0.0, "A", where), common
        after = self._bench.node(device.id, 0.0, "A", where)
        self._bench.connect(
            BranchKind.DEVICE,
            (source[0], after),
            device.series_ohm + self._filament_ohm(device),
            of=Stretch(device.id),
            emf_v=device.drop_v,
        )
        out = source[1] if common is None else common
        self._bench.inputs[device.id] = source[0], out
        return after, out

    def _filament_ohm(self, device: Inline) -> float:
        """Return what a lamp adds with the test train behind it. [Ω]"""
        if device.device != "lamp":
            return 0.0
        filament = Filament(device.lamp_v, device.lamp_a)
        return filament.ohm_at(self._layout.settings.test_train_a)

    # Buses

    def _tap_positions(self) -> defaultdict[PartId, list[float]]:
        wanted: defaultdict[PartId, list[float]] = defaultdict(list)
        for to in self._attachments():
            if isinstance(to, ToBus):
                wanted[to.part].append(to.position_m)
        return wanted

    def _attachments(self) -> list[Attachment | None]:
        found: list[Attachment | None] = [d.to for d in self._layout.of_kind(Drop)]
        for device in self._layout.of_kind(Inline):
            found.extend((device.feed, device.other))
        for bus in self._layout.of_kind(Bus):
            found.extend((bus.start, bus.end))
        return found

    def _place_bus(
        self, bus: Bus, wanted: list[float], plugs: tuple[_Plug, ...]
    ) -> _Taps:
        length = bus_path(bus).length_m
        cuts = [position for position, _, _ in plugs]
        stops = _merged([0.0, *(min(p, length) for p in (*wanted, *cuts)), length])
        spool = wire(bus.wire)
        stretch = bus_length_m(bus) / length if length > 0.0 else 1.0
        ohm_per_m = at_temperature(spool.ohm_per_m, self._celsius) * stretch
        henry_per_m = (
            loop_inductance_of_bus(spool, bus.lay, bus.spacing_mm / 1000.0) * stretch
        )
        taps = tuple((p, self._bench.pair(bus.id, p)) for p in stops)
        on = [(p, self._part(bus.id, pair, plugs, p)) for p, pair in taps]
        for (p0, pair0), (p1, pair1) in zip(on, taps[1:], strict=False):
            for ends in zip(pair0, pair1, strict=True):
                self._bench.connect(
                    BranchKind.BUS,
                    ends,
                    ohm_per_m * (p1 - p0),
                    of=Stretch(bus.id, p0, p1),
                    henry=0.5 * henry_per_m * (p1 - p0),
                    spread=_spread(spool),
                )
        return taps

    def _part(
        self, bus: PartId, near: Pair, plugs: tuple[_Plug, ...], position_m: float
    ) -> Pair:
        """Return where a bus goes on from a tap: beyond a plug, if one is there."""
        for at, kind, is_open in plugs:
            if abs(at - position_m) > SAME_PLACE_M:
                continue
            far = self._bench.pair(bus, position_m)
            if not is_open:
                plug = joint(kind)
                for ends in zip(near, far, strict=True):
                    self._bench.connect(
                        BranchKind.CONTACT,
                        ends,
                        plug.ohm,
                        of=Stretch(bus, position_m, position_m),
                        spread=spread_of(plug),
                    )
            near = far
        return near

    # Links

    def _link(
        self,
        part: PartId,
        where: str,
        near: Pair,
        to: Attachment | None,
        *,
        flipped: bool,
    ) -> None:
        far = self._pair_at(to)
        if far is None or far == near:
            return
        contact = self._contact(
            to, "solder-joint" if isinstance(to, ToBus) else "screw"
        )
        ends = (far[1], far[0]) if flipped else far
        made = [
            self._bench.connect(
                BranchKind.CONTACT,
                (outer, inner),
                contact.ohm,
                of=Stretch(part),
                spread=spread_of(contact),
            )
            for outer, inner in zip(ends, near, strict=True)
        ]
        branches = (made[0], made[1])
        strip = to.part if isinstance(to, ToStrip) else None
        self._bench.links.append(Link(part, where, near, ends, branches, strip))

    def _link_other(self, device: Inline) -> None:
        """Join the second input of a change-over switch to its feed."""
        near = self._ports.get((device.id, "other"))
        far = self._pair_at(device.other)
        if near is None or far is None or far == near:
            return
        contact = self._contact(device.other, "screw")
        for ends in zip(far, near, strict=True):
            self._bench.connect(
                BranchKind.CONTACT,
                ends,
                contact.ohm,
                of=Stretch(device.id),
                spread=spread_of(contact),
            )

    def _put_drop(self, drop: Drop, source: Pair, rails: Pair, plug: str) -> None:
        """Add a drop, as last time where it and all that it hangs on are the same."""
        if self._hangs_crossed(drop):
            source = (source[1], source[0])
        self._bench.inputs[drop.id] = source
        parts = self._layout.parts
        ends = parts.get(drop.on.run), parts.get(drop.to.part) if drop.to else None
        facts = (drop, *ends, self._layout.settings, plug)
        work = partial(self._figures_of, drop, plug)
        figures = self._bench.figures(drop.id, facts, work)
        counts = (len(self._bench.nodes), len(self._bench.branches))
        make = partial(self._place_drop, drop, source, rails, figures)
        self._bench.place(drop.id, (figures, source, rails, counts), make, _stay)

    def _figures_of(self, drop: Drop, plug: str) -> "_Figures":
        lead = self._lead(drop.wire)
        contact = self._contact(drop.to, drop.contact)
        ohm, spread = contact.ohm + joint("soldered").ohm, spread_of(contact)
        if plug:
            ohm, spread = _with_plug(contact, joint(plug))
        length_m = drop_lead_m(self._layout, drop)
        return _Figures(drop, lead, length_m, ohm, spread)

    def _place_drop(
        self, drop: Drop, source: Pair, rails: Pair, figures: "_Figures"
    ) -> None:
        lead, length = figures.lead, figures.length_m
        left, right = rails
        targets = (left, right) if drop.a_rail == "left" else (right, left)
        near = self._bench.pair(drop.id)
        made: list[int] = []
        for bus_end, top, rail in zip(source, near, targets, strict=True):
            if drop.rails != "both" and rail != rails[drop.rails == "right"]:
                continue
            self._bench.connect(
                BranchKind.CONTACT,
                (bus_end, top),
                figures.ohm,
                of=Stretch(drop.id),
                spread=figures.spread,
            )
            made.append(
                self._bench.connect(
                    BranchKind.DROP,
                    (top, rail),
                    lead.ohm_per_m * length,
                    of=Stretch(drop.id, 0.0, length),
                    henry=0.5 * lead.henry_per_m * length,
                    spread=lead.spread,
                )
            )
        if len(made) == 2:
            strip = drop.to.part if isinstance(drop.to, ToStrip) else None
            self._bench.links.append(
                Link(drop.id, "drop", near, targets, (made[0], made[1]), strip)
            )

    def _lead(self, wire_id: str) -> "_Lead":
        """Return the figures of a wire as a lead; there are few kinds of wire."""
        lead = self._leads.get(wire_id)
        if lead is None:
            spool = wire(wire_id)
            ohm_per_m = at_temperature(spool.ohm_per_m, self._celsius)
            henry_per_m = loop_inductance_of_bus(spool, "twisted", 0.0)
            lead = _Lead(ohm_per_m, henry_per_m, _spread(spool))
            self._leads[wire_id] = lead
        return lead

    def _hangs_crossed(self, drop: Drop) -> bool:
        if not isinstance(drop.to, ToStrip):
            return False
        strip = self._layout.get(drop.to.part, Strip)
        return strip is not None and strip.flipped

    def _contact(self, to: Attachment | None, contact: str) -> Joint:
        if isinstance(to, ToStrip):
            strip = self._layout.get(to.part, Strip)
            if strip is not None:
                contact = strip.contact
        return joint(contact)

    def _pair_at(self, to: Attachment | None) -> Pair | None:
        match to:
            case ToPort():
                return self._ports.get((to.part, to.port))
            case ToStrip():
                return self._strips.get(to.part)
            case ToBus():
                taps = self._taps.get(to.part)
                return _nearest_tap(taps, to.position_m) if taps else None
            case None:
                return None


@dataclass(frozen=True, slots=True)
class _Lead:
    """A wire as the lead of a drop: per metre, and its band in shares."""

    ohm_per_m: float
    henry_per_m: float
    spread: tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Figures:
    """What a drop is, whatever its nodes: its lead, its connection. [m, Ω, 1]"""

    drop: Drop
    lead: _Lead
    length_m: float
    ohm: float
    spread: tuple[float, float]


def _moved(taps: _Taps, by: int) -> _Taps:
    return tuple((p, (a + by, b + by)) for p, (a, b) in taps)


def _stay(_: None, by: int) -> None:
    assert not by, "its facts tell where it lies"


def _with_plug(contact: Joint, plug: Joint) -> tuple[float, tuple[float, float]]:
    """Return the resistance and band of a contact and a plug in series. [Ω, 1]"""
    both = (contact, plug)
    ohm = sum(kind.ohm for kind in both)
    band = (sum(k.low for k in both) / ohm, sum(k.high for k in both) / ohm)
    return ohm + joint("soldered").ohm, band


def _spread(spool: Wire) -> tuple[float, float]:
    """Return the band of a wire, as shares of its default."""
    low, high = spool.band
    return low / spool.ohm_per_m, high / spool.ohm_per_m


def _merged(positions: list[float]) -> list[float]:
    """Return positions in order, those at the same place once."""
    stops: list[float] = []
    for position in sorted(positions):
        if not stops or position - stops[-1] > SAME_PLACE_M:
            stops.append(position)
    return stops if len(stops) > 1 else [stops[0], stops[0]]


def _nearest_tap(taps: _Taps, position_m: float) -> Pair:
    """Return the pair at the tap nearest to a place; of two as near, the first."""
    after = bisect_left(taps, min(position_m, taps[-1][0]), key=_place_of)
    near = taps[max(after - 1, 0) : after + 1] or taps[-1:]
    return min(near, key=lambda tap: abs(tap[0] - position_m))[1]


def _place_of(tap: tuple[float, Pair]) -> float:
    return tap[0]
