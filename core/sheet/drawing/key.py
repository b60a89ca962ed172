"""The key under a drawing, and the little map of its parts."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from core.sheet.drawing.crossing import CROSSING_SIGN, crossing_sign
from core.sheet.drawing.holes import HOLE
from core.sheet.drawing.opening import opening_sign
from core.sheet.drawing.pit import PIT_SIGN, pit_sign
from core.sheet.drawing.view import Tile
from core.sheet.inks import Strokes
from core.sheet.marks import (
    FAINT,
    INK,
    POINT_MM,
    SOFT,
    TINT,
    XY,
    Circle,
    Line,
    Mark,
    Shape,
    Text,
    box,
)
from core.sheet.typeface import CAP_HEIGHT, Typeface

_SIZE = 9.0
_GAP = 5.0
_SAMPLE = 12.0
_CELL = 4.2


Sign = Literal["A", "B", "drop", "crossing", "pit", "opening", "joist"]

_WIDTHS: dict[Sign, float] = {
    "A": _SAMPLE,
    "B": _SAMPLE,
    "drop": 2 * HOLE,
    "crossing": 2 * CROSSING_SIGN + 1.0,
    "pit": 2 * PIT_SIGN,
    "opening": 7.0,
    "joist": 7.0,
}

_ALSO: dict[Sign, str] = {
    "crossing": "crossing, live or dead",
    "pit": "turntable, split: its ring is cut",
    "opening": "opening: hinge side",
}
"""Words of signs that are only told where there is such a thing."""


ROW_MM = 4.6
"""From one row of a key to the next. [mm]"""


@dataclass(frozen=True, slots=True)
class Entry:
    """One sign of a key, its words, and what both take side by side. [mm]"""

    sign: Sign
    words: str
    width: float


def key_rows(
    strokes: Strokes,
    typeface: Typeface,
    room: float,
    *,
    below: bool,
    also: Collection[Sign] = (),
) -> tuple[tuple[Entry, ...], ...]:
    """Return the key as rows that are no wider than `room`. [mm]

    Parameters
    ----------
    also : collection of Sign
        What there is besides wiring, seen from above.
    """
    a, b = (typeface.shorten(s.colour, 24.0, _SIZE) for s in (strokes.a, strokes.b))
    words: dict[Sign, str] = {
        "A": f"{a}, solid",
        "B": f"{b}, dashed",
        "drop": f"drop; {strokes.a.letter}: side of its rail",
    }
    if not below:
        words |= {sign: text for sign, text in _ALSO.items() if sign in also}
    if below:
        words["joist"] = "joist"
    rows: list[tuple[Entry, ...]] = [()]
    for sign, text in words.items():
        shown = typeface.legible(text)
        wide = _WIDTHS[sign] + 1.5 + typeface.width(shown, _SIZE)
        longer = (*rows[-1], Entry(sign, shown, wide))
        if rows[-1] and _width_of(longer) > room:
            rows.append(longer[-1:])
        else:
            rows[-1] = longer
    return tuple(rows)


def key_marks(
    strokes: Strokes, rows: Sequence[tuple[Entry, ...]], end: XY
) -> Iterable[Mark]:
    """Draw the rows of a key, each to the right, the last centred on `end`. [mm]"""
    right, low = end
    for above, row in enumerate(reversed(rows)):
        y = low - above * ROW_MM
        x = right - _width_of(row)
        base = y + CAP_HEIGHT * _SIZE * POINT_MM / 2.0
        for entry in row:
            yield from _symbol(entry.sign, strokes, x, y)
            yield Text(x + _WIDTHS[entry.sign] + 1.5, base, entry.words, _SIZE)
            x += entry.width + _GAP


def _width_of(row: Sequence[Entry]) -> float:
    return sum(entry.width for entry in row) + _GAP * (len(row) - 1)


def tile_map(tiles: Sequence[Tile], right: float, top: float) -> Iterable[Mark]:
    """Draw which parts of a cut-up drawing a page shows, ending at `right`. [mm]"""
    tile = tiles[0]
    shown = {(t.column, t.row) for t in tiles}
    cell, tall = min(_CELL, 40.0 / tile.columns), min(2.5, 5.4 / tile.rows)
    left = right - tile.columns * cell
    for row in range(tile.rows):
        for column in range(tile.columns):
            here = (column, row) in shown
            corners = box(left + column * cell, top + row * tall, cell, tall)
            yield Shape(corners, INK if here else TINT)
            yield Line(corners, 0.2, SOFT, closed=True)


def _symbol(sign: Sign, strokes: Strokes, x: float, y: float) -> Iterable[Mark]:
    match sign:
        case "A" | "B":
            stroke = strokes.a if sign == "A" else strokes.b
            yield stroke.sample(x, y, _SAMPLE, 0.75)
            yield from stroke.badge((x + _SAMPLE / 2.0, y))
        case "drop":
            yield Circle(x + HOLE, y, HOLE, INK, INK, 0.0)
            yield Circle(x + HOLE, y, 0.5, "#ffffff", INK, 0.0)
        case "crossing":
            yield from crossing_sign((x, y), dead=False)
            yield from crossing_sign((x + CROSSING_SIGN + 1.0, y), dead=True)
        case "pit":
            yield from pit_sign((x, y))
        case "opening":
            yield from opening_sign((x + 0.5, y))
        case "joist":
            area = box(x, y - 1.3, 7.0, 2.6)
            yield Shape(area, TINT)
            yield Line(((x + 1.0, y - 1.3), (x + 3.6, y + 1.3)), 0.12, FAINT)
            yield Line(((x + 3.6, y - 1.3), (x + 6.2, y + 1.3)), 0.12, FAINT)
            yield Line(area, 0.25, FAINT, closed=True)
