"""Which pole each rail has: by the feeds, and by volts where the poles meet."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.poles import PolePlan, PoleStretch, find_poles
from core.analysis.study import Case
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Gap, OnRun, Part, ToPort
from tests.app.yard import TOE_M, TURNOUT, yard
from tests.core.analysis.feeds import DROP, RAIL, feed, supply, track
from tests.core.network.track import balloon, on

R1, R2 = PartId("R1"), PartId("R2")
WHOLE = 50.0
"""Longer than any piece of rail: the track has no joints. [m]"""


def line(*more: Part) -> Layout:
    parts = (supply(), track(4.0, piece_m=WHOLE), *more)
    return Layout({part.id: part for part in parts})


def crossed(drop: Drop) -> Drop:
    return replace(drop, a_rail="right")


def poles(layout: Layout, *thrown: PartId) -> PolePlan:
    found = find_poles(study_layout(layout, Case(thrown=frozenset(thrown))))
    assert found is not None
    return found


def spell(stretches: tuple[PoleStretch, ...]) -> str:
    """Return the poles of a rail in a word; a dead stretch is a dash."""
    return "".join(s.pole or "-" for s in stretches)


def spelt(plan: PolePlan, run: PartId = R1) -> tuple[str, str]:
    return spell(plan.runs[run].left), spell(plan.runs[run].right)


def test_each_rail_has_the_pole_of_its_wire() -> None:
    plan = poles(line(feed(1, 0.5), feed(2, 3.5)))
    assert spelt(plan) == ("A", "B")
    assert plan.runs[R1].left == (PoleStretch(0.0, 4.0, "A"),)
    assert plan.meets == ()


def test_a_drop_to_the_other_rail_turns_the_whole_run() -> None:
    assert spelt(poles(line(crossed(feed(1, 0.5))))) == ("B", "A")


def test_beyond_a_double_gap_the_rails_follow_their_own_drop() -> None:
    gap = Gap(id=PartId("G1"), on=on(1, 2.0))
    plan = poles(line(feed(1, 0.5), crossed(feed(2, 3.5)), gap))
    assert spelt(plan) == ("AB", "BA")
    assert plan.runs[R1].left[0].end_m == pytest.approx(2.0)
    assert plan.meets == ()  # the poles are apart: nothing meets


def test_a_rail_that_nothing_feeds_has_no_pole() -> None:
    gap = Gap(id=PartId("G1"), on=on(1, 2.0), rails="left")
    assert spelt(poles(line(feed(1, 0.5), gap))) == ("A-", "B")


def test_before_there_is_a_booster_nothing_is_known() -> None:
    bare = Layout({R1: track(4.0)})
    assert find_poles(study_layout(bare)) is None


def test_a_swapped_booster_turns_what_it_feeds() -> None:
    layout = line(feed(1, 0.5))
    booster = layout.need(PartId("PB1"), Booster)
    turned = {**layout.parts, booster.id: replace(booster, reversed_phase=True)}
    assert spelt(poles(Layout(turned))) == ("B", "A")


def test_of_two_boosters_each_gives_its_own_rails_their_poles() -> None:
    gap = Gap(id=PartId("G1"), on=on(1, 2.0))
    other = crossed(replace(feed(2, 3.5), to=ToPort(part=PartId("PB2"))))
    plan = poles(line(feed(1, 0.5), other, supply(number=2), gap))
    assert spelt(plan) == ("AB", "BA")


def test_round_a_crossed_drop_the_rails_lie_the_other_way() -> None:
    # Three equal drops, the middle one crossed. With r one wire of a drop and R one
    # rail between two of them, symmetric about the middle: i = 2 / (R + 3 r) in units
    # of half the track volts, so the outer node has (R + r) / (R + 3 r), the middle
    # one (r − R) / (R + 3 r), and zero lies (R + r) / (2 R) of the way from the outer.
    r, rail = DROP / 2, 1.5 * RAIL / 2
    away = 1.5 * (rail + r) / (2 * rail)
    plan = poles(line(feed(1, 0.5), crossed(feed(2, 2.0)), feed(3, 3.5)))
    assert spelt(plan) == ("ABA", "BAB")
    assert [place.position_m for place in plan.meets] == pytest.approx(
        [0.5 + away, 3.5 - away]
    )
    assert all(s.shorted for s in (*plan.runs[R1].left, *plan.runs[R1].right))


def test_a_short_is_told_on_all_the_metal_that_it_joins() -> None:
    gap = Gap(id=PartId("G1"), on=on(1, 2.0))
    rails = poles(line(feed(1, 0.5), gap)).runs[R1]
    assert not any(s.shorted for s in (*rails.left, *rails.right))
    # Two drops that contradict each other beyond the gap; the second booster's.
    second = [replace(feed(i, 3.5), to=ToPort(part=PartId("PB2"))) for i in (2, 3)]
    ends = (second[0], crossed(second[1]))
    rails = poles(line(feed(1, 0.5), supply(number=2), gap, *ends)).runs[R1]
    told = {(s.end_m <= 2.0, s.shorted) for s in (*rails.left, *rails.right)}
    assert told == {(True, False), (False, True)}


def test_in_a_loop_without_gaps_the_poles_meet_half_way_round() -> None:
    # The loop's rails lead from one pole to the other: half their resistance, and
    # half that of the joiner (5 mΩ) which closes them, lies before the middle.
    rail_ohm, joiner_ohm = 3.0 * 0.076, 0.005
    half_way = 2.0 + 3.0 * (0.5 + 0.5 * joiner_ohm / rail_ohm)
    fed = balloon(supply(), feed(1, 0.5))
    assert spelt(poles(fed)) == ("AB", "BA")
    (place,) = poles(fed).meets
    assert place.run == R1
    assert place.position_m == pytest.approx(half_way)


def test_a_crossing_fed_by_its_blades_takes_the_pole_of_the_rail_they_touch() -> None:
    # The siding leaves to the left: straight, the blades touch the left stock rail.
    layout = yard(frog="self-powered", lead_m=0.2)
    straight, thrown = poles(layout), poles(layout, TURNOUT)
    assert (spelt(straight, R2)[1], spelt(thrown, R2)[1]) == ("A-", "B-")
    (flipped,) = [s for s in thrown.runs[R1].left if s.pole == "B"]
    assert (flipped.start_m, flipped.end_m) == pytest.approx((TOE_M, TOE_M + 0.2))


def test_the_plan_names_every_run() -> None:
    plan = poles(yard())
    assert set(plan.runs) == {R1, R2}
    assert all(isinstance(place, OnRun) for place in plan.meets)
