"""Lengths and arcs as typed while drawing."""

import pytest

from app.tools.pointer import Key
from app.tools.typed import (
    Lengths,
    TypedArc,
    TypedLength,
    read_length,
    read_piece,
    read_size,
    retype,
)


@pytest.mark.parametrize(
    ("text", "lengths", "length_mm"),
    [
        ("2400", "m", 2400.0),
        ("2.4 m", "m", 2400.0),
        # 7 ft and 10.5 in are 94.5 in of 25.4 mm.
        ("7' 10 1/2\"", "ft", 2400.3),
        ("36", "ft", 914.4),
    ],
)
def test_a_length_is_read(text: str, lengths: Lengths, length_mm: float) -> None:
    found = read_piece(text, lengths)
    assert isinstance(found, TypedLength)
    assert found.length_mm == pytest.approx(length_mm)


@pytest.mark.parametrize(
    ("text", "lengths", "radius_mm", "sweep"),
    [
        ("r600 90", "m", 600.0, 90.0),
        ("R600", "m", 600.0, None),
        ("r 0.6 m 22.5°", "m", 600.0, 22.5),
        ("r600 -45", "m", 600.0, -45.0),
        ("r24 30", "ft", 609.6, 30.0),
        ('r24" 90', "ft", 609.6, 90.0),
        ("r2' 90", "ft", 609.6, 90.0),
    ],
)
def test_an_arc_is_read(
    text: str, lengths: Lengths, radius_mm: float, sweep: float | None
) -> None:
    found = read_piece(text, lengths)
    assert isinstance(found, TypedArc)
    assert found.radius_mm == pytest.approx(radius_mm)
    assert found.sweep_deg == sweep


@pytest.mark.parametrize("text", ["", "r", "24qq", "r600 0", "-300", "0", "abc"])
def test_what_is_no_length_yet_is_none(text: str) -> None:
    assert read_piece(text, "m") is None


def test_a_size_is_width_by_depth() -> None:
    assert read_size("2400 x 600", "m") == (2400.0, 600.0)
    assert read_size("2.4 m×0.6 m", "m") == (2400.0, 600.0)
    assert read_size("2400", "m") is None
    assert read_size("2400 x", "m") is None


def test_keys_type_and_rub_out() -> None:
    assert retype("", Key("text", "2")) == "2"
    assert retype("2", Key("text", "m")) == "2m"
    assert retype("24", Key("backspace")) == "2"
    assert retype("", Key("backspace")) is None


def test_a_letter_types_nothing_before_a_digit_but_r_begins_an_arc() -> None:
    assert retype("", Key("text", "b")) is None
    assert retype("", Key("text", "r")) is None
    assert retype("", Key("text", "r"), arcs=True) == "r"


def test_typing_ends_somewhere() -> None:
    assert retype("1" * 40, Key("text", "1")) is None


def test_a_length_of_nothing_is_none() -> None:
    assert read_length("0", "m") is None
