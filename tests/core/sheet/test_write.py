"""The whole sheet as a file: chapters, pages, progress and stopping."""

import itertools
import re
from pathlib import Path

import pypdfium2 as pdfium
import pytest

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, ToPort
from core.sheet import Options, compose_sheet, write_sheet
from core.sheet.frame import SCOPE
from core.sheet.marks import Line, Text
from core.sheet.typeface import Typeface
from tests.core.sheet.boards import (
    board,
    bus,
    drop,
    layout_of,
    oval,
    shelf_run,
    to_bus,
)
from tests.samples.build import build_sample


def page_texts(path: Path) -> list[str]:
    document = pdfium.PdfDocument(path)
    found = [re.sub(r"\s+", " ", p.get_textpage().get_text_bounded()) for p in document]
    document.close()
    return found


def written(layout: Layout, path: Path, **options: object) -> list[str]:
    chosen = Options(**options)  # type: ignore[arg-type]
    assert write_sheet(study_layout(layout), (), path, options=chosen)
    return page_texts(path)


def test_the_whole_sheet_has_its_chapters_in_order(tmp_path: Path) -> None:
    pages = written(oval(), tmp_path / "s.pdf")
    heads = [
        "Wiring sheet",
        "Before you begin: cautions",
        "Findings",
        "Plan",
        "Underside: BD1 Middle board",
        "Drops: BD1 Middle board",
        "Buses",
        "Terminal strips",
        "Cut list",
        "Ring out",
        "Labels",
    ]
    firsts = [next(i for i, p in enumerate(pages) if h in p and i >= n) for n, h in
              enumerate(heads)]  # fmt: skip
    assert firsts == sorted(firsts)


def test_every_page_has_scope_title_revision_date_and_number(tmp_path: Path) -> None:
    pages = written(oval(), tmp_path / "s.pdf", date="12 March 2031")
    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in text
        assert SCOPE in text
        assert "Mossgill Sidings" in text
        assert "Rev C · 12 March 2031" in text


def test_every_drop_is_on_the_printed_schedule_once(tmp_path: Path) -> None:
    layout = oval()
    pages = written(layout, tmp_path / "s.pdf")
    schedule = " ".join(p for p in pages if "Drops: BD1" in p)
    for one in layout.of_kind(Drop):
        assert len(re.findall(rf"\b{one.id}\b", schedule)) == 1


def test_heads_come_again_on_each_page_of_a_long_schedule(tmp_path: Path) -> None:
    drops = [drop(n, 0.05 * n) for n in range(1, 41)]
    pages = written(layout_of(board(), shelf_run(), *drops), tmp_path / "s.pdf")
    schedule = [p for p in pages if "Drops: BD1" in p]
    assert len(schedule) > 1
    for text in schedule:
        for head in ("from left end", "from aisle edge", "Solder", "photo"):
            assert head in text


def test_the_cover_tells_where_each_chapter_begins(tmp_path: Path) -> None:
    pages = written(oval(), tmp_path / "s.pdf")
    for chapter, head in (("Drops", "Drops: BD1"), ("Cut list", "Cut list")):
        first = next(i for i, p in enumerate(pages[1:], start=2) if head in p)
        assert f"{chapter} {first}" in pages[0]


@pytest.mark.parametrize(
    ("paper", "size"),
    # ISO 216 and US Letter, lying, in points of 1/72 inch.
    [("a4", (841.89, 595.28)), ("letter", (792.0, 612.0))],
)
def test_pages_are_of_the_chosen_paper(
    paper: str, size: tuple[float, float], tmp_path: Path
) -> None:
    path = tmp_path / "s.pdf"
    written(oval(paper=paper), path)
    document = pdfium.PdfDocument(path)
    for page in document:
        assert page.get_size() == pytest.approx(size, abs=0.1)
    document.close()


def test_the_same_layout_gives_the_same_file(tmp_path: Path) -> None:
    written(oval(), tmp_path / "one.pdf", date="12 March 2031")
    written(oval(), tmp_path / "two.pdf", date="12 March 2031")
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


@pytest.mark.parametrize(
    "name", ["Überlandbahn Łódź", "Кольцо Ελλάδα", "Gleis ½ ✓ → Ω", "Quarry “spur” №3"]
)
def test_names_in_many_scripts_print(name: str, tmp_path: Path) -> None:
    layout = layout_of(board(), shelf_run(name=name), drop(1, 0.3))
    assert name in " ".join(written(layout, tmp_path / "s.pdf"))


def test_a_name_that_cannot_be_set_is_spelt_out(tmp_path: Path) -> None:
    layout = layout_of(board(), shelf_run(name="東京 loop"), drop(1, 0.3))
    pages = written(layout, tmp_path / "s.pdf")
    assert "[U+6771][U+4EAC] loop" in " ".join(pages)
    assert "U+6771 cjk unified ideograph" in pages[0]


def test_an_arabic_name_prints_joined(tmp_path: Path) -> None:
    layout = layout_of(board(), shelf_run(name="محطة"), drop(1, 0.3))
    joined = "\ufee3\ufea4\ufec4\ufe94"
    text = " ".join(written(layout, tmp_path / "s.pdf"))
    # Readers give right-to-left text back in either order.
    assert joined in text or joined[::-1] in text or "محطة" in text


@pytest.mark.parametrize(
    "layout",
    [
        Layout(),
        layout_of(board()),
        layout_of(shelf_run()),
        layout_of(shelf_run(), drop(1, 0.3)),
    ],
    ids=["empty", "board only", "track only", "unfed"],
)
def test_unfinished_layouts_have_a_sheet_too(layout: Layout, tmp_path: Path) -> None:
    pages = written(layout, tmp_path / "s.pdf")
    assert "No track is fed by a booster." in pages[0]


@pytest.mark.parametrize(
    ("option", "head"),
    [
        ("gaps", "Gaps"),
        ("turnouts", "Turnouts"),
        ("protection", "Protection"),
        ("ring_out", "Ring out"),
        ("coins", "Coin test"),
        ("volts", "Loaded volts"),
        ("labels", "Labels"),
    ],
)
def test_pages_can_be_left_out_one_by_one(
    option: str, head: str, tmp_path: Path
) -> None:
    layout = build_sample("fennimarsh-loops")
    study = study_layout(layout)
    for wanted in (True, False):
        pages = compose_sheet(study, (), Options(**{option: wanted}))  # type: ignore[arg-type]
        assert any(page.title.startswith(head) for page in pages) == wanted


def test_a_long_page_can_be_stopped_before_it_is_done(tmp_path: Path) -> None:
    # The readings of a row of drops are solved in bunches; each asks on.
    drops = [drop(n, 0.02 * n, to=to_bus(0.02 * n)) for n in range(1, 111)]
    feed = bus((0, 300), (2400, 300), start=ToPort(part=PartId("PB1")))
    supply = Booster(id=PartId("PB1"), x_mm=0, y_mm=300)
    study = study_layout(layout_of(board(), shelf_run(), supply, feed, *drops))
    asked: list[str] = []

    def go_on(_share: float, words: str) -> bool:
        asked.append(words)
        return asked.count("Loaded volts") < 3

    assert not write_sheet(study, (), tmp_path / "s.pdf", progress=go_on)
    assert asked[-3:] == ["Loaded volts"] * 3
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("stop", [0, 3, 9, 20])
def test_stopping_at_any_step_leaves_no_file(stop: int, tmp_path: Path) -> None:
    count = itertools.count()
    done = write_sheet(
        study_layout(oval()),
        (),
        tmp_path / "s.pdf",
        progress=lambda _share, _words: next(count) != stop,
    )
    assert not done
    assert list(tmp_path.iterdir()) == []


def test_progress_rises_from_nothing_to_nearly_all(tmp_path: Path) -> None:
    shares: list[float] = []

    def note(share: float, words: str) -> bool:
        assert words
        shares.append(share)
        return True

    assert write_sheet(study_layout(oval()), (), tmp_path / "s.pdf", progress=note)
    assert shares == sorted(shares)
    assert shares[0] == 0.0
    assert 0.9 < shares[-1] < 1.0


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("lengths", ["m", "ft"])
def test_no_word_runs_off_the_paper(paper: str, lengths: str) -> None:
    long = "Donaudampfschifffahrtsgesellschaft mit Überholmöglichkeit " * 3
    layout = oval(title=long, paper=paper, lengths=lengths)
    named = shelf_run(id="R9", name=long[:200], y_mm=500)
    parts = {**layout.parts, named.id: named}
    face = Typeface()
    for page in compose_sheet(study_layout(Layout(parts)), ()):
        for mark in page.marks:
            if not isinstance(mark, Text) or mark.rotation:
                continue
            wide = face.width(mark.text, mark.size, bold=mark.bold)
            left = (
                mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * wide
            )
            assert left > 3.0, (page.title, mark.text)
            assert left + wide < page.width - 3.0, (page.title, mark.text)
            assert 5.0 < mark.y < page.height - 5.0, (page.title, mark.text)


def test_screen_and_paper_have_the_same_pages(tmp_path: Path) -> None:
    study = study_layout(oval())
    pages = compose_sheet(study, ())
    write_sheet(study, (), tmp_path / "s.pdf")
    printed = page_texts(tmp_path / "s.pdf")
    assert len(pages) == len(printed)
    for page, text in zip(pages, printed, strict=True):
        said = [m.text for m in page.marks if isinstance(m, Text) and not m.rotation]
        assert all(re.sub(r"\s+", " ", t).strip() in text for t in said)


def test_marks_are_complete_before_they_are_drawn() -> None:
    for page in compose_sheet(study_layout(oval()), ()):
        for mark in page.marks:
            if isinstance(mark, Line):
                assert len(mark.points) >= 2
                assert mark.width > 0.0
