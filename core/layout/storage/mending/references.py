"""What parts name is there: places on runs, ends, connections, ways."""

from dataclasses import dataclass

from msgspec.structs import replace

from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Carried,
    Crossing,
    Drop,
    Gap,
    Inline,
    Load,
    OnRun,
    Opening,
    Part,
    RunEnd,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import bridge_ends
from core.layout.storage.report import Notes

BEYOND_M = 1e-6
"""How far past an end a position may lie and still mean the end. [m]"""

Parts = dict[PartId, Part]


@dataclass(frozen=True, slots=True)
class Mended:
    """The parts that hang together, and those that hang on unread lines."""

    parts: Parts
    aside: tuple[PartId, ...]


def mend_references(parts: Parts, unread: frozenset[str], notes: Notes) -> Mended:
    """Return the parts with every reference sound.

    A part that sits on, or joins, a run that is not there is left out; if that
    run's line could not be read, the part waits aside with it. Positions beyond
    an end come to the end. A connection to nothing is let go of.
    """
    return _Mending(parts, unread, notes).all()


class _Mending:
    """Goes through the parts once."""

    def __init__(self, parts: Parts, unread: frozenset[str], notes: Notes) -> None:
        self._parts = parts
        self._unread = unread
        self._notes = notes
        self._aside: list[PartId] = []
        self._taken: dict[RunEnd, PartId] = {}
        self._lengths: dict[PartId, float] = {}

    def all(self) -> Mended:
        mended: Parts = {}
        for part_id, part in self._parts.items():
            kept = self._mend(part)
            if kept is not None:
                mended[part_id] = kept
        return Mended(mended, tuple(self._aside))

    def _mend(self, part: Part) -> Part | None:
        match part:
            case Drop():
                on = self._on(part.id, part.on)
                to = self._to(part.id, part.to) if on else None
                return replace(part, on=on, to=to) if on else None
            case Gap() | Load():
                on = self._on(part.id, part.on)
                return replace(part, on=on) if on else None
            case TrackJoint() | Turnout() | Turntable():
                return self._joining(part)
            case Crossing():
                return self._mend_crossing(part)
            case Bus() | Inline():
                return self._wired(part)
            case Opening():
                return self._opening(part)
            case _:
                return part

    def _joining(self, part: TrackJoint | Turnout | Turntable) -> Part | None:
        match part:
            case TrackJoint():
                ends = self._take(part.id, part.a, part.b)
                return part if ends else None
            case Turnout():
                on = self._on(part.id, part.on)
                free = on and self._take(part.id, part.leg)
                return replace(part, on=on) if on and free else None
            case Turntable():
                return self._table(part)

    def _table(self, table: Turntable) -> Turntable | None:
        """Return a turntable whose bridge is there, with those stalls that are."""
        start, end = bridge_ends(table)
        if not self._take(table.id, start, end):
            return None
        stalls = tuple(stall for stall in table.stalls if self._stall(table.id, stall))
        return replace(table, stalls=stalls)

    def _stall(self, part_id: PartId, end: RunEnd) -> bool:
        """Return whether a stall's end is there and free; the pit does without."""
        holder = self._taken.get(end)
        if not isinstance(self._parts.get(end.run), TrackRun):
            why = f"on the track {end.run[:20]!r}, which is not there"
        elif holder is not None:
            why = f"at the {end.end} of {end.run}, which is joined by {holder} already"
        else:
            self._taken[end] = part_id
            return True
        self._notes.fix(f"{part_id} has a stall {why}; that stall was left out.")
        return False

    def _mend_crossing(self, part: Crossing) -> Crossing | None:
        a = self._on(part.id, part.a)
        b = a and self._on(part.id, part.b)
        return replace(part, a=a, b=b) if a and b else None

    def _wired(self, part: Bus | Inline) -> Part:
        if isinstance(part, Inline):
            feed, other = (self._to(part.id, to) for to in (part.feed, part.other))
            return replace(part, feed=feed, other=other)
        start, end = self._to(part.id, part.start), self._to(part.id, part.end)
        return replace(part, start=start, end=end)

    def _opening(self, part: Opening) -> Opening | None:
        """Return an opening with what it carries of the runs that are there."""
        kept: list[Carried] = []
        for carried in part.carries:
            ends = sorted((carried.from_m, carried.to_m))
            low, high = (
                self._on(part.id, OnRun(run=carried.run, position_m=end))
                for end in ends
            )
            if low is None or high is None:
                if part.id in self._aside:
                    return None
                continue
            kept.append(
                Carried(run=low.run, from_m=low.position_m, to_m=high.position_m)
            )
        contact = part.contact
        if contact is not None and not isinstance(self._parts.get(contact), Inline):
            self._notes.fix(
                f"{part.id}: its contact {contact[:20]!r} is not there; it has none."
            )
            contact = None
        if not kept:
            return None
        return replace(part, carries=tuple(kept), contact=contact)

    def _on(self, part_id: PartId, on: OnRun) -> OnRun | None:
        """Return a place on a run that is there, or None."""
        if not self._has_run(part_id, on.run):
            return None
        length = self._length(on.run)
        if on.position_m <= length + BEYOND_M:
            return on
        self._notes.fix(
            f"{part_id}: {on.position_m:g} m is beyond the end of {on.run}, "
            f"{length:g} m; it is at the end now."
        )
        return OnRun(run=on.run, position_m=length)

    def _take(self, part_id: PartId, *ends: RunEnd) -> bool:
        """Return whether run ends are there and free, and take them."""
        if not all(self._has_run(part_id, end.run) for end in ends):
            return False
        for i, end in enumerate(ends):
            holder = part_id if end in ends[:i] else self._taken.get(end)
            if holder is not None:
                self._notes.fix(
                    f"{part_id}: the {end.end} of {end.run} is joined by {holder} "
                    f"already; {part_id} was left out."
                )
                return False
        self._taken.update((end, part_id) for end in ends)
        return True

    def _has_run(self, part_id: PartId, run: PartId) -> bool:
        if isinstance(self._parts.get(run), TrackRun):
            return True
        if run in self._unread:
            self._aside.append(part_id)
            self._notes.leave(
                f"{part_id} is on {run}, which could not be read; it is kept in the "
                f"file and not shown."
            )
        else:
            self._notes.fix(
                f"{part_id} is on the track {run[:20]!r}, which is not there; "
                f"{part_id} was left out."
            )
        return False

    def _to(self, part_id: PartId, to: Attachment | None) -> Attachment | None:
        """Return a connection to something that is there, or None."""
        if to is None:
            return None
        target = self._parts.get(to.part)
        match to, target:
            case ToPort(), Booster() | Inline():
                return to
            case ToStrip(), Strip() if to.way <= target.ways:
                return to
            case ToStrip(), Strip():
                self._notes.fix(
                    f"{part_id}: {to.part} has {target.ways} ways and no way "
                    f"{to.way}; it is on way {target.ways} now."
                )
                return replace(to, way=target.ways)
            case ToBus(), Bus():
                return self._tap(part_id, to)
            case _:
                self._notes.fix(
                    f"{part_id} was wired to {to.part[:20]!r}, which is not there or "
                    f"takes no such wire; it is let go."
                )
                return None

    def _tap(self, part_id: PartId, to: ToBus) -> ToBus:
        length = self._length(to.part)
        if to.position_m <= length + BEYOND_M:
            return to
        self._notes.fix(
            f"{part_id}: {to.position_m:g} m is beyond the end of {to.part}, "
            f"{length:g} m; it is at the end now."
        )
        return replace(to, position_m=length)

    def _length(self, part_id: PartId) -> float:
        if part_id not in self._lengths:
            part = self._parts[part_id]
            assert isinstance(part, TrackRun | Bus)
            path = run_path(part) if isinstance(part, TrackRun) else bus_path(part)
            self._lengths[part_id] = path.length_m
        return self._lengths[part_id]
