"""W117: at a stall the bridge's poles are the other way round."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from core.analysis.pits import Meeting, find_meetings
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.fixes import refit
from core.checks.pits import (
    best_split,
    own_drops,
    stall_names,
    swapped_drops,
)
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import Booster, Turntable
from core.layout.queries import drops_on, part_name
from core.layout.turntables import is_swapping, turns_round
from core.units.figures import show_both_ways, show_volts


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each pit with stalls that oppose its bridge.

    A bridge that can be turned round and never swaps is W119, one behind a reverser
    or a stall behind one is none.
    """
    pits: defaultdict[PartId, list[Meeting]] = defaultdict(list)
    for meeting in find_meetings(study):
        pits[meeting.table.id].append(meeting)
    for meetings in pits.values():
        table = meetings[0].table
        if turns_round(table) and not is_swapping(table):
            continue
        bad = [m for m in meetings if m.opposes]
        if bad:
            yield _finding(study, table, meetings, bad)


def _finding(
    study: Study, table: Turntable, meetings: list[Meeting], bad: list[Meeting]
) -> Finding:
    fed, wrong = _numbers(meetings), _numbers(bad)
    edge = bad[0].edge
    turned = _turned(study, bad)
    remedy, fix = _remedy(study, table, meetings, bad)
    if turned is not None:
        remedy = f"Swap the two output wires of {turned}."
        label = f"Swap the terminals of {turned}"
        fix = refit(study.layout, (turned,), label, reversed_phase=False)
    return RULE.finding(
        f"At {stall_names(study.layout, bad)} the bridge of "
        f"{part_name(study.layout, table.id)} has its poles the other way round: the "
        "wheels of an engine that crosses there are a short.",
        f"{len(wrong)} of {len(fed)} stalls with power; "
        f"{show_volts(_volts(study, bad))} "
        "between rails in line",
        remedy,
        parts=tuple(
            dict.fromkeys(
                (
                    table.id,
                    *(m.position.stall.run for m in bad),
                    *((turned,) if turned is not None else ()),
                )
            )
        ),
        place=edge.place,
        severity=RULE.severity if turned is None else Severity.HAZARD,
        size=float(1 + len(wrong)),
        fix=fix,
    )


def _remedy(
    study: Study, table: Turntable, meetings: list[Meeting], bad: list[Meeting]
) -> tuple[str, Change | None]:
    layout = study.layout
    ways: list[str] = []
    fix: Change | None = None
    bridge = drops_on(layout, table.bridge)
    if _numbers(meetings) == _numbers(bad) and bridge:
        names = list_names([drop.id for drop in bridge])
        label = f"Swap the feed of {table.id}"
        return (
            f"Swap the two wires of the bridge's feed, {names}.",
            swapped_drops(layout, bridge, label),
        )
    stalls = list(dict.fromkeys(m.position.stall for m in bad))
    own = [own_drops(layout, stall) for stall in stalls]
    if all(own):
        drops = [drop for found in own for drop in found]
        ways.append(f"swap the two wires of {list_names([d.id for d in drops])}")
        fix = swapped_drops(layout, drops, f"Swap the feed of {_runs(stalls)}")
    else:
        ways.append("put the feed of the stall the other way round")
    cut = best_split(layout, table, meetings) if is_swapping(table) else None
    if cut is not None:
        ways.append(f"move the split of the ring to {show_both_ways(cut)}")
        if fix is None:
            label = f"Move the split of {table.id}"
            fix = refit(layout, (table.id,), label, split_deg=cut)
    whole = " and a whole ring" if is_swapping(table) else ""
    ways.append(f"feed the bridge through a reverser{whole}")
    words = ", or ".join(ways)
    return f"{words[0].upper()}{words[1:]}.", fix


def _turned(study: Study, bad: Sequence[Meeting]) -> PartId | None:
    """Return the one booster whose output is said to be turned, if it explains all."""
    turned: set[PartId] = set()
    for meeting in bad:
        tops = {
            study.feeds.chain(feed)[-1]
            for feed in meeting.edge.feeds
            if feed is not None
        }
        found = [top for top in tops if study.layout.need(top, Booster).reversed_phase]
        if len(tops) != 2 or len(found) != 1:
            return None
        turned.update(found)
    return turned.pop() if len(turned) == 1 else None


def _volts(study: Study, bad: Sequence[Meeting]) -> float:
    """Return what drives a short: of one booster, or of both in a row. [V]"""
    edge = bad[0].edge
    tops = {study.feeds.chain(feed)[-1] for feed in edge.feeds if feed is not None}
    sides = abs(edge.before_v), abs(edge.after_v)
    return sum(sides) if len(tops) == 2 else max(sides)


def _numbers(meetings: Sequence[Meeting]) -> set[int]:
    return {m.position.number for m in meetings}


def _runs(stalls: Sequence[object]) -> str:
    return "the stall" if len(stalls) == 1 else f"{len(stalls)} stalls"


RULE = Rule(
    "W117",
    Severity.FAULT,
    "Bridge opposes a stall",
    source="Wheels join the rail of the bridge to the stall's rail in line with it: "
    "unlike poles there are a short (parity of the rails, by angle).",
    check=check,
)
