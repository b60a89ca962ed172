"""Orrinside Quay by hand: every resistance typed, solved a second way.

Values, each with where it comes from:

* rail: code 55 nickel silver, 300 mΩ/m of one rail (needs.md 3.2);
* bus: 1.5 mm² class 5, 13.3 mΩ/m (IEC 60228), and 5 % more of it than drawn;
* leads: 7 × 0.25 mm, which is 0.35 mm²: 17.241/0.3436 · 1.02 = 51.2 mΩ/m; bell wire
  of 0.14 mm² 138 mΩ/m (a maker's table; needs.md has 130);
* leads are 40 mm of board, 150 mm of slack and the distance in plan long;
* contacts, house defaults inside the ranges of needs.md 3.3: new joiner 5 mΩ,
  screw 2 mΩ, tap 3 mΩ, soldered 0.5 mΩ.
"""

from collections.abc import Iterable
from itertools import pairwise
from math import acos, cos, radians, sin, tan

import networkx as nx
import pytest

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.study import Probe
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, Part
from tests.samples.orrinside import (
    EIGHT_HOLES_M,
    SIX_HOLES_M,
    orrinside,
    orrinside_faulty,
    orrinside_one_feed,
)
from tests.samples.pairs import Edge, PairNetwork, Spot, rail_edges

RAIL, BUS, LEAD = 2 * 0.300, 2 * 0.0133 * 1.05, 2 * 0.0512
"""Out and back. [Ω/m]"""

JOINER, SCREW, TAP, SOLDERED = 2 * 0.005, 2 * 0.002, 2 * 0.003, 2 * 0.0005
"""Out and back. [Ω]"""

EIGHT = (0.16, 0.80, 1.38, 1.99, 2.60, 3.20, 3.80, 4.44)
SIX = (0.32, 1.12, 1.92, 2.72, 3.52, 4.32)
"""Drops on the main, from x = 0.1. [m]"""


def studied(parts: Iterable[Part], at_m: float = 4.5) -> Probe:
    """Return the probe of a place on the main; 4.5 m is x = 4.6."""
    study = study_layout(Layout({part.id: part for part in parts}))
    return probe_place(study, OnRun(run=PartId("R1"), position_m=at_m))


def swung(along: float) -> tuple[float, float]:
    """Return how far ahead and aside a leg is: two curves of 0.4 m, 60 mm aside."""
    radius, turn = 0.4, acos(1.0 - 0.060 / 0.8)
    if along < radius * turn:
        return radius * sin(along / radius), radius * (1.0 - cos(along / radius))
    left = 2.0 * radius * turn - along
    if left > 0.0:
        ahead = 2.0 * radius * sin(turn) - radius * sin(left / radius)
        return ahead, 0.060 - radius * (1.0 - cos(left / radius))
    return 2.0 * radius * sin(turn) - left, 0.060


def rails(spots: Iterable[Spot], joints: Iterable[float], joint: float) -> list[Edge]:
    """Return the rails between places on one track."""
    return rail_edges(spots, joints, per_m=RAIL, joint=joint)


def network(
    main: tuple[float, ...],
    contact: float = SOLDERED,
    *,
    parted: bool = False,
    more: Iterable[tuple[str, float, float]] = (),
) -> PairNetwork:
    """Return the repaired shelf, with its drops on the main as given.

    They are soldered to the bus or tapped. `parted` leaves out the rails of siding 3;
    `more` are further drops. The wharf line and the drop on siding 3 that belongs to
    it are left out else: they hang on siding 3 alone, behind two drops of its own.
    """
    toes = [("T6", 0.35), ("T1", 1.10), ("T2", 3.50), ("T3", 3.55), ("T4", 3.65)]
    on_main = [(f"main {p}", p) for p in main]
    pieces = [0.767 * k for k in range(1, 6)]
    edges = rails([*toes, *on_main, ("end", 4.6)], pieces, JOINER)
    # Loop: 2.4 m and what two pairs of curves are longer than their span.
    loop = 2.4 + 2 * (2 * 0.4 * acos(1 - 0.06 / 0.8) - swung(0.311808)[0])
    on_loop = [("L1", 0.40), ("L2", 0.95), ("L3", 1.50), ("T5", 2.0), ("L4", 2.05)]
    edges += rails([("loop", 0.0), *on_loop, ("back", loop)], (0.81, 1.62), JOINER)
    edges += [("T1", "loop", JOINER), ("T2", "back", JOINER)]
    drops = [(name, 0.1 + p, 0.200) for name, p in on_main]
    drops += [_hole("L1", 1.2, 0.200, 0.40, 1), _hole("L2", 1.2, 0.200, 0.95, 1)]
    drops += [_hole("L3", 1.2, 0.200, 1.50, 1), _hole("L4", 1.2, 0.200, 2.05, 1)]
    five = 1.2 + swung(2.0)[0]
    legs = (
        ("T3", 3.65, 0.200, -1, (0.30, 0.85), 1.00),
        ("T4", 3.75, 0.200, 1, (0.20, 0.75), 0.90),
        ("T5", five, 0.260, 1, (0.45, 1.05), 1.20),
        ("T6", 0.45, 0.200, -1, (0.40,), 0.55),
    )
    for toe, x, y, side, holes, length in legs:
        if parted and toe == "T5":
            continue
        names = [(f"{toe} {p}", p) for p in holes]
        spots = [(f"leg {toe}", 0.0), *names, (f"end {toe}", length)]
        edges += [(toe, f"leg {toe}", JOINER), *rails(spots, (0.767,), SOLDERED)]
        drops += [_hole(name, x, y, p, side) for name, p in names]
    return PairNetwork([*edges, *_wiring([*drops, *more], contact)])


def _hole(
    name: str, x: float, y: float, along: float, side: int
) -> tuple[str, float, float]:
    ahead, aside = swung(along)
    return name, x + ahead, y + side * aside


def _wiring(drops: list[tuple[str, float, float]], contact: float) -> list[Edge]:
    """Return supply, stem, both legs of the bus and the drops that hang on them.

    The stem runs from (0.1, 0.2) down to y = 0.1, along to x = 2.4 and up to the
    legs at y = 0.23; the quay track's drop lies nearer to it than to a leg.
    """
    (quay,) = (drop for drop in drops if drop[0] == "T6 0.4")
    below = 0.1 + quay[1] - 0.1
    edges: list[Edge] = [
        ("booster", "unit", 0.15),
        ("unit", "tap quay", SCREW + below * BUS),
        ("tap quay", quay[0], contact + _lead_ohm(quay[2] - 0.1)),
        ("tap quay", "stem", (2.53 - below) * BUS),
        ("stem", "west 0", SOLDERED),
        ("stem", "east 0", SOLDERED),
    ]
    for leg, sign in (("west", -1.0), ("east", 1.0)):
        here, before = 0.0, f"{leg} 0"
        mine = sorted((sign * (x - 2.4), name, y) for name, x, y in drops)
        for tap, name, y in mine:
            if tap <= 0.0 or name == quay[0]:
                continue
            if tap > here + 1e-6:  # else two drops share a tap
                edges.append((before, f"tap {name}", (tap - here) * BUS))
                here, before = tap, f"tap {name}"
            edges.append((before, name, contact + _lead_ohm(abs(y - 0.230))))
    return edges


def _lead_ohm(away: float) -> float:
    return SOLDERED + LEAD * (0.040 + 0.150 + away)


def test_the_end_of_the_main_loses_what_the_hand_says() -> None:
    # The sound shelf, eight drops: by hand 0.3919 Ω at x = 4.7, 1.2 A: 0.470 V.
    by_hand = network(EIGHT).loop_ohm("end")
    assert by_hand == pytest.approx(0.3919, rel=0.002)
    study = study_layout(Layout({part.id: part for part in orrinside()}))
    assert study.worst_volts is not None
    assert study.worst_volts.place == OnRun(run=PartId("R1"), position_m=4.6)
    assert 12.0 - study.worst_volts.value == pytest.approx(1.2 * by_hand, rel=0.002)


def test_with_six_drops_it_is_as_good_as_the_scenario_says() -> None:
    # needs.md S2: 11.55 V, so 0.45 V lost at x = 4.6, and 30 A. By hand, 1.2 A:
    # 0.481 V, 7 % more, and 29.9 A. In truth, at signal frequency, 24.6 A.
    between = network(SIX)
    by_hand = between.loop_ohm("main 4.32") + 0.18 * RAIL
    probe = studied(orrinside(holes_m=SIX_HOLES_M))
    assert 12.0 - probe.volts_v == pytest.approx(1.2 * by_hand, rel=0.002)
    assert 12.0 - probe.volts_v == pytest.approx(0.45, rel=0.10)
    assert probe.short_dc_a == pytest.approx(30.0, rel=0.08)


def test_the_diamond_is_named_and_draws_what_the_hand_says() -> None:
    # Fault 3: siding 3, cut off and fed the other way round, meets the wharf line's
    # rails in the diamond; by hand 12 V drive 38.3 A through it.
    study = study_layout(Layout({part.id: part for part in orrinside_faulty()}))
    (short,) = study.shorts
    assert "X1" in short.path
    assert short.culprits == ()
    by_hand = 12.0 / at_the_diamond_ohm()
    assert by_hand == pytest.approx(38.29, rel=0.002)
    given = float(study.source.amps[len(study.circuit.branches)])
    assert given == pytest.approx(by_hand, rel=0.002)


def at_the_diamond_ohm() -> float:
    """Return what the booster's poles are joined by, conductor by conductor. [Ω]

    Worked out by networkx.resistance_distance. N: gauge 9 mm, so at 18° the acute
    crossings lie 4.5/tan 9° = 28.4 mm out, the obtuse ones 4.5·tan 9° = 0.7 mm.
    Siding 3 has A on its left rail, the wharf line on its right one; where rails
    are cut out at the acute crossings the far ends hang free and are left out.
    """
    five = 1.2 + swung(2.0)[0]
    turn = acos(1.0 - 0.060 / 0.8)
    crossed = 3.790 - five + 0.8 * (turn - sin(turn))
    blunt = 0.0045 * tan(radians(9.0))
    spots = [("T5 0.45", 0.45), ("T5 0.7", 0.70), ("T5 1.05", 1.05)]
    drops = [_hole(name, five, 0.260, p, 1) for name, p in spots]
    for name, p in (("W 0.03", 0.03), ("W 0.38", 0.38)):
        x = 3.790 + (p - 0.12) * cos(radians(18.0))
        drops.append((name, x, 0.320 + (p - 0.12) * sin(radians(18.0))))
    graph: nx.Graph[tuple[str, str]] = nx.Graph()
    for a, b, ohm in [*network(SIX, TAP, parted=True, more=drops).edges]:
        for wire in "AB":
            graph.add_edge((a, wire), (b, wire), ohm=ohm / 2.0)
    rail, joint = RAIL / 2.0, SOLDERED / 2.0
    for one, other, ohm in (
        # Siding 3, left rail before the diamond and right rail beyond it.
        (("T5 0.45", "A"), ("left", "siding"), rail * (crossed - blunt - 0.45)),
        (("right", "siding"), ("T5 0.7", "B"), rail * (0.70 - crossed - blunt)),
        # Beyond, where D18 and D16 hang on both rails; a soldered joint between.
        (("T5 0.7", "A"), ("T5 1.05", "A"), rail * 0.35 + joint),
        (("T5 0.7", "B"), ("T5 1.05", "B"), rail * 0.35 + joint),
        # The wharf line, right rail before the diamond and left rail beyond it.
        (("W 0.03", "A"), ("right", "wharf"), rail * (0.12 - blunt - 0.03)),
        (("left", "wharf"), ("W 0.38", "B"), rail * (0.38 - 0.12 - blunt)),
        # The two obtuse crossings, each one metal.
        (("left", "siding"), ("left", "wharf"), joint),
        (("right", "siding"), ("right", "wharf"), joint),
    ):
        graph.add_edge(one, other, ohm=ohm)
    ends = ("booster", "A"), ("booster", "B")
    found = nx.resistance_distance(graph, *ends, weight="ohm")
    assert isinstance(found, float)
    return found


def one_feed_ohm(rail_m: float, joints: int) -> float:
    """Return the loop of the builder's wiring: nothing is parallel to anything."""
    lead = SCREW + SOLDERED + 0.4 * 2 * 0.138
    return 0.15 + lead + rail_m * RAIL + joints * JOINER


@pytest.mark.parametrize(("at_m", "joints", "volts"), [(4.5, 5, 8.4), (2.3, 2, 10.0)])
def test_one_thin_feed_loses_what_the_scenario_says(
    at_m: float, joints: int, volts: float
) -> None:
    # needs.md S2: 8.4 V at the far end, 10.0 V in the middle, with 1.2 A. By hand
    # 0.15 + 0.1154 + 4.4 · 0.6 + 0.05 = 2.955 Ω: 3.55 V; 1.605 Ω: 1.93 V. The joint
    # at 2.301 m lies just beyond the middle.
    by_hand = 1.2 * one_feed_ohm(at_m - 0.1, joints)
    lost = 12.0 - studied(orrinside_one_feed(), at_m).volts_v
    assert lost == pytest.approx(by_hand, rel=1e-6)
    assert lost == pytest.approx(12.0 - volts, rel=0.10)


def test_a_coin_at_the_far_end_draws_hardly_twice_the_trip() -> None:
    # needs.md S2: 3.9 A by resistance, under twice the 2 A trip: amber. By hand
    # 12 / 3.0154 = 3.98 A at the very end.
    probe = studied(orrinside_one_feed(), 4.6)
    assert probe.short_dc_a == pytest.approx(12.0 / one_feed_ohm(4.5, 5), rel=1e-6)
    assert probe.short_dc_a == pytest.approx(3.9, rel=0.08)
    assert probe.short_verdict == "tolerable"


def test_on_a_bigger_unit_the_coin_would_never_trip_it() -> None:
    # needs.md S2: later put on a 5 A unit: "coin would not trip 5 A".
    probe = studied(orrinside_one_feed(unit_a=5.0), 4.6)
    assert probe.short_verdict == "poor"
    assert probe.margin is not None
    assert probe.margin < 1.0


def test_joined_at_both_ends_the_loop_halves_what_its_length_of_main_costs() -> None:
    # What the scenario leaves out: 2.4 m of main and 2.4157 m of loop side by side,
    # each with joints on the way (main 1.534, 2.301, 3.068; loop two, and two at the
    # turnouts): 1.47 and 1.4894 Ω, together 0.7398 Ω in place of 1.47.
    main, loop = 2.4 * RAIL + 3 * JOINER, 2.41567 * RAIL + 4 * JOINER
    by_hand = one_feed_ohm(4.4, 5) - main + main * loop / (main + loop)
    probe = studied(orrinside_one_feed(loop_joined=True))
    assert 12.0 - probe.volts_v == pytest.approx(1.2 * by_hand, rel=1e-4)
    assert probe.volts_v == pytest.approx(9.33, abs=0.01)


@pytest.mark.parametrize(
    ("holes_m", "allowed"), [(EIGHT_HOLES_M, True), (SIX_HOLES_M, False)]
)
def test_the_spacing_rule_passes_the_eight_and_not_the_six(
    holes_m: tuple[float, ...], allowed: bool
) -> None:
    # needs.md F1 and N15: a span s between two drops has a loop of s·2r/4 in its
    # middle, so 2 A lose I·r·s/2 there: 0.2 V at s = 2 · 0.2 / (2 · 0.3) = 0.667 m.
    longest = max(b - a for a, b in pairwise(holes_m))
    assert (2.0 * 0.300 * longest / 2.0 <= 0.2) is allowed
