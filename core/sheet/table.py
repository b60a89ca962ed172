"""Tables that wrap, go on over pages and repeat their heads."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from core.sheet.frame import Flow, baseline, text_height
from core.sheet.marks import (
    FAINT,
    INK,
    POINT_MM,
    SOFT,
    TINT,
    Line,
    Mark,
    Shape,
    Text,
    box,
)
from core.sheet.typeface import Typeface

HEAD_SIZE = 9.5
"""Size of the heads. [pt]"""

_PAD = 1.5
_AIR = 0.8
_TICK = 6.4
_TICK_COLUMN = 10.2
_WRITE_COLUMN = 24.0
_BOXES = ("tick", "write")


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    head : str
        What stands above it.
    size : float
        Size of type in it. [pt]
    bold : bool
        Whether its cells are bold.
    align : "start", "end", "tick" or "write"
        Where text stands; "tick" draws a box to tick for each cell not empty,
        under a head that runs upwards; "write" a wider one to write in.
    grow : float
        Its share of room left over. [1]
    """

    head: str
    size: float = 11.0
    bold: bool = False
    align: Literal["start", "end", "tick", "write"] = "start"
    grow: float = 0.0


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its cells, a note under them, and a band above that begins a group."""

    cells: tuple[str, ...]
    note: str = ""
    band: str = ""


def lay_table(flow: Flow, columns: Sequence[Column], rows: Iterable[Row]) -> None:
    """Put a table into a flow; heads are repeated on each new leaf."""
    listed = tuple(rows)
    _Setter(flow, tuple(columns), listed).set_rows(listed)


def column_widths(
    columns: Sequence[Column], rows: Iterable[Row], room: float, typeface: Typeface
) -> tuple[float, ...]:
    """Return the widths of columns, which fill the room.

    Each column gets what its longest cell wants. Where that is too much, the
    widest are cut to one common width, though not below their longest word
    (a word longer than a sixth of the table does not count); where there is
    more, it goes to the columns that grow.

    Parameters
    ----------
    columns : sequence of Column
        What is to be set.
    rows : iterable of Row
        All rows of the table.
    room : float
        Width of the table. [mm]
    typeface : Typeface
        What text is measured with.
    """
    listed = tuple(rows)
    wanted: list[float] = []
    least: list[float] = []
    for i, column in enumerate(columns):
        want, word = _measures(column, (r.cells[i] for r in listed), typeface)
        wanted.append(want)
        least.append(min(word, want, room / 6.0))
    if sum(wanted) > room:
        return _squeeze(wanted, least, room)
    spare = room - sum(wanted)
    shares = sum(c.grow for c in columns)
    if shares == 0.0:
        return tuple(w * room / sum(wanted) for w in wanted)
    return tuple(
        w + spare * c.grow / shares for w, c in zip(wanted, columns, strict=True)
    )


def _measures(
    column: Column, cells: Iterable[str], typeface: Typeface
) -> tuple[float, float]:
    """Return the width for one line and the width of the longest word. [mm]"""
    if column.align == "tick":
        return _TICK_COLUMN, _TICK_COLUMN
    heads = [typeface.width(w, HEAD_SIZE, bold=True) for w in column.head.split()]
    want = word = max(heads, default=0.0)
    if column.align == "write":
        wide = max(want + 2 * _PAD, _WRITE_COLUMN)
        return wide, wide
    for cell in set(cells):
        for line in cell.splitlines():
            want = max(want, typeface.width(line, column.size, bold=column.bold))
        for part in cell.split():
            word = max(word, typeface.width(part, column.size, bold=column.bold))
    return want + 2 * _PAD + 0.1, word + 2 * _PAD + 0.1


def _squeeze(wanted: list[float], least: list[float], room: float) -> tuple[float, ...]:
    if sum(least) >= room:
        return _squeeze_words(least, room)
    low, high = 0.0, max(wanted)
    for _ in range(60):
        cap = (low + high) / 2.0
        widths = [max(min(w, cap), m) for w, m in zip(wanted, least, strict=True)]
        if sum(widths) > room:
            high = cap
        else:
            low = cap
    return tuple(max(min(w, low), m) for w, m in zip(wanted, least, strict=True))


def _squeeze_words(least: list[float], room: float) -> tuple[float, ...]:
    """Cut the longest words, where not even words fit; short ones stay whole."""
    low, high = 0.0, max(least)
    for _ in range(60):
        cap = (low + high) / 2.0
        if sum(min(m, cap) for m in least) > room:
            high = cap
        else:
            low = cap
    return tuple(min(m, low) for m in least)


class _Setter:
    """Sets the rows of one table into a flow."""

    def __init__(
        self, flow: Flow, columns: tuple[Column, ...], rows: tuple[Row, ...]
    ) -> None:
        self._flow = flow
        self._face = flow.typeface
        self._columns = columns
        self._widths = column_widths(columns, rows, flow.box.width, flow.typeface)
        self._lefts = [
            flow.box.left + sum(self._widths[:i]) for i in range(len(columns))
        ]
        self._heads = [
            self._face.wrap(c.head, w - 2 * _PAD, HEAD_SIZE, bold=True)
            for c, w in zip(columns, self._widths, strict=True)
        ]
        self._head_height = self._measure_head()
        sizes = (c.size for c in columns if c.align not in _BOXES)
        self._largest = max(sizes, default=9.0)

    def set_rows(self, rows: tuple[Row, ...]) -> None:
        """Put heads and rows."""
        first = self._split(rows[0])[0][1] if rows else 0.0
        self._flow.need(self._head_height + first)
        self._set_head()
        for number, row in enumerate(rows):
            self._set_row(row, shaded=number % 2 == 1)
        self._flow.put((self._rule(self._flow.y, 0.4),), 1.0)

    def _measure_head(self) -> float:
        tall = 0.0
        for column, lines in zip(self._columns, self._heads, strict=True):
            if column.align == "tick":
                tall = max(tall, self._face.width(column.head, HEAD_SIZE) + 3.0)
            else:
                tall = max(tall, text_height(HEAD_SIZE, len(lines)) + 2.0)
        return tall

    def _set_head(self) -> None:
        bottom = self._flow.y + self._head_height
        marks: list[Mark] = []
        for i, column in enumerate(self._columns):
            if column.align == "tick":
                middle = self._lefts[i] + self._widths[i] / 2.0
                x = middle + 0.36 * HEAD_SIZE * POINT_MM
                head = Text(x, bottom - 1.6, column.head, HEAD_SIZE, rotation=90.0)
                marks.append(head)
                continue
            top = bottom - 1.2 - text_height(HEAD_SIZE, len(self._heads[i]))
            marks += self._lines(i, self._heads[i], top, HEAD_SIZE, bold=True)
        marks.append(self._rule(bottom, 0.5))
        self._flow.put(marks, self._head_height)

    def _set_row(self, row: Row, *, shaded: bool) -> None:
        for number, (lines, height) in enumerate(self._split(row)):
            band = row.band if number == 0 else ""
            above = self._band_height(band)
            note = row.note if number == 0 else ""
            self._make_room(above + height + self._first_note(note))
            if band:
                self._set_band(band, above)
            self._flow.put(
                self._row_marks(row, lines, height, shaded=shaded, first=number == 0),
                height,
            )
        if row.note:
            self._set_note(row.note, shaded=shaded)

    def _make_room(self, height: float) -> None:
        """Go on on a new leaf where need be, the table closed here, opened there."""
        if height > self._flow.room + 1e-6:
            self._flow.put((self._rule(self._flow.y, 0.4),))
            self._flow.turn()
            self._set_head()

    def _split(self, row: Row) -> list[tuple[list[tuple[str, ...]], float]]:
        """Return the row as pieces that fit a leaf: lines by column, and height."""
        cells = [
            self._face.wrap(cell, w - 2 * _PAD, c.size, bold=c.bold)
            if c.align not in _BOXES
            else ()
            for cell, w, c in zip(row.cells, self._widths, self._columns, strict=True)
        ]
        most = max((text_height(c.size) for c in self._columns), default=1.0)
        room = self._flow.box.height - self._head_height - 20.0
        fits = max(int(room / most), 1)
        longest = max(map(len, cells))
        pieces: list[tuple[list[tuple[str, ...]], float]] = []
        for start in range(0, max(longest, 1), fits):
            part = [lines[start : start + fits] for lines in cells]
            pieces.append((part, self._height(part)))
        return pieces

    def _height(self, cells: list[tuple[str, ...]]) -> float:
        tall = 0.0
        for column, lines in zip(self._columns, cells, strict=True):
            if column.align in _BOXES:
                tall = max(tall, _TICK)
            else:
                shift = self._shift(column.size)
                tall = max(tall, shift + text_height(column.size, len(lines)))
        return tall + 2 * _AIR

    def _shift(self, size: float) -> float:
        """Return how far smaller type moves down to stand on the same line. [mm]"""
        return baseline(0.0, self._largest) - baseline(0.0, size)

    def _row_marks(
        self,
        row: Row,
        cells: list[tuple[str, ...]],
        height: float,
        *,
        shaded: bool,
        first: bool,
    ) -> list[Mark]:
        top = self._flow.y
        marks: list[Mark] = []
        if shaded:
            marks.append(self._ground(top, height))
        for i, column in enumerate(self._columns):
            if column.align not in _BOXES:
                start = top + _AIR + self._shift(column.size)
                marks += self._lines(i, cells[i], start, column.size, bold=column.bold)
            elif row.cells[i] and first:
                marks.append(self._empty_box(i, top, height))
        if first:
            marks.append(self._rule(top, 0.2, FAINT))
        return marks

    def _lines(
        self, i: int, lines: tuple[str, ...], top: float, size: float, *, bold: bool
    ) -> list[Mark]:
        to_right = self._columns[i].align == "end"
        x = self._lefts[i] + (self._widths[i] - _PAD if to_right else _PAD)
        anchor: Literal["start", "end"] = "end" if to_right else "start"
        step = text_height(size)
        return [
            Text(x, baseline(top + n * step, size), line, size, anchor, bold=bold)
            for n, line in enumerate(lines)
            if line
        ]

    def _empty_box(self, i: int, top: float, height: float) -> Mark:
        is_tick = self._columns[i].align == "tick"
        width = _TICK if is_tick else self._widths[i] - 2 * _PAD
        x = self._lefts[i] + (self._widths[i] - width) / 2.0
        y = top + (height - _TICK) / 2.0
        return Line(box(x, y, width, _TICK), 0.35, closed=True)

    def _band_height(self, band: str) -> float:
        return text_height(HEAD_SIZE) + 1.1 if band else 0.0

    def _set_band(self, band: str, height: float) -> None:
        y = self._flow.y
        room = self._flow.box.width - 2 * _PAD
        words = self._face.shorten(band, room, HEAD_SIZE, bold=True)
        at = baseline(y + 0.65, HEAD_SIZE)
        x = self._flow.box.left + _PAD
        marks = (self._rule(y, 0.5), Text(x, at, words, HEAD_SIZE, bold=True))
        self._flow.put(marks, height)

    def _note_lines(self, note: str) -> tuple[str, ...]:
        return self._face.wrap(note, self._flow.box.width - 8.0, HEAD_SIZE)

    def _first_note(self, note: str) -> float:
        """Return the room a note must have at once: up to six lines. [mm]"""
        if not note:
            return 0.0
        return text_height(HEAD_SIZE, min(len(self._note_lines(note)), 6)) + 1.0

    def _set_note(self, note: str, *, shaded: bool) -> None:
        step = text_height(HEAD_SIZE)
        lines = self._note_lines(note)
        for n, line in enumerate(lines):
            height = step + (1.0 if n == len(lines) - 1 else 0.0)
            self._make_room(height)
            x, at = self._flow.box.left + 4.0, baseline(self._flow.y, HEAD_SIZE)
            marks: list[Mark] = [Text(x, at, line, HEAD_SIZE, ink=SOFT)]
            if shaded:
                marks.insert(0, self._ground(self._flow.y, height))
            self._flow.put(marks, height)

    def _ground(self, top: float, height: float) -> Mark:
        return Shape(box(self._flow.box.left, top, self._flow.box.width, height), TINT)

    def _rule(self, y: float, width: float, ink: str = INK) -> Line:
        return Line(((self._flow.box.left, y), (self._flow.box.right, y)), width, ink)
