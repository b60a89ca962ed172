"""The scan against networks worked by hand and against brute force."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.analysis.nodal import solve_nodal
from core.analysis.scan import Scan, loop_terms, scan_track
from core.analysis.system import (
    System,
    build_pattern,
    build_system,
    fill_pattern,
)
from tests.core.analysis.circuits import drawing, resistors


def scanned(
    system: System,
    train_a: float = 1.0,
    loads: list[tuple[int, int, float]] | None = None,
) -> Scan:
    pattern = build_pattern(system)
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    loops = loop_terms(system, pattern, factor.selected_inverse())[..., 0]
    source = solve_nodal(system)
    standing = solve_nodal(system, drawing(system, loads or []))
    return scan_track(system, loops, source=source, standing=standing, train_a=train_a)


def test_n5_short_behind_bus_drop_and_rail() -> None:
    # reference-data.md N5: 0.05 source + 50 ft of 14 AWG pair (0.2525) + 1 ft of
    # 22 AWG pair (0.03228) + 3 ft of code 83 (0.1974) + two 5 mΩ joiners (0.0100)
    # = 0.54218 Ω: 15 V / 0.54218 = 27.67 A.
    half = (0.2525 + 0.03228 + 0.0100) / 2
    circuit = resistors(
        6,
        [(0, 2, half), (1, 3, half), (2, 4, 0.0987), (3, 5, 0.0987)],
        [(0, 1, 15.0, 0.05)],
        segments=[(2, 3, 4, 5)],
    )
    scan = scanned(build_system(circuit))
    assert scan.loop_at(0, 1.0) == pytest.approx(0.54218, abs=1e-5)
    assert scan.short_at(0, 1.0) == pytest.approx(27.67, abs=0.01)


def test_n6_short_through_thin_bus_and_aged_joiners() -> None:
    # N6: 18 AWG bus 50 ft pair 0.6385, 22 AWG 0.03228, 6 ft of code 83 0.3948,
    # two 50 mΩ joiners 0.1, source 0.05: 1.2156 Ω, 12.34 A.
    half = (0.6385 + 0.03228 + 0.1) / 2
    circuit = resistors(
        6,
        [(0, 2, half), (1, 3, half), (2, 4, 0.1974), (3, 5, 0.1974)],
        [(0, 1, 15.0, 0.05)],
        segments=[(2, 3, 4, 5)],
    )
    scan = scanned(build_system(circuit))
    assert scan.loop_at(0, 1.0) == pytest.approx(1.2156, abs=1e-4)
    assert scan.short_at(0, 1.0) == pytest.approx(12.34, abs=0.01)


def fed_at_both_ends(rail: float = 0.3948) -> System:
    return build_system(
        resistors(
            6,
            [
                (0, 2, 1e-6),
                (1, 3, 1e-6),
                (0, 4, 1e-6),
                (1, 5, 1e-6),
                (2, 4, rail),
                (3, 5, rail),
            ],
            [(0, 1, 15.0, 1e-6)],
            segments=[(2, 3, 4, 5)],
        )
    )


def test_loop_is_highest_in_the_middle_of_a_track_fed_at_both_ends() -> None:
    # 12 ft of code 83 fed at both ends (N2): half of the loop of 6 ft, 0.1974 Ω.
    t, loop = scanned(fed_at_both_ends()).highest_loop()
    assert t[0] == pytest.approx(0.5, abs=1e-6)
    assert loop[0] == pytest.approx(0.1974, abs=1e-5)


def test_lowest_volts_lie_inside_a_segment_without_a_node_there() -> None:
    # The same, 1 A: N2 says 0.1974 V are lost there, and no node is there.
    t, volts = scanned(fed_at_both_ends()).lowest_volts()
    assert t[0] == pytest.approx(0.5, abs=1e-6)
    assert 15.0 - volts[0] == pytest.approx(0.1974, abs=1e-4)


def ring(cut_at: float | None) -> System:
    """Return a bus, a rail pair fed unevenly, and optionally nodes inside it."""
    left, right = 0.5, 0.7
    ohms = [(0, 2, 0.2), (1, 3, 0.3), (0, 4, 0.9), (1, 5, 0.1)]
    if cut_at is None:
        rails = [(2, 4, left), (3, 5, right)]
        segments = [(2, 3, 4, 5)]
    else:
        rails = [
            (2, 6, left * cut_at),
            (6, 4, left * (1 - cut_at)),
            (3, 7, right * cut_at),
            (7, 5, right * (1 - cut_at)),
        ]
        segments = [(2, 3, 6, 7), (6, 7, 4, 5)]
    return build_system(
        resistors(
            6 if cut_at is None else 8,
            ohms + rails,
            [(0, 1, 15.0, 0.05)],
            segments=segments,
        )
    )


@given(st.floats(0.02, 0.98))
@settings(max_examples=30, deadline=None)
def test_no_answer_depends_on_where_nodes_are(t: float) -> None:
    # A node put into the middle of a segment must find what the closed form
    # said there without it: two routes to one figure.
    closed = scanned(ring(None), loads=[(4, 5, 0.7)])
    cut = scanned(ring(t), loads=[(4, 5, 0.7)])
    assert closed.loop_at(0, t) == pytest.approx(cut.loop_at(0, 1.0), rel=1e-9)
    assert closed.volts_at(0, t) == pytest.approx(cut.volts_at(1, 0.0), rel=1e-9)


@given(st.floats(0.1, 5.0))
@settings(max_examples=30, deadline=None)
def test_extremes_are_those_of_a_fine_comb(train_a: float) -> None:
    scan = scanned(ring(None), train_a=train_a, loads=[(4, 5, 1.3)])
    comb = np.linspace(0.0, 1.0, 2001)
    volts = [scan.volts_at(0, t) for t in comb]
    loops = [scan.loop_at(0, t) for t in comb]
    shorts = [scan.short_at(0, t) for t in comb]
    assert scan.lowest_volts()[1][0] == pytest.approx(min(volts), abs=1e-5)
    assert scan.highest_loop()[1][0] == pytest.approx(max(loops), abs=1e-6)
    assert scan.lowest_short()[1][0] == pytest.approx(min(shorts), rel=1e-5)


def test_rails_on_one_pole_are_not_fed() -> None:
    circuit = resistors(
        6,
        [(0, 2, 0.1), (0, 3, 0.1), (2, 4, 0.2), (3, 5, 0.2)],
        [(0, 1, 15.0, 0.05)],
        segments=[(2, 3, 4, 5)],
    )
    assert not scanned(build_system(circuit)).fed[0]


def test_a_rail_that_no_booster_reaches_is_not_fed() -> None:
    circuit = resistors(
        6,
        [(0, 2, 0.1), (2, 4, 0.2), (3, 5, 0.2)],
        [(0, 1, 15.0, 0.05)],
        segments=[(2, 3, 4, 5)],
    )
    assert not scanned(build_system(circuit)).fed[0]


def test_reversed_phase_gives_the_same_figures() -> None:
    plain, turned = (
        scanned(
            build_system(
                resistors(
                    6,
                    [(0, 2, 0.1), (1, 3, 0.1), (2, 4, 0.2), (3, 5, 0.2)],
                    [(*poles, 15.0, 0.05)],
                    segments=[(2, 3, 4, 5)],
                )
            )
        )
        for poles in ((0, 1), (1, 0))
    )
    assert turned.volts_at(0, 0.4) == pytest.approx(plain.volts_at(0, 0.4), rel=1e-12)
