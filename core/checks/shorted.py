"""What a shorted booster would give into its short."""

from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Booster
from core.units.figures import show_amps, show_volts


def prospective_amps(study: Study, booster: PartId) -> float:
    """Return what the booster would give into the short by resistance alone. [A]"""
    circuit = study.circuit
    index = next(i for i, s in enumerate(circuit.sources) if s.part == booster)
    return abs(float(study.source.amps[len(circuit.branches) + index]))


def show_short(booster: Booster, amps: float) -> str:
    """Return the sum: what drives how much, and what should trip on it."""
    return (
        f"{show_volts(booster.volts_v)} drives {show_amps(amps)} round it; "
        f"{booster.id} trips at {show_amps(booster.trip_a)}"
    )
