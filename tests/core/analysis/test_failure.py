"""Every open connection by rank-one updates, against solving each one again."""

from dataclasses import replace

import msgspec
import numpy as np
import pytest

from core.analysis.examine import study_layout
from core.analysis.failure import matters, rank_openings, worst_by_connection
from core.analysis.nodal import solve_nodal
from core.analysis.scan import loop_terms, scan_track
from core.analysis.study import Study
from core.analysis.system import build_pattern, build_system, fill_pattern
from core.network.circuit import BranchKind, Circuit
from tests.core.analysis.layouts import oval, small_line, train


def without(circuit: Circuit, number: int) -> Circuit:
    """Return a circuit in which one branch is open (1e12 Ω keeps numbers)."""
    branches = list(circuit.branches)
    branches[number] = msgspec.structs.replace(branches[number], ohm=1e12)
    return replace(circuit, branches=tuple(branches))


def lowest_again(study: Study, number: int) -> float:
    """Return the lowest volts at a segment end with one branch open, solved anew."""
    system = build_system(without(study.circuit, number))
    pattern = build_pattern(system)
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    loops = loop_terms(system, pattern, factor.selected_inverse())[..., 0]
    source = solve_nodal(system)
    standing = solve_nodal(system, study.drawn.injection)
    scan = scan_track(
        system, loops, source=source, standing=standing, train_a=study.scan.train_a
    )
    ends = np.stack(
        [
            scan.standing0 - scan.train_a * scan.loop0,
            scan.standing1 - scan.train_a * scan.loop1,
        ]
    )
    return float(ends[:, scan.fed].min())


def test_every_opening_is_as_if_solved_again() -> None:
    study = study_layout(oval(train(1, 2.0, 0.8), train(2, 0.3, 0.4)))
    openings = {
        (o.part, o.place and o.place.position_m, o.wire): o
        for o in rank_openings(study)
    }
    tried = 0
    for i, branch in enumerate(study.circuit.branches):
        if branch.kind is not BranchKind.DROP:
            continue
        found = openings[branch.part, None, branch.wire]
        assert found.volts_v == pytest.approx(lowest_again(study, i), abs=1e-6)
        tried += 1
    assert tried == 8  # four drops of two wires


def test_a_lone_drop_is_a_bridge_and_its_track_goes_dead() -> None:
    study = study_layout(small_line(drops=(2.0,)))
    openings = [o for o in rank_openings(study) if o.part == "D1"]
    # Both wires of the only drop: all four metres die with either.
    assert [o.dead_m for o in openings] == [pytest.approx(4.0), pytest.approx(4.0)]


def test_a_joint_beyond_the_last_drop_kills_only_what_is_behind_it() -> None:
    # Drops at 0.5, 2.0, 3.5; joints each 0.914 m: 0.914, 1.828, 2.742, 3.656.
    # Behind the joint at 3.656 m lie 4.0 − 3.656 = 0.344 m without a drop.
    study = study_layout(small_line())
    last = [
        o
        for o in rank_openings(study)
        if o.place is not None and o.place.position_m > 3.6
    ]
    assert [o.dead_m for o in last] == [pytest.approx(0.344)] * 2


def test_each_connection_counts_once_by_its_worse_conductor() -> None:
    openings = rank_openings(study_layout(small_line()))
    worst = worst_by_connection(openings)
    # Three drops of two wires, and four joints (0.914 m apart in 4 m) of two rails.
    assert (len(openings), len(worst)) == (14, 7)
    for kept in worst:
        same = [o for o in openings if (o.part, o.place) == (kept.part, kept.place)]
        assert kept.volts_v == min(o.volts_v for o in same)


def test_what_takes_a_hundredth_of_the_supply_or_kills_track_matters() -> None:
    study = study_layout(small_line())
    assert study.worst_volts is not None
    opening = rank_openings(study)[-1]
    supply = study.boosters[0].volts_v
    just, over = (
        replace(opening, dead_m=0.0, volts_v=study.worst_volts.value - share * supply)
        for share in (0.0099, 0.0101)
    )
    assert (matters(study, just), matters(study, over)) == (False, True)
    assert matters(study, replace(just, dead_m=0.1))


def test_what_is_not_wanted_any_more_is_not_worked_out() -> None:
    assert rank_openings(study_layout(small_line()), go_on=lambda: False) == ()


def test_the_worst_comes_first() -> None:
    openings = rank_openings(study_layout(small_line()))
    keys = [(-o.dead_m, o.volts_v) for o in openings]
    assert keys == sorted(keys)
