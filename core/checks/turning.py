"""Reversing paths as rules see them: what turns, and what is still shorted."""

from msgspec.structs import replace

from core.analysis.probe import find_point
from core.analysis.study import Study
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Crossing,
    Gap,
    Inline,
    OnRun,
    Part,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.network.build import build_circuit
from core.network.heels import bare_crossings, with_heel_gaps
from core.network.islands import find_islands
from core.network.polarity import Short, find_shorts
from core.network.reversing import Hop, ReversingPath, find_odd_links, find_reversing


def without_turning(study: Study) -> Layout:
    """Return the layout without what makes its track turn back on itself uncut.

    The closing joint or turnout of each such way is taken away; the rest still
    hangs together. So it is with a way that is cut once: a reverser that lies
    wrong shorts it, and turns.
    """
    odd = {*find_odd_links(study.layout), *_cut_once(study)} if study.shorts else set()
    if not odd:
        return study.layout
    return Layout({i: p for i, p in study.layout.parts.items() if i not in odd})


def _cut_once(study: Study) -> set[PartId]:
    """Return a joint or turnout of each way with one gap and a reverser."""
    if not any(d.device == "reverser" for d in study.layout.of_kind(Inline)):
        return set()
    return {
        next(link for link in path.links if link not in path.gaps)
        for path in find_reversing(study.layout)
        if len(path.gaps) == 1 and len(path.links) > 1
    }


def dead_crossings(layout: Layout) -> Layout:
    """Return the layout with no metal left in diamonds and slips but slip roads."""
    dead: dict[PartId, Part] = {}
    for crossing in layout.of_kind(Crossing):
        if crossing.frog == "uncut":
            dead[crossing.id] = replace(crossing, frog="insulated")
        elif crossing.frog == "switched" and crossing.obtuse == "joined":
            dead[crossing.id] = replace(crossing, obtuse="dead")
    return Layout({**layout.parts, **dead}) if dead else layout


def shorts_by_wiring(study: Study) -> tuple[Short, ...]:
    """Return the shorts that are left when the track itself makes none.

    Ways that turn back uncut, live crossings fed from their heels, and diamonds of one
    metal are thought away, so that a crossed pair shows as it would alone.
    """
    if not study.shorts:
        return ()
    layout = dead_crossings(without_turning(study))
    bare = bare_crossings(layout)
    if bare:
        layout = with_heel_gaps(layout, bare)
    elif layout is study.layout:
        return study.shorts
    circuit = build_circuit(layout, loads=False)
    return find_shorts(circuit, find_islands(circuit))


def owners(study: Study, path: ReversingPath, device: str) -> tuple[PartId | None, ...]:
    """Return for each span of a path the nearest such device before it."""
    return tuple(_owner(study, span, device) for span in path.spans)


def ends_of_turning(path: ReversingPath, who: tuple[PartId | None, ...]) -> set[PartId]:
    """Return the gaps of a path at which its owner changes.

    The first span lies between the last gap and the first one.
    """
    after = (*who[1:], who[0])
    return {
        gap
        for gap, one, other in zip(path.gaps, who, after, strict=True)
        if one != other
    }


def is_uncured(study: Study, path: ReversingPath) -> bool:
    """Return whether a path is cut and no reverser turns any of its sections."""
    return bool(path.gaps) and not any(owners(study, path, "reverser"))


def gap_place(layout: Layout, part: PartId) -> OnRun | None:
    """Return where a gap, a joint, a crossing or the toe of a turnout is."""
    match layout.parts.get(part):
        case Gap(on=on) | Turnout(on=on):
            return on
        case Crossing(a=on):
            return on
        case TrackJoint(a=end):
            run = layout.get(end.run, TrackRun)
            length = run_path(run).length_m if run is not None else 0.0
            return OnRun(run=end.run, position_m=length if end.end == "end" else 0.0)
        case _:
            return None


def _owner(study: Study, span: tuple[Hop, ...], device: str) -> PartId | None:
    for hop in span:
        for part in _before(study, hop):
            found = study.layout.get(part, Inline)
            if found is not None and found.device == device:
                return part
    return None


def _before(study: Study, hop: Hop) -> tuple[PartId, ...]:
    middle = OnRun(run=hop.run, position_m=0.5 * (hop.from_m + hop.to_m))
    segment = study.circuit.segments[find_point(study, middle).segment]
    part = study.feeds.of_pair(segment.left0, segment.right0)
    return study.feeds.chain(part) if part is not None else ()
