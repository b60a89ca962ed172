"""How a lamp holds a short: what flows, what the lamp gets, and who trips first."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.lamps import Lamps
from core.analysis.shorts import Shorts
from core.analysis.study import Racer, Study
from core.layout.ids import PartId
from core.materials.filament import WARM_S, amps_through

TRIED = 400
"""Currents at which the heat of a bad contact is tried."""


@dataclass(frozen=True, slots=True)
class Held:
    """A short that a lamp holds.

    Attributes
    ----------
    lamp : PartId
        The lamp nearest to the place.
    amps_a, watts_w : float
        What flows once it is hot, and its heat. [A, W]
    surge_a : float
        What flows at first, while it is cold. [A]
    first : Racer or None
        The device that trips all the same, None where all stay on.
    """

    lamp: PartId
    amps_a: float
    watts_w: float
    surge_a: float
    first: Racer | None

    @property
    def verdict(self) -> Literal["good", "tolerable"]:
        """Good where all the rest of the booster's track stays on."""
        return "good" if self.first is None else "tolerable"


def hold_short(
    study: Study, point: Point, amps: float, race: Sequence[Racer]
) -> Held | None:
    """Return how a lamp holds a short at a point; None where none does.

    Parameters
    ----------
    amps : float
        Rms of the short with the lamp lit, on ones. [A]
    race : sequence of Racer
        Who trips, as `race_to_trip` has it.
    """
    guard, lamps = study.clearing[point.segment], study.lamps[point.segment]
    if guard is None or not guard.holds or not lamps:
        return None
    own = next((lamp for lamp in lamps if lamp.part == guard.part), lamps[0])
    return Held(
        lamp=own.part,
        amps_a=amps,
        watts_w=amps * own.filament.loss_at(amps),
        surge_a=float(cold_shorts(study, point).rms_ones[0]),
        first=next((racer for racer in race if racer.trips), None),
    )


def cold_shorts(study: Study, point: Point) -> Shorts:
    """Return the short currents at a point before its lamps have lit."""
    return study.shorts_at(np.array([point.segment]), np.array([point.t]), cold=True)


def trips_on_surge(trip_s: float) -> bool:
    """Return whether a device that waits so long trips before a lamp has lit."""
    return trip_s < WARM_S


def lazy_beside(lamps: Lamps, source_v: float, loop_ohm: float) -> float | None:
    """Return the most heat in a bad contact behind lamps; None without one. [W]

    (U − I·R − V(I))·I at its highest, V(I) what the lamps take.
    """
    if not lamps:
        return None
    rest = loop_ohm - sum(lamp.ohm for lamp in lamps)
    filaments = [lamp.filament for lamp in lamps]
    most = amps_through(filaments, np.array([source_v]), np.array([rest]))[0]
    amps = np.linspace(0.0, most, TRIED)
    taken = amps * (rest + np.sum([f.ohms_at(amps) for f in filaments], axis=0))
    return float(((source_v - taken) * amps).max())
