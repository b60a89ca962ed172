"""Short chapters share a page; no word is lost and none runs off the paper."""

from collections import Counter

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Gap, OnRun
from core.sheet import Options, compose_sheet
from core.sheet.frame import SCOPE, Box, Leaf
from core.sheet.joining import join_leaves
from core.sheet.marks import Circle, Line, Shape, Text
from core.sheet.pages.pits import pit_leaves
from core.sheet.pages.track.gaps import gap_leaves
from core.sheet.typeface import Typeface
from tests.core.checks.shed import shed
from tests.core.sheet.boards import brief_of, texts

FACE = Typeface()
BODY = Box(10.0, 20.0, 210.0, 120.0)


def leaf(title: str, foot: float | None, *words: Text) -> Leaf:
    return Leaf(title, words, foot=foot)


def test_a_chapter_moves_up_whole_under_its_title() -> None:
    # 20 mm of the first end at 40; the second is 30 mm high.
    one = leaf("Gaps", 40.0, Text(10.0, 30.0, "one"))
    line = Line(((10.0, 25.0), (90.0, 25.0)))
    more = (line, Shape(((10.0, 20.0), (12.0, 20.0), (12.0, 22.0))), Circle(50, 30, 2))
    two = Leaf("Turnouts", (Text(10.0, 24.0, "two"), *more), foot=50.0)
    joined = join_leaves(one, (two,), BODY, FACE)
    assert joined is not None
    assert joined.title == "Gaps, Turnouts"
    assert texts(joined.marks) == ["one", "Turnouts", "two"]
    assert joined.foot is not None
    by = joined.foot - 50.0
    assert by > 40.0 - 20.0
    assert joined.marks[-3:-2] == (Line(((10.0, 25.0 + by), (90.0, 25.0 + by))),)
    assert joined.marks[-1] == Circle(50, 30 + by, 2)


def test_what_does_not_fit_or_is_long_stays_by_itself() -> None:
    one = leaf("Gaps", 40.0, Text(10.0, 30.0, "one"))
    # 100 mm are there, 20 are taken, and the heading takes more than 10.
    assert join_leaves(one, (leaf("Turnouts", 20.0 + 70.0),), BODY, FACE) is None
    short = leaf("Turnouts", 30.0)
    assert join_leaves(one, (short, short), BODY, FACE) is None
    assert join_leaves(leaf("Plan", None), (short,), BODY, FACE) is None
    long = leaf("A title of a chapter that goes on and on and on", 30.0)
    assert join_leaves(one, (long,), BODY, FACE) is None


def gapped() -> Layout:
    """Return a shed with a gap in its first stall: a gap list and a pit's card."""
    layout = shed(30, 150)
    gap = Gap(id=PartId("G1"), on=OnRun(run=PartId("R2"), position_m=0.2))
    return Layout({**layout.parts, gap.id: gap})


def test_gaps_and_turntables_share_a_page_of_the_sheet() -> None:
    layout = gapped()
    brief = brief_of(layout)
    apart = [*gap_leaves(brief), *pit_leaves(brief)]
    assert len(apart) == 2
    pages = compose_sheet(study_layout(layout), (), Options())
    number, page = next(
        (i, p) for i, p in enumerate(pages, start=1) if p.title == "Gaps, Turntables"
    )
    told = Counter(texts(page))
    for one in apart:
        assert not Counter(texts(one.marks)) - told
    # What stands below the body is what stands there on every page.
    low = [
        m.text for m in page.marks if isinstance(m, Text) and m.y > brief.body.bottom
    ]
    assert low == [SCOPE, f"Page {number} of {len(pages)}"]
    # The cover sends both chapters to that page.
    cover = texts(pages[0])
    for title in ("Gaps", "Turntables"):
        assert cover[cover.index(title) + 1] == str(number)
