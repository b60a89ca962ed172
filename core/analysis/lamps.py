"""Lamp limiters: how hot they run under load, and what they let into a short.

A lamp's resistance follows its current. In the circuit it stands with the one at
which the standing loads and the test train together leave it, so that volts with
the train behind it are right; without the train they are a little low. What flows
in a short is found anew, with the filament as hot as that short makes it.

A lamp holds back only what must pass through it: with one ampere drawn at a place,
the whole ampere. Another way round it makes it an ordinary resistance.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import msgspec
import numpy as np
from numpy.typing import NDArray

from core.analysis.diodes import Diodes
from core.analysis.loads import solve_loads
from core.analysis.nodal import Nodal
from core.analysis.selected import Factor, Numbers, Pattern
from core.analysis.settled import settle_circuit
from core.analysis.shorts import short_currents
from core.analysis.system import Floats, System, build_system, fill_pattern
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline
from core.materials.filament import Filament, amps_through
from core.network.circuit import Branch, BranchKind, Circuit

SETTLED = 1e-6
"""A filament's resistance that changes by less has settled. [1]"""

MOST_ROUNDS = 60
"""How often the resistances are worked out anew at most."""

WHOLE = 1e-3
"""How far from one whole ampere a lamp in series may be, by rounding. [1]"""

HEATING = 0.55
"""Step towards the resistance that a short asks for: it falls as that resistance
rises, so steeply that whole steps would swing. [1]"""


@dataclass(frozen=True, slots=True)
class Lamp:
    """A lamp in the feed.

    Attributes
    ----------
    part : PartId
        The device.
    filament : Filament
        Its law.
    branch : int
        Its branch in the circuit.
    ohm : float
        What its filament has there. [Ω]
    """

    part: PartId
    filament: Filament
    branch: int
    ohm: float


Lamps = tuple[Lamp, ...]
Truths = NDArray[np.bool_]


def filament_of(device: Inline) -> Filament:
    """Return the filament of a lamp."""
    return Filament(device.lamp_v, device.lamp_a)


def find_lamps(layout: Layout, circuit: Circuit) -> Lamps:
    """Return the lamps that are in a circuit."""
    found: list[Lamp] = []
    for i in circuit.by_kind[BranchKind.DEVICE].tolist():
        branch = circuit.branches[i]
        device = layout.get(branch.part, Inline)
        if device is not None and device.device == "lamp":
            ohm = branch.ohm - device.series_ohm
            found.append(Lamp(device.id, filament_of(device), i, ohm))
    return tuple(found)


def settle_lamps(
    layout: Layout, circuit: Circuit, pattern: Pattern, train_a: float
) -> Circuit:
    """Return a circuit with its lamps as hot as loads and a train leave them.

    Parameters
    ----------
    pattern : Pattern
        Of this circuit; other resistances do not change it.
    train_a : float
        The test train, which may stand behind any of them. [A]
    """
    lamps = find_lamps(layout, circuit)
    for _ in range(MOST_ROUNDS if lamps else 0):
        amps = _standing(build_system(circuit), pattern, lamps)
        wanted = [
            lamp.filament.ohm_at(abs(float(own)) + train_a)
            for lamp, own in zip(lamps, amps, strict=True)
        ]
        pairs = list(zip(lamps, wanted, strict=True))
        if max(abs(ohm / lamp.ohm - 1.0) for lamp, ohm in pairs) < SETTLED:
            break
        circuit = _with_ohms(circuit, lamps, wanted)
        lamps = find_lamps(layout, circuit)
    return circuit


def series_lamps(layout: Layout, system: System, factor: Factor) -> tuple[Lamps, ...]:
    """Return for each segment the lamps that all of its current passes through."""
    circuit = system.circuit
    found: list[list[Lamp]] = [[] for _ in circuit.segments]
    for lamp in find_lamps(layout, circuit):
        if not system.active[lamp.branch]:
            continue
        for i in np.flatnonzero(_in_series(system, factor, lamp.branch)).tolist():
            found[i].append(lamp)
    return tuple(tuple(own) for own in found)


def heated(volts: Floats, impedance: Numbers, lamps: Sequence[Lamps]) -> Numbers:
    """Return impedances with each lamp as hot as the short through it makes it.

    Parameters
    ----------
    volts : float64 array, shape (P,)
        Open voltage at each place. [V]
    impedance : complex128 array, shape (P, 16)
        As the circuit has it; places without lamps stay as they are. [Ω]
    lamps : sequence of Lamps, length P
        Those in series with each place.

    Notes
    -----
    The filament is slow beside the signal, so that the rms current heats it.
    """
    return _with_lamps(volts, impedance, lamps, cold=False)


def chilled(volts: Floats, impedance: Numbers, lamps: Sequence[Lamps]) -> Numbers:
    """Return the same with cold filaments, as in the first moment."""
    return _with_lamps(volts, impedance, lamps, cold=True)


def plain_amps(volts: Floats, loop: Floats, lamps: Sequence[Lamps]) -> Floats:
    """Return short currents by resistance alone, lamps as hot as they get. [A]"""
    found: Floats = np.asarray(volts / loop, np.float64)
    for own, which in _alike(lamps):
        rest = np.maximum(loop[which] - sum(lamp.ohm for lamp in own), 0.0)
        filaments = [lamp.filament for lamp in own]
        found[which] = amps_through(filaments, volts[which], rest)
    return found


def _standing(system: System, pattern: Pattern, lamps: Lamps) -> Floats:
    factor = pattern.factor(fill_pattern(system, pattern, 1.0 / system.ohm[:, None]))
    nodal = Nodal(system)
    diodes = Diodes(system, nodal)
    if diodes:
        standing = settle_circuit(system, nodal, diodes).standing
    else:
        standing = nodal.solve()
        drawn = solve_loads(system, factor, standing)
        if len(drawn.amps):
            standing = nodal.solve(drawn.injection)
    return standing.amps[[lamp.branch for lamp in lamps]]


def _with_ohms(circuit: Circuit, lamps: Lamps, ohms: Sequence[float]) -> Circuit:
    branches: list[Branch] = list(circuit.branches)
    for lamp, ohm in zip(lamps, ohms, strict=True):
        old = branches[lamp.branch]
        more = old.ohm - lamp.ohm
        branches[lamp.branch] = msgspec.structs.replace(old, ohm=ohm + more)
    return replace(circuit, branches=tuple(branches))


def _in_series(system: System, factor: Factor, branch: int) -> Truths:
    """Return which segments draw all of their current through a branch."""
    unit = np.zeros(system.size + 1)
    unit[system.tail[branch]] += 1.0
    unit[system.head[branch]] -= 1.0
    response = np.append(factor.solve(unit[:-1]).reshape(-1), 0.0)
    rows = system.row[system.circuit.ends]
    across = response[rows[:, [0, 2]]] - response[rows[:, [1, 3]]]
    share = np.abs(across) / system.ohm[branch]
    label = system.islands.label
    same = label[system.circuit.ends] == label[system.circuit.branches[branch].tail]
    whole = (np.abs(share - 1.0) < WHOLE).all(axis=1)
    return np.asarray(whole & same.all(axis=1), np.bool_)


def _alike(lamps: Sequence[Lamps]) -> list[tuple[Lamps, list[int]]]:
    """Return the places behind the same lamps; those behind none are left out."""
    found: dict[tuple[PartId, ...], tuple[Lamps, list[int]]] = {}
    for i, own in enumerate(lamps):
        if own:
            key = tuple(lamp.part for lamp in own)
            found.setdefault(key, (own, []))[1].append(i)
    return list(found.values())


def _with_lamps(
    volts: Floats, impedance: Numbers, lamps: Sequence[Lamps], *, cold: bool
) -> Numbers:
    found = impedance.copy()
    for own, which in _alike(lamps):
        rest = impedance[which] - sum(lamp.ohm for lamp in own)
        ohm = np.full(len(which), sum(lamp.filament.cold_ohm for lamp in own))
        if not cold:
            ohm = _hot_ohms(volts[which], rest, own)
        found[which] = rest + ohm[:, None]
    return found


def _hot_ohms(volts: Floats, rest: Numbers, lamps: Lamps) -> Floats:
    """Return the resistance that lamps settle at in a short, shape (P,). [Ω]"""
    ohm = np.full(len(volts), sum(lamp.filament.hot_ohm for lamp in lamps))
    for _ in range(MOST_ROUNDS):
        rms = short_currents(volts, rest + ohm[:, None]).rms_ones
        wanted = np.sum([lamp.filament.ohms_at(rms) for lamp in lamps], axis=0)
        change = np.abs(wanted / ohm - 1.0).max(initial=0.0)
        ohm = ohm + HEATING * (wanted - ohm)
        if change < SETTLED:
            break
    return ohm
