"""What drops and buses carry under a moving train: by hand, and by dense solves."""

from collections.abc import Callable
from dataclasses import replace

import msgspec
import numpy as np
import pytest

from core.analysis.carrying import Carried, carried_amps, heaviest
from core.analysis.examine import study_layout
from core.analysis.loads import Drawn
from core.analysis.study import Case, Floats, Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, OnRun, Part, Settings, ToPort
from core.network.circuit import BranchKind, Circuit, Segment
from tests.core.analysis.layouts import (
    breaker,
    layout_of,
    oval,
    small_line,
    straight,
    train,
    watts,
)

LEAD_1 = 1.0 * 0.0390 + 0.002 + 0.0005
"""1 m of 0.5 mm² class 5 (39.0 Ω/km, IEC 60228), a screw, a soldered joint. [Ω]"""

LEAD_2 = 2.0 * 0.0390 + 0.002 + 0.0005

RAIL = 2.0 * 0.076
"""2 m of code 100 nickel silver, one rail, by the rail table. [Ω]"""


def two_leads(train_a: float = 2.0, *more: Part) -> Layout:
    """Return 2 m of track with a lead at each end, both from the booster itself."""
    leads = [
        Drop(
            id=PartId(f"D{number}"),
            on=OnRun(run=PartId("R1"), position_m=at),
            to=ToPort(part=PartId("PB1")),
            lead_m=lead_m,
        )
        for number, at, lead_m in ((1, 0.0, 1.0), (2, 2.0, 2.0))
    ]
    track = straight(2.0, piece_m=10.0)
    track = msgspec.structs.replace(track, rail="code100-ns")
    booster = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-500.0)
    settings = Settings(test_train_a=train_a)
    return layout_of(settings, track, booster, *leads, *more)


def carried(layout: Layout, part: str) -> Carried:
    return carried_amps(study_layout(layout))[PartId(part)]


def test_two_drops_share_a_train_by_inverse_resistance() -> None:
    # The train right on D1: its own lead against rail and the other lead in series.
    # 2 A · (80.5 + 152) / (41.5 + 80.5 + 152) mΩ = 1.697 A.
    first, second = (carried(two_leads(), name) for name in ("D1", "D2"))
    whole = LEAD_1 + LEAD_2 + RAIL
    assert first.amps_a == pytest.approx(2.0 * (LEAD_2 + RAIL) / whole, rel=1e-6)
    assert first.amps_a == pytest.approx(1.697, abs=1e-3)
    assert second.amps_a == pytest.approx(2.0 * (LEAD_1 + RAIL) / whole, rel=1e-6)
    assert first.standing_a == pytest.approx(0.0, abs=1e-9)


def test_the_train_stands_on_the_drop_that_then_carries_most() -> None:
    first, second = (carried(two_leads(), name) for name in ("D1", "D2"))
    assert first.at is not None
    assert second.at is not None
    assert (first.at.position_m, second.at.position_m) == pytest.approx((0.0, 2.0))


def test_with_its_neighbour_open_a_drop_carries_the_whole_train() -> None:
    first = carried(two_leads(), "D1")
    assert first.open_a == pytest.approx(2.0, rel=1e-6)
    assert first.open_part == "D2"


def test_a_standing_load_comes_on_top() -> None:
    # 1 A at 0.5 m, a quarter along: D1 gets 1 A · (LEAD_2 + 3/4 RAIL) / all.
    whole = LEAD_1 + LEAD_2 + RAIL
    standing = (LEAD_2 + 0.75 * RAIL) / whole
    first = carried(two_leads(2.0, train(1, 0.5, 1.0)), "D1")
    assert first.standing_a == pytest.approx(standing, rel=1e-6)
    moving = 2.0 * (LEAD_2 + RAIL) / whole
    assert first.amps_a == pytest.approx(standing + moving, rel=1e-6)
    assert first.open_a == pytest.approx(3.0, rel=1e-6)


def test_without_a_train_only_the_standing_loads_count() -> None:
    layout = two_leads(2.0, train(1, 0.5, 1.0))
    study = study_layout(layout, Case(test_train_a=0.0))
    for own in carried_amps(study).values():
        assert own.amps_a == pytest.approx(own.standing_a)


def test_a_lone_drop_has_no_neighbour() -> None:
    alone = carried(small_line(drops=(2.0,)), "D1")
    assert alone.amps_a == pytest.approx(1.0, rel=1e-9)
    assert (alone.open_a, alone.open_part) == (None, None)


def test_a_bus_carries_all_that_hangs_on_it() -> None:
    bus = carried(small_line(train(1, 3.0, 0.7)), "B1")
    assert bus.amps_a == pytest.approx(1.7, rel=1e-6)  # 0.7 A standing, 1 A moving
    assert bus.open_a is None


def test_two_boosters_are_solved_in_one_go_and_do_not_mix() -> None:
    # Two islands: what the one carries does not depend on the other being there.
    alone = two_leads()
    other = alone.need(PartId("PB1"), Booster)
    twin: list[Part] = [
        msgspec.structs.replace(other, id=PartId("PB2")),
        straight(2.0, run="R2", y_mm=900.0, piece_m=10.0),
    ]
    drops = [
        msgspec.structs.replace(
            alone.need(PartId(f"D{n}"), Drop),
            id=PartId(f"D{n + 2}"),
            on=OnRun(run=PartId("R2"), position_m=2.0 * (n - 1)),
            to=ToPort(part=PartId("PB2")),
        )
        for n in (1, 2)
    ]
    both = layout_of(*alone.parts.values(), *twin, *drops)
    for name in ("D1", "D2"):
        one, lone = carried(both, name), carried(alone, name)
        assert one.amps_a == pytest.approx(lone.amps_a, rel=1e-9)
        assert one.open_a == pytest.approx(lone.open_a, rel=1e-9)
    assert carried(both, "D4").amps_a == pytest.approx(carried(both, "D2").amps_a)


# Dense: numpy.linalg.inv of a matrix put together here, trains at many places.


def dense_flows(study: Study, circuit: Circuit, opened: int | None = None) -> Floats:
    """Return the amps of each branch for trains at ends and inside, shape (P, M)."""
    solve = dense(study, circuit, opened)
    places = ((s, t) for s in circuit.segments for t in (0.0, 0.3, 0.5, 1.0))
    return np.array([solve(segment, t)[0] for segment, t in places])


def dense_at(study: Study, circuit: Circuit, place: int) -> tuple[Floats, Floats]:
    """Return amps of branches and volts of nodes with the train at an end."""
    segment = circuit.segments[place // 2]
    return dense(study, circuit, None)(segment, float(place % 2))


def dense(
    study: Study, circuit: Circuit, opened: int | None
) -> Callable[[Segment, float], tuple[Floats, Floats]]:
    system = study.system
    ohm = system.ohm.copy()
    if opened is not None:
        ohm[opened] = 1e12
    size = system.size
    matrix = np.zeros((size + 1, size + 1))
    for tail, head, r, use in zip(
        system.tail, system.head, ohm, system.active, strict=True
    ):
        if use:
            matrix[tail, tail] += 1.0 / r
            matrix[head, head] += 1.0 / r
            matrix[tail, head] -= 1.0 / r
            matrix[head, tail] -= 1.0 / r
    inverse = np.linalg.inv(matrix[:size, :size])
    rhs = study.drawn.injection.copy()
    offset = len(circuit.branches)
    for i, source in enumerate(circuit.sources):
        for row, sign in ((system.tail[offset + i], 1), (system.head[offset + i], -1)):
            if row >= 0:
                rhs[row] += sign * source.volts / source.ohm

    def solve(segment: Segment, t: float) -> tuple[Floats, Floats]:
        load = np.append(rhs, 0.0)
        for node, share in (
            (segment.left0, t - 1.0),
            (segment.left1, -t),
            (segment.right0, 1.0 - t),
            (segment.right1, t),
        ):
            load[system.row[node]] += study.scan.train_a * share
        volts = np.append(inverse @ load[:size], 0.0)
        across = volts[system.tail] - volts[system.head]
        return (across / ohm)[:offset], volts[system.row]

    return solve


def drop_wires(study: Study) -> list[int]:
    branches = enumerate(study.circuit.branches)
    return [
        i for i, b in branches if b.kind is BranchKind.DROP and study.system.active[i]
    ]


LAYOUTS = {
    "oval": oval(train(1, 2.0, 0.8), train(2, 0.3, 0.4)),
    "watts": oval(watts(1, 2.9, 12.0)),
    "line": small_line(train(1, 3.9, 1.3)),
}


@pytest.mark.parametrize("name", ["oval", "line"])
def test_no_place_of_a_train_makes_a_wire_carry_more(name: str) -> None:
    study = study_layout(LAYOUTS[name])
    found, circuit = carried_amps(study), study.circuit
    flows = np.abs(dense_flows(study, circuit)).max(axis=0)
    for part, own in found.items():
        mine = [
            i
            for i, b in enumerate(circuit.branches)
            if b.part == part and b.kind in (BranchKind.DROP, BranchKind.BUS)
        ]
        assert own.amps_a == pytest.approx(flows[mine].max(), rel=1e-6), part


@pytest.mark.parametrize("name", ["oval", "line"])
def test_no_open_neighbour_makes_a_drop_carry_more(name: str) -> None:
    study = study_layout(LAYOUTS[name])
    found, circuit = carried_amps(study), study.circuit
    wires = drop_wires(study)
    most: dict[PartId, float] = {}
    for opened in wires:
        flows = np.abs(dense_flows(study, circuit, opened)).max(axis=0)
        for i in wires:
            part = circuit.branches[i].part
            if part != circuit.branches[opened].part:
                most[part] = max(most.get(part, 0.0), float(flows[i]))
    for part, worst in most.items():
        assert found[part].open_a == pytest.approx(worst, rel=1e-5), part


def test_loads_of_constant_watts_draw_more_while_the_train_takes_volts() -> None:
    # At each end of a segment the currents are solved for anew by turns, i = P/u.
    study = study_layout(oval(watts(1, 2.9, 40.0)), Case(test_train_a=3.0))
    found, circuit = carried_amps(study), study.circuit
    (draw,) = circuit.draws
    injection, at_rest = study.drawn.injection, float(study.drawn.amps[0])
    most: dict[PartId, float] = {}
    for place in range(2 * len(circuit.segments)):
        amps, flows = at_rest, np.zeros(0)
        for _ in range(60):
            held = Drawn(injection * (amps / at_rest), study.drawn.amps, ())
            flows, volts = dense_at(replace(study, drawn=held), circuit, place)
            amps = draw.watts / abs(volts[draw.left] - volts[draw.right])
        for i in drop_wires(study):
            part = circuit.branches[i].part
            most[part] = max(most.get(part, 0.0), abs(float(flows[i])))
    for part, worst in most.items():
        assert found[part].amps_a == pytest.approx(worst, rel=1e-6), part
    alone = carried_amps(study_layout(oval(train(1, 2.9, at_rest)), study.case))
    assert any(found[part].amps_a > alone[part].amps_a + 1e-3 for part in most)


def test_some_wires_alone_read_as_among_all() -> None:
    study = study_layout(oval(train(1, 2.0, 0.8)))
    every, wires = carried_amps(study), drop_wires(study)
    some = heaviest(study, np.array(wires[2:4], np.int64))
    (own,) = some.values()
    assert own.amps_a == pytest.approx(every[own.part].amps_a)


def test_nothing_comes_where_nobody_wants_it_any_more() -> None:
    assert carried_amps(study_layout(oval()), go_on=lambda: False) == {}


def test_what_a_shorted_booster_feeds_is_left_out() -> None:
    layout = oval(breaker(1))
    crossed = msgspec.structs.replace(layout.need(PartId("D2"), Drop), a_rail="right")
    others = [part for part in layout.parts.values() if part.id != crossed.id]
    study = study_layout(layout_of(*others, crossed))
    assert study.shorts
    assert carried_amps(study) == {}


def test_an_island_beyond_what_is_kept_goes_without_neighbours(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("core.analysis.carrying.MOST_KEPT", 10)
    study = study_layout(oval(train(1, 2.0, 0.8)))
    few = carried_amps(study)
    monkeypatch.undo()
    for part, own in carried_amps(study).items():
        assert few[part] == replace(own, open_a=None, open_part=None)
