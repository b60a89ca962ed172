"""The schedule of diamonds and slips: cuts, leads, and the pole at each contact."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.sheet.frame import Leaf
from core.sheet.pages.track.crossings import crossing_leaves, total_words
from core.sheet.schedules.track.crossings import CrossingRow, crossing_rows
from core.sheet.schedules.track.gaps import gap_rows
from tests.core.network.cross import Frogs, crossing, fed_across
from tests.core.sheet.boards import brief_of, texts


def row_of(layout: Layout) -> CrossingRow:
    (row,) = crossing_rows(study_layout(layout))
    return row


def said(leaves: tuple[Leaf, ...]) -> str:
    return " ".join(text for leaf in leaves for text in texts(leaf.marks))


def told(row: CrossingRow) -> set[tuple[str, str | None, str | None]]:
    return {(c.way, c.first, c.second) for c in row.contacts}


def test_each_contact_has_the_poles_of_the_two_rails_that_meet_there() -> None:
    # A is the left rail of both; Siding leaves Main to the left. By hand: towards the
    # right Main's left rail, A, crosses Siding's right one, B; towards the left
    # Main's right rail, B, crosses Siding's left one, A.
    row = row_of(fed_across(crossing("switched")))
    assert told(row) == {("right", "A", "B"), ("left", "B", "A")}
    assert row.tracks == ("Main", "Siding")


@pytest.mark.parametrize("run", ["R1", "R2"])
def test_drawing_a_track_the_other_way_changes_none_of_it(run: str) -> None:
    layout = fed_across(crossing("switched"))
    layout.apply(reverse_run(layout, PartId(run)))
    assert told(row_of(layout)) == {("right", "A", "B"), ("left", "B", "A")}


def test_the_numbers_of_its_cuts_are_those_of_the_gap_list() -> None:
    study = study_layout(fed_across(crossing("switched")))
    listed = {row.name for row in gap_rows(study)}
    (row,) = crossing_rows(study)
    numbers = [number for contact in row.contacts for number in contact.cuts]
    assert listed == {f"X1 cut {number}" for number in numbers}


def test_a_square_crossing_has_four_contacts() -> None:
    layout = fed_across(crossing("switched"), angle_deg=90.0)
    assert len(row_of(layout).contacts) == 4
    assert "All four are cut out" in said(crossing_leaves(brief_of(layout)))


def test_a_rail_that_nothing_feeds_is_said_to_be_unfed() -> None:
    # With its obtuse crossings dead nothing reaches Siding when its drops are gone.
    layout = fed_across(crossing("switched", obtuse="dead"))
    dead = Layout({i: p for i, p in layout.parts.items() if i not in ("D3", "D4")})
    assert {contact.second for contact in row_of(dead).contacts} == {None}
    assert "not fed" in said(crossing_leaves(brief_of(dead)))


@pytest.mark.parametrize(
    ("frog", "words"),
    [
        ("insulated", "Dead: wire nothing"),
        ("uncut", "All one metal"),
        ("switched", "stay one metal with the rails"),
    ],
)
def test_what_is_to_be_done_is_said(frog: Frogs, words: str) -> None:
    assert words in said(crossing_leaves(brief_of(fed_across(crossing(frog)))))


def test_the_sums_are_said() -> None:
    rows = crossing_rows(study_layout(fed_across(crossing("switched"))))
    assert total_words(rows) == "1 crossing: 4 cuts, 2 leads, 2 change-over contacts."
    dead = crossing_rows(study_layout(fed_across(crossing())))
    assert total_words(dead) == "1 crossing: nothing to wire."


def test_a_contact_that_is_too_weak_is_marked() -> None:
    weak = replace(crossing("switched"), contact_a=1.0)
    assert "▲ 1.00 A" in said(crossing_leaves(brief_of(fed_across(weak))))


def test_a_layout_without_any_has_no_such_page() -> None:
    assert crossing_leaves(brief_of(fed_across(None))) == ()


def test_slip_roads_are_spoken_of() -> None:
    slip = crossing("switched", "double slip")
    assert "On a slip road" in said(crossing_leaves(brief_of(fed_across(slip))))
