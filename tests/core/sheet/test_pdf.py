"""The file shows the marks where and as they were made."""

from io import BytesIO
from pathlib import Path
from zlib import crc32

import pypdfium2 as pdfium
import pytest
from PIL import Image

from core.errors import FileAccessError
from core.sheet.marks import (
    POINT_MM,
    Circle,
    Line,
    Mark,
    Page,
    Picture,
    Shape,
    Text,
    box,
)
from core.sheet.pdf import render_pdf, write_pdf
from core.sheet.typeface import find_fonts

FONTS = find_fonts()


def page(*marks: Mark, title: str = "Plan") -> Page:
    return Page(title, 100.0, 50.0, marks)


def rendered(*pages: Page) -> bytes:
    data = render_pdf(pages, fonts=FONTS, title="Mossgill")
    assert data is not None
    return data


def pixels(*marks: Mark) -> Image.Image:
    """Return a page as a picture of 10 pixels a millimetre, by another renderer."""
    document = pdfium.PdfDocument(rendered(page(*marks)))
    bitmap = document[0].render(scale=10.0 * POINT_MM)
    image: Image.Image = bitmap.to_pil().convert("RGB")
    document.close()
    return image


def colour_at(image: Image.Image, x: float, y: float) -> tuple[int, int, int]:
    found = image.getpixel((int(x * 10), int(y * 10)))
    assert isinstance(found, tuple)
    return found[0], found[1], found[2]


def test_a_shape_lies_where_it_is_put_in_paper_millimetres() -> None:
    image = pixels(Shape(box(10, 5, 20, 10), "#cc0000"))
    assert colour_at(image, 11, 6) == (204, 0, 0)
    assert colour_at(image, 29, 14) == (204, 0, 0)
    assert colour_at(image, 31, 6) == (255, 255, 255)
    assert colour_at(image, 11, 16) == (255, 255, 255)


def test_a_line_has_its_weight_and_its_dashes() -> None:
    image = pixels(
        Line(((10, 10), (90, 10)), 2.0, "#0000cc"),
        Line(((10, 30), (90, 30)), 2.0, "#0000cc", (5.0, 5.0)),
    )
    assert colour_at(image, 50, 10.8) == (0, 0, 204)
    assert colour_at(image, 50, 11.3) == (255, 255, 255)
    assert colour_at(image, 12.5, 30) == (0, 0, 204)
    assert colour_at(image, 17.5, 30) == (255, 255, 255)


def test_a_solid_line_after_a_dashed_one_is_solid_again() -> None:
    image = pixels(
        Line(((10, 30), (90, 30)), 2.0, "#0000cc", (5.0, 5.0)),
        Line(((10, 10), (90, 10)), 2.0, "#0000cc"),
    )
    assert colour_at(image, 17.5, 10) == (0, 0, 204)


def test_a_closed_line_comes_back() -> None:
    image = pixels(Line(box(10, 10, 20, 20), 1.0, "#0000cc", closed=True))
    assert colour_at(image, 10, 20) == (0, 0, 204)


def test_a_circle_is_filled_and_edged() -> None:
    image = pixels(Circle(50, 25, 10, "#00cc00", "#cc0000", 2.0))
    assert colour_at(image, 50, 25) == (0, 204, 0)
    assert colour_at(image, 60, 25) == (204, 0, 0)


def test_an_open_circle_shows_what_is_below() -> None:
    image = pixels(Shape(box(0, 0, 100, 50), "#dddddd"), Circle(50, 25, 10))
    assert colour_at(image, 50, 25) == (221, 221, 221)


def dark_box(image: Image.Image) -> tuple[float, float, float, float]:
    """Return the box round all ink. [mm]"""
    found = image.convert("L").point(lambda v: 255 if v < 128 else 0).getbbox()
    assert found is not None
    left, top, right, bottom = found
    return left / 10, top / 10, right / 10, bottom / 10


@pytest.mark.parametrize(
    ("anchor", "left_limit", "right_limit"),
    [("start", 50.0, 90.0), ("middle", 30.0, 70.0), ("end", 10.0, 50.5)],
)
def test_text_hangs_on_its_anchor(
    anchor: str, left_limit: float, right_limit: float
) -> None:
    mark = Text(50, 25, "HHHH", 20.0, anchor)  # type: ignore[arg-type]
    left, top, right, bottom = dark_box(pixels(mark))
    assert left >= left_limit
    assert right <= right_limit
    # Capitals stand on the baseline and are 0.729 of the size tall (OS/2 and glyf
    # tables of DejaVu Sans): 20 pt × 0.729 = 5.1 mm.
    assert bottom == pytest.approx(25.0, abs=0.15)
    assert bottom - top == pytest.approx(5.14, abs=0.2)


def test_turned_text_runs_up_the_page() -> None:
    left, top, right, bottom = dark_box(
        pixels(Text(50, 40, "HHHH", 20.0, rotation=90.0))
    )
    assert right == pytest.approx(50.0, abs=0.15)
    assert bottom <= 40.0
    assert bottom - top > right - left


@pytest.mark.parametrize(("anchor", "share"), [("middle", 0.5), ("end", 1.0)])
def test_turned_text_hangs_on_its_anchor(anchor: str, share: float) -> None:
    # Four H of 20 pt are 4 × 0.752 × 20 pt = 21.2 mm wide (1540 of 2048 units each,
    # hmtx table of DejaVu Sans); turned, they run up the page round their place.
    mark = Text(50, 25, "HHHH", 20.0, anchor, rotation=90.0)  # type: ignore[arg-type]
    _, top, right, bottom = dark_box(pixels(mark))
    assert right == pytest.approx(50.0, abs=0.15)
    middle = (top + bottom) / 2.0
    assert middle == pytest.approx(25.0 + (share - 0.5) * 21.2, abs=0.3)


def test_texts_in_a_row_keep_their_own_ink_size_and_place() -> None:
    image = pixels(
        Text(10, 20, "▮", 20.0, ink="#cc0000"),
        Text(40, 20, "▮", 20.0, ink="#0000cc", bold=True),
        Shape(box(70, 10, 5, 5), "#00cc00"),
        Text(80, 20, "▮", 10.0, ink="#cc0000"),
    )
    spots = {(13, 18): (204, 0, 0), (43, 18): (0, 0, 204), (72, 12): (0, 204, 0)}
    assert {at: colour_at(image, *at) for at in spots} == spots
    # The last is half as tall: paper where the first has ink, ink further down.
    assert colour_at(image, 82, 15) == (255, 255, 255)
    assert colour_at(image, 81.5, 19) == (204, 0, 0)


def png(width: int, height: int, colour: str = "#ff0000") -> bytes:
    file = BytesIO()
    Image.new("RGB", (width, height), colour).save(file, "PNG")
    return file.getvalue()


def test_a_picture_is_seen_through_its_window_and_mixed_with_paper() -> None:
    mark = Picture(10, 10, 40, 20, png(4, 2), (20, 10, 50, 30), 0.5)
    image = pixels(mark)
    assert colour_at(image, 15, 20) == (255, 255, 255)
    red, green, blue = colour_at(image, 30, 20)
    assert red == 255
    assert green == pytest.approx(128, abs=2)
    assert blue == pytest.approx(128, abs=2)


def test_a_jpeg_is_printed_as_well() -> None:
    file = BytesIO()
    Image.new("RGB", (40, 20), "#00ff00").save(file, "JPEG")
    image = pixels(Picture(10, 10, 40, 20, file.getvalue(), (10, 10, 50, 30)))
    red, green, blue = colour_at(image, 30, 20)
    assert (red < 5, green > 250, blue < 5) == (True, True, True)


@pytest.mark.parametrize(
    "data", [b"", b"no picture", png(4, 2)[:40], b"\x89PNG\r\n\x1a\n" + bytes(40)]
)
def test_a_broken_picture_leaves_a_frame_with_words(data: bytes) -> None:
    mark = Picture(10, 10, 40, 20, data, (10, 10, 50, 30))
    (text,) = text_of(rendered(page(mark)))
    assert "cannot be read" in text


def test_a_picture_too_large_to_unpack_is_not_unpacked() -> None:
    # A PNG head that says 20000 by 20000, as the file format allows.
    data = png(4, 2)
    size = (20000).to_bytes(4) + (20000).to_bytes(4)
    head = b"IHDR" + size + data[24:29]
    bomb = data[:12] + head + crc32(head).to_bytes(4) + data[33:]
    mark = Picture(10, 10, 40, 20, bomb, (10, 10, 50, 30))
    (text,) = text_of(rendered(page(mark)))
    assert "cannot be read" in text


def text_of(data: bytes) -> list[str]:
    document = pdfium.PdfDocument(data)
    found = [p.get_textpage().get_text_bounded() for p in document]
    document.close()
    return found


def test_text_comes_out_of_the_file_as_it_went_in() -> None:
    (text,) = text_of(
        rendered(page(Text(5, 25, "0.42 Ω · 1.5 mm² ≤ Łódź Кольцо → ½", 9)))
    )
    assert text == "0.42 Ω · 1.5 mm² ≤ Łódź Кольцо → ½"


def test_signs_of_the_file_format_and_many_letters_come_out_again() -> None:
    # Brackets and backslashes mark strings in a PDF (ISO 32000-1, 7.3.4.2); one set
    # of letters holds 256, so these need a second.
    many = "".join(chr(n) for n in (*range(0x100, 0x180), *range(0x400, 0x460)))
    marks = (Text(2, 10, r"(a) \ b ((", 6), Text(2, 20, many, 1), Text(2, 30, "(", 6))
    (text,) = text_of(rendered(page(*marks)))
    assert text.split() == ["(a)", "\\", "b", "((", many, "("]


def test_no_font_is_left_to_the_reader() -> None:
    data = rendered(page(Text(5, 25, "D14")))
    assert data.count(b"/BaseFont") == data.count(b"/FontFile2")
    assert b"Helvetica" not in data


def test_both_cuts_are_embedded() -> None:
    data = rendered(page(Text(5, 25, "D14"), Text(5, 40, "D15", bold=True)))
    assert data.count(b"/FontFile2") == 2


def test_the_same_pages_give_the_same_bytes() -> None:
    pages = (
        page(Text(5, 25, "Łódź")),
        page(Picture(0, 0, 9, 9, png(3, 3), (0, 0, 9, 9))),
    )
    assert rendered(*pages) == rendered(*pages)


def test_each_page_has_a_bookmark_and_its_size() -> None:
    document = pdfium.PdfDocument(rendered(page(title="Plan"), page(title="Stück 2 ✓")))
    marks = [(b.get_title(), b.get_dest().get_index()) for b in document.get_toc()]
    assert marks == [("Plan", 0), ("Stück 2 ✓", 1)]
    assert document[0].get_size() == pytest.approx(
        (100 / POINT_MM, 50 / POINT_MM), abs=0.1
    )
    assert document.get_metadata_value("Title") == "Mossgill"
    document.close()


def test_the_file_is_there_when_it_is_done_and_nothing_else(tmp_path: Path) -> None:
    target = tmp_path / "sheet.pdf"
    assert write_pdf([page()], target, fonts=FONTS, title="x")
    assert list(tmp_path.iterdir()) == [target]
    assert target.read_bytes().startswith(b"%PDF-")


def test_an_older_file_is_replaced(tmp_path: Path) -> None:
    target = tmp_path / "sheet.pdf"
    target.write_bytes(b"old")
    write_pdf([page()], target, fonts=FONTS, title="x")
    assert target.read_bytes().startswith(b"%PDF-")


def test_stopping_leaves_no_file_and_the_older_one_as_it_was(tmp_path: Path) -> None:
    target = tmp_path / "sheet.pdf"
    target.write_bytes(b"old")
    asked: list[str] = []

    def stop_at_second(_share: float, words: str) -> bool:
        asked.append(words)
        return len(asked) < 2

    pages = [page(title="Plan"), page(title="Drops"), page(title="Cuts")]
    done = write_pdf(pages, target, fonts=FONTS, title="x", progress=stop_at_second)
    assert not done
    assert asked == ["Page 1 of 3: Plan", "Page 2 of 3: Drops"]
    assert list(tmp_path.iterdir()) == [target]
    assert target.read_bytes() == b"old"


def test_a_folder_that_is_not_there_is_a_plain_sentence(tmp_path: Path) -> None:
    with pytest.raises(FileAccessError, match="cannot be written"):
        write_pdf([page()], tmp_path / "no" / "sheet.pdf", fonts=FONTS, title="x")


def test_a_target_that_is_a_folder_leaves_nothing_behind(tmp_path: Path) -> None:
    target = tmp_path / "sheet.pdf"
    target.mkdir()
    with pytest.raises(FileAccessError):
        write_pdf([page()], target, fonts=FONTS, title="x")
    assert list(tmp_path.iterdir()) == [target]
