"""Signal-quality figures of each bus: inductance, notch, snubber."""

from dataclasses import dataclass

from core.analysis.duties import bus_starts
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import Booster, Bus, Inline
from core.layout.queries import bus_length_m, open_ends
from core.materials.pair import loop_capacitance_of_bus, loop_inductance_of_bus
from core.materials.signal import snubber_resistor_watts, snubber_watts
from core.materials.wires import wire

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
        I·L/V: how long the far end crosses over at each half-bit. [s]
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
    open_end: bool
    snubber_w: float | None
    behind: PartId | None
    shorted: bool
    snubber_fitted: bool = False

    @property
    def resistor_w(self) -> float | None:
        """Rating of the snubber's resistor to buy, None where none is worth while."""
        return (
            None if self.snubber_w is None else snubber_resistor_watts(self.snubber_w)
        )


def describe_legs(study: Study) -> tuple[Leg, ...]:
    """Return the signal figures of every bus that a booster reaches."""
    duty = {w.part: w.amps_a for w in study.wires}
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
            is_open = bool(ends[bus.id])
            found.append(_leg(study, bus, booster, chain, amps, is_open=is_open))
    return tuple(found)


def _leg(
    study: Study,
    bus: Bus,
    booster: Booster,
    chain: tuple[PartId, ...],
    amps: float | None,
    *,
    is_open: bool,
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
        amps_a=amps or 0.0,
        notch_s=(amps or 0.0) * henry / booster.volts_v,
        open_end=is_open,
        snubber_w=snubber_watts(SNUBBER_FARAD, booster.volts_v)
        if worth or fitted
        else None,
        behind=next((p for p in chain if _is_detector(study, p)), None),
        shorted=amps is None,
        snubber_fitted=fitted,
    )


def _is_detector(study: Study, part: PartId) -> bool:
    device = study.layout.get(part, Inline)
    return device is not None and device.device == "detector"
