"""The worst point beside the ramp takes no more room than the strip has."""

from pytestqt.qtbot import QtBot

from app.panels.legend import LegendStrip
from app.session.looks import Looks
from app.session.session import Session


def test_the_worst_point_gives_way_before_the_switch_does(
    qtbot: QtBot, session: Session, looks: Looks
) -> None:
    strip = LegendStrip(session, looks, lambda _: None)
    qtbot.addWidget(strip)
    strip.show_view("volts")
    said: dict[int, str] = {}
    for width in (640, 800, 1000, 1600):
        strip.resize(width, 40)
        with qtbot.waitExposed(strip):
            strip.show()
        assert strip.switch.width() >= strip.switch.sizeHint().width()
        said[width] = strip.worst.text() if strip.worst.isVisible() else ""
    assert said[640] == ""
    assert said[1600].endswith(" m")
    assert len(said[640]) <= len(said[800]) <= len(said[1000]) <= len(said[1600])
