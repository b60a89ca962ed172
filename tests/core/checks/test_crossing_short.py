"""W106 fires where a diamond or slip joins unlike rails by its own metal."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.checks.finding import Severity
from core.checks.rules import poles_meet, reversing_uncut
from core.checks.rules.crossing_short import RULE
from core.checks.run import run_checks
from core.layout.edits.shape import reverse_run
from core.layout.edits.sides import other_side
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Crossing, Drop, Part, Side, TrackRun
from core.layout.storage.text import dump_layout, parse_layout
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.cross import crossing, drop, fed_across
from tests.core.network.test_crossings import figure_of_eight


def test_fires_at_the_acute_crossings_of_an_uncut_diamond() -> None:
    # Fed alike at 15°, both A on the left; by hand (see the meetings of a diamond):
    # left meets right at the two sharp ends.
    layout = fed_across(crossing("uncut"))
    found = find_one(RULE, layout)
    assert found.sentence == (
        "At diamond X1, the right rail of Siding meets the left rail of Main, and the "
        "left one the right one: A meets B in one metal, and PB1 is shorted."
    )
    assert found.parts[:3] == ("X1", "R2", "R1")
    better = mended(layout, found)
    assert find(RULE, better) == []
    assert study_layout(better).shorts == ()


def test_fires_at_the_obtuse_ones_where_the_tracks_are_fed_unlike() -> None:
    layout = fed_across(crossing("switched"), b_rail="right")
    found = find_one(RULE, layout)
    assert "the left rail of Siding meets the left rail of Main" in found.sentence
    assert (
        "swap the wires of D1 and D2 on Main or of D3 and D4 on Siding" in found.remedy
    )
    better = mended(layout, found)
    assert study_layout(better).shorts == ()


def test_fires_for_a_siding_without_power_of_its_own() -> None:
    layout = fed_across(crossing("uncut"))
    fewer = {i: p for i, p in layout.parts.items() if i not in ("D3", "D4")}
    found = find_one(RULE, Layout(fewer))
    assert found.sentence.startswith(
        "At diamond X1, the left rail of Siding meets both rails of Main"
    )


def test_its_way_from_pole_to_pole_leads_through_the_crossing() -> None:
    # By hand, of the many alike: down a drop, along its rail to an acute crossing
    # 62.7 mm from the middle, over to the other track and up a drop of that.
    found = find_one(RULE, fed_across(crossing("uncut")))
    assert found.trail is not None
    walked = [step.part for step in found.trail.steps]
    assert walked.count(PartId("X1")) == 1
    assert {walked[0][0], walked[-1][0]} == {"D"}
    assert found.trail.meets is not None
    run, at_m = found.trail.meets
    assert run == "R1"
    assert abs(at_m - 1.0) == pytest.approx(0.0627, abs=1e-4)


def test_quiet_where_gaps_part_the_acute_pieces() -> None:
    from tests.core.network.track import gap, on  # noqa: PLC0415

    # 15° in HO: acute crossings 62.7 mm from the middle. One rail of each is cut on
    # both sides, 30 and 90 mm out: then each piece belongs to the other track.
    cuts = [
        gap(1, on(1, 1.03), "left"),
        gap(2, on(1, 1.09), "left"),
        gap(3, on(1, 0.97), "right"),
        gap(4, on(1, 0.91), "right"),
    ]
    assert find(RULE, fed_across(crossing("uncut"), *cuts)) == []
    # One of them left out, and it fires again.
    assert find(RULE, fed_across(crossing("uncut"), *cuts[1:])) != []


@pytest.mark.parametrize("b_rail", ["left", "right"])
def test_quiet_where_it_is_insulated_or_all_cut_out(b_rail: Side) -> None:
    assert find(RULE, fed_across(crossing("insulated"), b_rail=b_rail)) == []
    dead = crossing("switched", obtuse="dead")
    assert find(RULE, fed_across(dead, b_rail=b_rail)) == []
    square = fed_across(crossing("switched"), angle_deg=90.0, b_rail=b_rail)
    assert find(RULE, square) == []


def test_quiet_where_switched_tracks_are_fed_alike() -> None:
    assert find(RULE, fed_across(crossing("switched"))) == []


def test_the_crossing_is_named_and_not_told_again_as_a_crossed_pair() -> None:
    study = study_layout(fed_across(crossing("uncut")))
    codes = [f.code for f in run_checks(study)]
    assert "W106" in codes
    assert "W103" not in codes


def test_a_crossed_drop_beside_an_uncut_diamond_is_still_told() -> None:
    layout = fed_across(crossing("uncut"), drop(2, 1, 1.8, "right"))
    (found,) = find(poles_meet.RULE, layout)
    assert {"D1", "D2"} <= set(found.parts)


def test_it_is_a_hazard_where_the_booster_does_not_trip() -> None:
    weak = Booster(id=PartId("PB1"), x_mm=0.0, y_mm=-300.0, inner_ohm=10.0, trip_a=5.0)
    found = find_one(RULE, fed_across(crossing("uncut"), weak))
    assert found.severity is Severity.HAZARD


def test_a_slip_fed_unlike_is_a_pair_that_is_crossed() -> None:
    # Its roads lead trains over: then the feed is wrong, not the metal.
    made = replace(crossing("insulated"), shape="double slip")
    layout = fed_across(made, b_rail="right")
    assert find(RULE, layout) == []
    (found,) = find(poles_meet.RULE, layout)
    assert "X1" in found.figures


def test_a_figure_of_eight_is_told_as_track_that_turns_back() -> None:
    found = find_one(reversing_uncut.RULE, figure_of_eight("switched"))
    assert "comes back turned at diamond X1" in found.sentence
    assert find(reversing_uncut.RULE, mended(figure_of_eight("switched"), found)) == []


CASES = [
    fed_across(crossing("uncut")),
    fed_across(crossing("uncut"), b_rail="right", angle_deg=-70.0),
    fed_across(crossing("switched"), b_rail="right"),
    fed_across(crossing("switched"), angle_deg=165.0),
    fed_across(crossing("switched"), angle_deg=90.0, b_rail="right"),
    fed_across(crossing("insulated", "single slip"), b_rail="right"),
    fed_across(crossing("switched", "double slip")),
    figure_of_eight("switched"),
]


def told(layout: Layout) -> list[tuple[str, str, frozenset[PartId]]]:
    found = run_checks(study_layout(layout))
    return sorted((f.code, f.severity.value, frozenset(f.parts)) for f in found)


@pytest.mark.parametrize("run", ["R1", "R2"])
@pytest.mark.parametrize("case", range(len(CASES)))
def test_drawing_a_run_the_other_way_changes_no_finding(case: int, run: str) -> None:
    layout = CASES[case].copy()
    before = told(layout)
    layout.apply(reverse_run(layout, PartId(run)))
    assert told(layout) == before


@pytest.mark.parametrize("case", range(len(CASES)))
def test_turning_the_whole_plan_changes_no_finding(case: int) -> None:
    from math import cos, radians, sin  # noqa: PLC0415

    before = CASES[case]
    turn = radians(127.0)
    parts = {
        i: replace(
            p,
            x_mm=p.x_mm * cos(turn) - p.y_mm * sin(turn),
            y_mm=p.x_mm * sin(turn) + p.y_mm * cos(turn),
            heading_deg=p.heading_deg + 127.0,
        )
        if isinstance(p, TrackRun)
        else p
        for i, p in before.parts.items()
    }
    # Leads change length with the booster's place: compare what crossings make.
    codes = ("W103", "W105", "W106", "W111", "W115")
    after = [f for f in told(Layout(parts)) if f[0] in codes]
    assert after == [f for f in told(before) if f[0] in codes]


def mirrored(part: Part) -> Part:
    """Return a part of a plan seen in a mirror that lies along x."""
    match part:
        case TrackRun():
            return replace(part, y_mm=-part.y_mm, heading_deg=-part.heading_deg)
        case Booster():
            return replace(part, y_mm=-part.y_mm)
        case Drop():
            return replace(part, a_rail=other_side(part.a_rail))
        case Crossing():
            return replace(part, side=other_side(part.side))
        case _:
            return part


@pytest.mark.parametrize("case", range(len(CASES)))
def test_mirroring_the_plan_changes_no_finding(case: int) -> None:
    # In a mirror the same rail is the other side of a track, and its poles stay.
    parts = {i: mirrored(part) for i, part in CASES[case].parts.items()}
    codes = ("W103", "W105", "W106", "W111", "W115")
    after = [f for f in told(Layout(parts)) if f[0] in codes]
    assert after == [f for f in told(CASES[case]) if f[0] in codes]


@pytest.mark.parametrize("case", range(len(CASES)))
def test_a_file_gives_it_back(case: int) -> None:
    again, report = parse_layout(dump_layout(CASES[case]), "x")
    assert report.is_clean
    assert dict(again.parts) == dict(CASES[case].parts)
