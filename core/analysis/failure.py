"""Any one connection open: which ones matter, for all of them at once.

Taking a branch of conductance g out of the nodal matrix is a rank-one change:

    Z' = Z + g·(Z·a)(Z·a)ᵀ / (1 − g·aᵀ·Z·a),   a = e(tail) − e(head)

(Sherman and Morrison 1950), so one column Z·a a candidate gives e0ᵀZ'e0, e0ᵀZ'e1 and
e1ᵀZ'e1 of every segment without solving again, and with them the lowest volts inside
it in closed form, as in `scan`. Where 1 − g·aᵀZa vanishes the branch is a bridge:
behind it the track is dead, and what stands there draws nothing any more.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from core.analysis.hungry import Truths
from core.analysis.ordering import Ints
from core.analysis.reopened import BRIDGE, detoured
from core.analysis.scan import Scan
from core.analysis.sound import is_sound, sound_part
from core.analysis.study import Floats, Study, place_in
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.layout.queries import part_name, place_name
from core.network.circuit import BranchKind

CHUNK = 64
"""Candidates solved at a time: few enough to stay in caches and to stop soon. [1]"""

NOTABLE = 0.01
"""Share of the supply that an open connection must take from the lowest volts to
matter, where it leaves no track dead (house choice). [1]"""


@dataclass(frozen=True, slots=True)
class Opening:
    """What one open connection does.

    Attributes
    ----------
    part : PartId
        The drop, joint or run whose connection opens.
    place : OnRun or None
        Where on a run, for joints of rail pieces.
    wire : str
        Which conductor or rail opens.
    worst : OnRun
        Where volts with the test train are then lowest (track that stays fed).
    volts_v : float
        Those volts. [V]
    dead_m : float
        Length of track that goes dead. [m]
    """

    part: PartId
    place: OnRun | None
    wire: str
    worst: OnRun
    volts_v: float
    dead_m: float


def rank_openings(
    study: Study, *, go_on: Callable[[], bool] = lambda: True
) -> tuple[Opening, ...]:
    """Return what every single open drop or joint does, worst first.

    Loads on track that stays fed are held at what they draw now. A drop is tried at
    each of its two conductors, a joint at each rail. What hangs on a shorted booster
    alone is left out. `go_on` is asked now and then; once it says False nothing is
    returned.
    """
    study = sound_part(study)
    candidates = _candidates(study)
    segments = np.flatnonzero(study.scan.fed)
    if not len(candidates) or not len(segments):
        return ()
    view = _View(study, segments)
    found: list[Opening] = []
    for first in range(0, len(candidates), CHUNK):
        if not go_on():
            return ()
        found.extend(view.openings(candidates[first : first + CHUNK]))
    return tuple(sorted(found, key=lambda o: (-o.dead_m, o.volts_v)))


def worst_by_connection(openings: tuple[Opening, ...]) -> tuple[Opening, ...]:
    """Return the worse conductor or rail of each connection, in the same order."""
    first: dict[tuple[PartId, OnRun | None], Opening] = {}
    for opening in openings:
        first.setdefault((opening.part, opening.place), opening)
    return tuple(first.values())


def connection_name(layout: Layout, opening: Opening) -> str:
    """Return what a connection is called: its part, or the joint at its place."""
    if opening.place is not None:
        return f"Joint at {place_name(layout, opening.place)}"
    return part_name(layout, opening.part)


def open_side(opening: Opening) -> str:
    """Return which side of a connection opens, such as "left rail" or "A wire"."""
    of = "rail" if opening.wire in ("left", "right") else "wire"
    return f"{opening.wire} {of}"


def matters(study: Study, opening: Opening) -> bool:
    """Return whether a layout is notably worse off with a connection open.

    Track goes dead, or the lowest volts fall by more than `NOTABLE` of the supply.
    """
    lowest = study.held_volts_v
    if opening.dead_m > 0.0 or lowest is None:
        return True
    supply = max(booster.volts_v for booster in study.boosters)
    return lowest - opening.volts_v > NOTABLE * supply


def _candidates(study: Study) -> Ints:
    kinds = (BranchKind.DROP, BranchKind.JOINT)
    sound = is_sound(study)
    return np.array(
        [
            i
            for i, branch in enumerate(study.circuit.branches)
            if branch.kind in kinds and study.system.active[i] and sound[branch.tail]
        ],
        np.int64,
    )


class _View:
    """The fed segments of a study, as their ends see it."""

    def __init__(self, study: Study, segments: Ints) -> None:
        self._study = study
        self._segments = segments
        circuit, row = study.circuit, study.system.row
        ends = circuit.ends[segments]
        self._left, self._right = row[ends[:, [0, 2]]], row[ends[:, [1, 3]]]
        volts = study.source.volts
        lower = volts[ends[:, 0]] < volts[ends[:, 1]]
        self._sign = np.where(lower, -1.0, 1.0)[:, None]
        self._length = np.array(
            [
                circuit.segments[i].end_m - circuit.segments[i].start_m
                for i in segments.tolist()
            ]
        )
        self._scan = _part_of(study.scan, segments)
        self._loads = _Loads(study)

    def openings(self, branches: Ints) -> list[Opening]:
        """Return what each of some branches does when it opens."""
        system = self._study.system
        tail, head = system.tail[branches], system.head[branches]
        columns = np.arange(len(branches))
        unit = np.zeros((system.size + 1, len(branches)))
        unit[tail, columns] += 1.0
        unit[head, columns] -= 1.0
        response = self._solve(unit)
        g = 1.0 / system.ohm[branches]
        left_over = 1.0 - g * (response[tail, columns] - response[head, columns])
        bridges = np.flatnonzero(left_over < BRIDGE)
        gone = self._loads.gone(response[:, bridges] * g[bridges])
        relief = dict(zip(bridges.tolist(), self._solve(gone).T, strict=True))
        detours = detoured(self._study, branches[bridges])
        amps = self._study.standing.amps[branches]
        found: list[Opening] = []
        for i, branch in enumerate(branches.tolist()):
            across = self._across(response[:, i])
            if branch in detours:
                scan = _part_of(detours[branch], self._segments)
                found.append(self._opening(branch, scan, None))
                continue
            if i in relief:
                dead = (np.abs(g[i] * across) > 0.5).all(axis=1)
                scan = self._moved(self._across(relief[i]))
                found.append(self._opening(branch, scan, dead))
                continue
            # Opening pushes the branch's current the other way through the rest.
            scan = self._moved(across * (amps[i] / left_over[i]))
            a0, a1, push = across[:, 0], across[:, 1], g[i] / left_over[i]
            scan = replace(
                scan,
                loop0=scan.loop0 + push * a0**2,
                cross=scan.cross + push * a0 * a1,
                loop1=scan.loop1 + push * a1**2,
            )
            found.append(self._opening(branch, scan, None))
        return found

    def _solve(self, unit: Floats) -> Floats:
        """Return the volts of every row, that of the references last. [V]"""
        if not unit.shape[1]:
            return unit
        volts = self._study.factor.solve(unit[:-1])
        return np.vstack([volts, np.zeros((1, unit.shape[1]))])

    def _across(self, volts: Floats) -> Floats:
        """Return volts from rail to rail at both ends of the segments, (S, 2). [V]"""
        return np.asarray(
            self._sign * (volts[self._left] - volts[self._right]), np.float64
        )

    def _moved(self, by: Floats) -> Scan:
        """Return the scan with other standing volts at the ends."""
        scan = self._scan
        return replace(
            scan,
            standing0=scan.standing0 + by[:, 0],
            standing1=scan.standing1 + by[:, 1],
        )

    def _opening(self, branch: int, scan: Scan, dead: Truths | None) -> Opening:
        t, volts = scan.lowest_volts()
        lost = 0.0
        if dead is not None:
            lost = float(self._length[dead].sum())
            volts = np.where(dead, np.inf, volts)
        least = int(volts.argmin())
        circuit = self._study.circuit
        part = circuit.branches[branch]
        place = None
        if part.kind is BranchKind.JOINT and part.end_m > 0.0:
            place = OnRun(run=part.part, position_m=part.end_m)
        return Opening(
            part=part.part,
            place=place,
            wire=part.wire,
            worst=place_in(circuit, int(self._segments[least]), float(t[least])),
            volts_v=float(volts[least]),
            dead_m=lost,
        )


class _Loads:
    """What the loads of a study draw, and where."""

    def __init__(self, study: Study) -> None:
        draws, row = study.circuit.draws, study.system.row
        pairs = np.array([(d.left, d.right) for d in draws], np.int64).reshape(-1, 2)
        volts = study.source.volts[pairs]
        sign = np.where(volts[:, 0] < volts[:, 1], -1.0, 1.0)
        drawing = np.isfinite(study.drawn.amps)
        self._amps = (sign * np.nan_to_num(study.drawn.amps))[drawing]
        self._left, self._right = row[pairs[drawing]].T

    def gone(self, response: Floats) -> Floats:
        """Return what the loads behind some bridges no longer draw, by row. [A]

        Parameters
        ----------
        response : float64 array, shape (n + 1, B)
            Volts of one ampere through each bridge over what it drops itself: behind
            it those of the rows are one more than before it.
        """
        dead = np.abs(response[self._left] - response[self._right]) > 0.5
        back = np.where(dead, self._amps[:, None], 0.0)
        rows = np.zeros_like(response)
        np.add.at(rows, self._left, back)
        np.subtract.at(rows, self._right, back)
        return rows


def _part_of(scan: Scan, segments: Ints) -> Scan:
    """Return the scan of some segments, loads held at what they draw."""
    own = {
        name: getattr(scan, name)[..., segments]
        for name in scan.__dataclass_fields__
        if isinstance(getattr(scan, name), np.ndarray)
    }
    return replace(scan, hungry=None, **own)
