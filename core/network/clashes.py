"""Diamonds and slips whose own metal joins the two poles of a booster.

Everything but the crossings is merged first; then one crossing after the other is
laid, and left out again where it would join a booster's poles. So two of them on one
siding are both named where each is at fault, and none for the other's sake.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from core.layout.ids import PartId
from core.layout.lie import Meeting
from core.layout.parts import OnRun, Side
from core.network.circuit import Circuit
from core.network.crossings import CrossingPlan
from core.network.sets import Sets


@dataclass(frozen=True, slots=True)
class Clash:
    """A crossing that joins the poles of a booster.

    Attributes
    ----------
    plan : CrossingPlan
        The crossing.
    booster : PartId
        Whose poles meet in it.
    meetings : tuple of Meeting
        The meetings that each join unlike poles; where there is none such, those on
        the way from pole to pole over a rail that has no pole of its own.
    direct : bool
        Whether they are of the first sort.
    """

    plan: CrossingPlan
    booster: PartId
    meetings: tuple[Meeting, ...]
    direct: bool


def find_clashes(circuit: Circuit, plans: Iterable[CrossingPlan]) -> tuple[Clash, ...]:
    """Return the crossings that join unlike poles.

    Parameters
    ----------
    circuit : Circuit
        Of the layout with these crossings' own joints left out.
    plans : iterable of CrossingPlan
        The crossings, as they are.
    """
    metal = Sets(len(circuit.nodes))
    for branch in circuit.branches:
        metal.join(branch.tail, branch.head)
    found: list[Clash] = []
    for plan in plans:
        pairs = [_Pair(m, *_nodes(circuit, plan, m)) for m in plan.joined]
        clash = _clash(circuit, metal, plan, pairs)
        if clash is not None:
            found.append(clash)
            continue
        for pair in pairs:
            metal.join(pair.one, pair.other)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Pair:
    """A meeting and the nodes of its two rails."""

    meeting: Meeting
    one: int
    other: int


def _clash(
    circuit: Circuit, metal: Sets, plan: CrossingPlan, pairs: list[_Pair]
) -> Clash | None:
    for source in circuit.sources:
        plus, minus = metal.find(source.plus), metal.find(source.minus)
        if plus == minus:
            continue
        direct = tuple(
            pair.meeting
            for pair in pairs
            if {metal.find(pair.one), metal.find(pair.other)} == {plus, minus}
        )
        if direct:
            return Clash(plan, source.part, direct, direct=True)
        way = _way(metal, pairs, plus, minus)
        if way:
            return Clash(plan, source.part, way, direct=False)
    return None


def _way(metal: Sets, pairs: list[_Pair], plus: int, minus: int) -> tuple[Meeting, ...]:
    """Return the fewest meetings that lead from pole to pole; empty where none do."""
    queue: deque[tuple[int, tuple[Meeting, ...]]] = deque([(plus, ())])
    seen = {plus}
    while queue:
        here, way = queue.popleft()
        for pair in pairs:
            ends = (metal.find(pair.one), metal.find(pair.other))
            for near, far in (ends, ends[::-1]):
                if near != here or far in seen:
                    continue
                if far == minus:
                    return (*way, pair.meeting)
                seen.add(far)
                queue.append((far, (*way, pair.meeting)))
    return ()


def _nodes(circuit: Circuit, plan: CrossingPlan, meeting: Meeting) -> tuple[int, int]:
    return (
        _node_at(circuit, plan.on_a(meeting), meeting.a_side, ahead=meeting.a_ahead),
        _node_at(circuit, plan.on_b(meeting), meeting.b_side, ahead=meeting.b_ahead),
    )


def _node_at(circuit: Circuit, on: OnRun, side: Side, *, ahead: bool) -> int:
    """Return a node of the rail at a place, on the side of the crossing's middle."""
    segments = [circuit.segments[i] for i in circuit.on_run[on.run]]
    here = segments[0]
    for segment in segments:
        before_it = segment.start_m < on.position_m - 1e-9
        if before_it or (not ahead and segment.start_m <= on.position_m + 1e-9):
            here = segment
    return here.left0 if side == "left" else here.right0
