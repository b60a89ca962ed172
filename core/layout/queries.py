"""Questions to a layout: names, places, lengths, and what refers to what."""

from collections.abc import Iterator
from functools import lru_cache
from math import hypot

from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Attachment,
    Backdrop,
    Board,
    Booster,
    Bus,
    Crossing,
    Drop,
    End,
    Gap,
    Inline,
    Joist,
    Load,
    OnRun,
    Opening,
    Part,
    RunEnd,
    Settings,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.units.length import show_length
from core.units.si import Metre

STRIP_WAY_MM = 12.0
"""Width of one way of a terminal strip as drawn, lengthwise. [mm]"""

WHOLE_DEG = 360.0 + 1e-6
"""An arc of more than this is a helix: it lies over itself. [°]"""

RAIL_END_M = 1e-6
"""Joints nearer to a run's end than this are the end's own joint. [m]"""

BRANCHES_ON: tuple[type[Part], ...] = (Drop, Gap, Load)
"""Kinds of part that sit at one place on a run."""


# Names ----------------------------------------------------------------------


def run_name(layout: Layout, run: PartId) -> str:
    """Return a run's name, or its id where it has none or is not there."""
    part = layout.get(run, TrackRun)
    return part.name or part.id if part is not None else run


def place_name(layout: Layout, on: OnRun) -> str:
    """Return a place in words, such as "Main, 3.42 m"."""
    length = show_length(Metre(on.position_m), layout.settings.lengths)
    return f"{run_name(layout, on.run)}, {length}"


def part_name(layout: Layout, part_id: PartId) -> str:
    """Return a part in words, such as "D4 (drop on Main)"."""
    part = layout.parts.get(part_id)
    if part is None:
        return part_id
    kind = kind_word(part)
    match part:
        case Drop() | Gap():
            return f"{part_id} ({kind} on {run_name(layout, part.on.run)})"
        case Load() | Turnout():
            named = f"{part.name}, " if part.name else ""
            return f"{part_id} ({named}{kind} on {run_name(layout, part.on.run)})"
        case TrackJoint():
            a, b = run_name(layout, part.a.run), run_name(layout, part.b.run)
            return f"{part_id} ({kind} of {a} and {b})"
        case Crossing():
            a, b = run_name(layout, part.a.run), run_name(layout, part.b.run)
            return f"{part_id} ({kind} of {a} and {b})"
        case Joist() | Backdrop() | Settings():
            return f"{part_id} ({kind})"
        case _:
            return f"{part_id} ({part.name or kind})"


def rated_amps(device: Inline) -> float:
    """Return what a device in the feed is made to carry; a lamp, its own rating. [A]"""
    return device.lamp_a if device.device == "lamp" else device.rated_a


def kind_word(part: Part) -> str:
    """Return what a builder calls that kind of part."""
    if isinstance(part, Inline):
        words = {"detector": "occupancy detector", "lamp": "lamp limiter"}
        return words.get(part.device, part.device)
    if isinstance(part, Turntable):
        return part.form
    if isinstance(part, Load):
        return "train" if part.use == "train" else "standing load"
    if isinstance(part, Crossing):
        return part.shape
    if isinstance(part, Opening):
        return part.use
    return _KIND_WORDS[type(part)]


_KIND_WORDS: dict[type[Part], str] = {
    TrackRun: "track",
    TrackJoint: "joint",
    Turnout: "turnout",
    Gap: "gap",
    Booster: "booster",
    Bus: "bus",
    Strip: "terminal strip",
    Drop: "drop",
    Board: "board",
    Joist: "joist",
    Backdrop: "backdrop",
    Settings: "settings",
}


def can_be_thrown(layout: Layout, part_id: PartId) -> bool:
    """Return whether a part is set one way or the other: turnouts, slips and the like.

    A plain diamond is only where it has contacts to throw.
    """
    match layout.parts.get(part_id):
        case Turnout():
            return True
        case Crossing(shape=shape, frog=frog):
            return shape != "diamond" or frog == "switched"
        case Opening(use=use):
            return use != "board joint"
        case _:
            return False


# Things on runs ---------------------------------------------------------------


def drops_on(layout: Layout, run: PartId) -> tuple[Drop, ...]:
    """Return the drops of a run, from its start to its end."""
    drops = [d for d in layout.of_kind(Drop) if d.on.run == run]
    return tuple(sorted(drops, key=lambda d: d.on.position_m))


def drops_by_run(layout: Layout) -> dict[PartId, list[Drop]]:
    """Return the drops of every run that has any, from its start to its end."""
    found: dict[PartId, list[Drop]] = {}
    for drop in sorted(layout.of_kind(Drop), key=lambda d: d.on.position_m):
        found.setdefault(drop.on.run, []).append(drop)
    return found


@lru_cache(maxsize=20000)
def joint_positions(run: TrackRun) -> tuple[float, ...]:
    """Return where pieces of rail meet inside a run, from its start. [m]."""
    length = run_path(run).length_m
    count = int((length - RAIL_END_M) / run.piece_length_m)
    found = (run.piece_length_m * (i + 1) for i in range(count))
    return tuple(p for p in found if p < length - RAIL_END_M)


def bridge_ends(table: Turntable) -> tuple[RunEnd, RunEnd]:
    """Return the two ends of a turntable's bridge: start, end."""
    return RunEnd(run=table.bridge, end="start"), RunEnd(run=table.bridge, end="end")


def table_of(layout: Layout, run: PartId) -> Turntable | None:
    """Return the turntable or traverser whose bridge a run is, if it is one."""
    return next((t for t in layout.of_kind(Turntable) if t.bridge == run), None)


def ends_of(
    layout: Layout, run: PartId
) -> Iterator[tuple[TrackJoint | Turnout | Turntable, RunEnd]]:
    """Yield what holds an end of a run, and which end.

    A turntable holds its stalls and both ends of its bridge: no joint goes there.
    """
    for joint in layout.of_kind(TrackJoint):
        for end in (joint.a, joint.b):
            if end.run == run:
                yield joint, end
    for turnout in layout.of_kind(Turnout):
        if turnout.leg.run == run:
            yield turnout, turnout.leg
    for table in layout.of_kind(Turntable):
        for end in (*bridge_ends(table), *table.stalls):
            if end.run == run:
                yield table, end


def free_ends(layout: Layout) -> tuple[RunEnd, ...]:
    """Return the run ends that nothing joins."""
    taken = {e for j in layout.of_kind(TrackJoint) for e in (j.a, j.b)}
    taken |= {t.leg for t in layout.of_kind(Turnout)}
    for table in layout.of_kind(Turntable):
        taken.update((*bridge_ends(table), *table.stalls))
    every = (
        RunEnd(run=run.id, end=end)
        for run in layout.of_kind(TrackRun)
        for end in ("start", "end")
    )
    return tuple(e for e in every if e not in taken)


AT_END_M = 0.05
"""What hangs on a bus so near to its end carries the bus on (house choice). [m]"""


def open_ends(layout: Layout) -> dict[PartId, tuple[End, ...]]:
    """Return which ends of each bus hang free: no device, strip or bus goes on there.

    A drop at the end does not carry the bus on.
    """
    on: dict[PartId, list[float]] = {}
    for part in layout.parts.values():
        if isinstance(part, Bus | Inline):
            for to in _attachments(part):
                if isinstance(to, ToBus):
                    on.setdefault(to.part, []).append(to.position_m)
    found: dict[PartId, tuple[End, ...]] = {}
    for bus in layout.of_kind(Bus):
        taps = on.get(bus.id, [])
        last = bus_path(bus).length_m - AT_END_M
        ends: list[End] = []
        if bus.start is None and all(m > AT_END_M for m in taps):
            ends.append("start")
        if bus.end is None and all(m < last for m in taps):
            ends.append("end")
        found[bus.id] = tuple(ends)
    return found


# Places in plan -----------------------------------------------------------------


def anchor(layout: Layout, to: Attachment) -> tuple[float, float] | None:
    """Return where in plan a connection ends, or None if the part is gone. [mm]."""
    match to:
        case ToPort():
            device = layout.parts.get(to.part)
            if isinstance(device, Booster | Inline):
                return device.x_mm, device.y_mm
        case ToStrip():
            strip = layout.get(to.part, Strip)
            if strip is not None:
                shift = (to.way - (strip.ways + 1) / 2.0) * STRIP_WAY_MM
                return strip.x_mm + shift, strip.y_mm
        case ToBus():
            bus = layout.get(to.part, Bus)
            if bus is not None:
                pose = bus_path(bus).at(to.position_m)
                return pose.x_mm, pose.y_mm
    return None


def place_xy(layout: Layout, on: OnRun) -> tuple[float, float] | None:
    """Return where in plan a place on a run lies, or None without the run. [mm]."""
    run = layout.get(on.run, TrackRun)
    if run is None:
        return None
    pose = run_path(run).at(on.position_m)
    return pose.x_mm, pose.y_mm


def board_of(layout: Layout, x_mm: float, y_mm: float) -> Board | None:
    """Return the smallest board that a point lies on."""
    over = [
        board
        for board in layout.of_kind(Board)
        if 0.0 <= x_mm - board.x_mm <= board.width_mm
        and 0.0 <= y_mm - board.y_mm <= board.depth_mm
    ]
    return min(over, key=lambda b: b.width_mm * b.depth_mm, default=None)


def edge_distances(board: Board, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Return how far a point lies from a board's left and front edge. [mm]."""
    return x_mm - board.x_mm, y_mm - board.y_mm


def level_mm_at(run: TrackRun, position_m: float) -> float:
    """Return how high the rail tops of a run are at a place. [mm]."""
    if run.level_end_mm is None:
        return run.level_mm
    share = min(max(position_m / run_path(run).length_m, 0.0), 1.0)
    return run.level_mm + share * (run.level_end_mm - run.level_mm)


def turns_of(run: TrackRun) -> float:
    """Return how often a helix goes round; 0 where no arc goes round once. [1]."""
    arcs = [abs(p.sweep_deg) for p in run.pieces if isinstance(p, Arc)]
    return sum(arcs) / 360.0 if any(sweep > WHOLE_DEG for sweep in arcs) else 0.0


def grade_of(run: TrackRun) -> float:
    """Return how steeply a run climbs from its start: rise over length. [1]."""
    if run.level_end_mm is None:
        return 0.0
    return (run.level_end_mm - run.level_mm) / run_path(run).length_mm


# Lengths --------------------------------------------------------------------------


def drop_lead_m(layout: Layout, drop: Drop) -> float:
    """Return the length of one conductor of a drop. [m].

    Typed, or: through the board, along the plan from the rails to where it
    ends, and the slack of the settings.
    """
    if drop.lead_m is not None:
        return drop.lead_m
    settings = layout.settings
    length = settings.thickness_mm + settings.lead_slack_mm
    top = place_xy(layout, drop.on)
    bottom = anchor(layout, drop.to) if drop.to is not None else None
    if top is not None and bottom is not None:
        length += hypot(top[0] - bottom[0], top[1] - bottom[1])
    return length / 1000.0


def bus_length_m(bus: Bus) -> float:
    """Return the length of one conductor of a bus: path, extra and slack. [m]."""
    return (bus_path(bus).length_m + bus.extra_m) * (1.0 + bus.slack)


# What refers to what ----------------------------------------------------------------


def references(part: Part) -> tuple[PartId, ...]:
    """Return the ids of the parts that a part names."""
    match part:
        case Drop():
            return part.on.run, *([part.to.part] if part.to else [])
        case Gap() | Load():
            return (part.on.run,)
        case TrackJoint() | Crossing():
            return part.a.run, part.b.run
        case Turnout():
            return part.on.run, part.leg.run
        case Turntable():
            return part.bridge, *dict.fromkeys(end.run for end in part.stalls)
        case Bus() | Inline():
            return tuple(to.part for to in _attachments(part) if to)
        case Opening():
            contact = (part.contact,) if part.contact else ()
            return (*dict.fromkeys(c.run for c in part.carries), *contact)
        case _:
            return ()


def uses_of(layout: Layout, part_id: PartId) -> tuple[Part, ...]:
    """Return the parts that name a part."""
    return tuple(p for p in layout.parts.values() if part_id in references(p))


def attached_to(layout: Layout, part_id: PartId) -> tuple[Part, ...]:
    """Return the drops, buses and devices that are wired to a part."""
    return tuple(
        part
        for part in uses_of(layout, part_id)
        if isinstance(part, Bus | Inline)
        or (isinstance(part, Drop) and part.to is not None and part.to.part == part_id)
    )


def ways_taken(layout: Layout, strip: PartId) -> dict[int, list[PartId]]:
    """Return which parts hang on which way of a strip."""
    return ways_by_strip(layout).get(strip, {})


def ways_by_strip(layout: Layout) -> dict[PartId, dict[int, list[PartId]]]:
    """Return which parts hang on which way, for every strip that has any."""
    taken: dict[PartId, dict[int, list[PartId]]] = {}
    for part in layout.parts.values():
        for to in _attachments(part):
            if isinstance(to, ToStrip):
                ways = taken.setdefault(to.part, {})
                ways.setdefault(to.way, []).append(part.id)
    return taken


def free_way(layout: Layout, strip: Strip) -> int | None:
    """Return the lowest free way of a strip, None if it is full."""
    taken = ways_taken(layout, strip.id)
    return next((w for w in range(1, strip.ways + 1) if w not in taken), None)


def _attachments(part: Part) -> tuple[Attachment | None, ...]:
    match part:
        case Drop():
            return (part.to,)
        case Bus():
            return (part.start, part.end)
        case Inline():
            return part.feed, part.other
        case _:
            return ()
