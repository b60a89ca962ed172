"""Live crossings that the rails behind them feed with both poles at once.

Without heel gaps a live crossing is one metal with the two inner rails beyond it.
Where both have power of their own they have unlike poles, as rails that cross must:
then the booster is shorted whichever way the turnout lies.
"""

from collections.abc import Iterable

from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part, Turnout
from core.network.build import build_circuit
from core.network.circuit import Circuit
from core.network.frogs import FrogPlan, plan_frogs
from core.network.islands import find_islands


def with_heel_gaps(layout: Layout, turnouts: Iterable[PartId]) -> Layout:
    """Return a layout on which the inner rails behind some crossings are cut."""
    wanted = set(turnouts)
    parts: dict[PartId, Part] = {
        i: replace(part, heel_gaps=True)
        if i in wanted and isinstance(part, Turnout)
        else part
        for i, part in layout.parts.items()
    }
    return Layout(parts)


def bare_crossings(layout: Layout) -> tuple[PartId, ...]:
    """Return the turnouts with a live crossing and no heel gaps."""
    return tuple(
        plan.turnout.id for plan in plan_frogs(layout) if not plan.turnout.heel_gaps
    )


def find_fed_heels(layout: Layout) -> tuple[tuple[PartId, PartId], ...]:
    """Return each such turnout with the booster whose poles it joins."""
    plans = [plan for plan in plan_frogs(layout) if not plan.turnout.heel_gaps]
    if not plans:
        return ()
    cut = with_heel_gaps(layout, (plan.turnout.id for plan in plans))
    circuit = build_circuit(cut, loads=False)
    metal = find_islands(circuit).metal
    found: list[tuple[PartId, PartId]] = []
    for plan in plans:
        beyond = {int(metal[node]) for node in _beyond(circuit, plan)}
        for source in circuit.sources:
            poles = {int(metal[source.plus]), int(metal[source.minus])}
            if len(beyond) == 2 and beyond == poles:
                found.append((plan.turnout.id, source.part))
    return tuple(found)


def _beyond(circuit: Circuit, plan: FrogPlan) -> list[int]:
    """Return the nodes of the two inner rails right behind a crossing."""
    nodes: list[int] = []
    for run, frog_m, ahead, inner in (
        (plan.turnout.on.run, plan.frog_m, plan.ahead, plan.inner),
        (plan.turnout.leg.run, plan.leg_frog_m, plan.leg_ahead, plan.leg_inner),
    ):
        for segment in circuit.segments:
            at = segment.start_m if ahead else segment.end_m
            if segment.run == run and abs(at - frog_m) < 1e-6:
                left = segment.left0 if ahead else segment.left1
                right = segment.right0 if ahead else segment.right1
                nodes.append(left if inner == "left" else right)
                break
    return nodes
