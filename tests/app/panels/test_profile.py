"""The profile: round figures, the line over the route, the train on it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.panels.profile.plot import LEFT, ProfilePlot
from app.panels.profile.strip import ProfileStrip
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.examine import study_layout
from core.analysis.profile import profile_run
from core.analysis.study import Flow
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.units.axis import Axis
from tests.app.board import MAIN, board


@given(st.floats(-100, 100), st.floats(0.001, 1000), st.integers(1, 12))
def test_ticks_lie_inside_and_are_no_more_than_asked(
    low: float, span: float, most: int
) -> None:
    axis = Axis(low, low + span, 300.0)
    ticks = axis.ticks(most)
    assert len(ticks) <= most + 1
    assert all(low - 1e-9 * span <= t <= low + span * (1 + 1e-9) for t in ticks)


def test_ticks_are_round() -> None:
    # 0 to 3 m, at most 4: every metre. 14.2 to 15.1 V, at most 4: every half volt
    # would be two, every fifth of a volt five: 0.5 is the roundest that fits.
    assert Axis(0.0, 3.0, 300.0).ticks(4) == pytest.approx((0.0, 1.0, 2.0, 3.0))
    assert Axis(14.2, 15.1, 300.0).ticks(4) == pytest.approx((14.5, 15.0))


@given(st.floats(0.0, 3.0))
def test_pixels_and_figures_undo_each_other(metres: float) -> None:
    axis = Axis(0.0, 3.0, 417.0)
    assert axis.figure(axis.at(metres)) == pytest.approx(metres, abs=1e-9)


@pytest.fixture
def plot(qtbot: QtBot, looks: Looks) -> ProfilePlot:
    made = ProfilePlot(looks)
    qtbot.addWidget(made)
    made.resize(500, 160)
    study = study_layout(board())
    made.show_profile(profile_run(study, PartId(MAIN)), "volts", (14.25, 13.5), "m")
    with qtbot.waitExposed(made):
        made.show()
    return made


def test_a_click_in_the_middle_puts_the_train_in_the_middle(
    qtbot: QtBot, plot: ProfilePlot
) -> None:
    middle = LEFT + (plot.width() - LEFT - 34) // 2
    with qtbot.waitSignal(plot.scrubbed) as blocker:
        QTest.mouseClick(plot, Qt.MouseButton.LeftButton, pos=QPoint(middle, 60))
    assert blocker.args == [pytest.approx(1.5, abs=0.02)]


def test_arrow_keys_move_the_train_a_hundredth(qtbot: QtBot, plot: ProfilePlot) -> None:
    plot.show_train(1.0)
    with qtbot.waitSignal(plot.scrubbed) as blocker:
        QTest.keyClick(plot, Qt.Key.Key_Right)
    assert blocker.args == [pytest.approx(1.03)]


def test_the_figure_at_the_train_is_the_profiles(plot: ProfilePlot) -> None:
    study = study_layout(board())
    profile = profile_run(study, PartId(MAIN))
    assert plot.value_at(0.0) == pytest.approx(float(profile.volts_v[0]))
    assert plot.value_at(3.0) == pytest.approx(float(profile.volts_v[-1]))


def test_dragging_the_train_moves_the_probe(
    qtbot: QtBot, session: Session, looks: Looks
) -> None:
    strip = ProfileStrip(session, looks)
    qtbot.addWidget(strip)
    with qtbot.waitSignal(session.study_ready, timeout=20_000):
        session.replace_layout(board(), None)
    with qtbot.waitExposed(strip):
        strip.show()
    strip.plot.scrubbed.emit(2.0)
    assert session.probe_place == OnRun(run=MAIN, position_m=2.0)
    assert strip.plot.train_m == pytest.approx(2.0)


def test_the_drops_tell_their_amps_while_the_train_is_dragged(
    qtbot: QtBot, session: Session, looks: Looks
) -> None:
    strip = ProfileStrip(session, looks)
    qtbot.addWidget(strip)
    with qtbot.waitExposed(strip):
        strip.show()
    # Halfway between two like drops each takes half of a 1 A train.
    strip.plot.scrubbed.emit(1.5)
    assert strip.plot.amps == {
        "D1": pytest.approx(0.5, abs=1e-3),
        "D2": pytest.approx(0.5, abs=1e-3),
    }
    strip.plot.scrubbed.emit(0.5)
    assert strip.plot.amps[PartId("D1")] > 0.6


def test_what_a_drop_carries_is_drawn(plot: ProfilePlot) -> None:
    before = plot.grab().toImage()
    plot.show_flows((Flow(PartId("D1"), 0.8, 5.0),))
    assert plot.grab().toImage() != before
