"""The tables' reader: what it takes, and what it refuses."""

from collections.abc import Callable
from importlib.resources import files

import pytest

from core.errors import FileFormatError, UnknownNameError
from core.materials.tables.reading import Row, index_by_id, look_up, read_rows, rows_of

TABLES = ("awg", "metric", "rails", "joints", "loads", "contacts")


@pytest.mark.parametrize("name", TABLES)
def test_every_row_of_every_table_names_its_source(name: str) -> None:
    column = "amps_source" if name == "awg" else "source"
    assert all(len(row.text(column)) > 3 for row in read_rows(name))


def test_no_table_lies_there_unread() -> None:
    folder = files("core.materials.tables")
    found = {f.name for f in folder.iterdir() if f.name.endswith(".csv")}
    assert found == {f"{name}.csv" for name in TABLES}


@pytest.mark.parametrize(
    ("cell", "take", "complaint"),
    [
        ("", Row.text, "t.csv row 2: no a"),
        ("  ", Row.text, "t.csv row 2: no a"),
        ("x", Row.number, "t.csv row 2: a is 'x', not a number"),
        ("-1", Row.number, "t.csv row 2: a is -1, out of range"),
        ("nan", Row.number, "t.csv row 2: a is nan, out of range"),
        ("inf", Row.number, "t.csv row 2: a is inf, out of range"),
        ("1.5", Row.whole, "t.csv row 2: a is 1.5, not whole"),
    ],
)
def test_bad_cells_are_named(
    cell: str, take: Callable[[Row, str], object], complaint: str
) -> None:
    (row,) = rows_of("t", ["a,b", f"{cell},1"])
    with pytest.raises(FileFormatError) as caught:
        take(row, "a")
    assert str(caught.value) == complaint


@pytest.mark.parametrize("line", ["1", "1,2,3"])
def test_rows_of_another_width_are_refused(line: str) -> None:
    with pytest.raises(FileFormatError, match="not as many cells as columns"):
        rows_of("t", ["a,b", line])


def test_a_column_that_is_not_there_is_named() -> None:
    (row,) = rows_of("t", ["a", "1"])
    with pytest.raises(FileFormatError, match="no b"):
        row.text("b")


@pytest.mark.parametrize("cells", ["2,1,3", "1,3,2", "0,1,2"])
def test_a_value_outside_its_band_is_refused(cells: str) -> None:
    (row,) = rows_of("t", ["low,value,high", cells])
    with pytest.raises(FileFormatError, match="outside its band"):
        row.band("low", "value", "high")


def test_an_id_may_not_stand_there_twice() -> None:
    with pytest.raises(FileFormatError, match="x stands there twice"):
        index_by_id([("x", 1), ("y", 2), ("x", 3)], "t.csv")


def test_a_name_with_no_near_neighbour_gets_no_suggestion() -> None:
    with pytest.raises(UnknownNameError) as caught:
        look_up({"alpha": 1}, "zzz", "thing")
    assert str(caught.value) == "There is no thing called 'zzz'."
    assert caught.value.hint == ""
