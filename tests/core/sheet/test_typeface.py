"""Text is as wide as the font says, and wraps without loss."""

import string
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

import core
from core.errors import FileAccessError
from core.sheet.marks import POINT_MM
from core.sheet.typeface import BOLD, REGULAR, Typeface, find_fonts, name_of

FACE = Typeface()
NAMES = "Überlandbahn Łódź, Кольцо 0.42 Ω 1.5 mm² → ½ “D14”"
TEXTS = st.text(alphabet=string.ascii_letters + "  -/öŁД0123", max_size=80)


@pytest.mark.parametrize(("file", "bold"), [(REGULAR, False), (BOLD, True)])
def test_text_is_as_wide_as_a_second_reader_of_the_font_says(
    file: str, bold: bool
) -> None:
    # reportlab has its own reader; it rounds each width to 1/1000 of the size.
    other = TTFont("Other" + file, str(find_fonts() / file))
    points = other.stringWidth(NAMES, 14.0)
    allowed = len(NAMES) * 0.0005 * 14.0 * POINT_MM
    width = FACE.width(NAMES, 14.0, bold=bold)
    assert width == pytest.approx(points * POINT_MM, abs=allowed)


def test_twice_the_size_is_twice_as_wide() -> None:
    assert FACE.width("D14", 28.0) == pytest.approx(2.0 * FACE.width("D14", 14.0))


@given(text=TEXTS, width=st.floats(8.0, 80.0))
def test_no_line_is_wider_than_its_room(text: str, width: float) -> None:
    lines = FACE.wrap(text, width, 11.0)
    assert all(FACE.width(line, 11.0) <= width + 1e-6 for line in lines)


@given(text=TEXTS, width=st.floats(8.0, 80.0))
def test_wrapping_loses_nothing_but_spaces(text: str, width: float) -> None:
    lines = FACE.wrap(text, width, 11.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_lines_break_after_hyphens_and_slashes() -> None:
    room = FACE.width("Spur-", 11.0) + 0.1
    assert FACE.wrap("Spur-Gleis", room, 11.0)[0] == "Spur-"


def test_a_figure_keeps_its_unit() -> None:
    # Room for "at 1.10" but not for "at 1.10 m": the figure goes down too.
    room = FACE.width("B1 at 1.10", 11.0) + 0.5
    assert FACE.wrap("B1 at 1.10 m", room, 11.0) == ("B1 at", "1.10 m")


def test_feet_keep_their_inches() -> None:
    room = FACE.width("2 × 3′ 8 1/2″", 11.0) + 0.5
    assert FACE.wrap("cut 2 × 3′ 8 1/2″", room, 11.0) == ("cut", "2 × 3′ 8 1/2″")


def test_a_word_too_long_for_its_room_is_cut_inside() -> None:
    lines = FACE.wrap("Donaudampfschifffahrt", 20.0, 11.0)
    assert len(lines) > 1
    assert "".join(lines) == "Donaudampfschifffahrt"


def test_an_empty_text_is_one_empty_line() -> None:
    assert FACE.wrap("", 20.0, 11.0) == ("",)


def test_line_ends_in_a_note_are_kept() -> None:
    assert FACE.wrap("one\ntwo", 50.0, 11.0) == ("one", "two")


def test_a_missing_sign_is_spelt_out() -> None:
    # U+6771 and U+4EAC are not among the blocks of DejaVu Sans.
    assert FACE.legible("Bahn 東京") == "Bahn [U+6771][U+4EAC]"


def test_the_missing_signs_of_a_text_are_named() -> None:
    assert FACE.lacking("Bahn 東京 Ω") == {"東", "京"}
    assert name_of("東") == "U+6771 cjk unified ideograph-6771"


def test_signs_beyond_the_first_plane_are_spelt_out_too() -> None:
    assert FACE.legible("\U0001f682") == "[U+1F682]"


def test_invisible_and_control_characters_do_not_print() -> None:
    assert FACE.legible("a\u200bb\x07c\td\ufe0f") == "ab c d"


def test_accents_are_composed() -> None:
    assert FACE.legible("Lo\u0301dz\u0301") == "Lódź"


def test_a_shortened_text_says_so() -> None:
    short = FACE.shorten("Underside of the good table", 30.0, 11.0)
    assert short.endswith("…")
    assert FACE.width(short, 11.0) <= 30.0


def test_a_text_that_fits_is_not_shortened() -> None:
    assert FACE.shorten("D14", 30.0, 11.0) == "D14"


def test_missing_fonts_are_a_plain_sentence(tmp_path: Path) -> None:
    with pytest.raises(FileAccessError, match="cannot be read"):
        Typeface(tmp_path)


def test_fonts_that_are_nowhere_are_a_plain_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(core, "__file__", str(tmp_path / "core" / "__init__.py"))
    with pytest.raises(FileAccessError, match="fonts of the sheet are missing"):
        find_fonts()


def test_fonts_of_an_installed_wheel_are_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "app" / "_data" / "assets" / "fonts"
    folder.mkdir(parents=True)
    for name in (REGULAR, BOLD):
        (folder / name).touch()
    monkeypatch.setattr(core, "__file__", str(tmp_path / "core" / "__init__.py"))
    assert find_fonts() == folder


def test_a_mangled_font_is_a_plain_sentence(tmp_path: Path) -> None:
    for name in (REGULAR, BOLD):
        (tmp_path / name).write_bytes((find_fonts() / name).read_bytes()[:200])
    with pytest.raises(FileAccessError, match="cannot be read"):
        Typeface(tmp_path)
