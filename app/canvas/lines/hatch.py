"""Slanting strokes along edges, as in a drawing of a wall."""

import numpy as np

from app.canvas.lines.chunks import Floats
from app.canvas.look import Look

HATCH_PX = 9.0
"""Length and spacing of the strokes along an edge. [px]"""

HATCH_SHARE = 0.6
"""How much of that they have as seen from above. [1]"""

MOST_STROKES = 1500
"""An edge has no more of them. [1]"""

LEAN = 0.6
"""How far a stroke goes along its edge for each bit that it goes out. [1]"""


def hatch_mm(look: Look) -> float:
    """Return length and spacing of the strokes at the present zoom and side. [mm]"""
    return HATCH_PX * look.mm_per_px * (1.0 if look.underside else HATCH_SHARE)


def strokes_along(edges: Floats, size_mm: float) -> Floats:
    """Return strokes along edges, so far apart and reaching so far out.

    Parameters
    ----------
    edges : float64 array, shape (N, 6)
        x0, y0, x1, y1 of each edge, and the way out, of length 1. [mm]

    Returns
    -------
    float64 array, shape (M, 4)
        x0, y0, x1, y1 of each stroke. [mm]
    """
    start, way, out = edges[:, :2], edges[:, 2:4] - edges[:, :2], edges[:, 4:]
    lengths = np.hypot(way[:, 0], way[:, 1])
    counts = np.clip((lengths / size_mm).astype(np.int64), 1, MOST_STROKES)
    which = np.repeat(np.arange(len(edges)), counts)
    first = np.concatenate(([0], np.cumsum(counts)[:-1]))
    t = (np.arange(len(which)) - first[which] + 0.5) / counts[which]
    feet = start[which] + t[:, None] * way[which]
    slant = size_mm * (out + LEAN * way / lengths[:, None])
    return np.column_stack((feet, feet + slant[which]))
