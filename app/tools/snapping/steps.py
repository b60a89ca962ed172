"""Round lengths that suit the zoom."""

from typing import Literal

_METRIC_MM = tuple(b * 10.0**e for e in range(-1, 4) for b in (1, 2, 5))
_INCH_MM = tuple(
    25.4 * n for n in (1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 6, 12, 36, 120, 240)
)

SNAP_PX = 4.0
"""The snapping grid is never finer than this on screen. [px]"""

TIDY_DIGITS = 7
"""Decimals kept of millimetres and degrees, so that files hold no float dust."""


def round_step_mm(
    mm_per_px: float, lengths: Literal["m", "ft"], least_px: float = SNAP_PX
) -> float:
    """Return the smallest round length that covers `least_px` on screen. [mm]"""
    steps = _METRIC_MM if lengths == "m" else _INCH_MM
    least = least_px * mm_per_px
    return next((step for step in steps if step >= least), steps[-1])


def to_step(value: float, step: float) -> float:
    """Return the multiple of `step` nearest to a value."""
    return round(round(value / step) * step, TIDY_DIGITS)
