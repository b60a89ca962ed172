"""Gaps as electricity sees them: air and plastic part a rail, metal does not."""

import pytest
from msgspec.structs import replace

from core.network.build import build_circuit
from core.network.islands import find_islands
from core.network.sections import plan_sections
from tests.core.network.track import gap, layout_of, on, run


@pytest.mark.parametrize(
    ("filled", "bridged", "islands"),
    [(False, False, 4), (True, False, 4), (False, True, 2), (True, True, 2)],
)
def test_a_double_gap_parts_both_rails_unless_metal_joins_them(
    *, filled: bool, bridged: bool, islands: int
) -> None:
    # Two rails cut once are four pieces of metal; uncut they are two.
    cut = replace(gap(1, on(1, 1.0)), filled=filled, bridged=bridged)
    layout = layout_of(run(1, 2.0), cut)
    metal = find_islands(build_circuit(layout, loads=False)).metal
    assert len(set(metal.tolist())) == islands
    assert len(plan_sections(layout).sections) == islands // 2
