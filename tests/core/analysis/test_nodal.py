"""The nodal solve against worked networks and against networkx."""

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.analysis.nodal import solve_nodal
from core.analysis.system import build_system
from tests.core.analysis.circuits import drawing, resistors

FOOT_12 = 1.588e-3
"""12 AWG, ohm a foot of one conductor: handbook table (reference-data.md S13)."""
FOOT_14 = 2.525e-3
FOOT_CODE83 = 32.9e-3
"""Code 83 nickel silver, ohm a foot of one rail: published measurement (S27)."""


def test_n1_one_load_at_the_end_of_a_pair() -> None:
    # reference-data.md N1: 15 V, 25 ft of 12 AWG pair, 5 A: 14.603 V.
    # By hand: 15 − 5·2·25·1.588e-3 = 15 − 0.397 = 14.603.
    circuit = resistors(
        4, [(0, 2, 25 * FOOT_12), (1, 3, 25 * FOOT_12)], [(0, 1, 15.0, 1e-9)]
    )
    system = build_system(circuit)
    solved = solve_nodal(system, drawing(system, [(2, 3, 5.0)]))
    assert solved.volts[2] - solved.volts[3] == pytest.approx(14.603, abs=1e-3)


def two_ended_track(from_left_ft: float, amps: float) -> float:
    """Return the drop in 12 ft of code 83 fed at both ends at 15 V."""
    a, b = from_left_ft * FOOT_CODE83, (12 - from_left_ft) * FOOT_CODE83
    circuit = resistors(
        6,
        [(0, 2, a), (1, 3, a), (2, 4, b), (3, 5, b)],
        [(0, 1, 15.0, 1e-9), (4, 5, 15.0, 1e-9)],
    )
    system = build_system(circuit)
    solved = solve_nodal(system, drawing(system, [(2, 3, amps)]))
    return 15.0 - float(solved.volts[2] - solved.volts[3])


def test_n2_track_fed_at_both_ends() -> None:
    # N2: 1 A in the middle: loop of 6 ft halved = 6·2·0.0329/2 = 0.1974 V.
    # The two boosters are joined by the track alone, as common as the rails.
    assert two_ended_track(6.0, 1.0) == pytest.approx(0.1974, abs=1e-4)


def test_n3_track_fed_at_both_ends_off_the_middle() -> None:
    # N3: 2 A at 3 ft: I·2r·x(L−x)/L = 2·0.0658·3·9/12 = 0.2961 V.
    assert two_ended_track(3.0, 2.0) == pytest.approx(0.2961, abs=1e-4)


@pytest.mark.parametrize(("both_ends", "expected"), [(False, 1.1844), (True, 0.2961)])
def test_n4_a_load_spread_evenly(both_ends: bool, expected: float) -> None:
    # N4: 3 A spread over loop R = 0.7896: I·R/2 one end fed, I·R/8 both ends.
    # n steps of equal loads at their middles reproduce that to 1/n²; the last
    # node of the chain stands for the far end.
    steps = 400
    branches = []
    for i in range(2 * steps):
        r = 0.7896 / 2 / (2 * steps)
        branches += [(2 * i, 2 * i + 2, r), (2 * i + 1, 2 * i + 3, r)]
    last = 4 * steps
    sources = [(0, 1, 15.0, 1e-9)]
    if both_ends:
        sources.append((last, last + 1, 15.0, 1e-9))
    system = build_system(resistors(last + 2, branches, sources))
    loads = [(4 * i + 2, 4 * i + 3, 3.0 / steps) for i in range(steps)]
    solved = solve_nodal(system, drawing(system, loads))
    across = solved.volts[0::2] - solved.volts[1::2]
    assert 15.0 - across.min() == pytest.approx(expected, abs=1e-4)


def test_n7_ladder_of_three_steps() -> None:
    # N7: three 10 ft steps of 14 AWG (0.0505 ohm loop), 1 A at each node:
    # 15 − 0.0505·(3 + 2 + 1) = 14.697 V.
    r = 10 * FOOT_14
    branches = [(2 * i + k, 2 * i + 2 + k, r) for i in range(3) for k in (0, 1)]
    system = build_system(resistors(8, branches, [(0, 1, 15.0, 1e-9)]))
    loads = [(2 * i, 2 * i + 1, 1.0) for i in (1, 2, 3)]
    solved = solve_nodal(system, drawing(system, loads))
    assert solved.volts[6] - solved.volts[7] == pytest.approx(14.697, abs=1e-3)


def test_n8_closed_ring() -> None:
    # N8: ring of 100 ft 14 AWG pair, 5 A opposite the feed: two 50 ft halves
    # in parallel: 5·(2·50·2.525e-3)/2 = 0.6313 V.
    r = 50 * FOOT_14
    system = build_system(
        resistors(4, [(0, 2, r), (0, 2, r), (1, 3, r), (1, 3, r)], [(0, 1, 15.0, 1e-9)])
    )
    solved = solve_nodal(system, drawing(system, [(2, 3, 5.0)]))
    assert 15.0 - (solved.volts[2] - solved.volts[3]) == pytest.approx(0.6313, abs=1e-4)


def test_n9_two_feeds_share_a_load() -> None:
    # N9: 0.1 and 0.3 ohm from 15 V into 4 A: 14.7 V, 3 A and 1 A.
    system = build_system(resistors(2, [], [(0, 1, 15.0, 0.1), (0, 1, 15.0, 0.3)]))
    solved = solve_nodal(system, drawing(system, [(0, 1, 4.0)]))
    assert solved.volts[0] - solved.volts[1] == pytest.approx(14.7, abs=1e-9)
    assert solved.amps == pytest.approx([3.0, 1.0], abs=1e-9)


def test_n11_bridge() -> None:
    # N11: 15 V to B via 1, to C via 2, B–C 5, B–0 3, C–0 4 ohm.
    # Node equations by hand: B(1+1/5+1/3) − C/5 = 15; −B/5 + C(1/2+1/5+1/4) = 7.5.
    system = build_system(
        resistors(
            4,
            [(0, 1, 1.0), (0, 2, 2.0), (1, 2, 5.0), (1, 3, 3.0), (2, 3, 4.0)],
            [(0, 3, 15.0, 1e-9)],
        )
    )
    solved = solve_nodal(system)
    b, c = solved.volts[1] - solved.volts[3], solved.volts[2] - solved.volts[3]
    assert (b, c) == (
        pytest.approx(11.11765, abs=1e-5),
        pytest.approx(10.23529, abs=1e-5),
    )
    assert solved.amps[2] == pytest.approx(0.17647, abs=1e-5)


def test_a_dead_island_is_nan_and_carries_nothing() -> None:
    system = build_system(resistors(5, [(0, 2, 1.0), (3, 4, 1.0)], [(0, 1, 15.0, 0.1)]))
    solved = solve_nodal(system)
    assert np.isnan(solved.volts[[3, 4]]).all()
    assert solved.amps[1] == 0.0


@st.composite
def graphs(draw: st.DrawFn) -> tuple[int, list[tuple[int, int, float]]]:
    size = draw(st.integers(3, 14))
    ohm = st.floats(1e-3, 1e3)
    tree = [(draw(st.integers(0, i - 1)), i, draw(ohm)) for i in range(1, size)]
    more = draw(
        st.lists(
            st.tuples(st.integers(0, size - 1), st.integers(0, size - 1), ohm),
            max_size=20,
        )
    )
    return size, tree + [e for e in more if e[0] != e[1]]


@given(graphs(), st.data())
@settings(max_examples=60, deadline=None)
def test_resistance_between_nodes_is_that_of_networkx(
    made: tuple[int, list[tuple[int, int, float]]], data: st.DataObject
) -> None:
    # Outside check: networkx.resistance_distance (effective resistance from the
    # pseudo-inverse of the Laplacian, a library of general graphs).
    size, edges = made
    a = data.draw(st.integers(0, size - 1))
    b = data.draw(st.integers(0, size - 1).filter(lambda n: n != a))
    graph: nx.MultiGraph[int] = nx.MultiGraph()
    graph.add_nodes_from(range(size))
    graph.add_edges_from((i, j, {"ohm": r}) for i, j, r in edges)
    expected = nx.resistance_distance(graph, a, b, weight="ohm", invert_weight=True)
    # A booster far away through 1 ohm ties the island down; 1 A from a to b.
    circuit = resistors(size + 1, [*edges, (0, size, 1.0)], [(size, 0, 15.0, 1.0)])
    system = build_system(circuit)
    still = solve_nodal(system)
    drawn = solve_nodal(system, drawing(system, [(a, b, 1.0)]))
    seen = (still.volts[a] - still.volts[b]) - (drawn.volts[a] - drawn.volts[b])
    assert seen == pytest.approx(expected, rel=1e-6, abs=1e-9)


@given(graphs(), st.floats(0.1, 10.0))
@settings(max_examples=40, deadline=None)
def test_scaling_every_ohm_scales_every_drop(
    made: tuple[int, list[tuple[int, int, float]]], factor: float
) -> None:
    # N12: at fixed load currents all drops grow with the resistances.
    size, edges = made
    drops = []
    for s in (1.0, factor):
        circuit = resistors(
            size + 1,
            [(a, b, r * s) for a, b, r in edges],
            [(0, size, 15.0, 0.1 * s)],
        )
        system = build_system(circuit)
        solved = solve_nodal(system, drawing(system, [(size - 1, size, 1.0)]))
        drops.append(15.0 - (solved.volts[size - 1] - solved.volts[size]))
    assert drops[1] == pytest.approx(factor * drops[0], rel=1e-6)


@given(graphs())
@settings(max_examples=40, deadline=None)
def test_currents_and_power_balance(
    made: tuple[int, list[tuple[int, int, float]]],
) -> None:
    # N12: nothing is left over at a node (the residual), and what the booster
    # gives is what resistors and loads take (Tellegen).
    size, edges = made
    circuit = resistors(size + 1, edges, [(0, size, 15.0, 0.1)])
    system = build_system(circuit)
    solved = solve_nodal(system, drawing(system, [(size - 1, size, 1.0)]))
    given_w = 15.0 * solved.amps[-1] - 0.1 * solved.amps[-1] ** 2
    ohms = np.array([r for _, _, r in edges])
    taken_w = float((ohms * solved.amps[:-1] ** 2).sum())
    taken_w += float(solved.volts[size - 1] - solved.volts[size])
    assert solved.residual < 1e-6
    assert given_w == pytest.approx(taken_w, rel=1e-6)


@given(graphs(), st.data())
@settings(max_examples=40, deadline=None)
def test_one_more_feeder_never_raises_the_total_loss(
    made: tuple[int, list[tuple[int, int, float]]], data: st.DataObject
) -> None:
    # N12, Rayleigh: with fixed load currents and one booster the heat in the
    # wiring cannot grow when a wire is added. (A single node may well fall.)
    size, edges = made
    a = data.draw(st.integers(0, size - 1))
    b = data.draw(st.integers(0, size - 1).filter(lambda n: n != a))
    losses = []
    for wires in (edges, [*edges, (a, b, 0.05)]):
        system = build_system(resistors(size + 1, wires, [(0, size, 15.0, 0.1)]))
        loads = [(n, size, 0.3) for n in range(1, size)]
        solved = solve_nodal(system, drawing(system, loads))
        ohms = np.array([*(r for _, _, r in wires), 0.1])
        losses.append(float((ohms * solved.amps**2).sum()))
    assert losses[1] <= losses[0] * (1 + 1e-9) + 1e-12
