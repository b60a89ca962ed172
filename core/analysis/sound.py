"""A study without the track whose booster is shorted: its figures mean nothing."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from core.analysis.study import Study, find_extreme
from core.layout.ids import PartId
from core.layout.parts import Booster

Truths = NDArray[np.bool_]


def sound_segments(study: Study) -> Truths:
    """Return which segments have figures that mean something, shape (S,).

    They are fed, and by no booster whose poles are joined.
    """
    left = study.circuit.ends[:, 0]
    return np.asarray(study.scan.fed & is_sound(study)[left], np.bool_)


def is_sound(study: Study) -> Truths:
    """Return which nodes no shorted booster reaches, shape (N,)."""
    bad = list(_shorted_islands(study))
    return np.asarray(~np.isin(study.system.islands.label, bad), np.bool_)


def sound_part(study: Study) -> Study:
    """Return the study as if tracks behind shorted boosters were not fed."""
    if not study.shorted:
        return study
    scan = replace(study.scan, fed=sound_segments(study))
    circuit = study.circuit
    return replace(
        study,
        scan=scan,
        worst_volts=find_extreme(circuit, scan, scan.lowest_volts(), highest=False),
        worst_loop=find_extreme(circuit, scan, scan.highest_loop(), highest=True),
        find_duties=lambda: study.duties,
    )


def shorted_boosters(study: Study) -> tuple[PartId, ...]:
    """Return the boosters whose track is left out, each once."""
    return study.shorted


def shorted_parts(study: Study) -> frozenset[PartId]:
    """Return the buses, drops and devices that carry the current of a short."""
    if not study.shorted:
        return frozenset()
    sound, branches = is_sound(study), study.circuit.branches
    return frozenset(b.part for b in branches if not sound[b.tail]) - frozenset(
        b.part for b in branches if sound[b.tail]
    )


def say_short(study: Study, booster: PartId) -> str:
    """Return how a booster is shorted, such as "PB1 is shorted, A joined to B"."""
    if any(short.booster == booster for short in study.shorts):
        return f"{booster} is shorted, A joined to B"
    one, other = next(pair for pair in study.opposed if booster in pair)
    return f"{one} and {other} are shorted, joined in opposite phase"


def trains_amps(study: Study) -> float:
    """Return what trains and standing loads draw together. [A]

    What flows into a short is no load: behind a shorted booster a load counts with
    its amps, or its watts over that booster's volts with nothing on it.
    """
    label, bad = study.system.islands.label, _shorted_islands(study)
    total = 0.0
    for draw, amps in zip(study.circuit.draws, study.drawn.amps.tolist(), strict=True):
        booster = bad.get(int(label[draw.left]))
        if booster is not None:
            volts = study.layout.need(booster, Booster).volts_v
            total += draw.watts / volts if draw.watts else draw.amps
        elif np.isfinite(amps):
            total += amps
    return total


def _shorted_islands(study: Study) -> dict[int, PartId]:
    """Return the islands with a shorted booster, and one such booster of each."""
    shorted = set(shorted_boosters(study))
    label = study.system.islands.label
    return {
        int(label[source.plus]): source.part
        for source in study.circuit.sources
        if source.part in shorted
    }
