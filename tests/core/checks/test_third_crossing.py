"""W131: the third crossing of a live three-way turnout."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.third_crossing import RULE
from tests.core.checks.plank import find, find_one
from tests.core.network.test_three_way import three_way


@pytest.mark.parametrize(
    "frogs",
    [
        ("switched", "switched"),
        ("switched", "insulated"),
        ("insulated", "self-powered"),
    ],
)
def test_fires_where_one_of_the_two_is_live(frogs: tuple[str, str]) -> None:
    found = find_one(RULE, three_way("three-way", *frogs))
    assert found.severity == Severity.ADVICE
    assert found.parts == ("T1", "T2")
    assert "100 mm from the toe of T1" in found.sentence
    # Seen from the toe, T1 leaves to the left: its inner rail comes from the right.
    assert "T1 thrown, it must have the pole of the right stock rail" in found.figures
    assert "T2 thrown, that of the left one" in found.figures


def test_fires_harder_where_blades_feed_both() -> None:
    found = find_one(RULE, three_way("staggered", "self-powered", "self-powered"))
    assert found.severity == Severity.FAULT
    assert "it is a short" in found.sentence


def test_quiet_where_both_are_dead() -> None:
    assert find(RULE, three_way()) == []
