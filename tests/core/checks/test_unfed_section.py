"""W508: the section of a lift-out or gate that no jumper feeds, or on both sides."""

import pytest

from core.analysis.examine import study_layout
from core.analysis.study import Case
from core.checks.finding import Severity
from core.checks.rules.unfed_section import RULE
from core.checks.run import run_checks
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, OnRun, Strip, ToStrip
from tests.core.checks.gate import cut, gate
from tests.core.checks.plank import find, find_one


def test_fires_where_rails_meet_at_the_edges_and_no_drop_is_there() -> None:
    found = find_one(RULE, gate(without=("D2",)))
    assert found.severity is Severity.FAULT
    assert "No jumper feeds both rails of Main" in found.sentence
    assert "left side" in found.remedy


def test_it_is_not_told_by_the_rule_of_unfed_rail_too() -> None:
    codes = [f.code for f in run_checks(study_layout(gate(without=("D2",))))]
    assert "W508" in codes
    assert "W101" not in codes


def test_fires_for_one_rail() -> None:
    found = find_one(RULE, gate(changes={"D2": {"rails": "left"}}))
    assert "the right rail of Main" in found.sentence


# A house choice: a crossing's own metal is shorter than 50 mm.
@pytest.mark.parametrize(("length_m", "count"), [(0.049, 0), (0.051, 1)])
def test_quiet_about_stretches_as_short_as_a_crossing(
    length_m: float, count: int
) -> None:
    assert len(find(RULE, gate(cut(3, 2.4 - length_m)))) == count


def test_quiet_where_it_is_open() -> None:
    case = Case(opened=frozenset({PartId("LO1")}))
    assert list(RULE.check(study_layout(gate(), case))) == []


def _strip(x_mm: float) -> Strip:
    return Strip(id=PartId("TS1"), x_mm=x_mm, y_mm=0.0)


def _second() -> Drop:
    return Drop(
        id=PartId("D6"),
        on=OnRun(run=PartId("R1"), position_m=2.2),
        to=ToStrip(part=PartId("TS1"), way=1),
    )


def _with_strip(x_mm: float, **use: str) -> Layout:
    strip = _strip(x_mm)
    fed = Drop(
        id=PartId("D7"),
        on=OnRun(run=PartId("R1"), position_m=3.8),
        to=ToStrip(part=PartId("TS1"), way=2),
    )
    return gate(strip, _second(), fed, changes={"LO1": use})


def test_fires_where_a_gate_is_wired_over_the_side_that_swings() -> None:
    # The gate's middle is at x = 2.0 m; a strip at 3.0 m lies beyond its free end.
    found = find_one(RULE, _with_strip(3000.0))
    assert found.severity is Severity.ADVICE
    assert "D6 reaches" in found.sentence
    assert "across its right side" in found.sentence


def test_fires_where_a_lift_out_has_plugs_on_both_sides() -> None:
    found = find_one(RULE, _with_strip(3000.0, use="lift-out"))
    assert "two plugs must be drawn" in found.sentence


def test_quiet_just_on_the_hinge_side() -> None:
    # One way of the strip is 12 mm wide, its first is 66 mm left of its middle.
    assert find(RULE, _with_strip(2000.0 + 65.0)) == []


def test_quiet_without_a_booster() -> None:
    assert find(RULE, gate(without=("PB1", "D2"))) == []


def test_quiet_about_the_track_with_its_gate_as_it_should_be() -> None:
    codes = {f.code for f in run_checks(study_layout(gate()))}
    assert not {c for c in codes if c[:2] == "W1"} | codes & {"W507", "W508"}
