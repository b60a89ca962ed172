"""The schedules as CSV say what the pages say."""

import csv
from io import StringIO
from pathlib import Path

import pytest

from core.errors import FileAccessError
from core.layout.layout import Layout
from core.layout.parts import Strip
from core.sheet.csv import SCHEDULES, schedule_rows, schedule_text, write_csv
from tests.core.sheet.boards import (
    board,
    bus,
    drop,
    layout_of,
    oval,
    shelf_run,
    to_bus,
)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text)))


def test_the_drop_schedule_has_every_drop_once_with_units_in_its_heads() -> None:
    rows = read(schedule_text(oval(), "drops"))
    assert sorted(row["drop"] for row in rows) == sorted(f"D{n}" for n in range(1, 11))
    assert {"along aisle (m)", "from aisle edge (m)", "cut each to (m)"} <= set(rows[0])


def test_a_drop_row_says_what_the_page_says() -> None:
    layout = layout_of(
        board(name="Front"),
        shelf_run(),
        bus((0, 300), (2400, 300)),
        drop(
            4,
            1.235,
            to=to_bus(1.1),
            lead_m=0.42,
            a_rail="left",
            note='say "hello", lad',
        ),
    )
    (row,) = read(schedule_text(layout, "drops"))
    assert row["board"] == "BD1 Front"
    assert row["along aisle (m)"] == "1.235"
    assert row["measured from"] == "left end"
    assert row["from aisle edge (m)"] == "0.100"
    assert row["cut each to (m)"] == "0.420"
    assert row["solder"] == "A → back"
    assert row["ends at"] == "B1 at 1.10 m"
    assert row["note"] == 'say "hello", lad'


def test_a_drop_off_the_boards_is_measured_from_zero() -> None:
    (row,) = read(schedule_text(layout_of(shelf_run(), drop(1, 0.3)), "drops"))
    assert row["measured from"] == "zero of the plan"


def test_the_bus_schedule_has_the_length_to_buy() -> None:
    # Needs N02.
    feeder = bus((0, 0), (3000, 0), (3000, 3600), slack=0.05)
    rows = read(schedule_text(layout_of(feeder), "buses"))
    assert [row["kind"] for row in rows] == ["start", "bend", "end"]
    assert rows[0]["pair to buy (m)"] == "6.930"
    assert rows[0]["single wire to buy (m)"] == "13.860"
    assert rows[2]["from start (m)"] == "6.600"


def test_the_strip_schedule_has_every_way() -> None:
    rows = read(schedule_text(oval(), "strips"))
    assert [row["way"] for row in rows] == [str(n) for n in range(1, 13)]
    assert rows[0]["what is there"] == "bus B1, its end"
    assert rows[11]["what is there"] == ""


def test_the_cut_list_adds_up() -> None:
    # Needs N64: 36 × 0.42 m = 15.12 m; with 10 % 16.632 m; a 25 m reel.
    drops = [drop(n, 0.05 * n, lead_m=0.42) for n in range(1, 37)]
    rows = read(schedule_text(layout_of(shelf_run(), *drops), "cuts"))
    assert [row["conductor"] for row in rows] == ["A", "B"]
    for row in rows:
        assert (row["pieces"], row["together (m)"]) == ("36", "15.120")
        assert (row["with spare (m)"], row["reels (m)"]) == ("16.632", "1 x 25")


@pytest.mark.parametrize("schedule", SCHEDULES)
def test_an_empty_layout_has_heads_and_no_rows(schedule: str) -> None:
    assert len(schedule_rows(Layout(), schedule)) == 1  # type: ignore[arg-type]


def test_text_that_looks_like_a_formula_is_made_harmless() -> None:
    strip = Strip(id="TS1", name='=HYPERLINK("x")', x_mm=0, y_mm=0, ways=1)  # type: ignore[arg-type]
    (row,) = read(schedule_text(layout_of(strip), "strips"))
    assert row["name"] == '\'=HYPERLINK("x")'


def test_lines_end_as_the_standard_says() -> None:
    # RFC 4180, section 2: CRLF.
    assert schedule_text(oval(), "strips").count("\r\n") == 13


def test_the_file_opens_in_a_spreadsheet_with_its_letters(tmp_path: Path) -> None:
    path = tmp_path / "drops.csv"
    write_csv(layout_of(shelf_run(name="Łódź"), drop(1, 0.3)), "drops", path)
    data = path.read_bytes()
    # UTF-8 with the mark EF BB BF.
    assert data.startswith(b"\xef\xbb\xbf")
    assert "Łódź" in data.decode("utf-8-sig")


def test_a_file_that_cannot_be_written_is_a_plain_sentence(tmp_path: Path) -> None:
    with pytest.raises(FileAccessError, match="cannot be written"):
        write_csv(oval(), "drops", tmp_path / "no" / "drops.csv")
