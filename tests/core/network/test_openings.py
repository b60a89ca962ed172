"""What electricity sees of an opening: ends of rail, a plug, a contact."""

from typing import Any

import pytest

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Point, ToBus, ToPort
from core.network.build import build_circuit
from core.network.circuit import BranchKind, Circuit
from core.network.live import live_nodes
from core.network.sections import plan_sections
from tests.core.checks.gate import carried, gate, opening
from tests.core.network.track import end, joint, layout_of, run, turnout
from tests.core.network.track import on as place

LO1 = frozenset({PartId("LO1")})


def live_lengths(circuit: Circuit) -> list[tuple[float, float]]:
    """Return the stretches of R1 with two live rails, joined up. [m]"""
    live = live_nodes(circuit)
    found: list[tuple[float, float]] = []
    for i in circuit.on_run[PartId("R1")]:
        s = circuit.segments[i]
        if not (live[s.left0] and live[s.right0]):
            continue
        if found and abs(found[-1][1] - s.start_m) < 1e-9:
            found[-1] = (found[-1][0], s.end_m)
        else:
            found.append((s.start_m, s.end_m))
    return found


def test_without_its_own_drop_no_current_comes_over_an_edge() -> None:
    circuit = build_circuit(gate(without=("D2",)), loads=False)
    assert live_lengths(circuit) == [(0.0, 1.6), (2.4, 4.0)]


def test_open_the_section_and_what_its_contact_feeds_are_dead() -> None:
    circuit = build_circuit(gate(), loads=False, opened=LO1)
    assert live_lengths(circuit) == [(0.0, pytest.approx(0.7)), (3.3, 4.0)]


def test_shut_all_is_live() -> None:
    assert live_lengths(build_circuit(gate(), loads=False)) == [(0.0, 4.0)]


def test_the_plug_stands_in_series_in_each_conductor() -> None:
    # By the table of contacts: screw 2 mΩ, soldered joint 0.5 mΩ, plug 10 mΩ.
    circuit = build_circuit(gate(), loads=False)
    ohm = {
        part: [
            b.ohm
            for b in circuit.branches
            if b.part == part and b.kind is BranchKind.CONTACT
        ]
        for part in ("D1", "D2")
    }
    assert ohm["D1"] == pytest.approx([0.0025, 0.0025])
    assert ohm["D2"] == pytest.approx([0.0125, 0.0125])


def test_the_band_of_contact_and_plug_is_that_of_both() -> None:
    # Screw 1 to 3 mΩ and plug 5 to 15 mΩ on 12 mΩ: 0.5 to 1.5.
    circuit = build_circuit(gate(), loads=False)
    (a, b) = [
        c.spread
        for c in circuit.branches
        if c.part == "D2" and c.kind is BranchKind.CONTACT
    ]
    assert list(a) == list(b) == pytest.approx([0.5, 1.5])


def _with_turnout_inside() -> Layout:
    # T1 and the whole leg R2 ride on the section; R2 leads on to R3 beyond it.
    return layout_of(
        run(1, 4.0),
        run(2, 0.5),
        run(3, 2.0),
        turnout(1, place(1, 1.8), end(2, "start")),
        joint(1, end(2, "end"), end(3, "start")),
        opening(carried(1, 1.6, 2.4), carried(2, 0.0, 0.5)),
    )


def test_joined_track_inside_is_not_cut_but_at_the_edge_it_is() -> None:
    circuit = build_circuit(_with_turnout_inside())
    joints = {b.part for b in circuit.branches if b.kind is BranchKind.JOINT}
    assert {"T1", "J1"} <= joints
    metal: dict[int, set[int]] = {}
    for b in circuit.branches:
        metal.setdefault(b.tail, set()).add(b.head)
        metal.setdefault(b.head, set()).add(b.tail)
    section = next(s for s in circuit.segments if s.run == "R2")
    seen, queue = {section.left0}, [section.left0]
    while queue:
        for other in metal.get(queue.pop(), ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    runs = {(s.run, s.start_m) for s in circuit.segments if {s.left0, s.left1} & seen}
    assert runs == {("R1", 1.6), ("R1", 1.8), ("R2", 0.0)}


def test_edges_are_double_gaps_to_those_who_ask_for_sections() -> None:
    gapped = [link.part for link in plan_sections(gate()).links if link.gapped]
    assert sorted(gapped) == ["G1", "G2", "LO1", "LO1"]


def over(buses: str, use: str = "lift-out") -> Layout:
    """Return the gate with a bus from PB1 over its section, to D5 beyond."""
    points = (Point(x_mm=0.0, y_mm=40.0), Point(x_mm=3900.0, y_mm=40.0))
    bus = Bus(
        id=PartId("B1"), points=points, start=ToPort(part=PartId("PB1")), slack=0.0
    )
    beyond = {"to": ToBus(part=bus.id, position_m=3.7)}
    changes: dict[str, dict[str, Any]] = {
        "LO1": {"use": use, "buses": buses},
        "D5": beyond,
    }
    return gate(bus, changes=changes)


def plugs(circuit: Circuit) -> list[tuple[float, float]]:
    """Return the contacts along the bus, where and how much. [m, Ω]"""
    return [
        (branch.start_m, branch.ohm)
        for branch in circuit.branches
        if branch.part == "B1"
        and branch.kind is BranchKind.CONTACT
        and branch.start_m > 0.0
    ]


@pytest.mark.parametrize(("use", "edges"), [("lift-out", (1.6, 2.4)), ("gate", (2.4,))])
def test_a_bus_has_a_plug_in_each_conductor_at_each_edge_that_parts(
    use: str, edges: tuple[float, ...]
) -> None:
    # By the table of contacts 10 mΩ; a gate's hinge has a loose loop instead.
    wanted = [(edge, 0.010) for edge in edges for _ in "AB"]
    found = plugs(build_circuit(over("plugs", use), loads=False))
    assert found == [pytest.approx(pair) for pair in wanted]


@pytest.mark.parametrize("buses", ["whole", "clear"])
def test_a_bus_in_one_piece_has_none(buses: str) -> None:
    assert plugs(build_circuit(over(buses), loads=False)) == []


@pytest.mark.parametrize(("buses", "is_live"), [("plugs", False), ("clear", True)])
def test_out_with_the_section_goes_what_a_plug_feeds(
    buses: str, *, is_live: bool
) -> None:
    # D5 at 3.7 m, beyond G2 at 3.3 m, hangs on the far end of the bus.
    circuit = build_circuit(over(buses), loads=False, opened=LO1)
    assert ((3.3, 4.0) in live_lengths(circuit)) is is_live


def test_taps_stay_on_their_side_of_a_plug() -> None:
    # By hand, A alone: 3.7 m of 2.5 mm² at 7.98 mΩ/m (IEC 60228), two plugs, a
    # soldered joint at the booster, of 0.5 mΩ, and a screw of 2 mΩ there.
    circuit = build_circuit(over("plugs"), loads=False)
    way = [b for b in circuit.branches if b.part == "B1" and b.wire == "A"]
    inside = sum(b.ohm for b in way if b.end_m <= 3.7 + 1e-9)
    assert inside == pytest.approx(3.7 * 7.98e-3 + 2 * 0.010 + 0.002, rel=1e-3)
