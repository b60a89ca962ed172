"""W112: a reversing path with one double gap only."""

import pytest

from core.checks.rules import no_reverser, opposed_phase, reversing_uncut
from core.checks.rules.one_gap import RULE
from core.checks.run import run_checks
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one, study_of
from tests.core.network.track import balloon, end, gap, joint, layout_of, on, oval, run
from tests.core.network.track import turnout as toe


def fed_balloon(*more: Part) -> Layout:
    return layout_with(balloon(), booster(), lead(1, on(1, 1.0)), *more)


def test_fires_and_names_the_only_gap_and_where_it_is() -> None:
    found = find_one(RULE, fed_balloon(gap(1, on(1, 3.0))))
    assert found.parts == ("G1", "T1")
    assert found.place == on(1, 3.0)


def test_fires_for_an_insulated_joint_too() -> None:
    layout = layout_of(
        run(1, 2.0),
        run(2, 3.0),
        joint(1, end(1, "end"), end(2, "start"), insulated="both"),
        toe(1, on(1, 1.0), end(2, "end")),
    )
    found = find_one(RULE, layout)
    assert found.parts == ("J1", "T1")
    assert found.place == on(1, 2.0)


@pytest.mark.parametrize("other", [reversing_uncut, no_reverser, opposed_phase])
def test_fires_alone(other: object) -> None:
    # Both sides of the gap are of opposite phase, and no reverser is there: all of
    # it follows from the gap that is missing.
    rule = getattr(other, "RULE")  # noqa: B009 - modules of one form
    assert find(rule, fed_balloon(gap(1, on(1, 3.0)))) == []


@pytest.mark.parametrize("a_rail", ["left", "right"])
def test_fires_alone_whichever_way_the_reverser_lies(a_rail: str) -> None:
    # With one of the two ways the section is shorted where the second gap is
    # missing, until the reverser turns: that is no crossed pair.
    drop = lead(2, on(1, 4.0), "AR1", "left" if a_rail == "left" else "right")
    layout = fed_balloon(gap(1, on(1, 3.0)), device("AR1"), drop)
    assert [f.code for f in run_checks(study_of(layout)) if f.code < "W200"] == ["W112"]


def test_quiet_with_a_second_gap() -> None:
    assert find(RULE, fed_balloon(gap(1, on(1, 2.5)), gap(2, on(1, 4.5)))) == []


def test_quiet_about_a_gap_where_nothing_turns() -> None:
    assert find(RULE, layout_with(oval(), gap(1, on(1, 1.0)))) == []
