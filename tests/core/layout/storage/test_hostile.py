"""Files made to do harm: deep, huge, endless, double, or from the future."""

import json
import os
import time
from pathlib import Path
from typing import Any

import pytest

from core.errors import FileAccessError, FileFormatError
from core.layout.storage.format import MAX_BYTES, MAX_MARKS, MAX_PARTS
from core.layout.storage.read import read_layout
from core.layout.storage.text import parse_layout
from tests.core.layout.samples import BOOSTER, HEAD, RUN, STRIP, file_of, read


def refused(data: bytes) -> str:
    """Return the sentence with which a file is refused."""
    with pytest.raises(FileFormatError) as caught:
        parse_layout(data, "evil.fwl")
    assert caught.value.where == "evil.fwl"
    assert caught.value.hint
    return str(caught.value)


def with_raw(field: str, text: str) -> bytes:
    """Return a file in which one field of a run stands as given, letter by letter."""
    return file_of({**RUN, field: "@@"}).replace(b'"@@"', text.encode())


# Depth and numbers ----------------------------------------------------------------


@pytest.mark.parametrize("opening", ["[", '{"a":', '[{"a":'])
@pytest.mark.parametrize("depth", [33, 500, 100_000])
def test_deep_nesting_is_refused(opening: str, depth: int) -> None:
    closing = {"[": "]", '{"a":': "}", '[{"a":': "}]"}[opening]
    nested = opening * depth + "1" + closing * depth
    assert "nested more than 32 levels" in refused(with_raw("later", nested))


def test_nesting_that_never_closes_is_refused() -> None:
    assert refused(b"[" * 1_000_000)


@pytest.mark.parametrize(
    "number",
    [
        "NaN",
        "Infinity",
        "-Infinity",
        "1e999",
        "-1e999",
        "1" * 5000,
        "1" * 400 + ".5",
        "0x10",
        "1_000",
        "+1",
        ".5",
        "01",
    ],
)
@pytest.mark.parametrize("field", ["x_mm", "later"])
def test_what_is_no_finite_number_is_refused(field: str, number: str) -> None:
    assert "line 1: " in refused(with_raw(field, number))


def test_a_whole_number_of_any_size_is_kept_where_it_is_not_known() -> None:
    layout, report = parse_layout(with_raw("later", "1" * 400), "x")
    assert report.is_clean
    assert layout.extras["R1"] == {"later": int("1" * 400)}


def test_a_whole_number_too_large_for_its_field_is_named() -> None:
    _, report = parse_layout(with_raw("x_mm", "1" * 400), "x")
    assert "x_mm" in report.unfixed[0]


# Double keys -----------------------------------------------------------------------


def test_a_key_that_stands_twice_in_a_part_is_refused_by_name() -> None:
    data = file_of(RUN).replace(b'"id": "R1"', b'"id": "R1", "x_mm": 7')
    said = refused(data)
    assert "R1" in said
    assert "'x_mm' stands there twice" in said


def test_a_second_list_of_parts_is_refused() -> None:
    data = file_of(RUN).rstrip(b"}") + b', "parts": []}'
    assert "'parts' stands there twice" in refused(
        file_of(RUN)[:-1] + b', "parts": []}'
    )
    assert refused(data)


# Heads -------------------------------------------------------------------------------


@pytest.mark.parametrize("version", [2, 3, 10**18])
def test_a_newer_version_is_refused_and_says_so(version: int) -> None:
    said = refused(file_of(RUN, version=version))
    assert f"version {version}" in said
    assert "newer program" in said


@pytest.mark.parametrize("version", [0, -1, "1", 1.5, None, True, [1]])
def test_what_is_no_version_is_refused(version: Any) -> None:
    assert "version" in refused(file_of(RUN, version=version))


@pytest.mark.parametrize("name", ["", "feederwright", None, 1, ["feederwright-layout"]])
def test_another_format_is_refused(name: Any) -> None:
    assert "not a layout file" in refused(file_of(RUN, format=name))


@pytest.mark.parametrize("parts", [None, {}, "", 3])
def test_parts_that_are_no_list_are_refused(parts: Any) -> None:
    assert "parts" in refused(json.dumps({**HEAD, "parts": parts}).encode())


@pytest.mark.parametrize("line", [None, 1, "R1", [RUN]])
def test_a_part_that_is_no_object_is_refused_with_its_place(line: Any) -> None:
    data = json.dumps({**HEAD, "parts": [RUN, line]}).encode()
    assert "parts[1]" in refused(data)


def test_text_that_is_not_utf8_is_refused_with_its_line() -> None:
    data = b'{\n"format":\n"\xe9"}'
    assert "line 3: this is not text in UTF-8" in refused(data)


def test_a_mark_that_some_editors_put_first_is_no_fault() -> None:
    layout, report = parse_layout(b"\xef\xbb\xbf" + file_of(RUN), "x")
    assert report.is_clean
    assert "R1" in layout.parts


# Sizes ----------------------------------------------------------------------------------


def test_fifty_thousand_parts_are_read_and_one_more_is_not() -> None:
    lines = [{**STRIP, "id": f"TS{n}"} for n in range(1, MAX_PARTS + 2)]
    layout, report = read(*lines[:-1])
    assert report.is_clean
    assert len(layout.parts) == MAX_PARTS + 1  # and the usual settings
    said = refused(file_of(*lines))
    assert "50,001" in said
    assert "50,000 are the most" in said


def test_fifty_thousand_parts_of_one_name_take_seconds_not_hours() -> None:
    lines = [{**STRIP, "id": "TS1", "x_mm": n} for n in range(20_000)]
    start = time.perf_counter()
    layout, report = read(*lines)
    assert time.perf_counter() - start < 20.0  # a quadratic search takes many minutes
    assert len(layout.parts) == 20_001
    assert len(report.fixed) == 19_999


def test_more_values_than_memory_are_refused_unread() -> None:
    # Each "[]," takes 3 bytes in the file and some 60 in memory.
    data = b'{"format": "feederwright-layout", "x": [' + b"[]," * MAX_MARKS + b"[]]}"
    assert len(data) < MAX_BYTES
    start = time.perf_counter()
    assert "values" in refused(data)
    assert time.perf_counter() - start < 1.0  # reading it would take longer


def test_a_key_twice_among_many_is_found_in_seconds() -> None:
    # Looking for each key among all others would take many minutes.
    keys = ", ".join(f'"k{n}": 0' for n in [*range(300_000), 299_999])
    start = time.perf_counter()
    assert "'k299999'" in refused(f"{{{keys}}}".encode())
    assert time.perf_counter() - start < 10.0


def test_a_number_out_of_range_is_named_with_its_line() -> None:
    line = json.dumps(RUN).replace("2000", "2e999")
    data = f'{{"format": "feederwright-layout",\n"version": 1,\n"parts": [\n{line}\n]}}'
    assert "line 4" in refused(data.encode())


def test_ids_at_the_end_of_all_numbers_come_back_as_they_are() -> None:
    layout, report = read({**STRIP, "id": "TS999999"}, issued={"TS": 999999})
    assert report.is_clean
    assert layout.new_id("TS") == "TS1"
    assert layout.new_id("TS", taken=1) == "TS2"


def test_a_second_part_of_the_last_number_gets_a_free_one() -> None:
    last = {**STRIP, "id": "TS999999"}
    layout, _ = read({**STRIP, "id": "TS1"}, last, {**last, "x_mm": 9})
    assert set(layout.parts) == {"settings", "TS1", "TS999999", "TS2"}


def test_a_file_beyond_all_size_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "big.fwl"
    with path.open("wb") as file:
        file.truncate(MAX_BYTES + 1)
    with pytest.raises(FileFormatError, match="larger than 40 MB"):
        read_layout(path)
    with pytest.raises(FileFormatError, match="larger than 40 MB"):
        parse_layout(b" " * (MAX_BYTES + 1), "x")


def test_rail_joints_without_number_are_refused() -> None:
    # 1000 m in pieces of 10 mm: 100,000 joints a run, so three are too many.
    run = {
        **RUN,
        "pieces": [{"piece": "straight", "length_mm": 1e6}],
        "piece_length_m": 0.01,
    }
    said = refused(file_of(*({**run, "id": f"R{n}"} for n in range(1, 4))))
    assert "300,000 rail joints" in said


def test_track_without_end_is_refused() -> None:
    run = {
        **RUN,
        "pieces": [{"piece": "straight", "length_mm": 1e6}],
        "piece_length_m": 100,
    }
    said = refused(file_of(*({**run, "id": f"R{n}"} for n in range(1, 52))))
    assert "51,000 m of track" in said


def test_a_piece_of_rail_too_short_to_count_is_as_usual() -> None:
    layout, report = read({**RUN, "piece_length_m": 1e-300})
    assert "piece_length_m" in report.fixed[0]
    assert len(layout.parts) == 2


def test_a_picture_that_is_no_picture_data_waits_aside() -> None:
    line = {"kind": "backdrop", "media": "image/png", "width_px": 1, "height_px": 1}
    _, report = read({**line, "data": "no base64!"})
    assert "backdrop" in report.unfixed[0]


def test_a_picture_kind_that_can_hold_programs_waits_aside() -> None:
    line = {"kind": "backdrop", "width_px": 1, "height_px": 1, "data": ""}
    _, report = read({**line, "media": "image/svg+xml"})
    assert "image/svg+xml" in report.unfixed[0]


# What is no file -------------------------------------------------------------------------


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "none.fwl"
    with pytest.raises(FileAccessError, match="it is not there") as caught:
        read_layout(path)
    assert caught.value.where == str(path)
    assert caught.value.hint


def test_a_folder_is_no_layout(tmp_path: Path) -> None:
    with pytest.raises(FileAccessError):
        read_layout(tmp_path)


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.fwl"
    os.mkfifo(pipe)
    with pytest.raises(FileAccessError, match="not a file"):
        read_layout(pipe)


def test_an_endless_device_is_no_layout() -> None:
    with pytest.raises(FileAccessError, match="not a file"):
        read_layout(Path("/dev/zero"))


def test_a_link_to_itself_is_named(tmp_path: Path) -> None:
    link = tmp_path / "loop.fwl"
    link.symlink_to(link)
    with pytest.raises(FileAccessError, match="link to itself"):
        read_layout(link)


@pytest.mark.parametrize("name", ["a\0b.fwl", "x" * 300])
def test_a_name_that_no_disk_takes_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(FileAccessError, match="name"):
        read_layout(tmp_path / name)


def test_a_booster_is_read_after_all_this() -> None:
    layout, report = read(BOOSTER)
    assert report.is_clean
    assert "PB1" in layout.parts
