"""Constant-power loads: the upper root, and a named answer where there is none."""

from dataclasses import replace

import numpy as np
import pytest

from core.analysis.loads import Drawn, solve_loads
from core.analysis.nodal import solve_nodal
from core.analysis.system import build_pattern, build_system, fill_pattern
from core.layout.ids import PartId
from core.network.circuit import Circuit, Draw, Source
from tests.core.analysis.circuits import bench, resistors


def drawn(watts: list[float], amps: list[float] | None = None) -> Drawn:
    """Return what loads at the end of 0.5 Ω from 15 V draw."""
    plain = resistors(4, [(0, 2, 0.25), (1, 3, 0.25)], [(0, 1, 15.0, 1e-9)])
    amps = amps or [0.0] * len(watts)
    circuit = replace(
        plain,
        draws=tuple(
            Draw(2, 3, a, w, PartId(f"L{i + 1}"))
            for i, (w, a) in enumerate(zip(watts, amps, strict=True))
        ),
    )
    return solved(circuit)


def solved(circuit: Circuit) -> Drawn:
    system = build_system(circuit)
    pattern = build_pattern(system)
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    return solve_loads(system, factor, solve_nodal(system))


def test_n10_upper_root() -> None:
    # reference-data.md N10: 30 W through 0.5 Ω from 15 V: 2.1548 A at 13.9226 V,
    # from u² − 15u + 0.5·30 = 0, u = (15 + √(225 − 60))/2 = 13.9226.
    assert drawn([30.0]).amps[0] == pytest.approx(2.1548, abs=1e-4)


@pytest.mark.parametrize(("watts", "fed"), [(112.4, True), (112.6, False)])
def test_n10_nothing_above_a_quarter_of_v_squared_over_r(
    watts: float, fed: bool
) -> None:
    # V²/(4R) = 225/2 = 112.5 W is the most 0.5 Ω lets through.
    answer = drawn([watts])
    assert (answer.starved == ()) is fed
    if not fed:
        assert answer.starved[0].part == "L1"
        assert answer.starved[0].most_w == pytest.approx(112.5, abs=1e-6)


def test_two_loads_share_the_wire() -> None:
    # Twice 15 W at one place are one load of 30 W.
    both = drawn([15.0, 15.0])
    assert both.amps.sum() == pytest.approx(2.1548, abs=1e-4)


def test_amps_and_watts_together() -> None:
    # 2 A fixed leave 14 V open at the place: u² − 14u + 0.5·30 = 0 gives
    # u = (14 + √(196 − 60))/2 = 12.8310, 30/12.8310 = 2.3381 A.
    answer = drawn([0.0, 30.0], [2.0, 0.0])
    assert answer.amps == pytest.approx([2.0, 2.3381], abs=1e-4)


def test_the_hungriest_is_left_out_and_the_rest_is_fed() -> None:
    answer = drawn([500.0, 30.0])
    assert [s.part for s in answer.starved] == ["L1"]
    assert answer.amps[1] == pytest.approx(2.1548, abs=1e-4)


def test_what_is_left_beside_others_is_no_more_than_asked() -> None:
    # N10's 112.5 W are the most of the place: 30 W of them leave 82.5 W.
    answer = drawn([100.0, 30.0])
    assert [s.part for s in answer.starved] == ["L1"]
    assert answer.starved[0].most_w == pytest.approx(82.5, rel=1e-6)
    assert answer.starved[0].alone_w == pytest.approx(112.5, rel=1e-6)


def test_a_load_left_out_too_soon_comes_back() -> None:
    # Two branches of 0.5 Ω, 112.5 W each: 100 W on one is fed, though hungriest;
    # of twice 60 W on the other only one is, and leaves 52.5 W to the second.
    plain = resistors(
        6,
        [(0, 2, 0.25), (1, 3, 0.25), (0, 4, 0.25), (1, 5, 0.25)],
        [(0, 1, 15.0, 1e-9)],
    )
    asked = ((2, 3, 100.0), (4, 5, 60.0), (4, 5, 60.0))
    draws = tuple(
        Draw(a, b, 0.0, w, PartId(f"L{i + 1}")) for i, (a, b, w) in enumerate(asked)
    )
    answer = solved(replace(plain, draws=draws))
    assert [s.part for s in answer.starved] == ["L2"]
    assert answer.starved[0].most_w == pytest.approx(52.5, rel=1e-6)
    # 100 W through 0.5 Ω: u² − 15u + 50 = 0, u = 10, so 10 A.
    assert answer.amps[0] == pytest.approx(10.0, rel=1e-6)


def test_n13_a_12_watt_train() -> None:
    # needs.md N13: 12 W draw 0.80 A at 15 V. With next to no wire that is so.
    plain = resistors(2, [], [(0, 1, 15.0, 1e-9)])
    circuit: Circuit = replace(plain, draws=(Draw(0, 1, 0.0, 12.0, PartId("L1")),))
    system = build_system(circuit)
    pattern = build_pattern(system)
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    assert solve_loads(system, factor, solve_nodal(system)).amps[0] == pytest.approx(
        0.80, abs=1e-6
    )


def test_a_load_on_dead_track_draws_nothing() -> None:
    made = bench(4)
    made.sources.append(Source(0, 1, 15.0, 0.1, PartId("PB1")))
    made.draws.append(Draw(2, 3, 1.0, 0.0, PartId("L1")))
    system = build_system(made.finish())
    pattern = build_pattern(system)
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    answer = solve_loads(system, factor, solve_nodal(system))
    assert np.isnan(answer.amps[0])
    assert not answer.injection.any()


def test_between_two_rails_of_one_pole_nothing_is_drawn() -> None:
    # Both rails hang on the plus pole: no volts between them, whatever the last digits
    # of the solve say. A meter in the hand would show 0.0 V.
    both = resistors(4, [(0, 2, 0.03), (0, 3, 0.07), (2, 3, 0.2)], [(0, 1, 15.0, 0.05)])
    load = Draw(2, 3, 2.0, 0.0, PartId("L1"))
    found = solved(replace(both, draws=(load,)))
    assert np.isnan(found.amps).all()
    assert np.abs(found.injection).max() == 0.0
