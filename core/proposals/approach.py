"""Kill the approaches of an opening: gaps, and their drops on a switch of its own."""

from dataclasses import dataclass, field

from msgspec.structs import replace

from core.analysis.openings import APPROACH_M, SLIP_M, live_approaches
from core.layout.change import Change
from core.layout.edits.sides import suggest_a_rail
from core.layout.geometry import run_path
from core.layout.ids import PartId, split_id
from core.layout.layout import Layout
from core.layout.openings import OpeningEdge
from core.layout.parts import (
    PREFIXES,
    Attachment,
    Drop,
    Gap,
    Inline,
    OnRun,
    Opening,
    Part,
    Strip,
    ToPort,
    ToStrip,
    TrackRun,
)
from core.layout.queries import drops_on, free_way
from core.network.approach import Reach, find_approach
from core.network.build import build_circuit
from core.network.circuit import Circuit
from core.network.live import live_nodes

ASIDE_MM = 150.0
"""A new switch is drawn so far beside the track. [mm]"""


@dataclass(slots=True)
class _Plan:
    """What becomes of which parts."""

    layout: Layout
    parts: dict[PartId, Part] = field(default_factory=dict)

    def new_id(self, prefix: str) -> PartId:
        new = (split_id(i) for i in self.parts if i not in self.layout.parts)
        taken = sum(split is not None and split[0] == prefix for split in new)
        return self.layout.new_id(prefix, taken)

    def change(self, label: str) -> Change:
        before = {i: self.layout.parts.get(i) for i in self.parts}
        return Change(label, before, dict(self.parts))


def propose_dead_approach(
    layout: Layout, opening: Opening, thrown: frozenset[PartId] = frozenset()
) -> Change | None:
    """Return the change that makes all approaches of an opening dead with it.

    Both rails are cut APPROACH_M back, and the drops between are hung on the switch
    that opens with the opening; where there is none, one is placed in their feed.
    None where an approach forks or leads on to other track, where nothing feeds it,
    or where trying it does not make it right: every approach dead while open, and
    each rail of it on the pole it had while shut.
    """
    plan = _Plan(layout)
    edges = {found.edge: None for found in live_approaches(layout, opening, thrown)}
    reaches: list[Reach] = []
    for edge in edges:
        walk = find_approach(layout, edge.on, edge.facing, APPROACH_M)
        if len(walk) != 1:
            return None
        reaches.append(walk[0])
    contact = _contact(plan, opening, reaches)
    if contact is None:
        return None
    for edge, reach in zip(edges, reaches, strict=True):
        _cut(plan, reach)
        if edge.run != reach.run or not _hang(plan, reach, contact):
            return None
    plan.parts[opening.id] = replace(opening, contact=contact)
    change = plan.change(f"Feed the approach of {opening.id} through {contact}")
    return change if _is_right(layout, change, list(edges), thrown) else None


def _contact(plan: _Plan, opening: Opening, reaches: list[Reach]) -> PartId | None:
    """Return the switch that opens with an opening, or a new one, or None."""
    if opening.contact is not None and plan.layout.get(opening.contact, Inline):
        return opening.contact
    fed = [drop for reach in reaches for drop in _nearest_drops(plan.layout, reach)]
    feed = _feed_like(plan.layout, fed[0].to) if fed else None
    if feed is None:
        return None
    pose = run_path(plan.layout.need(reaches[0].run, TrackRun)).at(reaches[0].near_m)
    x_mm, y_mm = pose.left(ASIDE_MM)
    switch = Inline(
        id=plan.new_id(PREFIXES["switch"]),
        name=f"Contact of {opening.id}",
        device="switch",
        x_mm=x_mm,
        y_mm=y_mm,
        feed=feed,
        trip_a=None,
    )
    plan.parts[switch.id] = switch
    return switch.id


def _feed_like(layout: Layout, to: Attachment | None) -> Attachment | None:
    """Return where a switch is wired to, to have what a drop there has."""
    if not isinstance(to, ToStrip):
        return to
    strip = layout.get(to.part, Strip)
    if strip is None or strip.flipped:
        return None
    way = free_way(layout, strip)
    return ToStrip(part=strip.id, way=way) if way is not None else None


def _nearest_drops(layout: Layout, reach: Reach) -> list[Drop]:
    """Return the drops of a run with both wires, those nearest to the edge first."""
    whole = [
        d
        for d in drops_on(layout, reach.run)
        if d.rails == "both" and d.to is not None and _is_beyond(reach, d)
    ]
    return sorted(whole, key=lambda d: abs(d.on.position_m - reach.near_m))


def _is_beyond(reach: Reach, drop: Drop) -> bool:
    """Return whether a drop lies on the approach's side of the edge."""
    away = drop.on.position_m - reach.near_m
    return away * (reach.far_m - reach.near_m) > 0.0


def _cut(plan: _Plan, reach: Reach) -> None:
    length = run_path(plan.layout.need(reach.run, TrackRun)).length_m
    is_cut = any(
        gap.on.run == reach.run
        and gap.rails == "both"
        and abs(gap.on.position_m - reach.far_m) <= SLIP_M
        for gap in plan.layout.of_kind(Gap)
    )
    if 1e-6 < reach.far_m < length - 1e-6 and not is_cut:
        place = OnRun(run=reach.run, position_m=reach.far_m)
        gap = Gap(id=plan.new_id(PREFIXES["gap"]), on=place, note="dead approach")
        plan.parts[gap.id] = gap


def _hang(plan: _Plan, reach: Reach, contact: PartId) -> bool:
    """Hang the drops of an approach on the contact; return whether there is one."""
    to = ToPort(part=contact, port="out")
    low, high = reach.low_m, reach.high_m
    inside = [
        d for d in drops_on(plan.layout, reach.run) if low < d.on.position_m < high
    ]
    for drop in inside:
        plan.parts[drop.id] = replace(drop, to=to, lead_m=None)
    if any(d.rails == "both" for d in inside):
        return True
    like = next(iter(_nearest_drops(plan.layout, reach)), None)
    if like is None:
        return False
    on = OnRun(run=reach.run, position_m=round((low + high) / 2.0, 3))
    new = Drop(
        id=plan.new_id(PREFIXES["drop"]),
        on=on,
        to=to,
        wire=like.wire,
        a_rail=suggest_a_rail(plan.layout, on),
    )
    plan.parts[new.id] = new
    return True


def _is_right(
    layout: Layout,
    change: Change,
    edges: list[OpeningEdge],
    thrown: frozenset[PartId],
) -> bool:
    tried = layout.copy()
    tried.apply(change)
    opening = next(p for p in change.after.values() if isinstance(p, Opening))
    if live_approaches(tried, opening, thrown):
        return False
    before = build_circuit(layout, loads=False, thrown=thrown)
    after = build_circuit(tried, loads=False, thrown=thrown)
    if sum(_dead_m(after)) > sum(_dead_m(before)) + 1e-6:
        return False
    return all(_poles(before, e) == _poles(after, e) for e in edges)


def _dead_m(circuit: Circuit) -> list[float]:
    live = live_nodes(circuit)
    return [
        s.end_m - s.start_m
        for s in circuit.segments
        if not (live[s.left0] and live[s.right0])
    ]


def _poles(circuit: Circuit, edge: OpeningEdge) -> tuple[frozenset[str], ...]:
    """Return the boosters' poles on the left and right rail just off an edge."""
    segments = [circuit.segments[i] for i in circuit.on_run[edge.run]]
    at = edge.position_m + edge.facing * 1e-3
    here = next(s for s in segments if s.start_m <= at <= s.end_m)
    live = {
        (source.part, pole): _metal_of(circuit, node)
        for source in circuit.sources
        for pole, node in (("+", source.plus), ("-", source.minus))
    }
    return tuple(
        frozenset(f"{part}{pole}" for (part, pole), on in live.items() if node in on)
        for node in (here.left0, here.right0)
    )


def _metal_of(circuit: Circuit, node: int) -> frozenset[int]:
    """Return the nodes that are one piece of metal with a node."""
    near: dict[int, list[int]] = {}
    for branch in circuit.branches:
        near.setdefault(branch.tail, []).append(branch.head)
        near.setdefault(branch.head, []).append(branch.tail)
    seen, queue = {node}, [node]
    while queue:
        for other in near.get(queue.pop(), ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return frozenset(seen)
