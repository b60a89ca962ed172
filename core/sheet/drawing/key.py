"""The key under a drawing, and the little map of its parts."""

from collections.abc import Iterable, Sequence

from core.sheet.drawing.holes import HOLE
from core.sheet.drawing.view import Tile
from core.sheet.inks import Strokes
from core.sheet.marks import (
    FAINT,
    INK,
    POINT_MM,
    SOFT,
    TINT,
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


def key_marks(
    strokes: Strokes, typeface: Typeface, right: float, y: float, *, below: bool
) -> Iterable[Mark]:
    """Draw the key in one line that ends at `right`, centred on y. [mm]"""
    a, b = (typeface.shorten(s.colour, 24.0, _SIZE) for s in (strokes.a, strokes.b))
    words = [
        f"{a}, solid",
        f"{b}, dashed",
        f"drop; {strokes.a.letter}: side of its rail",
        *(["joist"] if below else []),
    ]
    symbols = [_SAMPLE, _SAMPLE, 2 * HOLE, 7.0][: len(words)]
    widths = [
        symbol + 1.5 + typeface.width(text, _SIZE)
        for symbol, text in zip(symbols, words, strict=True)
    ]
    x = right - sum(widths) - _GAP * (len(words) - 1)
    base = y + CAP_HEIGHT * _SIZE * POINT_MM / 2.0
    for number, (width, symbol, text) in enumerate(
        zip(widths, symbols, words, strict=True)
    ):
        yield from _symbol(number, strokes, x, y)
        yield Text(x + symbol + 1.5, base, typeface.legible(text), _SIZE)
        x += width + _GAP


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


def _symbol(number: int, strokes: Strokes, x: float, y: float) -> Iterable[Mark]:
    match number:
        case 0 | 1:
            stroke = strokes.a if number == 0 else strokes.b
            yield stroke.sample(x, y, _SAMPLE, 0.75)
            yield from stroke.badge((x + _SAMPLE / 2.0, y))
        case 2:
            yield Circle(x + HOLE, y, HOLE, INK, INK, 0.0)
            yield Circle(x + HOLE, y, 0.5, "#ffffff", INK, 0.0)
        case _:
            area = box(x, y - 1.3, 7.0, 2.6)
            yield Shape(area, TINT)
            yield Line(((x + 1.0, y - 1.3), (x + 3.6, y + 1.3)), 0.12, FAINT)
            yield Line(((x + 3.6, y - 1.3), (x + 6.2, y + 1.3)), 0.12, FAINT)
            yield Line(area, 0.25, FAINT, closed=True)
