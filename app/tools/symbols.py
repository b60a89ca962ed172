"""How large the symbols of devices are in plan, for drawing, hits and snapping."""

from core.layout.parts import Booster, Inline, Strip
from core.layout.queries import STRIP_WAY_MM

BOOSTER_MM = (150.0, 100.0)
"""Width and depth of a booster's symbol. [mm]"""

INLINE_MM = (84.0, 44.0)
"""Width and depth of a breaker's symbol, or that of any in-line device. [mm]"""

STRIP_DEPTH_MM = 26.0
"""Depth of a terminal strip. [mm]"""


def symbol_size_mm(part: Booster | Inline | Strip) -> tuple[float, float]:
    """Return width and depth of a symbol, which stands centred on its place. [mm]"""
    match part:
        case Booster():
            return BOOSTER_MM
        case Inline():
            return INLINE_MM
        case Strip():
            return STRIP_WAY_MM * (part.ways + 1), STRIP_DEPTH_MM
