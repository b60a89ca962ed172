"""Tables wrap, break over pages and repeat their heads."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.sheet.frame import Box, Flow, Leaf
from core.sheet.marks import Line, Text
from core.sheet.table import Column, Row, column_widths, lay_table
from core.sheet.typeface import Typeface
from tests.core.sheet.boards import texts

FACE = Typeface()
COLUMNS = (
    Column("Drop", 15.0, bold=True),
    Column("Track", 12.0, grow=1.0),
    Column("drilled", align="tick"),
)


def leaves_of(*rows: Row, height: float = 80.0, width: float = 120.0) -> list[Leaf]:
    flow = Flow("Drops", Box(10.0, 20.0, 10.0 + width, 20.0 + height), FACE)
    lay_table(flow, COLUMNS, rows)
    return list(flow.leaves())


def numbered(count: int) -> list[Row]:
    return [Row((f"D{n}", "Main", "□")) for n in range(1, count + 1)]


def test_heads_are_repeated_on_every_leaf() -> None:
    found = leaves_of(*numbered(30))
    assert len(found) > 2
    for leaf in found:
        assert {"Drop", "Track", "drilled"} <= set(texts(leaf.marks))


def test_every_row_is_set_once_and_in_order() -> None:
    said = [t for leaf in leaves_of(*numbered(30)) for t in texts(leaf.marks)]
    assert [t for t in said if t.startswith("D") and t != "Drop"] == [
        f"D{n}" for n in range(1, 31)
    ]


def test_nothing_is_set_below_the_box() -> None:
    for leaf in leaves_of(*numbered(30)):
        for mark in leaf.marks:
            if isinstance(mark, Text):
                assert mark.y <= 100.0


def test_each_row_has_its_box_to_tick() -> None:
    (leaf,) = leaves_of(*numbered(3), Row(("D4", "Main", "")))
    boxes = [m for m in leaf.marks if isinstance(m, Line) and m.closed]
    assert len(boxes) == 3


def test_a_box_to_write_in_is_wide_and_its_head_lies() -> None:
    flow = Flow("Volts", Box(10.0, 20.0, 130.0, 100.0), FACE)
    columns = (Column("At", 12.0), Column("found", align="write"))
    lay_table(flow, columns, [Row(("D1", "□")), Row(("D2", ""))])
    (leaf,) = flow.leaves()
    boxes = [m for m in leaf.marks if isinstance(m, Line) and m.closed]
    assert len(boxes) == 1
    assert boxes[0].points[1][0] - boxes[0].points[0][0] > 20.0
    assert not any(m.rotation for m in leaf.marks if isinstance(m, Text))


def test_long_words_wrap_within_their_column() -> None:
    name = "Donaudampfschifffahrtsgesellschaft mit Überholmöglichkeit"
    (leaf,) = leaves_of(Row(("D1", name, "□")))
    inside = [t for t in texts(leaf.marks) if t in name]
    assert len(inside) > 1
    assert "".join(inside).replace(" ", "") == name.replace(" ", "")


def test_a_row_taller_than_a_leaf_goes_on_on_the_next() -> None:
    words = [f"w{n}" for n in range(60)]
    found = leaves_of(Row(("D1", "\n".join(words), "□")))
    assert len(found) > 1
    said = [t for leaf in found for t in texts(leaf.marks)]
    assert [t for t in said if t.startswith("w")] == words


def test_a_note_follows_its_row_however_long() -> None:
    note = " ".join(f"n{n}" for n in range(900))
    found = leaves_of(Row(("D1", "Main", "□"), note), Row(("D2", "Main", "□")))
    said = " ".join(t for leaf in found for t in texts(leaf.marks))
    assert note in said.replace(" Drop Track drilled", "")
    assert said.index("n899") < said.index("D2")


def test_a_short_note_is_not_parted_from_its_row() -> None:
    rows = numbered(30)
    noted = [Row(r.cells, "reach in from the left") for r in rows]
    for leaf in leaves_of(*noted):
        said = texts(leaf.marks)
        assert said.count("reach in from the left") == sum(
            t.startswith("D") and t != "Drop" for t in said
        )


def test_a_band_stands_above_its_row_on_the_same_leaf() -> None:
    rows = [Row(r.cells, "", f"place {n}") for n, r in enumerate(numbered(20), 1)]
    for leaf in leaves_of(*rows):
        said = texts(leaf.marks)
        for n in range(1, 21):
            assert (f"place {n}" in said) == (f"D{n}" in said)


CELLS = st.text(alphabet="abcdefgh -", max_size=60)


@given(cells=st.lists(st.tuples(CELLS, CELLS), min_size=1, max_size=8))
def test_columns_fill_the_table_whatever_is_in_them(
    cells: list[tuple[str, str]],
) -> None:
    rows = [Row((a, b, "□")) for a, b in cells]
    widths = column_widths(COLUMNS, rows, 120.0, FACE)
    assert sum(widths) == pytest.approx(120.0, abs=0.01)
    assert min(widths) > 5.0


def test_a_long_name_does_not_squeeze_the_short_columns() -> None:
    columns = (Column("Place", 14.0), Column("Track", 12.0, grow=1.0))
    name = "Donaudampfschifffahrtsgesellschaftshauptbahngleis " * 3
    widths = column_widths(columns, [Row(("1.235 m", name))], 120.0, FACE)
    assert widths[0] >= FACE.width("1.235 m", 14.0)


def test_tables_too_wide_even_for_words_still_fit() -> None:
    columns = tuple(Column("Donaudampfschifffahrt", 14.0) for _ in range(12))
    row = Row(tuple("Donaudampfschifffahrt" for _ in columns))
    widths = column_widths(columns, [row], 120.0, FACE)
    assert sum(widths) == pytest.approx(120.0, abs=0.01)


def test_columns_that_do_not_grow_share_what_is_left() -> None:
    columns = (Column("Drop", 14.0), Column("Place", 14.0))
    widths = column_widths(columns, [Row(("D1", "1.235 m"))], 120.0, FACE)
    assert sum(widths) == pytest.approx(120.0)
