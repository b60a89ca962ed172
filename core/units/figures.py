"""Amps, volts, ohms, watts, seconds, angles: from typed text, and to text."""

import math
from fractions import Fraction

from core.units.numbers import parse_figure
from core.units.si import Ampere, Ohm, Second, Volt, Watt

_ONE, _MILLI, _MICRO, _KILO = (
    Fraction(1),
    Fraction(1, 1000),
    Fraction(1, 1_000_000),
    Fraction(1000),
)


def parse_amps(text: str) -> Ampere:
    """Return a current: "1.5", "1,5 A", "500 mA". [A]

    Raises
    ------
    UnitParseError
        The text is no current.
    """
    units = {"": _ONE, "a": _ONE, "amp": _ONE, "amps": _ONE, "ma": _MILLI}
    figure = parse_figure(text, units, wanted="a current", examples=("1.5 A", "500 mA"))
    return Ampere(figure)


def parse_volts(text: str) -> Volt:
    """Return a voltage: "15", "14.3 V", "85 mV". [V]

    Raises
    ------
    UnitParseError
        The text is no voltage.
    """
    units = {"": _ONE, "v": _ONE, "volt": _ONE, "volts": _ONE, "mv": _MILLI}
    figure = parse_figure(text, units, wanted="a voltage", examples=("15 V", "85 mV"))
    return Volt(figure)


def parse_ohms(text: str) -> Ohm:
    """Return a resistance: "0.42", "0,42 Ω", "85 mΩ", "1.2 ohm". [Ω]

    Raises
    ------
    UnitParseError
        The text is no resistance.
    """
    units = {
        **dict.fromkeys(("", "Ω", "ohm", "ohms", "r"), _ONE),
        **dict.fromkeys(("mΩ", "mohm", "milliohm", "milliohms"), _MILLI),
        **dict.fromkeys(("kΩ", "kohm", "k"), _KILO),
    }
    figure = parse_figure(
        text, units, wanted="a resistance", examples=("0.42 Ω", "85 mΩ", "0.42 ohm")
    )
    return Ohm(figure)


def parse_watts(text: str) -> Watt:
    """Return a power: "12", "12 W", "500 mW". [W]

    Raises
    ------
    UnitParseError
        The text is no power.
    """
    units = {"": _ONE, "w": _ONE, "watt": _ONE, "watts": _ONE, "mw": _MILLI}
    figure = parse_figure(text, units, wanted="a power", examples=("12 W", "500 mW"))
    return Watt(figure)


def parse_seconds(text: str) -> Second:
    """Return a time: "0.1", "16 ms", "58 µs". [s]

    Raises
    ------
    UnitParseError
        The text is no time.
    """
    units = {"": _ONE, "s": _ONE, "sec": _ONE, "ms": _MILLI, "us": _MICRO}
    figure = parse_figure(text, units, wanted="a time", examples=("0.1 s", "16 ms"))
    return Second(figure)


def show_volts(volts: float) -> str:
    """Return a voltage to the hundredth: "14.31 V"; below that "4 mV"."""
    if 0.0005 <= abs(volts) < 0.0095:
        return f"{volts * 1e3:.0f} mV"
    return _show(volts, f"{volts:.2f}", "V")


def show_amps(amps: float) -> str:
    """Return a current to three figures: "17.8 A", "1.50 A", "52 mA"."""
    if 0.00005 <= abs(amps) < 0.0995:
        return f"{_three_figures(amps * 1e3, 1)} mA"
    return _show(amps, _three_figures(amps, 2), "A")


def show_ohms(ohms: float) -> str:
    """Return a resistance: "0.42 Ω", "85 mΩ", "5.2 mΩ", "1.2 kΩ"."""
    if 0.00005 <= abs(ohms) < 0.0995:
        milliohms = ohms * 1e3
        digits = 1 if abs(milliohms) < 9.95 else 0
        return f"{milliohms:.{digits}f} mΩ"
    if 999.5 <= abs(ohms) < math.inf:
        return f"{_three_figures(ohms / 1e3, 1)} kΩ"
    return _show(ohms, _three_figures(ohms, 2), "Ω")


def show_henry(henry: float) -> str:
    """Return an inductance: "81 µH", "5.7 µH", "0.57 µH", "1.2 mH"."""
    micro = henry * 1e6
    if 999.5 <= abs(micro) < math.inf:
        return f"{_three_figures(micro / 1e3, 1)} mH"
    digits = 2 if abs(micro) < 0.995 else 1 if abs(micro) < 9.95 else 0
    return _show(micro, f"{micro:.{digits}f}", "µH")


def show_share(share: float) -> str:
    """Return a share of the whole in per cent: 0.082 gives "8.2 %"."""
    return _show(share, f"{share * 100.0:.1f}", "%")


def show_watts(watts: float) -> str:
    """Return a power: "62 W", "4.5 W", "0.78 W", "16 mW"."""
    if 0.00005 <= abs(watts) < 0.0995:
        return f"{_three_figures(watts * 1e3, 1)} mW"
    digits = 2 if abs(watts) < 0.995 else 1 if abs(watts) < 9.95 else 0
    return _show(watts, f"{watts:.{digits}f}", "W")


def show_let_through(squared: float) -> str:
    """Return an I²t to three figures: "1.54 A²s", "34.3 A²s", "57 200 A²s"."""
    if 99.95 <= abs(squared) < math.inf:
        whole = f"{float(f'{squared:.3g}'):,.0f}".replace(",", "\u00a0")
        return _show(squared, whole, "A²s")
    return _show(squared, _three_figures(squared, 2), "A²s")


def show_kilos(kilos: float) -> str:
    """Return a mass to the tenth of a kilogram or to ten grams: "1.2 kg", "310 g"."""
    if abs(kilos) < 0.995:
        return f"{round(kilos * 1e3, -1):.0f} g"
    return f"{kilos:.1f} kg"


def show_seconds(seconds: float) -> str:
    """Return a time: "22 s", "5.5 s", "500 ms", "16 ms", "58 µs"."""
    size = abs(seconds)
    if 5e-8 <= size < 0.9995e-3:
        return f"{_three_figures(seconds * 1e6, 1)} µs".replace(".0 ", " ")
    if 0.9995e-3 <= size < 0.9995:
        digits = 1 if size < 9.95e-3 else 0
        return f"{seconds * 1e3:.{digits}f} ms"
    return _show(seconds, f"{seconds:.{1 if size < 9.95 else 0}f}", "s")


def show_degrees(degrees: float) -> str:
    """Return an angle to the tenth, from 0 up to 360: "26.6°", "90°"."""
    return f"{round(degrees % 360.0, 1) % 360.0:g}°"


def show_both_ways(line_deg: float) -> str:
    """Return the two ways along a line, such as "26.6° and 206.6°"."""
    one = round(line_deg % 180.0, 1) % 180.0
    return f"{show_degrees(one)} and {show_degrees(one + 180.0)}"


def _three_figures(value: float, most_decimals: int) -> str:
    """Return three figures, with at most so many decimals."""
    size = abs(value)
    digits = 0 if size >= 99.95 else 1 if size >= 9.995 else 2
    return f"{value:.{min(digits, most_decimals)}f}"


def _show(value: float, figures: str, unit: str) -> str:
    """Return figures and unit; no minus before zero; signs for no figure."""
    if math.isnan(value):
        return "—"
    if math.isinf(value):
        return f"{'−' if value < 0.0 else ''}∞ {unit}"
    if figures.startswith("-") and not figures.strip("-0."):
        figures = figures[1:]
    return f"{figures.replace('-', '−')} {unit}"
