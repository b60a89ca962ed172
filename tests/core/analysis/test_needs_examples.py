"""The acceptance examples of needs.md N10 to N21, on volts, worked again by hand.

Compared on what is lost and on amps, within 10 % of what needs.md says and much
closer with the sum in each comment; never on volts, whose 10 % would hide all.

N23 to N32 are in test_needs_shorts.py. Held elsewhere: N09 by
tests/samples/test_orrinside.py; N17, N24 and N52 by tests/samples/test_wulfenmoor.py;
N26, N30 and N54 by test_protection.py; N35 and N36 by test_boundaries.py; N34, N56 and
N58 by the tests of W302, W208 and W402. N33, lamps that limit a short, wants a part
that there is not: a resistance that grows with current.
"""

from collections.abc import Iterable
from itertools import pairwise

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.failure import rank_openings
from core.analysis.probe import judge_drop, probe_place
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Drop,
    Inline,
    Limits,
    OnRun,
    Part,
    Settings,
    ToPort,
)
from tests.core.analysis.feeds import (
    BUS,
    DROP,
    JOINER,
    LEAD,
    PIECE,
    RAIL,
    SCREW,
    SOLDERED,
    bus,
    drop,
    feed,
    probed,
    supply,
    track,
)
from tests.core.analysis.layouts import layout_of, train, watts
from tests.samples.build import build_sample
from tests.samples.pairs import Edge, PairNetwork, rail_edges

# Volts ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("volts", "verdict"), [(14.3, "good"), (13.7, "tolerable"), (13.2, "poor")]
)
def test_n10_pass_watch_fail(volts: float, verdict: str) -> None:
    # needs.md N10: of 15 V, 14.3 green, 13.7 amber, 13.2 red: 4.7, 8.7 and 12 % lost.
    assert judge_drop((15.0 - volts) / 15.0, volts, Limits()) == verdict


def test_n10_the_floor_counts_as_well() -> None:
    # needs.md N10: 12 V at the rails for direct current: 4 % of 12.4 V is too much.
    floor = Limits(floor_v=12.0)
    assert judge_drop(0.04, 12.4 * 0.96, floor) == "poor"
    assert judge_drop(0.04, 12.6 * 0.96, floor) == "good"


DECK_M = 22.0
DECK_OHM = 0.10
"""Inside the booster of N11, N16 and N18. needs.md does not say: with 0.10 Ω its six
figures agree within 7 %; with 0.15 Ω they lose 15 to 21 % more than it says. [Ω]"""

DECK_HOLES = [*((k + 0.5) * PIECE for k in range(24)), 21.968]
"""A drop in the middle of each piece; the last piece is 64 mm. [m]"""


def deck(wire_id: str, *, centre: bool = False, ring: bool = False) -> Study:
    """Return a deck of 22 m under 3 A, its bus fed at an end or in the middle."""
    parts: list[Part] = []
    if centre:
        half = DECK_M / 2.0
        parts += [bus(1, half, wire_id), bus(2, half, wire_id)]
        for i, hole in enumerate(DECK_HOLES, start=1):
            parts.append(drop(i, hole, abs(hole - half), 1 if hole < half else 2))
    else:
        back = ToPort(part=PartId("PB1")) if ring else None
        parts.append(replace(bus(1, DECK_M, wire_id), end=back))
        parts += [drop(i, hole, hole) for i, hole in enumerate(DECK_HOLES, start=1)]
    settings = Settings(test_train_a=3.0)
    return study_layout(layout_of(settings, supply(DECK_OHM), track(DECK_M), *parts))


def deck_by_hand(
    wire_id: str, at_m: float, *, centre: bool = False, ring: bool = False
) -> float:
    """Return what 3 A lose at a place of the deck, the second way. [V]"""
    per_m = BUS[wire_id]
    edges: list[Edge] = [("booster", "PB", DECK_OHM)]
    middle = DECK_M / 2.0 if centre else 0.0
    east = [hole for hole in DECK_HOLES if hole >= middle]
    west = [hole for hole in DECK_HOLES if hole < middle][::-1]
    for holes in (east, west):
        stops = [middle, *holes]
        if holes:
            edges.append(
                ("PB", f"tap {holes[0]}", SCREW + abs(stops[1] - middle) * per_m)
            )
        edges += [
            (f"tap {a}", f"tap {b}", abs(b - a) * per_m) for a, b in pairwise(holes)
        ]
    if ring:
        last = DECK_HOLES[-1]
        edges.append((f"tap {last}", "PB", (DECK_M - last) * per_m + SCREW))
    edges += [(f"tap {hole}", f"rail {hole}", DROP) for hole in DECK_HOLES]
    spots = [("at", at_m), *((f"rail {hole}", hole) for hole in DECK_HOLES)]
    joints = [PIECE * k for k in range(1, 25)]
    edges += rail_edges(spots, joints, per_m=RAIL, joint=JOINER)
    return 3.0 * PairNetwork(edges).loop_ohm("at")


@pytest.mark.parametrize(
    ("wire_id", "centre", "said"),
    [
        ("1.5mm2-c5", False, 1.80),
        ("2.5mm2-c5", False, 1.275),
        ("1.5mm2-c5", True, 1.05),
        ("2.5mm2-c5", True, 0.84),
    ],
)
def test_n11_and_n16_a_deck_of_22_metres(
    wire_id: str, centre: bool, said: float
) -> None:
    # needs.md N11: 13.2, 13.7 and 13.95 V at 21.5 m; N16: −12, −8.5, −7.0, −5.6 %.
    study = deck(wire_id, centre=centre)
    lost = 15.0 - probe_place(study, OnRun(run=PartId("R1"), position_m=21.5)).volts_v
    assert lost == pytest.approx(deck_by_hand(wire_id, 21.5, centre=centre), rel=0.002)
    assert lost == pytest.approx(said, rel=0.10)


def test_n11_the_worst_place_is_found_and_not_the_one_thought_of() -> None:
    # needs.md N11: at 21.5 m, not at the end. Here too it is the last joint, 21.02 m,
    # and the rail up to half way to the next drop, not the 22 m of the end.
    study = deck("1.5mm2-c5")
    assert study.worst_volts is not None
    worst = study.worst_volts
    assert 21.0 < worst.place.position_m < 21.5
    comb = [
        probe_place(study, OnRun(run=PartId("R1"), position_m=k / 10)).volts_v
        for k in range(221)
    ]
    assert worst.value == pytest.approx(min(comb), abs=2e-3)
    assert comb[-1] > worst.value + 0.01


def test_n16_feeding_the_middle_beats_thicker_wire() -> None:
    # needs.md N16: 1.5 fails, 2.5 amber; 1.5 fed in its middle better and cheaper.
    ends = {w: deck(w).worst_volts for w in BUS}
    middle = deck("1.5mm2-c5", centre=True).worst_volts
    thin, thick = ends["1.5mm2-c5"], ends["2.5mm2-c5"]
    assert thin is not None
    assert thick is not None
    assert middle is not None
    verdicts = [
        judge_drop((15.0 - w.value) / 15.0, w.value, Limits()) for w in (thin, thick)
    ]
    assert verdicts == ["poor", "tolerable"]
    assert middle.value > thick.value


@pytest.mark.parametrize(
    ("ring", "said"), [(False, 15.0 - 13.76), (True, 15.0 - 14.14)]
)
def test_n18_closing_a_ring(ring: bool, said: float) -> None:
    # needs.md N18: 22 m of ring, 3 A in its middle: 13.76 V open, 14.14 V closed.
    study = deck("1.5mm2-c5", ring=ring)
    lost = 15.0 - probe_place(study, OnRun(run=PartId("R1"), position_m=11.0)).volts_v
    assert lost == pytest.approx(deck_by_hand("1.5mm2-c5", 11.0, ring=ring), rel=0.002)
    assert lost == pytest.approx(said, rel=0.10)


def test_n18_a_ring_hides_one_open_fault() -> None:
    # The other half of the advice: with its end lifted a ring works on.
    whole, lifted = deck("1.5mm2-c5", ring=True), deck("1.5mm2-c5")
    assert whole.worst_volts is not None
    assert lifted.worst_volts is not None
    assert whole.scan.fed.all()
    assert lifted.scan.fed.all()
    assert whole.worst_volts.value > lifted.worst_volts.value


def test_n13_a_train_of_12_watts_far_away() -> None:
    # needs.md N13: 12 W are 0.91 A at 13.2 V: 1.8 V over 0.909 A ask for 1.98 Ω.
    # Inside 0.15, screw and solder 0.005, leads x · 0.078: x = 23.397 m at the
    # place of the drop itself. u² − 15u + 1.98 · 12 = 0 has the root 13.2.
    lead_m = (1.98 - 0.15 - SCREW - SOLDERED) / LEAD
    layout = layout_of(
        Settings(), supply(), track(1.0), feed(1, 0.5, lead_m), watts(1, 0.5, 12.0)
    )
    study = study_layout(layout)
    assert study.drawn.amps[0] == pytest.approx(12.0 / 13.2, rel=1e-6)
    place = OnRun(run=PartId("R1"), position_m=0.5)
    assert probe_place(study, place).standing_v == pytest.approx(13.2, abs=1e-6)


def test_n14_where_the_volts_went() -> None:
    # needs.md N14: 15.00 − 0.45 supply − 0.63 bus − 0.05 drop − 0.11 rail − 0.02
    # joints = 13.74. A chain in which nothing is parallel, at 3 A: 0.15 Ω; 13.158 m
    # of 2.5 mm² at 15.96 mΩ/m are 0.210 Ω; 0.2137 m of lead 16.67 mΩ; rails of
    # 0.1698 m at 216 mΩ/m 36.67 mΩ. Contacts: two screws and a solder joint, 9 mΩ,
    # 0.027 V, stand for the 0.02 V of joints.
    layout = layout_of(
        Settings(test_train_a=3.0),
        supply(),
        track(0.1698),
        bus(1, 13.158, "2.5mm2-c5"),
        replace(drop(1, 0.0, 13.158), lead_m=0.21368),
    )
    probe = probed(layout, 0.1698)
    rows = {loss.kind: loss.volts_v for loss in probe.breakdown}
    assert rows["supply"] == pytest.approx(0.45, abs=0.0005)
    assert rows["bus"] == pytest.approx(0.63, abs=0.0005)
    assert rows["drop"] == pytest.approx(0.05, abs=0.0005)
    assert rows["rail"] == pytest.approx(0.11, abs=0.0005)
    assert rows["contact"] == pytest.approx(0.027, abs=0.0005)
    assert 15.0 - sum(rows.values()) == pytest.approx(probe.volts_v, abs=1e-9)


@pytest.mark.parametrize(
    ("rail", "ohm_per_m", "said"),
    [
        ("code100-ns", 0.076, 2.6),
        ("code83-ns", 0.108, 1.85),
        ("code70-ns", 0.206, 0.97),
        ("code55-ns", 0.300, 0.67),
    ],
)
def test_n15_drops_so_far_apart_lose_a_fifth_of_a_volt(
    rail: str, ohm_per_m: float, said: float
) -> None:
    # needs.md N15: 0.2 V at 2 A. Between two drops s apart the middle sees two
    # halves of both rails side by side, 2·r·s/4: s = 2·0.2/(I·r). The formula printed
    # there, s = dV/(I·r), gives half of its own figures: the figures are right.
    apart = 2.0 * 0.2 / (2.0 * ohm_per_m)
    assert apart == pytest.approx(said, rel=0.02)
    run = track(apart, rail, piece_m=100.0)
    layout = layout_of(
        Settings(test_train_a=2.0), supply(), run, feed(1, 0.0), feed(2, apart)
    )
    rows = {x.kind: x.volts_v for x in probed(layout, apart / 2.0).breakdown}
    assert rows["rail"] == pytest.approx(0.2, rel=1e-6)


def test_n15_a_dead_end_a_quarter_as_long_loses_the_same() -> None:
    run = track(1.85 / 4.0, piece_m=100.0)
    layout = layout_of(Settings(test_train_a=2.0), supply(), run, feed(1, 0.0))
    rows = {x.kind: x.volts_v for x in probed(layout, 1.85 / 4.0).breakdown}
    assert rows["rail"] == pytest.approx(2.0 * 2.0 * 0.108 * 1.85 / 4.0, rel=1e-6)
    assert rows["rail"] == pytest.approx(0.2, rel=0.01)


HELIX_M = 17.4
TURNS = 6


def helix(holes_m: Iterable[float], before_m: float) -> Layout:
    """Return a helix as a length, fed over a bus that ends below it."""
    drops = [drop(i, hole, before_m) for i, hole in enumerate(holes_m, start=1)]
    below = bus(1, before_m)
    return layout_of(
        Settings(test_train_a=1.8), supply(), track(HELIX_M), below, *drops
    )


def test_n19_a_helix_fed_at_top_and_bottom_only() -> None:
    # needs.md N19: 1.8 A in the middle: 12.5 V, so 2.5 V lost. By hand: 0.15 Ω, then
    # 8.8 m of 1.5 mm² from the booster of S4 at (0.3, 0.3) to its helix at (4.7, 4.7)
    # 0.234, half a drop, and both halves of the rails side by side: (8.7 · 0.216 +
    # 9 joints · 0.01)/2 = 0.985; the middle lies between the ninth and tenth of 19.
    half = DROP + HELIX_M / 2.0 * RAIL
    way = [half + 9 * JOINER, half + 10 * JOINER]
    by_hand = 0.15 + SCREW + 8.8 * BUS["1.5mm2-c5"] + 1.0 / sum(1.0 / w for w in way)
    lost = 15.0 - probed(helix((0.0, HELIX_M), 8.8), HELIX_M / 2.0).volts_v
    assert lost == pytest.approx(1.8 * by_hand, rel=1e-4)
    assert lost == pytest.approx(15.0 - 12.5, rel=0.10)


def test_n19_each_turn_of_it_fed() -> None:
    # needs.md N19: each turn fed 14.4 V, so 0.6 V lost. That holds without any bus
    # before the helix, which its 12.5 V need: over the same 8.8 m it is 1.02 V, 70 %
    # more. needs.md compares two wirings there; the gain is 1.48 V, not 1.9 V. By
    # hand in the middle of a turn at its foot: 0.15 Ω + half a drop + a quarter of
    # 2.9 m · 0.216 = 0.33 Ω, and two joints on the way: 0.59 V.
    holes = [HELIX_M / TURNS * k for k in range(TURNS + 1)]
    foot = layout_of(
        Settings(test_train_a=1.8),
        supply(),
        track(HELIX_M),
        *(feed(i, hole) for i, hole in enumerate(holes, start=1)),
    )
    middle = HELIX_M / TURNS * 3.5
    least = 0.15 + 0.5 * DROP * 0.8 + 2.9 * RAIL / 4.0
    lost = 15.0 - probed(foot, middle).volts_v
    assert (
        1.8 * least * 0.95 < lost < 1.8 * (0.15 + 0.5 * DROP + 2.9 * RAIL / 4 + 0.015)
    )
    assert lost == pytest.approx(15.0 - 14.4, rel=0.10)
    over_bus = 15.0 - probed(helix(holes, 8.8), middle).volts_v
    assert over_bus == pytest.approx(
        lost + 1.8 * (8.8 * BUS["1.5mm2-c5"] + SCREW), rel=0.01
    )


def test_n20_any_one_drop_open_and_the_board_still_passes() -> None:
    # needs.md N20: any one drop open, 14.62 V worst, so 0.38 V lost. Its board is
    # Dapplecombe. The second way: each drop reduced to one of its wires, or taken
    # away, and all worked out anew instead of by rank-one updates.
    layout = build_sample("dapplecombe-sidings")
    openings = rank_openings(study_layout(layout))
    oval: list[float] = []
    for part in layout.parts.values():
        if not isinstance(part, Drop):
            continue
        # Rail A is the right one on that board.
        anew = lost_with(layout, replace(part, rails="left"))
        found = min(o.volts_v for o in openings if o.part == part.id and o.wire == "A")
        assert 15.0 - found == pytest.approx(anew, rel=0.005)
        gone = lost_with(layout, replace(part, to=None))
        assert gone / 15.0 < 0.05
        if part.on.run == "R1":
            oval.append(gone)
    # Of the seven on the oval it is D4: 0.390 V. The two spurs have one drop each;
    # without it they lose 0.52 and 0.48 V, still a pass, which needs.md leaves out.
    assert max(oval) == pytest.approx(0.38, rel=0.10)


def lost_with(layout: Layout, drop_now: Drop) -> float:
    """Return the most lost anywhere with a drop changed. [V]"""
    study = study_layout(Layout({**layout.parts, drop_now.id: drop_now}))
    assert study.worst_volts is not None
    return 15.0 - study.worst_volts.value


def test_n21_a_diode_detector_takes_its_volts_off() -> None:
    # needs.md N21: 1.4 V turn 13.24 into 11.84 V, −21 %; sensed by its field, 0. A
    # chain of 3 A through 0.5867 Ω: 0.15 inside, 0.03 the device, 0.009 contacts,
    # leads of x · 0.078 the rest.
    lead_m = (1.76 / 3.0 - 0.15 - 0.03 - 2 * SCREW - SOLDERED) / LEAD
    volts = []
    for drop_v in (0.0, 1.4):
        detector = Inline(
            id=PartId("OD1"),
            device="detector",
            x_mm=0.0,
            y_mm=-500.0,
            feed=ToPort(part=PartId("PB1")),
            trip_a=None,
            drop_v=drop_v,
        )
        lead = replace(feed(1, 0.0, lead_m), to=ToPort(part=PartId("OD1")))
        layout = layout_of(
            Settings(), supply(), detector, track(1.0), lead, train(1, 0.0, 3.0)
        )
        volts.append(probed(layout, 0.0).standing_v)
    assert volts == pytest.approx([13.24, 11.84], abs=1e-6)
    assert (15.0 - volts[1]) / 15.0 == pytest.approx(0.21, abs=0.001)
