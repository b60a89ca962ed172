"""Figures, places and rows, as the commands print them."""

import textwrap
from collections.abc import Iterable
from math import isfinite
from typing import Any

from core.analysis.study import Beyond
from core.layout.layout import Layout
from core.layout.parts import OnRun
from core.layout.queries import run_name

WIDTH = 79
"""Columns of the text; what is piped into a file has no other width."""


def write_rows(rows: Iterable[tuple[str, str]], column: int) -> str:
    """Return names and their texts, the texts below each other from a column on."""
    indent = " " * column
    return "\n".join(
        textwrap.fill(
            f"{name:<{column}}{text}",
            WIDTH,
            subsequent_indent=indent,
            break_on_hyphens=False,
        )
        for name, text in rows
    )


def write_text(text: str, indent: str = "") -> str:
    """Return a paragraph."""
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent,
        break_on_hyphens=False,
    )


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


def describe_beyond(beyond: Beyond) -> dict[str, Any]:
    """Return a device that cannot give what is drawn."""
    return {
        "part": beyond.part,
        "amps_a": tidy(beyond.amps_a),
        "bound": beyond.bound,
        "bound_a": tidy(beyond.bound_a),
    }
