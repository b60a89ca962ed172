"""Who trips on a short: each device by what it senses itself, one after the other.

A device trips once it has sensed its trip current for its time. Where others feed the
same place they carry on, with all of the short: then the next one trips, or none
does. Nothing is cleared before the last of them has opened, so the margin of a place
is that of the best device at the worst of these stages.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import isfinite
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from core.analysis.ordering import Ints
from core.analysis.selected import Numbers
from core.analysis.shares import ROUND, WHOLE, Shares, State
from core.analysis.shorts import short_currents
from core.analysis.system import Floats

if TYPE_CHECKING:
    from core.analysis.study import Clearing

Truths = NDArray[np.bool_]

Warm = Callable[[Ints, Floats, Numbers], Numbers]

SURE = 1.0
"""From this margin on a device trips. [1]"""

ALIKE = 0.01
"""A share that changes by no more over the harmonics is taken as one. [1]"""

HEED = (0.3, 3.0)
"""Between these times their trip devices need an exact figure on a map. [1]"""

SHIFTS = 0.02
"""Shares that change by less along a segment leave its weakest place alone. [1]"""


@dataclass(frozen=True, slots=True)
class Stage:
    """What devices sense of one short until the next of them opens.

    Attributes
    ----------
    at_s : float
        When it begins. [s]
    devices : tuple of int
        Those that are still shut, by their numbers.
    sensed_a, margins : tuple of float
        What each of them senses, and that over its trip current. [A, 1]
    opens : int or None
        The device that opens at its end; None where none ever does.
    until_s : float
        When that is; ∞ where none does. [s]
    cleared : bool
        Whether the short is cleared then.
    """

    at_s: float
    devices: tuple[int, ...]
    sensed_a: tuple[float, ...]
    margins: tuple[float, ...]
    opens: int | None
    until_s: float
    cleared: bool


@dataclass(frozen=True, slots=True)
class Trips:
    """How surely shorts at P places are cleared, shape (P,) each.

    Attributes
    ----------
    margin : float64 array
        What the best device senses over its trip current, at the worst stage; nan
        where no device carries any of the short. [1]
    by : int array
        That device's number; −1 where there is none.
    """

    margin: Floats
    by: Ints


@dataclass(frozen=True, slots=True)
class _Group:
    """Places with the same devices before them and the same of these open."""

    places: Ints
    devices: Ints
    opened: frozenset[int]
    now: Floats
    since: Floats


Steps = Iterator[tuple[_Group, Floats, Floats, "_Next"]]
"""Of each group: what its devices sense, that over their trip, and what comes next."""


@dataclass(frozen=True, slots=True)
class _Next:
    """Which device opens next, as an index in its group, when, and if that clears."""

    first: Ints
    until: Floats
    cleared: Truths


class Tripping:
    """Answers who trips on a short anywhere.

    Parameters
    ----------
    shares : Shares
        What the devices carry.
    guards : sequence of Clearing
        The devices, in the order of `shares`.
    tops : int array, shape (D,)
        The booster above each of them, by its number; −1 where there is none.
    warm : callable, optional
        Makes the loop impedances of shorts, with their segments and volts, those
        with lamps lit by them.
    """

    def __init__(
        self,
        shares: Shares,
        guards: Sequence["Clearing"],
        tops: Ints,
        warm: Warm | None = None,
    ) -> None:
        self._shares, self._guards, self._tops = shares, list(guards), tops
        self._warm = warm
        self._turn = {int(d): i for i, d in enumerate(shares.joined)}

    @property
    def parted(self) -> Ints:
        """The segments along which what some device carries of a short changes."""
        return self._shares.shifting(SHIFTS)

    def sharers(self, segment: int) -> tuple[int, ...]:
        """Return the devices that each carry a part of a short in a segment."""
        mine = self._shares.touched[:, segment]
        return tuple(self._shares.joined[mine].tolist())

    def judge(
        self, segments: Ints, t: Floats, *, limits: bool = True, plain: bool = False
    ) -> Trips:
        """Return how surely shorts at fractions t of segments are cleared.

        Parameters
        ----------
        limits : bool
            Whether boosters push no more than they say.
        plain : bool
            Whether by resistance alone.
        """
        margin = np.full(len(t), np.inf)
        by = np.full(len(t), -1)
        for group, _, ratio, _ in self._steps(segments, t, limits=limits, plain=plain):
            best = ratio.argmax(axis=0)
            most = ratio[best, np.arange(len(best))]
            worse = most < margin[group.places]
            margin[group.places[worse]] = most[worse]
            by[group.places[worse]] = group.devices[best[worse]]
        known = (by >= 0) & self._shares.scan.fed[segments]
        return Trips(np.where(known, margin, np.nan), by)

    def least_amps(self, segments: Ints, t: Floats) -> Floats:
        """Return the least draw at which any device trips, by resistance alone. [A]

        Where several feed a place each senses its part: it takes more than the trip
        current of one. Infinite where nothing trips.
        """
        found = np.full(len(t), np.inf)
        for group in self._begin(segments):
            own = group.places
            state = self._shares.at(segments[own], t[own], group.opened, plain=True)
            for device in group.devices.tolist():
                share = np.maximum(self._share(state, device), ROUND)
                amps = self._guards[device].trip_a / share
                found[own] = np.minimum(found[own], amps)
        return found

    def follow(self, segments: Ints, t: Floats) -> list[tuple[Stage, ...]]:
        """Return what happens on shorts at fractions t of segments, for each place."""
        found: list[list[Stage]] = [[] for _ in t]
        steps = self._steps(segments, t, limits=True, plain=False, each=True)
        for group, sensed, ratio, after in steps:
            devices = tuple(group.devices.tolist())
            until, opens = after.until.tolist(), after.first.tolist()
            for n, place in enumerate(group.places.tolist()):
                stage = Stage(
                    at_s=float(group.now[n]),
                    devices=devices,
                    sensed_a=tuple(sensed[:, n].tolist()),
                    margins=tuple(ratio[:, n].tolist()),
                    opens=devices[opens[n]] if isfinite(until[n]) else None,
                    until_s=until[n],
                    cleared=bool(after.cleared[n]),
                )
                found[place].append(stage)
        return [tuple(stages) for stages in found]

    def _steps(
        self,
        segments: Ints,
        t: Floats,
        *,
        limits: bool,
        plain: bool,
        each: bool = False,
    ) -> Steps:
        """Yield every stage of shorts at fractions t of segments."""
        waiting = list(self._begin(segments))
        while waiting:
            group = waiting.pop()
            own = group.places
            where = segments[own], t[own]
            state = self._shares.at(*where, group.opened, plain=plain)
            if self._warm is not None:
                warm = self._warm(where[0], state.volts, state.impedance)
                state = replace(state, impedance=warm)
            sensed = self._sense(state, group.devices, plain=plain, each=each)
            ratio = sensed / self._trips_at(group.devices)[:, None]
            if limits:
                ratio = np.minimum(ratio, self._most(state, group.devices))
            after = self._await(state, group, ratio)
            yield group, sensed, ratio, after
            waiting += self._go_on(group, ratio, after)

    def _begin(self, segments: Ints) -> Iterator[_Group]:
        shares = self._shares
        chain = shares.chain[segments]
        for number in np.unique(chain):
            places = np.flatnonzero(chain == number)
            parted = shares.joined[shares.touched[:, segments[places]].any(axis=1)]
            devices = np.concatenate([shares.chains[number], parted])
            if len(devices):
                now = np.zeros(len(places))
                since = np.full((len(devices), len(places)), np.inf)
                yield _Group(places, devices, frozenset(), now, since)

    def _sense(self, state: State, devices: Ints, *, plain: bool, each: bool) -> Floats:
        """Return what each device senses, shape (devices, P). [A]"""
        whole: Callable[[str], Floats]
        if plain:
            amps = np.asarray(state.volts / state.impedance[:, 0].real, np.float64)
            whole = lambda _: amps  # noqa: E731 - as `Shorts.sensed`
        else:
            whole = short_currents(state.volts, state.impedance[:, 1:]).sensed
        found: list[Floats] = []
        for device in devices.tolist():
            turn, how = self._turn.get(device), self._guards[device].sensing
            if turn is None:
                found.append(whole(how))
            elif plain:
                found.append(whole(how) * np.abs(state.shares[turn, :, 0]))
            else:
                found.append(self._part(state, device, turn, whole(how), each=each))
        return np.array(found)

    def _part(
        self, state: State, device: int, turn: int, whole: Floats, *, each: bool
    ) -> Floats:
        """Return what a device senses that carries a part of the short. [A]

        Where its share is about the same at every harmonic it is that part of the
        whole; else, where the device may come near its trip or `each` is wanted, they
        are added up.
        """
        guard, share = self._guards[device], state.shares[turn, :, 1:]
        size = np.abs(share[:, 0])
        amps = np.asarray(size * whole, np.float64)
        varies = np.abs(share - share[:, :1]).max(axis=1)
        low, high = (times * guard.trip_a for times in HEED)
        near = ((size + varies) * whole >= low) & ((size - varies) * whole <= high)
        exact = np.flatnonzero((varies > ALIKE * size) & (near | each))
        if len(exact):
            own = state.impedance[exact, 1:]
            part = short_currents(state.volts[exact], own, share[exact])
            amps[exact] = part.sensed(guard.sensing)
        return amps

    def _trips_at(self, devices: Ints) -> Floats:
        return np.array([self._guards[d].trip_a for d in devices.tolist()])

    def _most(self, state: State, devices: Ints) -> Floats:
        """Return the most that each device can sense over its trip, (devices, P)."""
        found = np.full((len(devices), len(state.volts)), np.inf)
        for row, device in enumerate(devices.tolist()):
            guard, top = self._guards[device], int(self._tops[device])
            if guard.limit_a is None:
                continue
            own, whole = self._share(state, device), self._share(state, top)
            part = np.where(whole > ROUND, own / np.maximum(whole, ROUND), 1.0)
            found[row] = guard.limit_a * np.minimum(part, 1.0) / guard.trip_a
        return found

    def _share(self, state: State, device: int) -> Floats:
        """Return what a device carries of direct current; 1 in series. [1]"""
        turn = self._turn.get(device)
        if turn is None:
            return np.ones(len(state.volts))
        return np.asarray(np.abs(state.shares[turn, :, 0]), np.float64)

    def _await(self, state: State, group: _Group, ratio: Floats) -> _Next:
        now = np.broadcast_to(group.now, ratio.shape)
        begun = np.where(np.isinf(group.since), now, group.since)
        waits = np.array([self._guards[d].trip_s for d in group.devices.tolist()])
        due = np.where(ratio >= SURE, begun + waits[:, None], np.inf)
        first = due.argmin(axis=0)
        whole = np.array(
            [self._share(state, d) > 1.0 - WHOLE for d in group.devices.tolist()]
        )
        column = np.arange(len(first))
        until = due[first, column]
        return _Next(first, until, np.isfinite(until) & whole[first, column])

    def _go_on(self, group: _Group, ratio: Floats, after: _Next) -> Iterator[_Group]:
        """Yield the groups of places where a device has opened and others carry on."""
        begun = np.where(np.isinf(group.since), group.now, group.since)
        since = np.where(ratio >= SURE, begun, np.inf)
        on = np.isfinite(after.until) & ~after.cleared
        for first in np.unique(after.first[on]).tolist():
            mine = np.flatnonzero(on & (after.first == first))
            rest = np.arange(len(group.devices)) != first
            if not rest.any():
                continue
            yield _Group(
                places=group.places[mine],
                devices=group.devices[rest],
                opened=group.opened | {self._turn[int(group.devices[first])]},
                now=after.until[mine],
                since=since[np.ix_(rest, mine)],
            )
