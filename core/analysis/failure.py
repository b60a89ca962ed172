"""Any one connection open: which ones matter, for all of them at once.

Taking a branch of conductance g out of the nodal matrix is a rank-one change:

    Z' = Z + g·(Z·a)(Z·a)ᵀ / (1 − g·aᵀ·Z·a),   a = e(tail) − e(head)

(Sherman and Morrison 1950), so one column Z·a a candidate gives the volts under
the test train at every end of every segment without solving again. Where
1 − g·aᵀZa vanishes the branch is a bridge: behind it the track is dead.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.analysis.ordering import Ints
from core.analysis.sound import is_sound, sound_part
from core.analysis.study import Floats, Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.layout.queries import part_name, place_name
from core.network.circuit import BranchKind

BRIDGE = 1e-7
"""1 − g·aᵀZa below this means that nothing else carries the current. [1]"""

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

    Standing loads are held at what they draw now. A drop is tried at each of its
    two conductors, a joint at each rail. What hangs on a shorted booster alone is
    left out. `go_on` is asked now and then; once it says False nothing is returned.
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
    if opening.dead_m > 0.0 or study.worst_volts is None:
        return True
    supply = max(booster.volts_v for booster in study.boosters)
    return study.worst_volts.value - opening.volts_v > NOTABLE * supply


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
        circuit, scan = study.circuit, study.scan
        row = study.system.row
        which = [circuit.segments[i] for i in segments]
        self._left = row[np.array([[s.left0, s.left1] for s in which])]
        self._right = row[np.array([[s.right0, s.right1] for s in which])]
        volts = study.source.volts
        self._sign = np.array(
            [1.0 if volts[s.left0] >= volts[s.right0] else -1.0 for s in which]
        )
        self._length = np.array([s.end_m - s.start_m for s in which])
        self._standing = np.stack(
            [scan.standing0[segments], scan.standing1[segments]], axis=1
        )
        self._loop = np.stack([scan.loop0[segments], scan.loop1[segments]], axis=1)

    def openings(self, branches: Ints) -> list[Opening]:
        system = self._study.system
        tail, head = system.tail[branches], system.head[branches]
        columns = np.arange(len(branches))
        unit = np.zeros((system.size + 1, len(branches)))
        unit[tail, columns] += 1.0
        unit[head, columns] -= 1.0
        response = np.vstack(
            [self._study.factor.solve(unit[:-1]), np.zeros(len(branches))]
        )
        g = 1.0 / system.ohm[branches]
        left_over = 1.0 - g * (response[tail, columns] - response[head, columns])
        amps = self._study.standing.amps[branches]
        found: list[Opening] = []
        for i, branch in enumerate(branches):
            across = self._sign[:, None] * (
                response[self._left, i] - response[self._right, i]
            )
            if left_over[i] < BRIDGE:
                dead = (np.abs(g[i] * across) > 0.5).all(axis=1)
                found.append(self._opening(int(branch), dead, None))
                continue
            # Opening pushes the branch's current the other way through the rest.
            volts = self._standing + across * (amps[i] / left_over[i])
            loop = self._loop + g[i] * across**2 / left_over[i]
            train = self._study.scan.train_a
            found.append(self._opening(int(branch), None, volts - train * loop))
        return found

    def _opening(
        self,
        branch: int,
        dead: "np.ndarray[tuple[int], np.dtype[np.bool_]] | None",
        volts: Floats | None,
    ) -> Opening:
        if volts is None:
            volts = self._standing - self._study.scan.train_a * self._loop
        lost = 0.0
        if dead is not None:
            lost = float(self._length[dead].sum())
            volts = np.where(dead[:, None], np.inf, volts)
        flat = int(volts.argmin())
        segment = self._study.circuit.segments[self._segments[flat // 2]]
        position = segment.end_m if flat % 2 else segment.start_m
        part = self._study.circuit.branches[branch]
        place = None
        if part.kind is BranchKind.JOINT and part.end_m > 0.0:
            place = OnRun(run=part.part, position_m=part.end_m)
        return Opening(
            part=part.part,
            place=place,
            wire=part.wire,
            worst=OnRun(run=segment.run, position_m=position),
            volts_v=float(volts.min()),
            dead_m=lost,
        )
