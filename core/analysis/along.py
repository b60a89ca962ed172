"""One quantity along one run, for colours and plots."""

import numpy as np

from core.analysis.ordering import Ints
from core.analysis.study import (
    Extreme,
    Floats,
    Quantity,
    Study,
    TrackValues,
)
from core.layout.ids import PartId
from core.layout.parts import OnRun

INSIDE = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
"""Fractions of a segment at which a quantity is shown; between them it bends little."""


def track_values(study: Study, run: PartId, quantity: Quantity) -> TrackValues:
    """Return a quantity along a run, from its start to its end.

    Returns
    -------
    TrackValues
        Five places a segment; where two segments meet, the place stands twice,
        so that a step in the values stays a step. Volts are with the test train
        at the place [V]; loop in Ω; both shorts are margins [1].
    """
    which = np.array(study.circuit.on_run.get(run, []), np.int64)
    return _along(study, run, quantity, which)


def every_track_values(study: Study, quantity: Quantity) -> dict[PartId, TrackValues]:
    """Return a quantity along every run that is in the circuit."""
    which = study.circuit.on_run
    order = np.array([i for own in which.values() for i in own], np.int64)
    whole = _along(study, PartId(""), quantity, order)
    found: dict[PartId, TrackValues] = {}
    first = 0
    for run, own in which.items():
        last = first + len(own) * len(INSIDE)
        found[run] = TrackValues(
            run, whole.positions_m[first:last], whole.values[first:last]
        )
        first = last
    return found


def worst_along(along: TrackValues, *, highest: bool) -> Extreme | None:
    """Return where a run is worst; None where no booster reaches any of it."""
    if np.isnan(along.values).all():
        return None
    worst = int((np.nanargmax if highest else np.nanargmin)(along.values))
    place = OnRun(run=along.run, position_m=float(along.positions_m[worst]))
    return Extreme(place, float(along.values[worst]))


def _along(study: Study, run: PartId, quantity: Quantity, which: Ints) -> TrackValues:
    """Return a quantity along some segments, one after the other."""
    if not len(which):
        return TrackValues(run, np.zeros(0), np.zeros(0))
    segments = study.circuit.segments
    start = np.array([segments[i].start_m for i in which])
    end = np.array([segments[i].end_m for i in which])
    t = np.tile(INSIDE, len(which))
    index = np.repeat(which, len(INSIDE))
    positions = np.repeat(start, len(INSIDE)) + t * np.repeat(end - start, len(INSIDE))
    values = _values(study, quantity, index, t)
    return TrackValues(run, positions, np.where(study.scan.fed[index], values, np.nan))


def _values(study: Study, quantity: Quantity, index: Ints, t: Floats) -> Floats:
    scan = study.scan
    if quantity == "volts":
        return scan.volts_of(index, t)
    if quantity == "loop":
        a, cross, b = scan.loop0[index], scan.cross[index], scan.loop1[index]
        rails = scan.rails[index]
        loop: Floats = (
            (1 - t) ** 2 * a + 2 * t * (1 - t) * cross + t**2 * b + t * (1 - t) * rails
        )
        return loop
    return study.trips_at(index, t, plain=quantity == "short_dc").margin
