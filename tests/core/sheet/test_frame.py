"""Every page says what it belongs to."""

from typing import Literal

import pytest

from core.sheet.frame import (
    PAPERS,
    SCOPE,
    Box,
    Flow,
    Imprint,
    Leaf,
    body_of,
    finish_pages,
    text_height,
)
from core.sheet.marks import Page, Text
from core.sheet.typeface import Typeface
from tests.core.sheet.boards import texts

FACE = Typeface()
IMPRINT = Imprint("Mossgill Sidings", "C", "12 March 2031")


def pages_of(
    *leaves: Leaf, imprint: Imprint = IMPRINT, paper: Literal["a4", "letter"] = "a4"
) -> tuple[Page, ...]:
    return finish_pages(leaves, imprint, paper, FACE)


def test_every_page_says_what_it_is_part_of() -> None:
    pages = pages_of(Leaf("Plan", ()), Leaf("Drops", (), "SEEN FROM BELOW"))
    for number, page in enumerate(pages, start=1):
        said = texts(page)
        assert f"Page {number} of 2" in said
        assert SCOPE in said
        assert "Mossgill Sidings · Rev C · 12 March 2031" in said
    assert "SEEN FROM BELOW" in texts(pages[1])


def test_the_scope_is_that_of_the_need() -> None:
    # Needs N88, word for word.
    assert "approved supplies and a licensed electrician; local code wins" in SCOPE


def test_a_date_left_out_leaves_no_trace() -> None:
    (page,) = pages_of(Leaf("Plan", ()), imprint=Imprint("Mossgill", "C", ""))
    assert "Mossgill · Rev C" in texts(page)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_long_title_stays_on_the_paper(paper: Literal["a4", "letter"]) -> None:
    imprint = Imprint("Überlandverbindung " * 12, "C", "12 March 2031")
    leaf = Leaf("Underside: BD1 Main board", (), "SEEN FROM BELOW")
    (page,) = pages_of(leaf, imprint=imprint, paper=paper)
    for mark in page.marks:
        if isinstance(mark, Text):
            width = FACE.width(mark.text, mark.size, bold=mark.bold)
            left = mark.x - (width if mark.anchor == "end" else 0.0)
            assert left >= 10.0
            assert left + width <= page.width - 10.0


def test_papers_are_the_standard_ones_lying() -> None:
    # ISO 216: A4 is 210 by 297 mm. US Letter is 8.5 by 11 in.
    assert PAPERS["a4"] == (297.0, 210.0)
    assert PAPERS["letter"] == pytest.approx((11 * 25.4, 8.5 * 25.4))


def test_content_keeps_clear_of_head_and_foot() -> None:
    body = body_of("letter")
    assert body.top > 20.0
    assert body.bottom < 215.9 - 14.0


def flow(height: float) -> Flow:
    return Flow("Notes", Box(10.0, 20.0, 60.0, 20.0 + height), FACE)


def test_text_runs_on_to_the_next_leaf() -> None:
    # Room for two lines a leaf, five lines: 2 + 2 + 1.
    one = flow(text_height(11.0, 2) + 0.1)
    one.text("a\nb\nc\nd\ne", 11.0)
    found = one.leaves()
    assert [texts(leaf.marks) for leaf in found] == [["a", "b"], ["c", "d"], ["e"]]
    assert [leaf.title for leaf in found] == [
        "Notes",
        "Notes (continued)",
        "Notes (continued)",
    ]


def test_a_flow_with_nothing_in_it_has_no_leaf() -> None:
    assert flow(50.0).leaves() == ()


def test_a_heading_is_not_left_alone_at_the_foot() -> None:
    one = flow(40.0)
    one.text("a\nb\nc\nd", 11.0)
    one.heading("Next", keep=25.0)
    one.text("below it")
    assert texts(one.leaves()[1].marks) == ["Next", "below it"]
