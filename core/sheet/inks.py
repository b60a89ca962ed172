"""How the two conductors look on paper: colour, line and letter at once."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from core.layout.parts import Conductor, Settings
from core.sheet.frame import Box, baseline, text_height
from core.sheet.marks import INK, POINT_MM, WHITE, XY, Circle, Line, Mark, Text
from core.sheet.schedules.words import letters_of
from core.sheet.typeface import CAP_HEIGHT, Typeface

_NAMED = {
    "black": "#111111",
    "red": "#c01818",
    "brown": "#7a4319",
    "orange": "#c45a00",
    "yellow": "#a88400",
    "green": "#1d7a32",
    "blue": "#1a4fae",
    "violet": "#6a2c91",
    "purple": "#6a2c91",
    "grey": "#6e6e6e",
    "gray": "#6e6e6e",
    "white": "#7d7d7d",
    "pink": "#c2487d",
    "turquoise": "#147f85",
}
"""Inks for the colours that wire is sold in (names of IEC 60757, in words), deep
enough for a line on white paper; house choice."""

_SECOND_BLACK = "#444444"
"""For B where both conductors come out in the same ink."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """How one conductor is drawn.

    Attributes
    ----------
    letter : str
        Its short sign.
    colour : str
        The colour of its wire in the person's words.
    ink : str
        Ink for its lines.
    dash : tuple of float
        Empty for A, which is solid; B is dashed. [mm]
    style : str
        The same in a word.
    """

    letter: str
    colour: str
    ink: str
    dash: tuple[float, ...]
    style: str

    def sample(self, x: float, y: float, length: float, width: float = 0.9) -> Line:
        """Return a sample of its line. [mm]"""
        return Line(((x, y), (x + length, y)), width, self.ink, self.dash)

    def badge(self, at: XY, radius: float = 1.75) -> tuple[Mark, ...]:
        """Return its letter in a circle, to be put on its line. [mm]"""
        size = 1.35 * radius / POINT_MM / (1.0 if len(self.letter) == 1 else 1.5)
        drop = CAP_HEIGHT * size * POINT_MM / 2.0
        return (
            Circle(at[0], at[1], radius, WHITE, self.ink, 0.35),
            Text(at[0], at[1] + drop, self.letter, size, "middle", bold=True),
        )


@dataclass(frozen=True, slots=True)
class Strokes:
    """The two conductors."""

    a: Stroke
    b: Stroke


def strokes_of(settings: Settings) -> Strokes:
    """Return how the conductors of a layout are drawn."""
    letters = letters_of(settings)
    inks = [ink_of(c) for c in (settings.conductor_a, settings.conductor_b)]
    if inks[0] == inks[1]:
        inks[1] = _SECOND_BLACK
    return Strokes(
        Stroke(letters[0], settings.conductor_a.colour, inks[0], (), "solid line"),
        Stroke(
            letters[1], settings.conductor_b.colour, inks[1], (2.4, 1.3), "dashed line"
        ),
    )


def ink_of(conductor: Conductor) -> str:
    """Return an ink for a wire colour in words or as "#rrggbb"; black if unknown."""
    text = conductor.colour.strip().lower()
    if re.fullmatch(r"#[0-9a-f]{6}", text):
        return _deepened(text)
    words = re.split(r"[^a-z]+", text)
    return next((_NAMED[w] for w in words if w in _NAMED), INK)


def key_rows(
    strokes: Strokes, typeface: Typeface, area: Box, y: float
) -> Iterable[Mark]:
    """Draw the key of conductors at the top of an area from y, two rows. [mm]"""
    size, step = 12.0, 1.5 * text_height(12.0)
    for number, stroke in enumerate((strokes.a, strokes.b)):
        top = y + number * step
        middle = top + text_height(size) / 2.0
        yield stroke.sample(area.left, middle, 22.0)
        yield from stroke.badge((area.left + 11.0, middle), 2.4)
        words = f"{stroke.style}, {stroke.colour} wire"
        words = typeface.shorten(words, area.width - 27.0, size)
        yield Text(area.left + 27.0, baseline(top, size), words, size)


def _deepened(colour: str) -> str:
    """Return a colour dark enough for a line: luma at most 0.45 (ITU-R BT.601)."""
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    luma = (0.299 * red + 0.587 * green + 0.114 * blue) / 255.0
    by = min(0.45 / luma, 1.0) if luma > 0.0 else 1.0
    return "#" + "".join(f"{round(c * by):02x}" for c in (red, green, blue))
