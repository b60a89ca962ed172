"""What happens when power comes back: charging stores, and in which order.

Every energy store (sound decoders, keep-alives) charges at once. While they
take what the device lets through, it sees a short: n stores of C at V need
t = C·V/(I_trip − I_idle) at the trip current. Where that is longer than the
device waits, it trips again, for ever. Straight-line charging is assumed; real
ones draw more at first, so this is the kinder case.
"""

from dataclasses import dataclass
from math import inf

from core.analysis.sound import is_sound
from core.analysis.study import Clearing, Study
from core.layout.ids import PartId
from core.layout.parts import Load

RECLOSE_STEP_S = 0.5
"""Districts come back this far apart in the plan (house choice). [s]"""


@dataclass(frozen=True, slots=True)
class Restart:
    """How one device copes with the stores behind it.

    Attributes
    ----------
    part : PartId
        The breaker or booster.
    stores : int
        Loads with a store behind it.
    farad, idle_a : float
        All their stores, and what everything there draws standing still.
    charge_s, trip_s : float
        How long charging takes, and how long the device waits. [s]
    most : int
        So many of these loads at once still restart.
    close_after_s : float
        When the device should come back in a staggered plan. [s]
    """

    part: PartId
    stores: int
    farad: float
    idle_a: float
    charge_s: float
    trip_s: float
    most: int
    close_after_s: float


def charge_time(farad: float, volts: float, trip_a: float, idle_a: float) -> float:
    """Return C·V/(I_trip − I_idle), infinite where nothing is left over. [s]."""
    spare = trip_a - idle_a
    return farad * volts / spare if spare > 0.0 else inf


def plan_restart(study: Study) -> tuple[Restart, ...]:
    """Return how each device that has loads behind it copes with a restart.

    Behind a shorted booster no power comes back: that is left out.
    """
    sound = is_sound(study)
    behind: dict[Clearing, list[Load]] = {}
    for draw in study.circuit.draws:
        if not sound[draw.left]:
            continue
        part = study.feeds.of_pair(draw.left, draw.right)
        device = study.clearing_of(part)
        if device is not None:
            load = study.layout.need(draw.part, Load)
            behind.setdefault(device, []).append(load)
    volts = {b.part: b.volts_v for b in study.boosters}
    found: list[Restart] = []
    turns: dict[PartId, int] = {}
    for device, loads in behind.items():
        booster = study.feeds.chain(device.part)[-1]
        turn = turns.get(booster, 0) + 1
        turns[booster] = turn
        found.append(
            _restart(device, loads, volts.get(booster, 0.0), turn * RECLOSE_STEP_S)
        )
    return tuple(found)


def _restart(
    device: Clearing, loads: list[Load], volts: float, close_after_s: float
) -> Restart:
    stores = [load for load in loads if load.store_uf > 0.0]
    farad = sum(load.store_uf for load in stores) * 1e-6
    idle = sum(load.idle_a if load.use == "train" else load.amps_a for load in loads)
    each = farad / len(stores) if stores else 0.0
    most = len(stores)
    while most and charge_time(most * each, volts, device.trip_a, idle) > device.trip_s:
        most -= 1
    return Restart(
        part=device.part,
        stores=len(stores),
        farad=farad,
        idle_a=idle,
        charge_s=charge_time(farad, volts, device.trip_a, idle),
        trip_s=device.trip_s,
        most=most,
        close_after_s=close_after_s,
    )
