"""Every open connection by rank-one updates, against solving each one again."""

from dataclasses import replace
from typing import Literal

import msgspec
import numpy as np
import pytest

from core.analysis.examine import study_layout
from core.analysis.failure import (
    matters,
    rank_openings,
    worst_by_connection,
)
from core.analysis.nodal import solve_nodal
from core.analysis.scan import loop_terms, scan_track
from core.analysis.study import Study
from core.analysis.system import build_pattern, build_system, fill_pattern
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Gap, OnRun, Settings
from core.network.circuit import BranchKind, Circuit
from tests.core.analysis.layouts import (
    booster,
    drop,
    layout_of,
    oval,
    small_line,
    straight,
    straight_bus,
    train,
    watts,
)


def without(circuit: Circuit, number: int) -> Circuit:
    """Return a circuit in which one branch is open (1e12 Ω keeps numbers)."""
    branches = list(circuit.branches)
    branches[number] = msgspec.structs.replace(branches[number], ohm=1e12)
    return replace(circuit, branches=tuple(branches))


def lowest_again(study: Study, number: int) -> float:
    """Return the lowest volts with one branch open, solved anew, 401 places a segment.

    A comb, where the program has a closed form.
    """
    system = build_system(without(study.circuit, number))
    pattern = build_pattern(system)
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    loops = loop_terms(system, pattern, factor.selected_inverse())[..., 0]
    source = solve_nodal(system)
    standing = solve_nodal(system, study.drawn.injection)
    scan = scan_track(
        system, loops, source=source, standing=standing, train_a=study.scan.train_a
    )
    comb = np.linspace(0.0, 1.0, 401)[:, None]
    loop = (1 - comb) ** 2 * scan.loop0 + 2 * comb * (1 - comb) * scan.cross
    loop += comb**2 * scan.loop1 + comb * (1 - comb) * scan.rails
    volts = (1 - comb) * scan.standing0 + comb * scan.standing1 - scan.train_a * loop
    return float(volts[:, scan.fed].min())


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
        # The comb misses the lowest place by 1/800 of a segment at most.
        assert found.volts_v == pytest.approx(lowest_again(study, i), abs=1e-5)
        tried += 1
    assert tried == 8  # four drops of two wires


def fed_thrice(*gone: str) -> Layout:
    """Return 8 m of rail without joints and three drops, some on the right rail only.

    With D2's left wire open the lowest volts lie inside, far from any end.
    """
    rails: dict[str, Literal["both", "right"]] = dict.fromkeys(gone, "right")
    drops = [drop(1, 0.0, bus_m=0.0), drop(2, 4.0), drop(3, 8.0)]
    return layout_of(
        Settings(),
        straight(8.0, piece_m=100.0),
        booster(),
        straight_bus(8.0),
        *(msgspec.structs.replace(d, rails=rails.get(d.id, "both")) for d in drops),
    )


@pytest.mark.parametrize("part", ["D1", "D2", "D3"])
def test_the_lowest_place_inside_a_segment_is_found(part: str) -> None:
    # Against the layout drawn without that wire, studied anew.
    study = study_layout(fed_thrice())
    opened = next(o for o in rank_openings(study) if (o.part, o.wire) == (part, "A"))
    anew = study_layout(fed_thrice(part)).worst_volts
    assert anew is not None
    assert opened.volts_v == pytest.approx(anew.value, rel=1e-9)
    assert opened.worst.position_m == pytest.approx(anew.place.position_m, abs=1e-4)


def test_nothing_gets_better_by_opening_one_of_several_drops() -> None:
    study = study_layout(fed_thrice())
    lowest = study.held_volts_v
    assert study.worst_volts is not None
    assert lowest == pytest.approx(study.worst_volts.value, rel=1e-12)
    assert all(o.volts_v < study.worst_volts.value for o in rank_openings(study))


def test_loads_on_track_that_goes_dead_draw_nothing() -> None:
    # 3 A stand at 7 m; with the joint at 4 m open only the 1 A train is left, tried
    # at 4 m. Against the layout drawn with a gap there, studied anew; and by hand
    # 1 A over the loop at 4 m, where no current of the load is left.
    parts = (
        Settings(),
        straight(8.0, piece_m=4.0),
        booster(),
        straight_bus(8.0),
        drop(1, 1.0),
        train(1, 7.0, 3.0),
    )
    study = study_layout(layout_of(*parts))
    gap = Gap(id=PartId("G1"), on=OnRun(run=PartId("R1"), position_m=4.0), rails="left")
    anew = study_layout(layout_of(*parts, gap)).worst_volts
    assert anew is not None
    joint = next(
        o for o in rank_openings(study) if o.place is not None and o.wire == "left"
    )
    assert joint.dead_m == pytest.approx(4.0)
    assert joint.volts_v == pytest.approx(anew.value, rel=1e-9)
    before = next(i for i, s in enumerate(study.circuit.segments) if s.end_m == 4.0)
    assert joint.volts_v == pytest.approx(15.0 - study.scan.loop1[before], rel=1e-9)


def test_loads_of_constant_watts_are_compared_as_held() -> None:
    # Like with like: with the loads answering, the intact worst is lower than any
    # opening would say, and nothing would ever matter.
    hungry = watts(1, 4.0, 30.0)
    study = study_layout(small_line(hungry, length_m=8.0, drops=(0.5, 2.0)))
    lowest = study.held_volts_v
    assert lowest is not None
    assert study.worst_volts is not None
    assert lowest > study.worst_volts.value
    opened = next(o for o in rank_openings(study) if o.part == "D2")
    assert opened.volts_v < lowest


def test_nothing_is_held_where_nothing_is_fed() -> None:
    assert study_layout(layout_of(Settings(), straight(2.0))).held_volts_v is None


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
