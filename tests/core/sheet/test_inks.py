"""Conductors can be told apart on white paper, in grey too."""

import pytest

from core.layout.parts import Conductor, Settings
from core.sheet.frame import Box
from core.sheet.inks import ink_of, key_rows, strokes_of
from core.sheet.marks import Text
from core.sheet.typeface import Typeface


def settings(a: str, b: str, names: tuple[str, str] = ("A", "B")) -> Settings:
    return Settings(
        conductor_a=Conductor(name=names[0], colour=a),
        conductor_b=Conductor(name=names[1], colour=b),
    )


def contrast(ink: str) -> float:
    """Return the contrast with white paper (WCAG 2.2, relative luminance)."""
    shares = [int(ink[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [
        s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares
    ]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 1.05 / (luminance + 0.05)


@pytest.mark.parametrize(
    "colour",
    ["red", "white", "yellow", "light blue", "grey-ish", "#ffff00", "#fefefe", "rouge"],
)
def test_every_wire_colour_is_seen_on_white_paper(colour: str) -> None:
    # WCAG 2.2, 1.4.11: lines that carry meaning want 3:1.
    assert contrast(ink_of(Conductor(name="A", colour=colour))) >= 3.0


def test_a_colour_in_words_is_found_among_others() -> None:
    plain = ink_of(Conductor(name="A", colour="blue"))
    assert ink_of(Conductor(name="A", colour="Dark Blue, thin")) == plain


def test_conductors_differ_without_any_colour() -> None:
    strokes = strokes_of(settings("red", "red"))
    assert strokes.a.dash == ()
    assert len(strokes.b.dash) == 2
    assert strokes.a.letter != strokes.b.letter
    assert strokes.a.ink != strokes.b.ink


def test_two_conductors_of_one_name_are_still_a_and_b() -> None:
    strokes = strokes_of(settings("red", "black", ("X", "X")))
    assert (strokes.a.letter, strokes.b.letter) == ("A", "B")


def test_the_key_says_letter_line_and_colour_in_words() -> None:
    marks = key_rows(
        strokes_of(settings("red", "black")), Typeface(), Box(0, 0, 100, 50), 0.0
    )
    said = [mark.text for mark in marks if isinstance(mark, Text)]
    assert said == ["A", "solid line, red wire", "B", "dashed line, black wire"]
