"""How far apart drops may stand, for the rails that are laid."""

from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.panels.answers.apart import NO_TRACK, NO_TRAIN, advice, sentence_for
from app.panels.stages.drops import DropsPanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.edits.set import set_fields, set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import TrackRun
from tests.app.board import MAIN, board
from tests.app.panels.conftest import Seen


def with_rail(name: str) -> Layout:
    parts = board(test_train_a=2.0).parts
    main = parts[MAIN]
    assert isinstance(main, TrackRun)
    return Layout({**parts, MAIN: replace(main, rail=name)})


def test_n15_the_spacing_of_common_rails() -> None:
    # needs.md N15: 0.2 V at 2 A: code 100 2.6 m, code 83 1.85 m; dead-end stub a
    # quarter of that. Both are rounded there, so to 2 %.
    for name, metres in (("code100-ns", 2.6), ("code83-ns", 1.85)):
        (entry,) = advice(with_rail(name))
        spacing = float(entry.figure.removesuffix(" m"))
        assert abs(spacing - metres) < 0.02 * metres
    (entry,) = advice(with_rail("code100-ns"))
    assert entry.more.startswith("dead ends 65")  # 2.6 m / 4 = 650 mm


def test_each_rail_in_use_has_one_row() -> None:
    layout = with_rail("code83-ns")
    main = layout.need(MAIN, TrackRun)
    more = [replace(main, id=PartId(f"R{i}"), rail="code55-ns") for i in (8, 9)]
    layout = Layout({**layout.parts, **{run.id: run for run in more}})
    assert [entry.parts for entry in advice(layout)] == [(MAIN,), ("R8", "R9")]


def test_half_the_train_is_twice_the_spacing(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = DropsPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    panel.apart.head.click()
    figures = []
    for amps in (2.0, 1.0):
        session.commit(set_settings(session.layout, test_train_a=amps))
        figures.append(float(panel.apart.list.entries[0].figure.removesuffix(" m")))
    assert abs(figures[1] - 2.0 * figures[0]) < 0.02


def test_without_track_or_train_it_says_what_is_missing() -> None:
    assert sentence_for(Layout()) == NO_TRACK
    resting = board(test_train_a=0.0)
    assert (advice(resting), sentence_for(resting)) == ((), NO_TRAIN)


def test_pressing_a_rail_shows_its_runs(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    panel = DropsPanel(session, looks, seen.hands)
    qtbot.addWidget(panel)
    panel.show()
    panel.apart.head.click()
    session.commit(set_fields(session.layout, frozenset({MAIN}), rail="code83-ns"))
    panel.apart.list._rows[0].click()
    assert seen.parts == [(MAIN,)]
