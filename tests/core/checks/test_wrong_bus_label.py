"""W215: labels at the ends of buses."""

from core.checks.finding import Severity
from core.checks.rules.wrong_bus_label import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Point
from tests.core.checks.plank import find, find_one, mended, plank, to_bus


def two(**labels: dict[str, str]) -> Layout:
    """Return the plank with a second bus that goes on from the first."""
    more = Bus(
        id=PartId("B2"),
        points=(Point(x_mm=1800.0, y_mm=-100.0), Point(x_mm=2800.0, y_mm=-100.0)),
        start=to_bus(1.8),
    )
    return plank(more, changes=labels)


def test_fires_once_for_two_that_are_swapped() -> None:
    found = find_one(RULE, two(B1={"end_label": "B2"}, B2={"start_label": "B1"}))
    assert found.parts == ("B1", "B2")
    assert found.severity is Severity.FAULT
    assert "labelled as each other" in found.sentence


def test_fires_for_one_that_says_another_bus() -> None:
    found = find_one(RULE, two(B2={"end_label": "B1"}))
    assert found.parts == ("B2", "B1")
    assert found.severity is Severity.FAULT


def test_fires_softly_for_a_label_that_names_nothing() -> None:
    found = find_one(RULE, two(B2={"end_label": "north"}))
    assert found.parts == ("B2",)
    assert found.severity is Severity.ADVICE


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = two(B1={"end_label": "B2"}, B2={"start_label": "B1"})
    assert find(RULE, mended(layout, find_one(RULE, layout))) == []


def test_quiet_where_labels_are_right_or_not_said() -> None:
    assert find(RULE, two(B1={"start_label": "B1 "}, B2={"end_label": "B2"})) == []
