"""W121: two boosters feed the same metal."""

import pytest

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.checks.finding import Severity
from core.checks.rules import one_rail_gap, poles_meet
from core.checks.rules.joined_boosters import RULE
from core.checks.run import run_checks
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part, Side
from tests.core.checks.fed import booster, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import gap, layout_of, on, run


def districts(*more: Part, a_rail: Side = "left") -> Layout:
    """Return 4 m of track with PB1 at 1 m and PB2 at 3 m."""
    return layout_with(
        layout_of(run(1, 4.0)),
        booster(1),
        booster(2),
        lead(1, on(1, 1.0)),
        lead(2, on(1, 3.0), "PB2", a_rail),
        *more,
    )


def test_fires_as_a_hazard_where_no_gap_parts_them() -> None:
    # needs.md N38: rail A reaches booster 1 via D1 and booster 2 via D2.
    found = find_one(RULE, districts())
    assert found.severity is Severity.HAZARD
    assert found.parts == ("PB1", "PB2", "D1", "R1", "D2")
    assert "A of PB1 meets A of PB2 by D1, R1 and D2; B meets B by" in found.figures


def test_fires_once_for_four_on_one_track() -> None:
    more = (lead(3, on(1, 3.5), "PB3"), lead(4, on(1, 3.8), "PB4"))
    found = find_one(RULE, districts(booster(3), booster(4), *more))
    assert found.parts[:4] == ("PB1", "PB2", "PB3", "PB4")
    assert found.sentence.startswith("PB1, PB2, PB3 and PB4 feed the same track")


def test_fires_as_a_hazard_where_they_meet_the_wrong_way_round() -> None:
    # D2 crossed: each booster alone is sound, together they are in series: 30 V.
    layout = districts(a_rail="right")
    found = find_one(RULE, layout)
    assert found.severity is Severity.HAZARD
    assert "A of one to B of the other" in found.sentence
    assert "15.00 V + 15.00 V = 30.00 V" in found.figures
    assert find(poles_meet.RULE, layout) == []


@pytest.mark.parametrize("turned", [False, True])
def test_says_it_alone_where_they_drive_into_each_other(*, turned: bool) -> None:
    # What flows is the current of a short, 30 V through both: no load, no coin, no
    # track without power, whether a drop is crossed or one output turned.
    layout = districts(a_rail="left" if turned else "right")
    if turned:
        parts = dict(layout.parts)
        parts[PartId("PB2")] = booster(2, reversed_phase=True)
        layout = Layout(parts)
    study = study_layout(layout)
    assert study.opposed == (("PB1", "PB2"),)
    codes = {finding.code for finding in run_checks(study)}
    assert "W121" in codes
    assert codes.isdisjoint({"W101", "W201", "W202", "W204", "W208", "W301", "W401"})
    for at_m in (0.5, 2.0):  # in the middle nothing is left
        probe = probe_place(study, on(1, at_m))
        assert "PB1 and PB2 are shorted, joined in opposite phase" in probe.sentence
        assert probe.shorted_by in {"PB1", "PB2"}


def test_like_to_like_is_no_short() -> None:
    study = study_layout(districts())
    assert study.opposed == ()
    assert study.shorted == ()


def test_fires_for_a_common_that_only_one_of_them_says() -> None:
    # Both rails are cut, but a wire of D3 joins the two B rails again.
    joined = lead(3, on(1, 3.5), rails="right")
    layout = districts(gap(1, on(1, 2.0)), joined, booster(1, common="joined"))
    found = find_one(RULE, layout)
    assert found.severity is Severity.FAULT
    assert "one conductor in common, like to like" in found.sentence


def test_quiet_where_both_say_that_their_common_is_joined() -> None:
    joined = lead(3, on(1, 3.5), rails="right")
    both = (booster(1, common="joined"), booster(2, common="joined"))
    assert find(RULE, districts(gap(1, on(1, 2.0)), joined, *both)) == []


def test_fires_where_a_common_joins_unlike_poles() -> None:
    joined = lead(3, on(1, 3.5), rails="right")
    both = (booster(1, common="joined"), booster(2, common="joined"))
    turned = lead(2, on(1, 3.0), "PB2", "right")
    layout = districts(gap(1, on(1, 2.0)), joined, *both, turned)
    found = find_one(RULE, layout)
    assert found.severity is Severity.HAZARD
    assert "A to B" in found.sentence


@pytest.mark.parametrize("rails", ["left", "right"])
def test_quiet_where_a_cut_through_one_rail_says_more(rails: Side) -> None:
    layout = districts(gap(1, on(1, 2.0), rails))
    assert find(RULE, layout) == []
    assert len(find(one_rail_gap.RULE, layout)) == 1


def test_quiet_with_a_gap_in_both_rails() -> None:
    assert find(RULE, districts(gap(1, on(1, 2.0)))) == []
