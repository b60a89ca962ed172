"""W205: the label at the far end of a drop says something else."""

from core.checks.finding import Severity
from core.checks.rules.wrong_label import RULE
from tests.core.checks.plank import find, find_one, mended, plank


def test_fires_where_it_is_another_drops_name() -> None:
    found = find_one(RULE, plank(changes={"D2": {"far_label": "D1"}}))
    assert found.parts == ("D2", "D1")
    assert found.severity is Severity.FAULT


def test_fires_as_advice_where_it_is_nobodys_name() -> None:
    found = find_one(RULE, plank(changes={"D2": {"far_label": "north end"}}))
    assert found.severity is Severity.ADVICE


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = plank(changes={"D2": {"far_label": "D1"}})
    assert find(RULE, mended(layout, find_one(RULE, layout))) == []


def test_quiet_where_it_is_its_own_name() -> None:
    assert find(RULE, plank(changes={"D2": {"far_label": "D2 "}})) == []
