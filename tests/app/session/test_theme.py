"""Colours can be read: contrast, and the ramp in grey and without red and green."""

from itertools import pairwise

import pytest
from PySide6.QtGui import QColor

from app.session.theme import DARK, LIGHT, Theme

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])


def linear(channel: float) -> float:
    """Return a channel of sRGB as light (IEC 61966-2-1)."""
    return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4


def light(colour: str) -> tuple[float, float, float]:
    read = QColor(colour)
    return linear(read.redF()), linear(read.greenF()), linear(read.blueF())


def luminance(colour: str) -> float:
    """Return the relative luminance (WCAG 2.2, definition of relative luminance)."""
    red, green, blue = light(colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio (WCAG 2.2, definition of contrast ratio)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@THEMES
@pytest.mark.parametrize(
    "role", ["ink", "faint", "accent", "good", "tolerable", "poor", "hazard"]
)
def test_words_stand_out_from_every_ground(theme: Theme, role: str) -> None:
    grounds = (theme.panel, theme.field, theme.paper)
    # WCAG 2.2, success criterion 1.4.3: at least 4.5 to 1 for words.
    assert min(contrast(getattr(theme, role), g) for g in grounds) >= 4.5


@THEMES
def test_words_on_the_accent_stand_out(theme: Theme) -> None:
    assert contrast(theme.on_accent, theme.accent) >= 4.5


@THEMES
def test_the_ramp_only_ever_gets_darker_or_lighter(theme: Theme) -> None:
    steps = [luminance(b) - luminance(a) for a, b in pairwise(theme.ramp)]
    assert all(s < 0 for s in steps) or all(s > 0 for s in steps)


@THEMES
def test_poor_is_told_from_good_in_grey(theme: Theme) -> None:
    # WCAG 2.2, success criterion 1.4.11: at least 3 to 1 between things.
    assert contrast(theme.ramp[0], theme.ramp[-1]) >= 3.0


@THEMES
def test_the_ramp_has_a_colour_for_each_bin(theme: Theme) -> None:
    assert len(set(theme.ramp)) == 24
