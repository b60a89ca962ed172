"""Reads a table that lies beside this file, and looks things up by name."""

import csv
import math
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from importlib.resources import files
from typing import TypeVar

from core.errors import FileFormatError, UnknownNameError

Thing = TypeVar("Thing")


class Row:
    """One row of a table; each cell is checked as it is taken."""

    def __init__(self, where: str, cells: Mapping[str, str]) -> None:
        self.where = where
        self._cells = cells

    def text(self, column: str) -> str:
        """Return a text; it may not be empty."""
        text = (self._cells.get(column) or "").strip()
        if not text:
            raise FileFormatError(self.where, f"no {column}")
        return text

    def number(self, column: str) -> float:
        """Return a number; it must be finite and not negative."""
        text = self.text(column)
        try:
            number = float(text)
        except ValueError as error:
            raise FileFormatError(
                self.where, f"{column} is {text!r}, not a number"
            ) from error
        if not 0.0 <= number < math.inf:
            raise FileFormatError(self.where, f"{column} is {text}, out of range")
        return number

    def whole(self, column: str) -> int:
        """Return a whole number."""
        number = self.number(column)
        if not number.is_integer():
            raise FileFormatError(self.where, f"{column} is {number}, not whole")
        return int(number)

    def band(self, low: str, value: str, high: str) -> tuple[float, float, float]:
        """Return low, value and high; 0 < low ≤ value ≤ high must hold."""
        band = (self.number(low), self.number(value), self.number(high))
        if not 0.0 < band[0] <= band[1] <= band[2]:
            raise FileFormatError(self.where, f"{value} lies outside its band {band}")
        return band


def read_rows(name: str) -> list[Row]:
    """Return the rows of a table of this folder; "joints" reads joints.csv."""
    text = (files(__package__) / f"{name}.csv").read_text(encoding="utf-8")
    return rows_of(name, text.splitlines())


def rows_of(name: str, lines: Iterable[str]) -> list[Row]:
    """Return the rows of a table's text; the first line names the columns.

    Raises
    ------
    FileFormatError
        A row has more or fewer cells than the first line.
    """
    rows: list[Row] = []
    for number, cells in enumerate(csv.DictReader(lines), start=2):
        where = f"{name}.csv row {number}"
        if None in cells or None in cells.values():
            raise FileFormatError(where, "not as many cells as columns")
        rows.append(Row(where, cells))
    return rows


def read_range(where: str, text: str) -> tuple[float, float]:
    """Return the two ends of a range such as "0.5-1".

    Raises
    ------
    FileFormatError
        It is not two rising numbers above 0.
    """
    low, _, high = text.partition("-")
    try:
        ends = float(low), float(high)
    except ValueError as error:
        raise FileFormatError(where, f"{text!r} is not a range like 0.5-1") from error
    if not 0.0 < ends[0] <= ends[1] < math.inf:
        raise FileFormatError(where, f"{text!r} does not rise")
    return ends


def index_by_id(things: Iterable[tuple[str, Thing]], where: str) -> dict[str, Thing]:
    """Return things by id, in order.

    Raises
    ------
    FileFormatError
        An id stands there twice.
    """
    index: dict[str, Thing] = {}
    for name, thing in things:
        if name in index:
            raise FileFormatError(where, f"{name} stands there twice")
        index[name] = thing
    return index


def look_up(index: Mapping[str, Thing], name: str, kind: str) -> Thing:
    """Return the thing of that name.

    Raises
    ------
    UnknownNameError
        There is none; the error suggests the nearest name.
    """
    if name not in index:
        near = get_close_matches(name, index, n=1)
        raise UnknownNameError(name, kind, near[0] if near else None)
    return index[name]
