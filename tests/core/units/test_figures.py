"""Electrical figures from text and to text."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import UnitParseError
from core.units import figures as f

Parser = Callable[[str], float]
Shower = Callable[[float], str]


@pytest.mark.parametrize(
    ("parse", "text", "value"),
    [
        (f.parse_amps, "1.5", 1.5),
        (f.parse_amps, "1,5 A", 1.5),
        (f.parse_amps, "500mA", 0.5),
        (f.parse_amps, "3 amps", 3.0),
        (f.parse_amps, "1/2 A", 0.5),
        (f.parse_volts, "14.3 V", 14.3),
        (f.parse_volts, "85 mV", 0.085),
        (f.parse_ohms, "0.42 Ω", 0.42),
        (f.parse_ohms, "0.42 \N{OHM SIGN}", 0.42),
        (f.parse_ohms, "85 mΩ", 0.085),
        (f.parse_ohms, "1.2 Ohm", 1.2),
        (f.parse_ohms, "1.2 kΩ", 1200.0),
        (f.parse_watts, "12 W", 12.0),
        (f.parse_watts, "500 mW", 0.5),
        (f.parse_seconds, "0.1", 0.1),
        (f.parse_seconds, "16 ms", 0.016),
        (f.parse_seconds, "58 µs", 58e-6),
        (f.parse_seconds, "58 μs", 58e-6),
    ],
)
def test_figures_are_read_with_their_units(
    parse: Parser, text: str, value: float
) -> None:
    assert parse(text) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize("parse", [f.parse_amps, f.parse_volts, f.parse_ohms])
@pytest.mark.parametrize(
    "text", ["", "five", "-1", "1 kg", "1,500", "1/0", "1e3", "nan", "9" * 500]
)
def test_what_is_no_figure_is_refused(parse: Parser, text: str) -> None:
    with pytest.raises(UnitParseError):
        parse(text)


def test_mega_is_never_taken_for_milli() -> None:
    with pytest.raises(UnitParseError):
        f.parse_ohms("5 MΩ")


def test_the_error_names_what_was_wanted() -> None:
    with pytest.raises(UnitParseError) as caught:
        f.parse_amps("5 V")
    assert caught.value.sentence() == (
        "Cannot read '5 V' as a current. Write it like 1.5 A or 500 mA."
    )


@pytest.mark.parametrize(
    ("show", "value", "text"),
    [
        (f.show_volts, 14.312, "14.31 V"),
        (f.show_volts, 0.05, "0.05 V"),
        (f.show_volts, 0.004, "4 mV"),
        (f.show_volts, 0.0, "0.00 V"),
        (f.show_volts, -0.00001, "0.00 V"),
        (f.show_volts, -1.4, "−1.40 V"),
        (f.show_volts, math.nan, "—"),
        (f.show_amps, 17.81, "17.8 A"),
        (f.show_amps, 1.5, "1.50 A"),
        (f.show_amps, 128.4, "128 A"),
        (f.show_amps, 0.052, "52.0 mA"),
        (f.show_amps, math.inf, "∞ A"),
        (f.show_ohms, 0.42, "0.42 Ω"),
        (f.show_ohms, 0.085, "85 mΩ"),
        (f.show_ohms, 0.0052, "5.2 mΩ"),
        (f.show_ohms, 120.0, "120 Ω"),
        (f.show_ohms, 1200.0, "1.2 kΩ"),
        (f.show_ohms, math.inf, "∞ Ω"),
        (f.show_henry, 81e-6, "81 µH"),
        (f.show_henry, 5.73e-6, "5.7 µH"),
        (f.show_henry, 0.573e-6, "0.57 µH"),
        (f.show_henry, 1.2e-3, "1.2 mH"),
        (f.show_share, 0.082, "8.2 %"),
        (f.show_share, -0.00001, "0.0 %"),
        (f.show_watts, 62.4, "62 W"),
        (f.show_watts, 4.51, "4.5 W"),
        (f.show_watts, 0.776, "0.78 W"),
        (f.show_watts, 0.016, "16.0 mW"),
        (f.show_let_through, 1.6, "1.60 A²s"),
        (f.show_let_through, 34.3, "34.3 A²s"),
        (f.show_let_through, 99.96, "100 A²s"),
        (f.show_let_through, 57266.6, "57\u00a0300 A²s"),
        (f.show_let_through, math.inf, "∞ A²s"),
        (f.show_seconds, 22.2, "22 s"),
        (f.show_seconds, 5.54, "5.5 s"),
        (f.show_seconds, 0.5, "500 ms"),
        (f.show_seconds, 0.016, "16 ms"),
        (f.show_seconds, 0.0016, "1.6 ms"),
        (f.show_seconds, 58e-6, "58 µs"),
        (f.show_seconds, 0.0, "0.0 s"),
        (f.show_seconds, -math.inf, "−∞ s"),
    ],
)
def test_figures_are_shown_short(show: Shower, value: float, text: str) -> None:
    assert show(value) == text


@pytest.mark.parametrize(
    ("parse", "show", "least"),
    [
        # `least` is where two figures begin: below it the last digit is the limit.
        (f.parse_amps, f.show_amps, 1e-3),
        (f.parse_volts, f.show_volts, 1.0),
        (f.parse_ohms, f.show_ohms, 1e-2),
        (f.parse_watts, f.show_watts, 1e-3),
        (f.parse_seconds, f.show_seconds, 1e-5),
    ],
)
@given(share=st.floats(0.0, 1.0))
def test_what_is_shown_reads_back_to_two_figures(
    parse: Parser, show: Shower, least: float, share: float
) -> None:
    value = least * (900.0 / least) ** share  # spread over all sizes up to 900
    assert parse(show(value)) == pytest.approx(value, rel=0.05)


@pytest.mark.parametrize(
    ("degrees", "text"),
    [
        # arctan(1/2) = 26.5651 degrees, and the other way along that line.
        (26.56505, "26.6°"),
        (206.56505, "206.6°"),
        (90.0, "90°"),
        (359.97, "0°"),
        (-30.0, "330°"),
    ],
)
def test_angles_are_shown_to_the_tenth_within_a_turn(degrees: float, text: str) -> None:
    assert f.show_degrees(degrees) == text
