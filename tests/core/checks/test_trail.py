"""Trails of findings: followed by hand along what is drawn."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.checks.finding import Finding
from core.checks.run import run_checks
from core.checks.trail import Trail, track_m
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Load, OnRun, ToPort
from core.network.ways import Step
from tests.app.yard import GAP, yard
from tests.core.analysis.feeds import bus, drop, feed, supply, track
from tests.core.analysis.layouts import breaker
from tests.core.network.track import balloon, gap, layout_of, on

WHOLE = 50.0
"""Longer than any piece of rail: the track has no joints. [m]"""


def finding(layout: Layout, code: str) -> Finding:
    return next(f for f in run_checks(study_layout(layout)) if f.code == code)


def trail(layout: Layout, code: str) -> Trail:
    found = finding(layout, code).trail
    assert found is not None
    return found


def spelt(found: Trail) -> list[tuple[str, str, float, float]]:
    return [(s.part, s.wire, s.start_m, s.end_m) for s in found.steps]


def where(found: Trail) -> tuple[str, float]:
    assert found.meets is not None
    return found.meets[0], round(found.meets[1], 9)


def test_a_crossed_drop_is_followed_from_pole_to_pole() -> None:
    # D1 puts A on the left rail, D2 puts B on it: down D1, along it, up D2.
    crossed = replace(feed(2, 3.0), a_rail="right")
    layout = layout_of(supply(), track(4.0, piece_m=WHOLE), feed(1, 1.0), crossed)
    found = trail(layout, "W103")
    rail = ("R1", "left", 1.0, 3.0)
    other = ("R1", "right", 3.0, 1.0)
    assert spelt(found) in (
        [("D1", "A", 0.0, 0.3), rail, ("D2", "B", 0.3, 0.0)],
        [("D2", "A", 0.0, 0.3), other, ("D1", "B", 0.3, 0.0)],
    )
    # The two drops are alike: half the resistance is past half way between them.
    assert where(found) == ("R1", 2.0)
    assert found.word == "A meets B"
    assert found.hops == 3
    assert track_m(layout, found) == pytest.approx(2.0)


def test_a_bus_is_walked_along_from_tap_to_tap() -> None:
    crossed = replace(drop(2, 3.0, 3.0), a_rail="right")
    parts = (supply(), bus(1, 4.0), track(4.0, piece_m=WHOLE))
    found = trail(layout_of(*parts, drop(1, 1.0, 1.0), crossed), "W103")
    assert [s for s in found.steps if s.part == "B1"] in (
        [Step(PartId("B1"), "A", 0.0, 1.0), Step(PartId("B1"), "B", 3.0, 0.0)],
        [Step(PartId("B1"), "A", 0.0, 3.0), Step(PartId("B1"), "B", 1.0, 0.0)],
    )


def test_a_balloon_is_walked_round_and_both_cuts_are_shown() -> None:
    # The loop begins and ends at the turnout at 2 m; gaps keep 15 cm from its blades,
    # and from its crossing, 15 cm further (the lead), at either end.
    found = trail(balloon(supply(), feed(1, 0.5)), "W111")
    assert found.closed
    assert {(s.part, *sorted((s.start_m, s.end_m))) for s in found.steps} == {
        ("R1", 2.0, 5.0)
    }
    assert found.thrown == ("T1",)
    assert found.word == "left meets right"
    assert [place.position_m for place in found.cuts] == pytest.approx([2.3, 4.7])


def test_a_path_that_is_cut_once_shows_where_a_second_cut_would_go() -> None:
    # Cut at 2.5 m, near the turnout: the far end of the loop is further away.
    found = trail(balloon(supply(), feed(1, 0.5), gap(1, on(1, 2.5))), "W112")
    assert where(found) == ("R1", 2.5)
    assert found.word == "opposite poles"
    (cut,) = found.cuts
    assert cut.position_m == pytest.approx(4.7)


def test_a_section_without_a_reverser_is_shown_with_its_way() -> None:
    cuts = (gap(1, on(1, 2.5)), gap(2, on(1, 4.5)))
    found = trail(balloon(supply(), feed(1, 0.5), feed(2, 3.5), *cuts), "W114")
    assert found.closed
    assert sum(step.length_m for step in found.steps) == pytest.approx(3.0)


def test_a_section_that_is_too_short_is_shown_with_its_way() -> None:
    cuts = (gap(1, on(1, 2.5)), gap(2, on(1, 4.5)))
    turned = replace(feed(2, 3.5), to=ToPort(part=PartId("CB1")))
    train = Load(id=PartId("L1"), on=on(1, 1.0), amps_a=0.1, length_m=2.4)
    reverser = replace(breaker(1), device="reverser")
    layout = balloon(supply(), feed(1, 0.5), reverser, turned, train, *cuts)
    assert trail(layout, "W113").closed


def test_of_a_setting_the_turnouts_that_make_it_are_told() -> None:
    # Thrown, the crossing lies on the right rail, B; behind it the main line's left
    # rail leads on uncut to the second drop, A.
    layout = yard(heel_gaps=False, lead_m=0.2)
    parts = {i: part for i, part in layout.parts.items() if i != GAP}
    found = trail(Layout(parts), "W115")
    assert (found.straight, found.thrown) == ((), ("T1",))
    passed = [(step.part, step.wire) for step in found.steps]
    assert passed[0] == ("D2", "A")
    assert passed[-1] == ("D1", "B")
    assert [part for part, _ in passed if part == "T1"]


def test_between_joined_breakers_one_cut_half_way_is_shown() -> None:
    second: Drop = replace(feed(2, 3.0), to=ToPort(part=PartId("CB2")))
    first = replace(feed(1, 1.0), to=ToPort(part=PartId("CB1")))
    parts = (supply(), breaker(1), breaker(2), track(4.0, piece_m=WHOLE))
    found = trail(layout_of(*parts, first, second), "W127")
    assert [step.part for step in found.steps] == ["D1", "R1", "D2"]
    assert found.cuts == (OnRun(run=PartId("R1"), position_m=2.0),)
    assert where(found) == ("R1", 2.0)


def test_between_joined_boosters_too() -> None:
    second: Drop = replace(feed(2, 3.0), to=ToPort(part=PartId("PB2")))
    parts = (supply(), supply(number=2), track(4.0, piece_m=WHOLE))
    found = trail(layout_of(*parts, feed(1, 1.0), second), "W121")
    assert [step.part for step in found.steps] == ["D1", "R1", "D2"]
    assert found.word == "two feeds meet"
    assert found.cuts == (OnRun(run=PartId("R1"), position_m=2.0),)
