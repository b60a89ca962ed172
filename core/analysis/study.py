"""A study: everything that was worked out about one state of a layout."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from core.layout.ids import PartId
from core.layout.parts import OnRun

Floats = NDArray[np.float64]
Verdict = Literal["good", "tolerable", "poor", "dead"]
Quantity = Literal["volts", "loop", "short"]


@dataclass(frozen=True, slots=True)
class Case:
    """What is assumed when a layout is studied.

    Attributes
    ----------
    loads : bool
        Whether the placed trains and standing loads draw.
    test_train_a : float or None
        Amps of the train that is tried at every point; None: as in the settings.
    """

    loads: bool = True
    test_train_a: float | None = None


@dataclass(frozen=True, slots=True)
class TrackValues:
    """One quantity along one run, at the places where it bends.

    Attributes
    ----------
    run : PartId
        The run.
    positions_m : float64 array, shape (N,)
        Places from the start of the run, in order. [m]
    values : float64 array, shape (N,)
        The quantity there; nan where no booster reaches. [V, Ω or 1]
    """

    run: PartId
    positions_m: Floats
    values: Floats


@dataclass(frozen=True, slots=True)
class Extreme:
    """The worst place of the whole layout for one quantity."""

    place: OnRun
    value: float


@dataclass(frozen=True, slots=True)
class Loss:
    """One row of a breakdown: volts lost in parts of one kind."""

    kind: str
    volts_v: float
    parts: tuple[PartId, ...]


@dataclass(frozen=True, slots=True)
class Probe:
    """What a point of track gets, with the test train there.

    All figures in the unit that ends the name; None where not worked out.
    `volts_v` is with the standing loads and the test train at this place;
    `standing_v` with the standing loads alone; `source_v` with no load at all.
    `drop_share` is (source_v − volts_v) / source_v. The breakdown sums to
    source_v − volts_v. `margin` is the short current, as the clearing device
    senses it, over its trip current.
    """

    run: PartId
    track: str
    position_m: float
    fed: bool
    volts_v: float
    standing_v: float
    source_v: float
    test_train_a: float
    loop_ohm: float
    loop_henry: float
    short_dc_a: float
    short_rms_ones_a: float | None
    short_rms_zeros_a: float | None
    short_mean_ones_a: float | None
    short_mean_zeros_a: float | None
    short_peak_a: float | None
    drop_share: float
    breakdown: tuple[Loss, ...]
    cleared_by: PartId | None
    trip_a: float | None
    margin: float | None
    drop_verdict: Verdict
    short_verdict: Verdict
    sentence: str
