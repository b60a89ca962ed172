"""Volts along a route: what a train meets on its way."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import get_args

import numpy as np

from core.analysis.along import track_values
from core.analysis.study import Floats, Quantity, Study
from core.layout.ids import PartId
from core.layout.parts import Drop, Load, OnRun
from core.network.reversing import Hop
from core.network.route import find_route


@dataclass(frozen=True, slots=True)
class Stop:
    """Something on the route: a load, or a drop. [m from its start]"""

    part: PartId
    distance_m: float


@dataclass(frozen=True, slots=True)
class Profile:
    """Figures along a route, shape (N,) each.

    Attributes
    ----------
    hops : tuple of Hop
        The route.
    distance_m : float64 array
        Along the route, in order. [m]
    volts_v, loop_ohm, margin, plain_margin : float64 arrays
        With the test train at the place; nan where no booster reaches. The margins
        are those of the true short current, and of it by resistance alone.
    loads, drops : tuples of Stop
        What stands on the way.
    """

    hops: tuple[Hop, ...]
    distance_m: Floats
    volts_v: Floats
    loop_ohm: Floats
    margin: Floats
    plain_margin: Floats
    loads: tuple[Stop, ...]
    drops: tuple[Stop, ...]

    @property
    def length_m(self) -> float:
        """Length of the route. [m]."""
        return sum(hop.length_m for hop in self.hops)

    def place_at(self, distance_m: float) -> OnRun:
        """Return the place on a run at a distance along the route, held inside it."""
        left = min(max(distance_m, 0.0), self.length_m)
        for hop in self.hops:
            if left <= hop.length_m or hop is self.hops[-1]:
                step = min(left, hop.length_m)
                turn = 1.0 if hop.to_m >= hop.from_m else -1.0
                return OnRun(run=hop.run, position_m=hop.from_m + turn * step)
            left -= hop.length_m
        raise AssertionError("a route has at least one hop")


def profile_route(study: Study, start: OnRun, end: OnRun) -> Profile:
    """Return the profile along the shortest drivable way between two places.

    Raises
    ------
    EditError
        No way leads there without reversing the train, or start and end are one.
    """
    hops = find_route(study.layout, start, end)
    return profile_hops(study, hops)


def profile_run(study: Study, run: PartId) -> Profile:
    """Return the profile of a whole run from its start to its end."""
    last = max(s.end_m for s in study.circuit.segments if s.run == run)
    return profile_hops(study, (Hop(run, 0.0, last),))


def profile_hops(study: Study, hops: tuple[Hop, ...]) -> Profile:
    """Return the profile along given hops."""
    offset = 0.0
    rows: list[Floats] = []
    loads: list[Stop] = []
    drops: list[Stop] = []
    for hop in hops:
        rows.append(_hop_rows(study, hop, offset))
        drawing = [x for x in study.layout.of_kind(Load) if x.active]
        loads.extend(_stops(drawing, hop, offset))
        drops.extend(_stops(study.layout.of_kind(Drop), hop, offset))
        offset += hop.length_m
    joined = np.concatenate(rows, axis=1) if rows else np.zeros((5, 0))
    return Profile(
        hops=hops,
        distance_m=joined[0],
        volts_v=joined[1],
        loop_ohm=joined[2],
        margin=joined[3],
        plain_margin=joined[4],
        loads=tuple(loads),
        drops=tuple(drops),
    )


def _hop_rows(study: Study, hop: Hop, offset: float) -> Floats:
    """Return distance, volts, loop and both margins along one hop, ends included."""
    volts, *others = (track_values(study, hop.run, q) for q in get_args(Quantity))
    low, high = sorted((hop.from_m, hop.to_m))
    at = volts.positions_m
    inside = (at > low) & (at < high)
    places = np.concatenate([[low], at[inside], [high]])
    rows = [offset + np.abs(places - hop.from_m)]
    for track in (volts, *others):
        first, last = np.interp((low, high), at, track.values)
        rows.append(np.concatenate([[first], track.values[inside], [last]]))
    stacked = np.stack(rows)
    return stacked if hop.to_m >= hop.from_m else stacked[:, ::-1]


def _stops(parts: Iterable[Load | Drop], hop: Hop, offset: float) -> list[Stop]:
    return [
        Stop(part.id, offset + abs(part.on.position_m - hop.from_m))
        for part in parts
        if _is_on(hop, part.on)
    ]


def _is_on(hop: Hop, on: OnRun) -> bool:
    low, high = sorted((hop.from_m, hop.to_m))
    return on.run == hop.run and low <= on.position_m <= high
