"""Signal-quality figures of each bus: inductance, notch, snubber."""

from dataclasses import dataclass

import numpy as np

from core.analysis.duties import bus_starts
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Booster, Bus, Inline
from core.layout.queries import bus_length_m, open_ends
from core.materials.pair import loop_capacitance_of_bus, loop_inductance_of_bus
from core.materials.signal import snubber_resistor_watts, snubber_watts
from core.materials.wires import wire
from core.network.circuit import BranchKind

SNUBBER_FARAD = 0.1e-6
"""Usual capacitor of a snubber (common practice, no source). [F]"""

SNUBBER_OHM = 120.0
"""Between the usual 100 and 150 Ω (common practice, no source). [Ω]"""

SNUBBER_LEG_M = 9.0
"""Legs shorter than 30 ft need none (common practice, no source). [m]"""

LEAST_A = 0.005
"""A bus that carries less is taken as carrying nothing. [A]"""


@dataclass(frozen=True, slots=True)
class Leg:
    """One bus as the signal sees it.

    Attributes
    ----------
    bus : PartId
        The bus.
    length_m : float
        One way, with slack and extra. [m]
    henry : float
        Inductance of the loop, out and back. [H]
    farad : float
        Capacitance between the conductors. [F]
    amps_a : float
        The most that any stretch carries under the standing loads; 0 where the
        booster is shorted, since what flows then is no load. [A]
    notch_s : float
        How long its far end crosses over at each half-bit: over the volts the flux
        that the standing loads make along it, I·L/V where all of them hang on its
        end. [s]
    volts_v : float
        Of its booster. [V]
    open_end : bool
        Whether one end hangs free, where a snubber would go.
    snubber_w : float or None
        Heat in the snubber's resistor where one is worth while or fitted, else
        None. [W]
    behind : PartId or None
        The occupancy detector upstream, which would see the snubber's current.
    shorted : bool
        Whether its booster's poles are joined.
    snubber_fitted : bool
        Whether its free end has a snubber.
    """

    bus: PartId
    length_m: float
    henry: float
    farad: float
    amps_a: float
    notch_s: float
    volts_v: float
    open_end: bool
    snubber_w: float | None
    behind: PartId | None
    shorted: bool
    snubber_fitted: bool = False

    @property
    def mean_a(self) -> float:
        """What would make the same notch running all along it. [A]"""
        return self.notch_s * self.volts_v / self.henry

    @property
    def resistor_w(self) -> float | None:
        """Rating of the snubber's resistor to buy, None where none is worth while."""
        return (
            None if self.snubber_w is None else snubber_resistor_watts(self.snubber_w)
        )


def describe_legs(study: Study) -> tuple[Leg, ...]:
    """Return the signal figures of every bus that a booster reaches."""
    duty = {w.part: w.amps_a for w in study.wires}
    flux = _flux(study)
    shorted = set(study.shorted)
    first = bus_starts(study.circuit)
    ends = open_ends(study.layout)
    found: list[Leg] = []
    for bus in study.layout.of_kind(Bus):
        feed = study.feeds.of_pair(*first[bus.id]) if bus.id in first else None
        chain = study.feeds.chain(feed) if feed is not None else ()
        booster = study.layout.get(chain[-1], Booster) if chain else None
        if booster is not None:
            amps = None if booster.id in shorted else duty.get(bus.id, 0.0)
            notch = 0.0 if amps is None else flux.get(bus.id, 0.0) / booster.volts_v
            load = _Load(amps, notch, booster.volts_v)
            found.append(_leg(study, bus, chain, load, is_open=bool(ends[bus.id])))
    return tuple(found)


def _flux(study: Study) -> dict[PartId, float]:
    """Return the flux between where each bus is fed and the end it is worst at. [Wb]

    Each stretch adds its inductance times what runs in it, half by either wire. The
    sum along the bus is least where it is fed, at an end or between, and grows both
    ways from there.
    """
    branches, amps = study.circuit.branches, study.standing.amps
    added: dict[PartId, dict[float, float]] = {}
    for i in study.circuit.by_kind[BranchKind.BUS].tolist():
        branch = branches[i]
        way = 1.0 if branch.wire == "A" else -1.0
        stretches = added.setdefault(branch.part, {})
        part = way * branch.henry * float(amps[i])
        stretches[branch.start_m] = stretches.get(branch.start_m, 0.0) + part
    found: dict[PartId, float] = {}
    for bus, stretches in added.items():
        along = np.cumsum([0.0, *(stretches[at] for at in sorted(stretches))])
        found[bus] = float(along.max() - along.min())
    return found


@dataclass(frozen=True, slots=True)
class _Load:
    """What a bus carries at most, the notch of it, and the volts. [A, s, V]

    No amps where its booster is shorted.
    """

    amps_a: float | None
    notch_s: float
    volts_v: float


def _leg(
    study: Study, bus: Bus, chain: tuple[PartId, ...], load: _Load, *, is_open: bool
) -> Leg:
    length = bus_length_m(bus)
    spool, spacing = wire(bus.wire), bus.spacing_mm / 1000.0
    henry = loop_inductance_of_bus(spool, bus.lay, spacing) * length
    worth = is_open and length >= SNUBBER_LEG_M
    fitted = is_open and bus.snubber
    return Leg(
        bus=bus.id,
        length_m=length,
        henry=henry,
        farad=loop_capacitance_of_bus(spool, bus.lay, spacing) * length,
        amps_a=load.amps_a or 0.0,
        notch_s=load.notch_s,
        volts_v=load.volts_v,
        open_end=is_open,
        snubber_w=snubber_watts(SNUBBER_FARAD, load.volts_v)
        if worth or fitted
        else None,
        behind=next((p for p in chain if _is_detector(study, p)), None),
        shorted=load.amps_a is None,
        snubber_fitted=fitted,
    )


def _is_detector(study: Study, part: PartId) -> bool:
    device = study.layout.get(part, Inline)
    return device is not None and device.device == "detector"
