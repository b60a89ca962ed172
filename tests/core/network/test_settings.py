"""Shorts that a setting makes: a worked crossing, and every setting by brute force."""

from itertools import combinations

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Part, Side, ToPort
from core.network.build import build_circuit
from core.network.circuit import Circuit
from core.network.islands import find_islands
from core.network.polarity import find_shorts
from core.network.settings import find_setting_shorts
from tests.core.network.track import (
    FrogKind,
    end,
    gap,
    joint,
    layout_of,
    on,
    run,
    turnout,
)

BOOSTER = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-500.0)


def drop(number: int, at_run: int, position_m: float, a_rail: Side = "left") -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=on(at_run, position_m),
        to=ToPort(part=PartId("PB1")),
        a_rail=a_rail,
    )


def siding(
    *, frog: FrogKind, heel_gaps: bool, fed_leg: bool, hand: Side = "left"
) -> Layout:
    """A main fed at both sides of a turnout, and its leg, fed or not."""
    made = turnout(
        1, on(1, 1.0), end(2, "start"), hand=hand, frog=frog, heel_gaps=heel_gaps
    )
    parts: list[Part] = [
        run(1, 4.0),
        run(2, 2.0),
        BOOSTER,
        made,
        drop(1, 1, 0.5),
        drop(2, 1, 3.0),
    ]
    if fed_leg:
        parts.append(drop(3, 2, 1.5))
    return layout_of(*parts)


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_live_crossing_without_heel_gaps_fed_beyond_shorts_when_thrown(
    frog: FrogKind, hand: Side
) -> None:
    # needs.md section 2, stage 5: "live frog fed from heel without gap = short
    # only when thrown". The through rail beyond is fed, the leg is not.
    layout = siding(frog=frog, heel_gaps=False, fed_leg=False, hand=hand)
    (short,) = find_setting_shorts(build_circuit(layout))
    assert (short.straight, short.thrown) == ((), ("T1",))


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_heel_gaps_cure_it(frog: FrogKind) -> None:
    layout = siding(frog=frog, heel_gaps=True, fed_leg=True)
    assert find_setting_shorts(build_circuit(layout)) == ()


def test_a_dead_crossing_never_shorts() -> None:
    layout = siding(frog="insulated", heel_gaps=False, fed_leg=True)
    assert find_setting_shorts(build_circuit(layout)) == ()


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
@pytest.mark.parametrize("thrown", [False, True])
def test_the_leg_runs_from_its_own_drop_whichever_way_the_turnout_lies(
    frog: FrogKind, thrown: bool
) -> None:
    layout = siding(frog=frog, heel_gaps=True, fed_leg=True)
    which = frozenset({PartId("T1")}) if thrown else frozenset()
    circuit = build_circuit(layout, thrown=which)
    metal = nx.Graph(circuit.graph)
    last = next(s for s in circuit.segments if s.run == "R2" and s.end_m > 1.9)
    source = circuit.sources[0]
    assert nx.has_path(metal, last.left0, source.plus)
    assert nx.has_path(metal, last.right0, source.minus)


@pytest.mark.parametrize("thrown", [False, True])
def test_without_gaps_or_drops_a_self_powered_leg_is_live_only_when_thrown(
    thrown: bool,
) -> None:
    # Routing by the blades: both rails of the leg have one pole until it is set.
    layout = layout_of(
        run(1, 4.0),
        run(2, 2.0),
        BOOSTER,
        turnout(1, on(1, 1.0), end(2, "start"), frog="self-powered", heel_gaps=False),
        drop(1, 1, 0.5),
    )
    which = frozenset({PartId("T1")}) if thrown else frozenset()
    metal = nx.Graph(build_circuit(layout, thrown=which).graph)
    circuit = build_circuit(layout, thrown=which)
    leg = next(s for s in circuit.segments if s.run == "R2" and s.end_m > 1.9)
    source = circuit.sources[0]
    poles = {
        "plus" if nx.has_path(metal, node, source.plus) else "minus"
        for node in (leg.left0, leg.right0)
    }
    assert len(poles) == (2 if thrown else 1)


_SIDES: tuple[Side, Side] = ("left", "right")


@st.composite
def live_tangles(draw: st.DrawFn) -> Layout:
    """Draw a few fed runs with live crossings, some gaps missing."""
    count = draw(st.integers(2, 4))
    parts: list[Part] = [BOOSTER, *(run(i + 1, 6.0) for i in range(count))]
    ends = draw(
        st.permutations([(i + 1, e) for i in range(count) for e in ("start", "end")])
    )
    number, taken = 0, set[tuple[tuple[int, float], tuple[bool, Side]]]()
    while ends:
        number += 1
        first = ends.pop()
        kind = draw(st.sampled_from(["free", "joint", "turnout", "turnout"]))
        if kind == "joint" and ends:
            parts.append(joint(number, end(*first), end(*ends.pop())))
        elif kind == "turnout":
            where = (draw(st.integers(1, count)), draw(st.integers(1, 5)) + 0.3)
            ways = draw(st.booleans()), draw(st.sampled_from(_SIDES))
            at_it = {other for place, other in taken if place == where}
            if ways in at_it or any(facing != ways[0] for facing, _ in at_it):
                # Two legs of one hand leave no one place, and no two pairs of blades
                # that face each other lie on it.
                continue
            taken.add((where, ways))
            parts.append(
                turnout(
                    number,
                    on(*where),
                    end(*first),
                    backward=ways[0],
                    hand=ways[1],
                    frog=draw(st.sampled_from(["switched", "self-powered"])),
                    heel_gaps=draw(st.booleans()),
                )
            )
    for i in range(draw(st.integers(0, 3))):
        place = on(draw(st.integers(1, count)), draw(st.integers(1, 5)) + 0.7)
        parts.append(
            gap(i + 1, place, draw(st.sampled_from(["left", "right", "both"])))
        )
    for i in range(draw(st.integers(1, 3))):
        side: Side = draw(st.sampled_from(_SIDES))
        parts.append(
            drop(
                i + 1, draw(st.integers(1, count)), draw(st.integers(1, 5)) + 0.5, side
            )
        )
    return layout_of(*parts)


def shorted_for_some_setting(layout: Layout, circuit: Circuit) -> bool:
    """Try every setting of every live turnout, one after the other."""
    turnouts = [frog.part for frog in circuit.frogs]
    for size in range(len(turnouts) + 1):
        for thrown in combinations(turnouts, size):
            made = build_circuit(layout, thrown=frozenset(thrown))
            if find_shorts(made, find_islands(made)):
                return True
    return False


@given(live_tangles())
@settings(max_examples=150, deadline=None)
def test_the_search_finds_a_short_exactly_where_some_setting_has_one(
    layout: Layout,
) -> None:
    # Outside check: brute force over all 2ⁿ settings.
    circuit = build_circuit(layout)
    fixed = find_shorts_for_all(circuit)
    found = fixed or bool(find_setting_shorts(circuit))
    assert found == shorted_for_some_setting(layout, circuit)


def find_shorts_for_all(circuit: Circuit) -> bool:
    """Return whether the poles meet without any contact at all."""
    contacts = {frog.branch for frog in circuit.frogs}
    metal: nx.Graph[int] = nx.Graph()
    metal.add_nodes_from(range(len(circuit.nodes)))
    metal.add_edges_from(
        (b.tail, b.head) for i, b in enumerate(circuit.branches) if i not in contacts
    )
    return any(nx.has_path(metal, s.plus, s.minus) for s in circuit.sources)


def test_two_turnouts_without_gaps_are_both_named() -> None:
    layout = layout_of(
        run(1, 6.0),
        run(2, 2.0),
        run(3, 2.0),
        BOOSTER,
        turnout(1, on(1, 1.0), end(2, "start"), frog="switched", heel_gaps=False),
        turnout(2, on(1, 4.0), end(3, "start"), frog="switched", heel_gaps=False),
        gap(1, on(1, 3.0)),
        drop(1, 1, 0.5),
        drop(2, 1, 2.0),
        drop(3, 1, 3.5),
        drop(4, 1, 5.0),
    )
    found = find_setting_shorts(build_circuit(layout))
    assert sorted(short.thrown for short in found) == [("T1",), ("T2",)]
