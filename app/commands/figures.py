"""Figures and places as the JSON of the commands has them."""

from math import isfinite
from typing import Any

from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.layout.queries import run_name


def tidy(value: float | None) -> float | None:
    """Return a figure as JSON can hold it: null where it is not finite."""
    return float(value) if value is not None and isfinite(value) else None


def place_of(layout: Layout, place: OnRun) -> dict[str, Any]:
    """Return a place: the run's id, its name, and metres from its start."""
    return {
        "run": place.run,
        "track": run_name(layout, place.run),
        "position_m": tidy(place.position_m),
    }
