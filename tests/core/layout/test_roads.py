"""How crossings are set: the ways of a slip, and the poles its pieces take."""

import networkx as nx
import pytest
from msgspec.structs import replace

from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Crossing
from core.layout.roads import (
    part_of,
    road_mark,
    setting_words,
    still_thrown,
    thrown_on,
)
from core.network.build import build_circuit
from tests.app.yard import TURNOUT, yard
from tests.core.network.cross import Shapes, crossing, fed_across

X1 = PartId("X1")
LEFT, RIGHT = road_mark(X1, "left"), road_mark(X1, "right")


def ways(layout: Layout, part: PartId, times: int) -> list[set[PartId]]:
    """Return the settings that come up when a part is thrown again and again."""
    setting: frozenset[PartId] = frozenset()
    found = []
    for _ in range(times):
        setting = thrown_on(layout, setting, [part])
        found.append(set(setting))
    return found


def test_a_turnout_and_a_switched_diamond_go_over_and_back() -> None:
    assert ways(yard(), TURNOUT, 2) == [{TURNOUT}, set()]
    assert ways(fed_across(crossing("switched")), X1, 2) == [{X1}, set()]


def test_a_dead_diamond_has_nothing_to_throw() -> None:
    assert ways(fed_across(crossing("insulated")), X1, 1) == [set()]


def test_a_single_slip_has_three_ways_and_a_double_one_four() -> None:
    single = fed_across(crossing("insulated", "single slip", side="right"))
    assert ways(single, X1, 3) == [{RIGHT}, {X1}, set()]
    double = fed_across(crossing("insulated", "double slip"))
    assert ways(double, X1, 4) == [{LEFT}, {X1}, {RIGHT}, set()]


def test_what_a_crossing_is_set_for_is_said() -> None:
    layout = fed_across(crossing("switched", "double slip"))
    said = [setting_words(layout, X1, frozenset(s)) for s in ((), (X1,), (LEFT,))]
    assert said == ["set for Main", "set for Siding", "set for its left slip"]


def test_a_road_that_is_gone_is_set_no_more() -> None:
    layout = fed_across(crossing("switched", "double slip"))
    setting = frozenset({LEFT, PartId("T9")})
    assert still_thrown(layout, setting) == {LEFT}
    made = replace(layout.need(X1, Crossing), shape="single slip", side="right")
    assert still_thrown(Layout({**layout.parts, X1: made}), setting) == set()
    assert part_of(LEFT) == X1


def poles(layout: Layout, *setting: PartId) -> tuple[str, str]:
    """Return the poles of the pieces in the west and in the east of a crossing.

    R1 runs east; asked of a general graph library.
    """
    circuit = build_circuit(layout, thrown=frozenset(setting))
    metal = nx.Graph(circuit.graph)
    (source,) = circuit.sources
    found = {}
    for frog in circuit.frogs:
        pole = "A" if nx.has_path(metal, frog.frog, source.plus) else "B"
        name = circuit.nodes[frog.frog].wire
        found[name] = pole
    return found["right_left"], found["left_right"]


@pytest.mark.parametrize(
    ("setting", "west", "east"),
    [((), "B", "A"), ((X1,), "A", "B"), ((LEFT,), "B", "B"), ((RIGHT,), "A", "A")],
)
@pytest.mark.parametrize("shape", ["double slip"])
def test_each_piece_takes_the_pole_of_the_rail_that_a_train_runs_on_there(
    setting: tuple[PartId, ...], west: str, east: str, shape: Shapes
) -> None:
    # By hand: A is the left rail of both tracks, R2 leaves R1 to the left. In the
    # west R1's right rail crosses R2's left one, in the east R1's left rail R2's
    # right one. The left road comes from R1 in the west and goes on R2 in the east,
    # so a train is on R1's right rail, B, and then on R2's right one, B; the right
    # road the other way about.
    assert poles(fed_across(crossing("switched", shape)), *setting) == (west, east)


def test_drawn_the_other_way_a_road_sets_the_same_pieces() -> None:
    # R2 turned round changes no side of R1: the same mark means the same road.
    layout = fed_across(crossing("switched", "double slip"))
    layout.apply(reverse_run(layout, PartId("R2")))
    circuit = build_circuit(layout, thrown=frozenset({LEFT}))
    metal = nx.Graph(circuit.graph)
    (source,) = circuit.sources
    assert all(nx.has_path(metal, f.frog, source.minus) for f in circuit.frogs)
