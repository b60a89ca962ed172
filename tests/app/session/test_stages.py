"""What each stage says is still open."""

import pytest

from app.session.stages import STAGES, open_items
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields, set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Conductor, Straight, TrackRun
from tests.app.board import BOOSTER, MAIN, board, faulty_board


def said(stage_id: str, layout: Layout) -> list[str]:
    stage = next(s for s in STAGES if s.id == stage_id)
    return [item.sentence for item in open_items(stage, layout, None)]


@pytest.mark.parametrize(
    ("stage_id", "sentences"),
    [
        ("backdrop", ["No baseboard: the sheet cannot measure holes from an edge"]),
        ("track", ["No track yet"]),
        ("power", ["No booster yet"]),
        ("drops", []),
        ("prove", ["The figures are not worked out yet"]),
        ("sheet", ["The layout has no title"]),
    ],
)
def test_an_empty_layout_says_where_to_begin(
    stage_id: str, sentences: list[str]
) -> None:
    assert said(stage_id, Layout()) == sentences


def test_a_run_without_a_drop_is_counted() -> None:
    assert said("drops", faulty_board()) == ["1 run has no drop"]


def test_a_drop_that_ends_nowhere_is_counted() -> None:
    layout = board()
    layout.apply(set_fields(layout, frozenset({PartId("D1")}), to=None))
    assert said("drops", layout) == ["1 drop ends nowhere"]


def test_a_booster_that_feeds_nothing_is_named() -> None:
    layout = board()
    layout.apply(remove_parts(layout, frozenset({PartId("D1"), PartId("D2")})))
    assert said("power", layout) == ["PB1 feeds nothing yet"]


def test_ends_that_nearly_meet_are_shown() -> None:
    layout = board()
    near = TrackRun(
        id=PartId("R9"),
        x_mm=3040.0,
        y_mm=0,
        heading_deg=0,
        pieces=(Straight(length_mm=500),),
    )
    stage = next(s for s in STAGES if s.id == "track")
    (item,) = open_items(stage, Layout({**layout.parts, near.id: near}), None)
    assert (item.sentence, set(item.parts)) == (
        "1 place where track ends nearly meet",
        {MAIN, near.id},
    )


def test_conductors_of_one_colour_are_open() -> None:
    layout = board()
    black = Conductor(name="A", colour="black")
    layout.apply(set_settings(layout, conductor_a=black))
    assert said("sheet", layout) == ["Both conductors have the same colour"]


def test_a_sound_board_has_nothing_open_in_power() -> None:
    assert said("power", board()) == []
    assert BOOSTER in board().parts
