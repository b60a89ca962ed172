"""The stages of the job, in order, and what is still open in each."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot

from app.session.result import Result
from core.checks.finding import Severity
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Board,
    Booster,
    Bus,
    Drop,
    Inline,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
)
from core.layout.queries import free_ends

NEARLY_MM = 60.0
"""Loose track ends closer than this were probably meant to meet. House choice. [mm]"""


@dataclass(frozen=True, slots=True)
class Open:
    """Something that is still open: a sentence, its parts, how many things."""

    sentence: str
    parts: tuple[PartId, ...] = ()
    count: int = 1


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage: its name, what is done in it, and what finds the open ends."""

    id: str
    title: str
    does: str
    find: Callable[[Layout, Result | None], tuple[Open, ...]]


def open_items(stage: Stage, layout: Layout, result: Result | None) -> tuple[Open, ...]:
    """Return what is still open in a stage."""
    return stage.find(layout, result)


def _backdrop(layout: Layout, _: Result | None) -> tuple[Open, ...]:
    found: list[Open] = []
    backdrop = layout.backdrop
    if backdrop is not None and backdrop.mm_per_px == 1.0:
        found.append(Open("The picture has no scale yet", (backdrop.id,)))
    if not any(True for _board in layout.of_kind(Board)):
        found.append(Open("No baseboard: the sheet cannot measure holes from an edge"))
    return tuple(found)


def _track(layout: Layout, _: Result | None) -> tuple[Open, ...]:
    if not any(True for _run in layout.of_kind(TrackRun)):
        return (Open("No track yet"),)
    near = _nearly_met(layout)
    if not near:
        return ()
    places = _count(len(near) // 2, "place", "places")
    return (Open(f"{places} where track ends nearly meet", tuple(near)),)


def _power(layout: Layout, _: Result | None) -> tuple[Open, ...]:
    boosters = [b.id for b in layout.of_kind(Booster)]
    if not boosters:
        return (Open("No booster yet"),)
    reached = _reached(layout)
    found: list[Open] = []
    idle = tuple(b for b in boosters if b not in reached)
    if idle:
        found.append(Open(_say(idle, "feeds nothing yet", "feed nothing yet"), idle))
    unfed = tuple(
        d.id for d in layout.of_kind(Inline) if d.feed is None and d.id not in reached
    )
    if unfed:
        text = _say(unfed, "is wired to nothing", "are wired to nothing")
        found.append(Open(text, unfed))
    loose = tuple(b.id for b in layout.of_kind(Bus) if not (b.start or b.end))
    if loose:
        text = _say(loose, "is tied to nothing", "are tied to nothing")
        found.append(Open(text, loose))
    bare = tuple(s.id for s in layout.of_kind(Strip) if s.id not in reached)
    if bare:
        found.append(Open(_say(bare, "has no wire yet", "have no wire yet"), bare))
    return tuple(found)


def _drops(layout: Layout, result: Result | None) -> tuple[Open, ...]:
    runs = [r.id for r in layout.of_kind(TrackRun)]
    fed = {d.on.run for d in layout.of_kind(Drop)}
    found: list[Open] = []
    bare = tuple(r for r in runs if r not in fed)
    if bare:
        text = _count(len(bare), "run has", "runs have")
        found.append(Open(f"{text} no drop", bare, len(bare)))
    loose = tuple(d.id for d in layout.of_kind(Drop) if d.to is None)
    if loose:
        text = _count(len(loose), "drop ends", "drops end")
        found.append(Open(f"{text} nowhere", loose, len(loose)))
    if result is not None and runs:
        dead = tuple(dict.fromkeys(u.run for u in result.study.unfed))
        if dead and not bare:
            text = _count(len(dead), "run is", "runs are")
            found.append(Open(f"{text} not fed all along", dead, len(dead)))
    return tuple(found)


def _prove(layout: Layout, result: Result | None) -> tuple[Open, ...]:
    if result is None:
        return (Open("The figures are not worked out yet"),)
    if not any(True for _run in layout.of_kind(TrackRun)):
        return (Open("No track to prove yet"),)
    words = {
        Severity.HAZARD: ("hazard", "hazards"),
        Severity.FAULT: ("fault", "faults"),
        Severity.ADVICE: ("piece of advice", "pieces of advice"),
    }
    found: list[Open] = []
    for severity, (one, many) in words.items():
        of_it = [f for f in result.findings if f.severity is severity]
        if of_it:
            parts = tuple(f.parts[0] for f in of_it if f.parts)
            found.append(Open(_count(len(of_it), one, many), parts, len(of_it)))
    return tuple(found)


def _sheet(layout: Layout, _: Result | None) -> tuple[Open, ...]:
    found: list[Open] = []
    settings = layout.settings
    if settings.title in ("", "Untitled layout"):
        found.append(Open("The layout has no title"))
    if settings.conductor_a.colour == settings.conductor_b.colour:
        found.append(Open("Both conductors have the same colour"))
    return tuple(found)


STAGES: tuple[Stage, ...] = (
    Stage(
        "backdrop",
        "Backdrop",
        "Lay your benchwork drawing under the paper, set its scale, mark the boards.",
        _backdrop,
    ),
    Stage(
        "track",
        "Track",
        "Draw the track as it lies. Ends that meet are joined for you.",
        _track,
    ),
    Stage(
        "power",
        "Power",
        "Place the booster, run the bus from it, add breakers and terminal strips.",
        _power,
    ),
    Stage(
        "drops",
        "Drops",
        "Tie each length of rail down to the bus or a strip.",
        _drops,
    ),
    Stage(
        "prove",
        "Prove",
        "Click any rail to read what a train gets there. Then work down the findings.",
        _prove,
    ),
    Stage(
        "sheet",
        "Sheet",
        "Check the pages, then print the wiring sheet that goes under the layout.",
        _sheet,
    ),
)
"""The stages in the order of the job; later ones go at the end."""


def _nearly_met(layout: Layout) -> list[PartId]:
    """Return pairs of runs whose loose ends nearly meet, one after the other."""
    loose: list[tuple[PartId, float, float]] = []
    for end in free_ends(layout):
        path = run_path(layout.need(end.run, TrackRun))
        pose = path.start if end.end == "start" else path.end
        loose.append((end.run, pose.x_mm, pose.y_mm))
    loose.sort(key=lambda entry: entry[1])
    found: list[PartId] = []
    for i, (run, x, y) in enumerate(loose):
        for other, ox, oy in loose[i + 1 :]:
            if ox - x > NEARLY_MM:
                break
            if hypot(ox - x, oy - y) <= NEARLY_MM:
                found += [run, other]
    return found


def _reached(layout: Layout) -> set[PartId]:
    """Return the parts that some wire is tied to."""
    ties: list[object] = []
    for bus in layout.of_kind(Bus):
        ties += [bus.start, bus.end]
    ties += [device.feed for device in layout.of_kind(Inline)]
    ties += [drop.to for drop in layout.of_kind(Drop)]
    return {tie.part for tie in ties if isinstance(tie, (ToPort, ToBus, ToStrip))}


def _count(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _say(ids: Sequence[PartId], one: str, many: str) -> str:
    """Return a sentence about parts by name, at most three of them."""
    if len(ids) == 1:
        return f"{ids[0]} {one}"
    if len(ids) > 3:
        return f"{ids[0]}, {ids[1]} and {len(ids) - 2} more {many}"
    return f"{', '.join(ids[:-1])} and {ids[-1]} {many}"
