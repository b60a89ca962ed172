"""Live crossings fed from both heels: worked, and against brute force."""

import pytest
from hypothesis import given, settings

from core.layout.layout import Layout
from core.network.build import build_circuit
from core.network.heels import bare_crossings, find_fed_heels, with_heel_gaps
from core.network.islands import find_islands
from core.network.polarity import find_shorts
from tests.core.network.test_settings import live_tangles, siding
from tests.core.network.track import FrogKind


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_power_behind_both_ways_meets_in_an_uncut_crossing(frog: FrogKind) -> None:
    layout = siding(frog=frog, heel_gaps=False, fed_leg=True)
    assert find_fed_heels(layout) == (("T1", "PB1"),)
    assert bare_crossings(layout) == ("T1",)


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_power_behind_one_way_alone_does_not(frog: FrogKind) -> None:
    assert find_fed_heels(siding(frog=frog, heel_gaps=False, fed_leg=False)) == ()


def test_gaps_or_a_dead_crossing_part_them() -> None:
    assert find_fed_heels(siding(frog="switched", heel_gaps=True, fed_leg=True)) == ()
    assert find_fed_heels(siding(frog="insulated", heel_gaps=False, fed_leg=True)) == ()


@given(live_tangles())
@settings(max_examples=100, deadline=None)
def test_a_crossing_that_is_named_shorts_its_booster_in_either_setting(
    layout: Layout,
) -> None:
    # Outside check: the circuit as built, with the turnout set each way.
    for turnout, booster in find_fed_heels(layout):
        others = [t for t in bare_crossings(layout) if t != turnout]
        alone = with_heel_gaps(layout, others)
        for thrown in (frozenset(), frozenset({turnout})):
            circuit = build_circuit(alone, thrown=thrown)
            shorts = find_shorts(circuit, find_islands(circuit))
            assert booster in {short.booster for short in shorts}
