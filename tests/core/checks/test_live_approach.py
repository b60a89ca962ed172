"""W507: track that stays live in front of an open lift-out or gate."""

import pytest

from core.analysis.examine import study_layout
from core.analysis.study import Case
from core.checks.finding import Severity
from core.checks.rules.live_approach import RULE
from core.checks.run import run_checks
from core.layout.ids import PartId
from core.layout.parts import OnRun, ToPort
from tests.core.checks.gate import cut, gate, lead
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import end, run, turnout


def test_fires_where_nothing_opens_with_the_gate() -> None:
    found = find_one(RULE, gate(changes={"LO1": {"contact": None}}))
    assert found.severity is Severity.FAULT
    assert "both rails of Main on the left side" in found.sentence
    assert "on the right side" in found.sentence
    assert found.figures.startswith("left side: live 0 mm to 900 mm from the edge")


def test_fires_on_the_side_whose_gap_is_missing() -> None:
    found = find_one(RULE, gate(without=("G2", "D3")))
    assert "right side" in found.sentence
    assert "left side" not in found.sentence


def test_fires_on_both_sides_where_a_live_side_feeds_the_other_by_the_contact() -> None:
    # SW1 is open, but D4 brings what D5 feeds back to its output, and D3 takes it on.
    found = find_one(RULE, gate(without=("G2",)))
    assert "right side" in found.sentence
    assert "left side" in found.sentence


# Needs N51: 0.9 m on both sides (common practice, no source).
@pytest.mark.parametrize(("back_m", "count"), [(0.9, 0), (0.95, 0), (0.88, 1)])
def test_quiet_just_at_the_limit(back_m: float, count: int) -> None:
    layout = gate(changes={"G1": {"on": _on(1.6 - back_m)}})
    assert len(find(RULE, layout)) == count


def test_fires_as_advice_where_one_rail_alone_is_cut() -> None:
    found = find_one(RULE, gate(changes={"G1": {"rails": "left"}}))
    assert found.severity is Severity.ADVICE
    assert "the right rail of Main" in found.sentence


def test_quiet_for_a_joint_of_boards() -> None:
    assert find(RULE, gate(changes={"LO1": {"use": "board joint"}})) == []


def test_fires_for_a_leg_that_comes_in_over_a_turnout() -> None:
    # T1's toe lies 0.4 m before the edge, so 0.5 m of the leg R2 are approach too.
    # Cut at 0.3 m it is live from 0.4 + 0.3 to 0.9 m.
    leg = turnout(1, _on(1.2), end(2, "start"), backward=True)
    layout = gate(run(2, 1.0), leg, cut(3, 0.3, run=2), lead(6, 0.8, run=2))
    found = find_one(RULE, layout)
    assert "both rails of R2 on the left side" in found.sentence
    assert "live 700 mm to 900 mm from the edge" in found.figures


def test_quiet_for_a_leg_that_is_cut_at_the_limit() -> None:
    leg = turnout(1, _on(1.2), end(2, "start"), backward=True)
    layout = gate(run(2, 1.0), leg, cut(3, 0.5, run=2), lead(6, 0.8, run=2))
    assert find(RULE, layout) == []


def _on(position_m: float) -> OnRun:
    return OnRun(run=PartId("R1"), position_m=position_m)


def test_its_remedy_cuts_and_hangs_the_approach_on_a_new_contact() -> None:
    # As built without a thought: no gaps, no switch, every drop on the booster.
    to = ToPort(part=PartId("PB1"))
    layout = gate(
        without=("G1", "G2", "SW1"),
        changes={"LO1": {"contact": None}, "D3": {"to": to}, "D4": {"to": to}},
    )
    found = find_one(RULE, layout)
    better = mended(layout, found)
    assert find(RULE, better) == []
    assert not [f for f in run_checks(study_layout(better)) if f.code == "W101"]


def test_no_remedy_where_the_approach_forks() -> None:
    layout = gate(
        run(2, 1.0),
        turnout(1, _on(1.2), end(2, "start"), backward=True),
        changes={"LO1": {"contact": None}},
    )
    assert find_one(RULE, layout).fix is None


def test_open_the_dead_track_is_told_once() -> None:
    layout = gate()
    case = Case(opened=frozenset({PartId("LO1")}))
    found = [f for f in run_checks(study_layout(layout, case)) if f.code[:2] == "W1"]
    assert {f.code for f in found} == {"W101"}
    assert all("LO1 is open" in f.sentence for f in found)
    assert {f.severity for f in found} == {Severity.ADVICE}
