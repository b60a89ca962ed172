"""The weakest places of all track, for the coin test and the margin list."""

import numpy as np

from core.analysis.study import Extreme, Study, margins
from core.layout.parts import OnRun


def weakest_places(study: Study, count: int = 10) -> tuple[Extreme, ...]:
    """Return the places where a short is cleared with the least margin.

    One place a segment, the one with the highest loop, weakest first; places
    that nothing would clear are left out (their rule names them).
    """
    values = margins(study.weakest, study.clearing)
    places = study.scan.highest_loop()[0]
    usable = np.flatnonzero(study.scan.fed & np.isfinite(values))
    ranked = usable[np.argsort(values[usable], kind="stable")][:count]
    found: list[Extreme] = []
    for i in ranked.tolist():
        segment = study.circuit.segments[i]
        length = segment.end_m - segment.start_m
        position = segment.start_m + float(places[i]) * length
        place = OnRun(run=segment.run, position_m=position)
        found.append(Extreme(place, float(values[i])))
    return tuple(found)
