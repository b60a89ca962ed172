"""Wulfenmoor Regional by hand: every resistance typed, solved a second way.

Values, each with where it comes from:

* rail: code 83 nickel silver, 108 mΩ/m of one rail (one published measurement);
* solid wire by ASTM B258 and IACS copper: 14 AWG 8.286 mΩ/m, 12 AWG 5.211, 22 AWG
  52.96; bell wire of 0.14 mm² 138 mΩ/m (a maker's table; needs.md has 130);
* inductance: 0.4·acosh(D/d) + 0.1 µH/m of pair; a rail as a round wire of its
  1.79 mm² of section (NMRA RP-15.1), 16.5 mm and a head's 0.86 mm apart;
* contacts, house defaults inside the ranges of needs.md 3.3: new joiner 5 mΩ,
  screw 2 mΩ, soldered 0.5 mΩ.
"""

from collections.abc import Callable, Iterable
from math import acosh, cos, pi, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from tests.samples.pairs import Edge, PairNetwork, Spot, rail_edges

PIECE = 0.914
RAIL, LEAD, BELL = 2 * 0.108, 2 * 0.05296, 2 * 0.138
"""Out and back. [Ω/m]"""

BUS = {"awg14-solid": 2 * 0.008286, "awg12-solid": 2 * 0.005211}
"""Out and back. [Ω/m]"""

JOINER, SCREW, SOLDERED = 2 * 0.005, 2 * 0.002, 2 * 0.0005
"""Out and back. [Ω]"""

DROP = 2 * SOLDERED + 0.3 * LEAD
"""A drop right under its hole: both contacts and 0.3 m of pair. [Ω]"""

FAR_M, END_M = 40.1, 40.216
"""Where the last of the bunched trains stands, and the end of the main. [m]"""


def henry_per_m(spacing_mm: float, diameter_mm: float) -> float:
    return 0.4e-6 * acosh(spacing_mm / diameter_mm) + 0.1e-6


WIRE_MM = {"awg14-solid": 1.6277, "awg12-solid": 2.0525}
TRACK_H = henry_per_m(16.5 + 0.86, sqrt(4.0 * 1.79 / pi))
LEAD_H = henry_per_m(0.644 + 2 * 0.457, 0.644)
WALL_MM = 0.762
"""30 mil of insulation on 12 and 14 AWG, 18 mil (0.457 mm) on 22 AWG, from memory. [mm]"""


Coil = tuple[str, str, float, float]
"""Two places, and resistance and inductance between them, out and back. [Ω, H]"""

PLACES = (4.0, 12.0, 20.0, 28.0, 36.0, 38.1, 38.6, 39.1, 39.6, FAR_M, END_M)
"""Where trains are put. [m]"""

YARD_TOE, MUSEUM_TOE = 5.45, 14.5


def end_fed(wire: str, spacing_mm: float = 100.0) -> list[Coil]:
    """Return bus, drops and rails: a ladder of 44 rungs, the yard and a siding."""
    bus_h = henry_per_m(spacing_mm, WIRE_MM[wire])
    holes = [(k + 0.5) * PIECE for k in range(44)]
    # From the main's start: where a drop meets the bus, what rail it feeds, its lead.
    drops = [(hole, f"main {hole}", 0.3) for hole in holes]
    drops += [(x, f"yard {k}", 0.3 + y) for k, (_, x, y) in yards().items()]
    drops.append((MUSEUM_TOE + 1.1, "museum", 0.2))
    edges: list[Coil] = [("booster", "tap", 0.15 + SCREW, 0.0)]
    here, before = -0.11, "tap"
    for place, rail, lead in sorted(drops):
        length, tap = place - here, f"bus {place}"
        edges.append((before, tap, length * BUS[wire], length * bus_h))
        edges.append((tap, rail, 2 * SOLDERED + lead * LEAD, lead * LEAD_H))
        here, before = place, tap
    spots = [(f"main {hole}", hole) for hole in holes]
    spots += [
        ("toe", YARD_TOE),
        ("siding toe", MUSEUM_TOE),
        *((f"at {p}", p) for p in PLACES),
    ]
    edges += track(spots, [PIECE * k for k in range(1, 44)], JOINER)
    edges.append(("toe", "ladder", JOINER, 0.0))
    toes = [(f"T{k + 1}", toe) for k, (toe, _, _) in yards().items()]
    edges += track([("ladder", 0.0), *toes], [PIECE], SOLDERED)
    for k in yards():
        joint = JOINER if k < 7 else 0.0
        ohm = joint + 2.4 * RAIL + 2 * SOLDERED
        edges.append((f"T{k + 1}", f"yard {k}", ohm, 2.4 * TRACK_H))
    edges.append(
        ("siding toe", "museum", JOINER + SOLDERED + 1.1 * RAIL, 1.1 * TRACK_H)
    )
    return edges


def yards() -> dict[int, tuple[float, float, float]]:
    """Return of each yard track its toe along the ladder, and x and y of its drop.

    Curves of 0.7 m and 15° are 0.18326 m long, go 0.18117 m ahead and 23.85 mm
    aside; the ladder climbs 52 mm from one track to the next. [m]
    """
    found = {}
    for k in range(1, 8):
        along = (0.060 + 0.052 * (k - 1) - 2 * 0.023852) / sin(pi / 12)
        x = YARD_TOE + 0.18117 + along * cos(pi / 12) + 0.18117 + 2.4 - 0.18326
        found[k] = (0.18326 + along, x, 0.060 + 0.052 * (k - 1))
    return found


def track(spots: Iterable[Spot], joints_m: Iterable[float], joint: float) -> list[Coil]:
    """Return the rails between places on one track, with their inductance."""
    order = list(spots)
    place = dict(order)
    return [
        (a, b, ohm, TRACK_H * (place[b] - place[a]))
        for a, b, ohm in rail_edges(order, joints_m, per_m=RAIL, joint=joint)
    ]


def without_coils(edges: Iterable[Coil]) -> PairNetwork:
    return PairNetwork((a, b, ohm) for a, b, ohm, _ in edges)


def lost_by_hand(wire: str, trains: tuple[float, ...], at_m: float) -> float:
    """Return the volts lost at a place under trains of 0.9 A."""
    net = without_coils(end_fed(wire))
    return sum(0.9 * net.shared_ohm(f"at {at_m}", f"at {p}") for p in trains)


def impedances(
    edges: list[Coil], at_m: float, omegas: NDArray[np.float64]
) -> NDArray[np.complex128]:
    """Return loop impedances at a place: the same network, in complex. [Ω]"""
    names = sorted({n for a, b, *_ in edges for n in (a, b)} - {"booster"})
    row = {name: i for i, name in enumerate(names)}
    matrix = np.zeros((len(omegas), len(names), len(names)), np.complex128)
    for a, b, ohm, henry in edges:
        admittance = 1.0 / (ohm + 1j * omegas * henry)
        for end, other in ((a, b), (b, a)):
            if end in row:
                matrix[:, row[end], row[end]] += admittance
                if other in row:
                    matrix[:, row[end], row[other]] -= admittance
    asked = np.zeros((len(names), 1))
    asked[row[f"at {at_m}"]] = 1.0
    volts = np.asarray(np.linalg.solve(matrix, asked), np.complex128)
    return volts[:, row[f"at {at_m}"], 0]


def rms_by_hand(
    wire: str, spacing_mm: float, half_bit: float, at_m: float = FAR_M
) -> float:
    """Return the rms short current: 25 odd harmonics of a 15 V square wave."""
    orders = np.arange(1.0, 50.0, 2.0)
    z = impedances(end_fed(wire, spacing_mm), at_m, pi * orders / half_bit)
    amps = 60.0 / (pi * orders) / np.abs(z)
    return float(np.sqrt(0.5 * (amps**2).sum()))


def district(
    pieces: int, spots: Iterable[Spot], crossed: Callable[[int], bool] = lambda _: False
) -> PairNetwork:
    """Return a district by hand: two legs, each ending at a strip for two drops."""
    middle, bus = 0.5 * pieces * PIECE, 1.05 * BUS["awg14-solid"]
    holes = [(k + 0.5) * PIECE for k in range(pieces)]
    edges: list[Edge] = [("booster", "PB", 0.15)]
    turned: list[Edge] = []
    for leg, mine in (
        ("west", [k for k in range(pieces) if holes[k] < middle - 1e-6][::-1]),
        ("east", [k for k in range(pieces) if holes[k] >= middle - 1e-6]),
    ):
        here, before = middle, f"{leg} 0"
        edges.append(("PB", before, SCREW))
        for k in mine[:-2]:
            step = abs(holes[k] - here) * bus
            if step > 0.0:
                edges.append((before, f"tap {k}", step))
                here, before = holes[k], f"tap {k}"
            edges.append((before, f"rail {k}", DROP))
        strip = 0.5 * (holes[mine[-1]] + holes[mine[-2]])
        edges.append((before, f"TS {leg}", abs(strip - here) * bus + SCREW))
        lead = SCREW + SOLDERED + (0.457 + 0.19) * LEAD
        for k in mine[-2:]:
            (turned if crossed(k) else edges).append((f"TS {leg}", f"rail {k}", lead))
    spots = [*spots, *((f"rail {k}", hole) for k, hole in enumerate(holes))]
    joints = [PIECE * k for k in range(1, pieces)]
    track = rail_edges(spots, joints, per_m=RAIL, joint=JOINER)
    return PairNetwork([*edges, *track], turned)
