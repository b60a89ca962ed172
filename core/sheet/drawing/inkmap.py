"""Where on a drawing there is room for a label."""

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, cos, floor, hypot, pi, sin

import numpy as np

from core.sheet.drawing.clipping import clip_line
from core.sheet.frame import Box, baseline, text_height
from core.sheet.marks import FAINT, INK, WHITE, XY, Line, Mark, Shape, Text
from core.sheet.typeface import Typeface

LIGHT = 1.0
"""Weight of a line that a label may lie on, if it must. [1]"""

HEAVY = 60.0
"""Weight of what must stay readable: other labels, holes, symbols. [1]"""

LONGEST_LABEL = 55.0
"""Longer words are cut; the schedules have them whole. [mm]"""

_DISTANCES = (1.2, 2.6, 4.5, 7.0, 10.0, 14.0, 19.0, 25.0, 32.0)
_DIRECTIONS = 16
_ANGLES = tuple(2.0 * pi * turn / _DIRECTIONS for turn in range(_DIRECTIONS))
_TURNS = tuple((cos(a), sin(a), 0.1 * abs(sin(2 * a))) for a in _ANGLES)
"""Each direction, and what a place that lies aslant costs."""

_FAR = 0.6


@dataclass(frozen=True, slots=True)
class Words:
    """One line of a label."""

    text: str
    size: float = 9.0
    bold: bool = False
    ink: str = INK


class InkMap:
    """A drawing as cells of one millimetre: how much of value lies in each.

    Labels are put one after the other where they hide least and lie nearest,
    with a thin pointer where they had to move away; so those put first have
    the first choice.
    """

    def __init__(self, window: Box, typeface: Typeface) -> None:
        self._window = window
        self._typeface = typeface
        shape = (ceil(window.height) + 1, ceil(window.width) + 1)
        self._ink = np.zeros(shape, np.float64)

    def mark_line(self, points: tuple[XY, ...], weight: float = LIGHT) -> None:
        """Note a line, once a cell along it."""
        top, left = self._window.top, self._window.left
        for part in clip_line(points, self._window):
            for here, there in pairwise(part):
                steps = max(ceil(hypot(there[0] - here[0], there[1] - here[1])), 1)
                t = (np.arange(steps) + 0.5) / steps
                columns = here[0] - left + t * (there[0] - here[0])
                rows = here[1] - top + t * (there[1] - here[1])
                self._ink[rows.astype(np.intp), columns.astype(np.intp)] += weight

    def mark_box(self, area: Box, weight: float = HEAVY) -> None:
        """Note an area that must stay readable."""
        self._add(area, weight)

    def place(
        self, at: XY, lines: tuple[Words, ...], clear: float = 0.0
    ) -> tuple[Mark, ...]:
        """Return the marks of a label near a point, and note where it lies.

        Parameters
        ----------
        at : XY
            What the label belongs to. [mm]
        lines : tuple of Words
            Its lines, from the top.
        clear : float
            Radius round the point to keep off. [mm]
        """
        typeface = self._typeface
        lines = tuple(self._shortened(words) for words in lines)
        width = 1.2 + max(typeface.width(w.text, w.size, bold=w.bold) for w in lines)
        height = 0.6 + sum(text_height(w.size) for w in lines)
        area = self._choose(at, width, height, clear)
        self._add(area, HEAVY)
        marks: list[Mark] = []
        pointer = _pointer(at, area, clear)
        if pointer is not None:
            marks.append(Line(pointer, 0.25, FAINT, (0.9, 0.7)))
        marks.append(Shape(area.corners, WHITE))
        y = area.top + 0.3
        middle = (area.left + area.right) / 2.0
        for words in lines:
            where = baseline(y, words.size)
            marks.append(
                Text(
                    middle,
                    where,
                    words.text,
                    words.size,
                    "middle",
                    bold=words.bold,
                    ink=words.ink,
                )
            )
            y += text_height(words.size)
        return tuple(marks)

    def _shortened(self, words: Words) -> Words:
        text = self._typeface.shorten(
            words.text, LONGEST_LABEL, words.size, bold=words.bold
        )
        return words if text == words.text else replace(words, text=text)

    def _choose(self, at: XY, width: float, height: float, clear: float) -> Box:
        best: tuple[float, float] | None = None
        least = float("inf")
        w, ink = self._window, self._ink
        reaches = [_reach(x, y, width, height) for x, y, _ in _TURNS]
        for distance in _DISTANCES:
            if _FAR * distance >= least:
                break
            for (x, y, aslant), reach in zip(_TURNS, reaches, strict=True):
                if _FAR * distance + aslant >= least:
                    continue
                away = clear + distance + reach
                left = at[0] + away * x - width / 2.0
                top = at[1] + away * y - height / 2.0
                if not (
                    w.left <= left
                    and left + width <= w.right
                    and w.top <= top
                    and top + height <= w.bottom
                ):
                    continue
                cells = ink[
                    int(top - w.top) : int(top + height - w.top) + 1,
                    int(left - w.left) : int(left + width - w.left) + 1,
                ]
                hidden = float(np.add.reduce(cells, axis=None))
                cost = hidden + _FAR * distance + aslant
                if cost < least:
                    best, least = (left, top), cost
        if best is None:
            return self._held_inside(at, width, height)
        return Box(*best, best[0] + width, best[1] + height)

    def _held_inside(self, at: XY, width: float, height: float) -> Box:
        left = max(min(at[0], self._window.right - width), self._window.left)
        top = max(min(at[1], self._window.bottom - height), self._window.top)
        return Box(left, top, left + width, top + height)

    def _add(self, area: Box, weight: float) -> None:
        cells = self._cells(area)
        cells += weight

    def _cells(self, area: Box) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
        top, left = area.top - self._window.top, area.left - self._window.left
        bottom, right = area.bottom - self._window.top, area.right - self._window.left
        return self._ink[
            max(floor(top), 0) : max(floor(bottom) + 1, 0),
            max(floor(left), 0) : max(floor(right) + 1, 0),
        ]


def _reach(x: float, y: float, width: float, height: float) -> float:
    """Return how far it is from the middle of a box to its edge in a direction."""
    reach_x = width / 2.0 / abs(x) if abs(x) > 1e-9 else float("inf")
    reach_y = height / 2.0 / abs(y) if abs(y) > 1e-9 else float("inf")
    return min(reach_x, reach_y)


def _pointer(at: XY, area: Box, clear: float) -> tuple[XY, XY] | None:
    """Return a thin line from a point to its label, where they lie apart."""
    x = min(max(at[0], area.left), area.right)
    y = min(max(at[1], area.top), area.bottom)
    gap = hypot(x - at[0], y - at[1])
    if gap <= clear + 2.0:
        return None
    t = clear / gap
    return (at[0] + t * (x - at[0]), at[1] + t * (y - at[1])), (x, y)
