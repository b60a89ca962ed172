"""The digital track signal: times, voltages, meters and snubbers.

Figures are NMRA S-9.1's (2020 issue) unless said otherwise. That issue's own
revision note raises the large-scale maximum to 24 V while its table prints 22:
the table is followed here.
"""

import math
from dataclasses import dataclass

from core.errors import UnknownNameError
from core.units.si import Ampere, Hertz, Second, Volt, Watt

HALF_BIT_ONE_S = Second(58e-6)
"""Half of a "one" as sent, nominal. [s]"""

HALF_BIT_ZERO_S = Second(100e-6)
"""Half of a "zero" as sent, nominal. [s]"""

ONE_SENT_S = (Second(55e-6), Second(61e-6))
"""Half of a "one" at the station's output, least and most. [s]"""

ONE_RECEIVED_S = (Second(52e-6), Second(64e-6))
"""Half of a "one" that a decoder must accept. [s]"""

ZERO_SENT_S = (Second(95e-6), Second(9900e-6))
"""Half of a "zero" at the station's output. [s]"""

ZERO_RECEIVED_S = (Second(90e-6), Second(10000e-6))
"""Half of a "zero" that a decoder must accept. [s]"""

ZERO_WHOLE_MOST_S = Second(12000e-6)
"""Longest whole "zero" that may be sent. [s]"""

EDGE_SENT = 2.4e6
"""Least edge rate at the output from -4 to +4 V; NEM 670 (2013) has 2.5. [V/s]"""

EDGE_RECEIVED = 2.0e6
"""Edge rate that a decoder must accept from -4 to +4 V. [V/s]"""

EDGE_WINDOW_V = Volt(8.0)
"""Height of the window in which edges are judged. [V]"""

FEEDBACK_DROP_V = Volt(0.2)
"""Most that a detector may lose in the answer window (RP-9.3.1). [V]"""

TOY_SUPPLY_A = 10.0
"""Most from one toy-type supply in Europe, all outputs together (NEM 609). [A]"""

METER_FACTOR = math.pi / (2.0 * math.sqrt(2.0))
"""What a sine-calibrated averaging meter shows for a 1 V square wave. [1]"""

FULL_WAVE_MEAN = 2.0 * math.sqrt(2.0) / math.pi
"""Mean by rms of full-wave rectified sine (NEM 630 rounds to 0.90). [1]"""

HALF_WAVE_MEAN = 2.0 / math.pi
"""Mean by rms of half-wave rectified sine, as NEM 630 counts it (0.64). [1]"""

SNUBBER_RESISTORS_W = (2.0, 3.0, 5.0, 7.0, 10.0, 15.0)
"""Sizes of power resistors to choose from (common practice, no source). [W]"""

SNUBBER_LOAD = 0.7
"""Most of its rating that a snubber's resistor may get under a board, where little
air moves (house choice: 2 W to 20 V and 3 W at 22 V, as builders' guides have it). [1]
"""

_EXACT = 1.0 + 1e-9
"""Limits belong to the range, whatever a float makes of them. [1]"""


@dataclass(frozen=True, slots=True)
class SignalVolts:
    """Peak track volts of a scale. [V]"""

    station_least: Volt
    nominal: Volt
    station_most: Volt
    decoder_least: Volt
    decoder_most: Volt


_SMALL = SignalVolts(Volt(8.5), Volt(12.0), Volt(22.0), Volt(7.0), Volt(24.0))
_MIDDLE = SignalVolts(Volt(8.5), Volt(15.0), Volt(22.0), Volt(7.0), Volt(27.0))
_LARGE = SignalVolts(Volt(8.5), Volt(18.0), Volt(22.0), Volt(7.0), Volt(27.0))

SIGNAL_VOLTS: dict[str, SignalVolts] = {
    **dict.fromkeys(("Z", "N"), _SMALL),
    **dict.fromkeys(("TT", "HO", "OO", "S", "O"), _MIDDLE),
    "G": _LARGE,
}
"""By scale. S-9.1 names N and smaller, HO, S and O, and large; TT is a choice."""


def signal_volts(scale: str) -> SignalVolts:
    """Return the volts of a scale.

    Raises
    ------
    UnknownNameError
        There is no such scale.
    """
    if scale not in SIGNAL_VOLTS:
        raise UnknownNameError(scale, "scale")
    return SIGNAL_VOLTS[scale]


def nominal_dc_volts(gauge_mm: float) -> Volt:
    """Return the nominal mean volts of analogue running (NEM 630, 1982). [V]"""
    return Volt(8.0 if gauge_mm <= 6.5 else 12.0 if gauge_mm < 32.0 else 16.0)


def is_within(half_bit: float, limits: tuple[Second, Second]) -> bool:
    """Say whether a half-bit lies in a range, ends included. [s]"""
    return limits[0] / _EXACT <= half_bit <= limits[1] * _EXACT


def is_zero_short_enough(whole_bit: float) -> bool:
    """Say whether a whole stretched "zero" may be sent. [s]"""
    return whole_bit <= ZERO_WHOLE_MOST_S * _EXACT


def bit_frequency(half_bit: float) -> Hertz:
    """Return the frequency of a row of equal bits. [Hz]"""
    return Hertz(0.5 / half_bit)


def crossing_time(edge_rate: float) -> Second:
    """Return the time through the window from -4 to +4 V at a rate in V/s. [s]"""
    return Second(EDGE_WINDOW_V / edge_rate)


def snubber_watts(farad: float, volts: float, half_bit: float = HALF_BIT_ONE_S) -> Watt:
    """Return the heat in the resistor of an RC filter across the track. [W]

    P = 2 · C · V² · rate,  rate = one edge each half-bit

    Parameters
    ----------
    farad : float
        Its capacitor. [F]
    volts : float
        Peak track volts; each edge swings twice that. [V]
    half_bit : float
        Of the bits sent; a row of "ones" is the worst. [s]

    Notes
    -----
    Each edge charges C through the resistor by 2·V: ½·C·(2V)² stays in it,
    whatever its resistance, as long as it settles within the half-bit.
    """
    return Watt(2.0 * farad * volts**2 / half_bit)


def snubber_resistor_watts(heat_w: float) -> Watt:
    """Return the rating of the resistor to buy for a heat at worst. [W]

    The smallest size of which the heat is `SNUBBER_LOAD` or less.
    """
    least = heat_w / SNUBBER_LOAD
    sizes = (size for size in SNUBBER_RESISTORS_W if size >= least)
    return Watt(next(sizes, float(math.ceil(least))))


def snubber_amps(
    farad: float, volts: float, half_bit: float = HALF_BIT_ONE_S
) -> Ampere:
    """Return the mean current of an RC filter, as a detector sees it. [A]

    Each edge moves the charge C · 2V.
    """
    return Ampere(2.0 * farad * volts / half_bit)
