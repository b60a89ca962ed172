"""Constant-watt loads while a test train moves: they draw more as volts fall.

In the small space of these loads, with Z their mutual resistances, u their volts
under the standing loads, P their watts and z(x) what one ampere drawn at a place x
takes from each, a train of T amperes at x moves their volts by w where

    w = −Z·(P/(u + w) − P/u) − T·z(x),

and the place itself loses z(x)·(P/(u + w) − P/u) on top of T·loop(x). z is linear
along a segment. Where no upper root is left, the train starves a load.

To first order in T the loads are conductances of −P/u², so that the loop seen by
the train grows by zᵀKz, K = (diag(u²/P) − Z)⁻¹: a parabola along a segment again,
from which the lowest place is taken. That alone would tell too many volts: with
20 W at the end of 8 m of code 100 rail and a train of 3 A there it is 8.37 V
where solving anew leaves 7.74 V (9.08 V with the load held at what it drew); with
half that train 10.69 V and 10.59 V. So volts are those of the full equation.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.analysis.ordering import Ints
from core.analysis.system import Floats

CHORDS = 12
"""Cheap steps for all places at once before the rest is solved one by one."""

STEPS = 60
"""Newton steps before a load is called starved."""

CLOSE = 1e-11
"""Steps stop when volts move by less than this share."""

Truths = NDArray[np.bool_]


@dataclass(frozen=True)
class Small:
    """The constant-watt loads that are fed, in the small space of their own.

    Attributes
    ----------
    draws : int array, shape (H,)
        Their numbers among the circuit's draws.
    watts, volts : float64 arrays, shape (H,)
        What they ask for, and have under the standing loads. [W, V]
    mutual : float64 array, shape (H, H)
        Volts that one ampere more in one takes from each. [Ω]
    columns : float64 array, shape (n, H)
        Volts of every row for one ampere drawn by each. [V/A]
    """

    draws: Ints
    watts: Floats
    volts: Floats
    mutual: Floats
    columns: Floats

    @cached_property
    def amps(self) -> Floats:
        """What they draw under the standing loads, shape (H,). [A]."""
        return self.watts / self.volts

    @cached_property
    def slope(self) -> Floats:
        """How fast their amps rise as volts fall, shape (H,). [S]."""
        return self.amps / self.volts

    @cached_property
    def reaction(self) -> Floats:
        """K, shape (H, H): more amps for volts taken, the others answering. [S]."""
        return self.reaction_at(self.volts)

    def reaction_at(self, volts: Floats) -> Floats:
        """Return K where the loads have other volts, shape (H, H). [S]."""
        return np.asarray(
            np.linalg.inv(np.diag(volts**2 / self.watts) - self.mutual), np.float64
        )

    def under(self, taken: Floats) -> tuple[Floats, Truths]:
        """Return their volts where something else takes some, and where they starve.

        Parameters
        ----------
        taken : float64 array, shape (P, H)
            Volts that a train takes from each load, at P places. [V]

        Returns
        -------
        float64 array, shape (P, H), and bool array, shape (P,)
            Volts at the loads [V], and whether some load gets no watts then (its
            row means nothing).
        """
        moved, left = self._by_chords(taken)
        starved = np.zeros(len(taken), np.bool_)
        if len(left):
            moved[left], starved[left] = self._by_newton(taken[left], moved[left])
        return self.volts + moved, starved

    def _by_chords(self, taken: Floats) -> tuple[Floats, Ints]:
        """Step with the slope at the standing volts; return what is not done yet.

        The steps fall towards the upper root from above and never pass it.
        """
        moved = np.zeros_like(taken)
        inverse = np.linalg.inv(np.eye(len(self.watts)) - self.mutual * self.slope)
        left = np.flatnonzero(np.abs(taken).max(axis=1, initial=0.0) > 0.0)
        for _ in range(CHORDS):
            if not len(left):
                break
            step = self._error(moved[left], taken[left]) @ inverse.T
            moved[left] -= step
            bad = (self.volts + moved[left] <= 0.0).any(axis=1)
            moved[left[bad]] += step[bad]
            still = np.abs(step).max(axis=1) > CLOSE * self.volts.max()
            if bad.any():
                break
            left = left[still]
        return moved, left

    def _by_newton(self, taken: Floats, moved: Floats) -> tuple[Floats, Truths]:
        """Step with the true slope, for the few places that are close to the edge."""
        moved = moved.copy()
        starved = np.zeros(len(taken), np.bool_)
        left = np.arange(len(taken))
        eye = np.eye(len(self.watts))
        for _ in range(STEPS):
            u = self.volts + moved[left]
            safe = np.where(u > 0.0, u, 1.0)
            slopes = eye - self.mutual * (self.watts / safe**2)[:, None, :]
            # The upper root is where this Jacobian keeps a positive determinant.
            lost = (u <= 0.0).any(axis=1) | (np.linalg.det(slopes) <= 0.0)
            starved[left[lost]] = True
            left, slopes = left[~lost], slopes[~lost]
            if not len(left):
                return moved, starved
            error = self._error(moved[left], taken[left])
            step = np.linalg.solve(slopes, error[..., None])[..., 0]
            moved[left] -= step
            left = left[np.abs(step).max(axis=1) > CLOSE * self.volts.max()]
            if not len(left):
                return moved, starved
        starved[left] = True
        return moved, starved

    def _error(self, moved: Floats, taken: Floats) -> Floats:
        more = self.watts / (self.volts + moved) - self.amps
        return np.asarray(moved + more @ self.mutual.T + taken, np.float64)


@dataclass(frozen=True)
class Hungry:
    """The same, as the segments of track see them.

    Attributes
    ----------
    small : Small
        The loads.
    toward0, toward1 : float64 arrays, shape (S, H)
        z at the two ends of each segment. [Ω]
    """

    small: Small
    toward0: Floats
    toward1: Floats

    def toward(self, segments: Ints, t: Floats) -> Floats:
        """Return z at fractions t of segments, shape (P, H). [Ω]."""
        s = t[:, None]
        return np.asarray(
            (1.0 - s) * self.toward0[segments] + s * self.toward1[segments], np.float64
        )

    def answer(self, segment: int, t: float, train_a: float) -> tuple[Floats, Floats]:
        """Return what the loads draw more with a train at one place, and one amp on.

        Returns
        -------
        float64 arrays, shape (H,) each
            Their further amps [A], and how many more for each further ampere of the
            train [1]; nothing where the train starves a load.
        """
        z = self.toward(np.array([segment]), np.array([t]))
        volts, starved = self.small.under(train_a * z)
        if starved[0]:
            return np.zeros(z.shape[1]), np.zeros(z.shape[1])
        more = self.small.watts / volts[0] - self.small.amps
        return more, np.asarray(self.small.reaction_at(volts[0]) @ z[0], np.float64)

    def taken(self, segments: Ints, t: Floats, train_a: float) -> tuple[Floats, Truths]:
        """Return what the loads' answer to a train takes from the train itself.

        Returns
        -------
        float64 array, shape (P,), and bool array, shape (P,)
            Volts [V], and whether the train starves a load instead.
        """
        z = self.toward(segments, t)
        volts, starved = self.small.under(train_a * z)
        safe = np.where(starved[:, None], self.small.volts, volts)
        more = self.small.watts / safe - self.small.amps
        return np.asarray((z * more).sum(axis=1), np.float64), starved

    def loops(self) -> tuple[Floats, Floats, Floats]:
        """Return zᵀKz of the segments' ends: start, across and end, in Ω.

        Added to e0ᵀZe0, e0ᵀZe1 and e1ᵀZe1 they give the loop that a train sees to
        first order, the loads answering.
        """
        k, z0, z1 = self.small.reaction, self.toward0, self.toward1
        pairs = ((z0, z0), (z0, z1), (z1, z1))
        start, across, end = (((a @ k) * b).sum(axis=1) for a, b in pairs)
        return start, across, end
