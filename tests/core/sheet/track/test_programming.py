"""The programming track on paper."""

from core.layout.layout import Layout
from core.sheet.pages.track.programming import programming_leaves
from tests.core.checks.test_bridged_programming import siding, two_poles
from tests.core.sheet.boards import brief_of, texts


def words(layout: Layout) -> str:
    (leaf,) = programming_leaves(brief_of(layout))
    return " ".join(texts(leaf.marks))


def test_a_sound_one_names_its_feeds_and_both_pairs() -> None:
    told = words(siding())
    assert "SW1" in told
    assert "4 poles" in told
    assert "track: D3" in told
    assert "isolation piece: D2" in told
    assert "350 mm or more" in told
    assert "ONLY" not in told


def test_one_on_two_poles_stands_out() -> None:
    assert "ONLY 0, from R1" in words(two_poles())


def test_no_change_over_no_page() -> None:
    assert programming_leaves(brief_of(siding(changes={"SW1": {"other": None}}))) == ()
