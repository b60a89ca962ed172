"""W104: wire or device that hangs on nothing, or track ends that only touch."""

from collections import defaultdict
from collections.abc import Iterator

from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.edits.join import do_meet, end_pose, join_run_ends
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import opened_devices
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Drop,
    Inline,
    OnRun,
    RunEnd,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
)
from core.layout.passing import plugs_in
from core.layout.queries import free_ends, part_name, run_name

GRID_MM = 10.0
"""Cell in which neighbours of a track end are looked for; over the meeting distance."""


def check(study: Study) -> Iterator[Finding]:
    """Yield findings on drops, on dead wiring, on idle boosters and on track ends."""
    layout = study.layout
    for drop in layout.of_kind(Drop):
        yield from _loose_drop(layout, drop)
    yield from _dead_wiring(study)
    wired = _wired_to(layout)
    for booster in layout.of_kind(Booster):
        if booster.id not in wired:
            yield RULE.finding(
                f"{part_name(layout, booster.id)} feeds nothing.",
                "no bus, breaker or drop is wired to it",
                "Run a bus from it to the track.",
                parts=(booster.id,),
            )
    yield from _touching_ends(layout)


def _loose_drop(layout: Layout, drop: Drop) -> Iterator[Finding]:
    if layout.get(drop.on.run, TrackRun) is None:
        what = f"its track {drop.on.run} is not there"
    elif drop.to is None:
        what = "its lower end hangs free"
    elif not _is_there(layout, drop.to):
        what = f"{drop.to.part} is not there"
    else:
        return
    yield RULE.finding(
        f"{part_name(layout, drop.id)} feeds nothing: {what}.",
        "a drop needs rails above and a bus, strip or device below",
        "Wire it to a bus or strip, or take it away.",
        parts=(drop.id,),
        place=drop.on,
    )


def _wired_to(layout: Layout) -> set[PartId]:
    """Return the parts that a drop, bus or device is wired to."""
    found = {d.to.part for d in layout.of_kind(Drop) if d.to is not None}
    for device in layout.of_kind(Inline):
        found |= {to.part for to in (device.feed, device.other) if to is not None}
    for bus in layout.of_kind(Bus):
        found |= {to.part for to in (bus.start, bus.end) if to is not None}
    return found


def _is_there(layout: Layout, to: Attachment) -> bool:
    match to:
        case ToPort():
            return isinstance(layout.parts.get(to.part), Booster | Inline)
        case ToStrip():
            return layout.get(to.part, Strip) is not None
        case ToBus():
            return layout.get(to.part, Bus) is not None


def _dead_wiring(study: Study) -> Iterator[Finding]:
    """Yield one finding for each heap of wiring that no booster reaches."""
    label, live = study.system.islands.label, study.system.islands.live
    heaps: defaultdict[int, dict[PartId, None]] = defaultdict(dict)
    open_out: set[int] = set()
    opened = opened_devices(study.layout, study.case.opened)
    drawn = {
        bus
        for bus, plugs in plugs_in(study.layout).items()
        if any(opening.id in study.case.opened for _, opening in plugs)
    }
    for i, node in enumerate(study.circuit.nodes):
        if live[i]:
            continue
        part = study.layout.parts[node.part]
        is_out = "_out" in node.name or "_iso" in node.name
        if part.id in drawn or (is_out and part.id in opened):
            open_out.add(int(label[i]))
        elif isinstance(part, Bus | Strip | Inline):
            heaps[int(label[i])][node.part] = None
    told: set[PartId] = set()
    for island, parts in heaps.items():
        if island in open_out or parts.keys() <= told:
            continue
        told |= parts.keys()
        yield _dead_heap(study.layout, tuple(parts))


def _dead_heap(layout: Layout, parts: tuple[PartId, ...]) -> Finding:
    first = part_name(layout, parts[0])
    rest = list_names(parts[1:])
    return RULE.finding(
        f"No booster feeds {first}{', nor ' + rest if rest else ''}.",
        "there is no way from it to a booster",
        f"Wire {parts[0]} to a booster, breaker or live bus.",
        parts=parts,
    )


def _touching_ends(layout: Layout) -> Iterator[Finding]:
    """Yield one finding for each two free track ends that meet but are not joined."""
    cells: defaultdict[tuple[int, int], list[RunEnd]] = defaultdict(list)
    for end in free_ends(layout):
        pose = end_pose(layout, end)
        column, row = int(pose.x_mm // GRID_MM), int(pose.y_mm // GRID_MM)
        near = [
            other
            for dx in (-1, 0, 1)
            for dy in (-1, 0, 1)
            for other in cells.get((column + dx, row + dy), ())
        ]
        mate = next((other for other in near if do_meet(layout, other, end)), None)
        if mate is not None:
            yield _touching(layout, mate, end)
        cells[column, row].append(end)


def _touching(layout: Layout, a: RunEnd, b: RunEnd) -> Finding:
    run = layout.need(a.run, TrackRun)
    position = 0.0 if a.end == "start" else run_path(run).length_m
    names = f"{run_name(layout, a.run)} and {run_name(layout, b.run)}"
    if a.run == b.run:
        names = f"The two ends of {run_name(layout, a.run)}"
    return RULE.finding(
        f"{names} meet but are not joined: no power passes there.",
        "two free track ends in line, closer than 2 mm",
        "Join them, or move one away if a gap is meant.",
        parts=tuple(dict.fromkeys((a.run, b.run))),
        place=OnRun(run=a.run, position_m=position),
        severity=Severity.ADVICE,
        fix=join_run_ends(layout, a, b),
    )


RULE = Rule(
    "W104",
    Severity.FAULT,
    "Connected to nothing",
    source="House choice.",
    check=check,
)
