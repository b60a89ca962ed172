"""W404: boosters whose common nobody has settled."""

import pytest
from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.unsaid_common import RULE
from core.layout.layout import Layout
from core.layout.parts import Booster
from tests.core.checks.fed import booster, layout_with
from tests.core.checks.plank import find, find_one
from tests.core.network.track import layout_of, run


def boosters(*answers: str) -> Layout:
    made: list[Booster] = []
    for number, answer in enumerate(answers, start=1):
        one = booster(number)
        if answer == "joined":
            one = replace(one, common="joined")
        elif answer == "separate":
            one = replace(one, common="separate")
        made.append(one)
    return layout_with(layout_of(run(1, 1.0)), *made)


def test_fires_for_two_answers() -> None:
    # needs.md S6, F7: two different answers in the notes: tool asks.
    found = find_one(RULE, boosters("joined", "separate", "separate"))
    assert found.severity is Severity.ADVICE
    assert "PB1 says joined, PB2 and PB3 say separate" in found.sentence
    assert found.parts == ("PB1", "PB2", "PB3")


@pytest.mark.parametrize("known", ["joined", "separate", "not said"])
def test_fires_where_one_is_not_said(known: str) -> None:
    assert "PB2" in find_one(RULE, boosters(known, "not said")).sentence


@pytest.mark.parametrize("answer", ["joined", "separate"])
def test_quiet_where_all_say_the_same(answer: str) -> None:
    assert find(RULE, boosters(answer, answer)) == []


@pytest.mark.parametrize("answer", ["joined", "separate", "not said"])
def test_quiet_about_a_booster_alone(answer: str) -> None:
    assert find(RULE, boosters(answer)) == []
