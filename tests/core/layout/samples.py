"""A small layout written out by hand, and how to say that two are the same."""

import json
from typing import Any

from core.layout.layout import Layout
from core.layout.storage.report import LoadReport
from core.layout.storage.text import parse_layout

HEAD: dict[str, Any] = {"format": "feederwright-layout", "version": 1}

RUN: dict[str, Any] = {
    "kind": "run",
    "id": "R1",
    "x_mm": 0,
    "y_mm": 0,
    "heading_deg": 0,
    "pieces": [{"piece": "straight", "length_mm": 2000}],
}
BOOSTER: dict[str, Any] = {"kind": "booster", "id": "PB1", "x_mm": 0, "y_mm": -100}
STRIP: dict[str, Any] = {"kind": "strip", "id": "TS1", "x_mm": 0, "y_mm": 0, "ways": 4}
BUS: dict[str, Any] = {
    "kind": "bus",
    "id": "B1",
    "points": [{"x_mm": 0, "y_mm": -100}, {"x_mm": 1000, "y_mm": -100}],
    "start": {"to": "port", "part": "PB1"},
}
DROP: dict[str, Any] = {
    "kind": "drop",
    "id": "D1",
    "on": {"run": "R1", "position_m": 0.5},
    "to": {"to": "bus", "part": "B1", "position_m": 0.25},
}


def file_of(*lines: dict[str, Any], **head: Any) -> bytes:
    """Return the text of a file with these lines."""
    return json.dumps({**HEAD, **head, "parts": list(lines)}).encode()


def read(*lines: dict[str, Any], **head: Any) -> tuple[Layout, LoadReport]:
    """Return what comes of a file with these lines."""
    return parse_layout(file_of(*lines, **head), "test.fwl")


def content(layout: Layout) -> tuple[Any, ...]:
    """Return all that a file holds of a layout."""
    return dict(layout.parts), dict(layout.issued), dict(layout.extras)
