"""Lengths from text and to text."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from core.errors import UnitParseError
from core.units.length import System, parse_length, show_length, write_length

SYSTEMS: tuple[System, ...] = ("m", "ft")
lengths = st.floats(0.0, 999.0)
systems = st.sampled_from(SYSTEMS)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        # An inch is 25.4 mm and a foot 304.8 mm exactly (international agreement, 1959).
        ("2400", 2.4),
        ("2.4 m", 2.4),
        ("2,4m", 2.4),
        ("1,250 m", 1.25),
        ("0,125", 0.000125),
        ("240 cm", 2.4),
        ("2400mm", 2.4),
        (".5 m", 0.5),
        ("5. m", 5.0),
        ("2 m 40 cm", 2.4),
        ("2.4 Metres", 2.4),
        ("7' 10 1/2\"", 94.5 * 0.0254),
        ("7' 10-1/2\"", 94.5 * 0.0254),
        ("7'-10 1/2\"", 94.5 * 0.0254),
        ("7′ 10½″", 94.5 * 0.0254),
        (
            "7\N{RIGHT SINGLE QUOTATION MARK}10½\N{RIGHT DOUBLE QUOTATION MARK}",
            94.5 * 0.0254,
        ),
        ("7'10½''", 94.5 * 0.0254),
        ("7 ft 10 1/2 in", 94.5 * 0.0254),
        ("7 ft, 10.5 in.", 94.5 * 0.0254),
        ("7' 10 1/2", 94.5 * 0.0254),
        ("7'6", 90 * 0.0254),
        ("94.5 in", 94.5 * 0.0254),
        ("94,5 inches", 94.5 * 0.0254),
        ('½"', 0.0127),
        ("3⅛ in", 3.125 * 0.0254),
        ("1\N{FRACTION SLASH}4 in", 0.00635),
        ("7 1/2 ft", 7.5 * 0.3048),
        ("  30\u00a0ft ", 9.144),
    ],
)
def test_lengths_are_read_as_builders_write_them(text: str, metres: float) -> None:
    assert parse_length(text) == pytest.approx(metres, rel=1e-15)


def test_a_bare_number_is_inches_where_feet_are_used() -> None:
    assert parse_length("94.5", "ft") == pytest.approx(94.5 * 0.0254, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "x", "two", "5 x", "5 kg", "1e3", "nan", "inf", "-5", "5-", "5,"),
        *("1/0 in", "1.5/2", "1/2/3", "5 5", "10 10 1/2", "6\" 7'", "5 m 3 ft"),
        *("5 m 20", "7' 6\" 5", "1.2.3", "1,2,3", "٣ m", "200 km", "200000 m"),
        "9" * 5000,
        "1 " * 40 + "m",
    ],
)
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(UnitParseError):
        parse_length(text)


@pytest.mark.parametrize("text", ["1,250", "1,250 mm", "12,000 in", "1,250 ft"])
def test_a_comma_that_may_mean_thousands_is_refused(text: str) -> None:
    with pytest.raises(UnitParseError) as caught:
        parse_length(text)
    assert caught.value.sentence() == (
        f"Cannot read {text!r} as a length. Write it like 1250 mm or 1.25 m."
    )


def test_the_error_shows_good_examples_of_the_system_in_use() -> None:
    with pytest.raises(UnitParseError) as caught:
        parse_length("long", "ft")
    assert caught.value.hint == "Write it like 7' 10 1/2\" or 94.5 or 2.4 m."


@pytest.mark.parametrize("text", ["-250", "−250", "– 250 mm"])
def test_coordinates_may_be_negative(text: str) -> None:
    assert parse_length(text, signed=True) == pytest.approx(-0.25)


@pytest.mark.parametrize(
    ("length", "system", "fine", "text"),
    [
        (3.42, "m", False, "3.42 m"),
        (0.4304, "m", False, "430 mm"),
        (0.0016, "m", False, "1.6 mm"),
        (0.9996, "m", False, "1.00 m"),
        (0.0, "m", False, "0 mm"),
        (-0.25, "m", False, "−250 mm"),
        (-0.00001, "m", False, "0 mm"),
        (3.42, "m", True, "3.420 m"),
        (3.4205, "m", True, "3.4205 m"),
        (0.4305, "m", True, "430.5 mm"),
        (0.99999, "m", True, "1.000 m"),
        (2.4003, "ft", False, "7′ 10 1/2″"),
        (9.144, "ft", False, "30′ 0″"),
        (0.3047, "ft", False, "1′ 0″"),
        (0.0127, "ft", False, "1/2″"),
        (0.0, "ft", False, "0″"),
        (-0.3048, "ft", False, "−1′ 0″"),
        (9.144, "ft", True, "30.000 ft"),
        (0.127, "ft", True, "5.00 in"),
        (0.30479, "ft", True, "1.000 ft"),
        (math.nan, "m", False, "—"),
        (math.inf, "ft", True, "—"),
    ],
)
def test_lengths_are_shown_as_builders_read_them(
    length: float, system: System, fine: bool, text: str
) -> None:
    assert show_length(length, system, fine=fine) == text


def test_thirty_feet_survive_the_change_of_units() -> None:
    # needs.md N04: 9.144 m switched to feet gives 30.000, and back 9.144.
    assert show_length(9.144, "ft", fine=True) == "30.000 ft"
    assert parse_length("30.000 ft") == 9.144


@pytest.mark.parametrize(
    ("length", "system", "text"),
    [
        (9.144, "m", "9.144 m"),
        (0.1 + 0.2, "m", "300 mm"),
        (2.4003, "ft", "7′ 10 1/2″"),
        (1.0, "ft", "3.280839895 ft"),
        (-0.25, "m", "-250 mm"),
    ],
)
def test_entry_fields_get_the_shortest_text(
    length: float, system: System, text: str
) -> None:
    assert write_length(length, system) == text


@given(lengths, systems)
def test_what_is_written_reads_back_the_same(length: float, system: System) -> None:
    back = parse_length(write_length(length, system), system)
    assert abs(back - length) <= 1e-9


# Half of the last digit that each way of showing has.
RESOLUTION = {
    ("m", False): 0.005,
    ("m", True): 0.00005,
    ("ft", False): 0.0254 / 16,
    ("ft", True): 0.3048 / 2000,
}


@given(lengths, systems, st.booleans())
@example(0.9995, "m", False)
@example(0.99995, "m", True)
@example(0.30479, "ft", True)
def test_what_is_shown_reads_back_to_its_last_digit(
    length: float, system: System, fine: bool
) -> None:
    shown = show_length(length, system, fine=fine)
    back = parse_length(shown)
    assert abs(back - length) <= RESOLUTION[system, fine] * (1 + 1e-9)
    assert show_length(back, system, fine=fine) == shown


def length_or_hint(text: str) -> float | str:
    try:
        return parse_length(text)
    except UnitParseError as error:
        return error.hint


@given(st.text(max_size=40) | st.text("0123456789,./ -'\"½mcinft", max_size=12))
def test_any_text_gives_a_length_or_a_named_error(text: str) -> None:
    found = length_or_hint(text)
    assert found.startswith("Write") if isinstance(found, str) else 0 <= found <= 1e5
