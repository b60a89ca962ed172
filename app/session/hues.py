"""How districts are told apart: a hue, a pattern, and always a number.

The hues are those of Okabe and Ito, "Color Universal Design" (2008), told apart by
most colour-blind people; yellow is left out, which paper swallows. They repeat after
seven and the patterns after four, so that 28 districts look unlike each other, and
neighbours by number differ in both; beyond that the number alone tells.
"""

from typing import Literal

LIGHT_HUES: tuple[str, ...] = (
    *("#0072b2", "#d98200", "#009e73", "#b0529a", "#3fa3dd"),
    *("#c65200", "#6b7a00"),
)
"""On paper."""

DARK_HUES: tuple[str, ...] = (
    *("#3d9fe0", "#f0a830", "#20bd90", "#dd8fc4", "#84cdf7"),
    *("#f07a35", "#b9c63c"),
)
"""On dark."""

Pattern = Literal["whole", "split", "broken", "barred"]

PATTERNS: tuple[Pattern, ...] = ("whole", "split", "broken", "barred")
"""A broad line; two lines; long dashes; a line with a dash of ground in its middle."""


def hue_of(hues: tuple[str, ...], number: int) -> str:
    """Return the hue of a district, counted from 1."""
    return hues[(number - 1) % len(hues)]


def ink_on(hue: str, light: str, dark: str) -> str:
    """Return which of two inks stands out more from a hue, by relative luminance.

    That of WCAG 2.1, with the plain power of 2.2 for its curve.
    """
    shades = [int(hue[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    weights = (0.2126, 0.7152, 0.0722)
    glow = sum(w * s**2.2 for w, s in zip(weights, shades, strict=True))
    # As far from white as from black: 1.05 / (g + 0.05) = (g + 0.05) / 0.05.
    return light if glow < 0.179 else dark


def pattern_of(number: int) -> Pattern:
    """Return the pattern of a district, counted from 1."""
    return PATTERNS[(number - 1) % len(PATTERNS)]
