"""The keys of the views of rails: what they list, and what they open."""

import pytest
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.panels.rail_keys import DistrictsKey, PolesKey, district_words
from app.session.looks import Looks
from core.analysis.districts import District, DistrictPlan, Headroom
from core.layout.ids import PartId


def district(number: int, **other: object) -> District:
    feeder = PartId(f"CB{number}")
    made: dict[str, object] = {
        "number": number,
        "feeders": (feeder,),
        "chain": (PartId("PB1"), feeder),
        "length_m": 3.1,
        "amps_a": 0.8,
        "headroom": Headroom(3.2, feeder, 4.0),
        "reverser": None,
        **other,
    }
    return District(**made)  # type: ignore[arg-type]


@pytest.fixture
def key(qtbot: QtBot, looks: Looks) -> DistrictsKey:
    made = DistrictsKey(looks)
    qtbot.addWidget(made)
    made.resize(600, 34)
    with qtbot.waitExposed(made):
        made.show()
    return made


def plan(*districts: District) -> DistrictPlan:
    return DistrictPlan(districts, {}, ())


def test_a_district_is_told_with_its_chain_its_length_and_its_amps() -> None:
    assert district_words(district(2), "m") == (
        "2  PB1 → CB2: 3.10 m, 0.80 A drawn, 3.20 A left at CB2"
    )


def test_too_much_a_short_and_a_reverser_are_told() -> None:
    full = district(1, headroom=Headroom(-0.5, PartId("PB1"), 4.0))
    assert "0.50 A too much for PB1" in district_words(full, "m")
    shorted = district(1, headroom=None, reverser=PartId("CB1"))
    assert district_words(shorted, "m").endswith("shorted, turned by CB1")


def test_joined_feeds_are_told_as_such() -> None:
    both = district(1, feeders=(PartId("CB1"), PartId("CB2")))
    assert "CB1 and CB2 joined, nothing parts them" in district_words(both, "m")


def test_each_district_has_a_button_that_asks_for_it(
    qtbot: QtBot, key: DistrictsKey
) -> None:
    key.show_plan(plan(district(1), district(2)), "m")
    assert [b.text() for b in key.buttons] == ["1 CB1", "2 CB2"]
    with qtbot.waitSignal(key.chosen) as told:
        key.buttons[1].click()
    assert told.args == [2]


def test_those_without_room_are_in_the_list(qtbot: QtBot, key: DistrictsKey) -> None:
    key.show_plan(plan(*(district(i) for i in range(1, 41))), "m")
    shown = [b for b in key.buttons if b.isVisible()]
    assert 0 < len(shown) < 40
    menu = key.make_list()
    assert len(menu.actions()) == 40
    with qtbot.waitSignal(key.chosen) as told:
        menu.actions()[39].trigger()
    assert told.args == [40]
    menu.deleteLater()


def test_the_button_of_the_list_does_not_look_cut_off(key: DistrictsKey) -> None:
    key.show_plan(plan(*(district(i) for i in range(1, 6))), "m")
    assert key.every.text() == "List all 5"
    assert key.every.width() >= key.every.sizeHint().width()


def test_the_list_is_rebuilt_when_amps_change(key: DistrictsKey) -> None:
    key.show_plan(plan(district(1)), "m")
    key.show_plan(plan(district(1, amps_a=1.25)), "m")
    assert "1.25 A drawn" in key.buttons[0].toolTip()


def test_without_anything_fed_it_says_so(key: DistrictsKey) -> None:
    key.show_plan(None, "m")
    assert key.every.text() == "Nothing is fed"
    assert not key.every.isEnabled()


def test_the_poles_key_shows_lines_that_differ_without_colour(
    qtbot: QtBot, looks: Looks
) -> None:
    made = PolesKey(looks)
    qtbot.addWidget(made)
    made.resize(440, 34)
    with qtbot.waitExposed(made):
        made.show()
    image: QImage = made.grab().toImage()
    ink = [
        QColor(image.pixel(x, image.height() // 2)).lightnessF() < 0.7
        for x in range(4, 33)
    ]
    assert all(ink[1:-1])  # A: the first sample, without a break
    assert "B dashed" in made.accessibleName()
