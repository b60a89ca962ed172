"""Districts: what feeds each stretch of track, told by hand from the wiring drawn."""

import pytest
from msgspec.structs import replace

from core.analysis.districts import District, DistrictPlan, find_districts
from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Gap, Inline, OnRun, Part, ToPort
from tests.core.analysis.layouts import breaker, layout_of, straight, train

R1 = PartId("R1")
LENGTH_M = 4.0

# What is expected is read off the drawing: a drop hangs on a device, the device on
# another, up to the booster; the lengths lie between the gaps.


def booster(number: int = 1) -> Booster:
    return Booster(id=PartId(f"PB{number}"), x_mm=0.0, y_mm=-500.0, rated_a=5.0)


def behind(part: str, number: int, at_m: float) -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=OnRun(run=R1, position_m=at_m),
        to=ToPort(part=PartId(part)),
        lead_m=0.3,
    )


def gap(number: int, at_m: float, rails: str = "both") -> Gap:
    place = OnRun(run=R1, position_m=at_m)
    return Gap(id=PartId(f"G{number}"), on=place, rails=rails)  # type: ignore[arg-type]


def inline(part: str, device: str, feed: str) -> Inline:
    return replace(breaker(1, feed=feed), id=PartId(part), device=device)


def line(*parts: Part) -> Layout:
    return layout_of(straight(LENGTH_M), booster(), *parts)


def plan(layout: Layout) -> DistrictPlan:
    return find_districts(study_layout(layout))


def numbers(found: DistrictPlan) -> list[tuple[float, float, int]]:
    return [(s.start_m, s.end_m, s.number) for s in found.runs[R1]]


def feeders(found: DistrictPlan) -> list[tuple[str, ...]]:
    return [district.feeders for district in found.districts]


def two_breakers(*cuts: Part, second: str = "CB2") -> Layout:
    return line(
        breaker(1),
        inline(second, "breaker", "PB1"),
        behind("CB1", 1, 1.0),
        behind(second, 2, 3.0),
        *cuts,
    )


def test_each_side_of_a_double_gap_is_its_own_breaker_s() -> None:
    found = plan(two_breakers(gap(1, 2.0)))
    assert feeders(found) == [("CB1",), ("CB2",)]
    assert found.districts[0].chain == ("PB1", "CB1")
    assert numbers(found) == [(0.0, 2.0, 1), (2.0, 4.0, 2)]
    assert [d.length_m for d in found.districts] == pytest.approx([2.0, 2.0])


@pytest.mark.parametrize("rail", ["left", "right"])
def test_of_a_one_rail_gap_the_cut_rail_tells(rail: str) -> None:
    # A device breaks conductor A only, which is soldered to the left rail. Cut left,
    # the two districts are apart; cut right, the left rail still joins them.
    found = plan(two_breakers(gap(1, 2.0, rail)))
    if rail == "left":
        assert numbers(found) == [(0.0, 2.0, 1), (2.0, 4.0, 2)]
    else:
        assert feeders(found) == [("CB1", "CB2")]


def test_districts_that_nothing_parts_are_told_as_joined() -> None:
    (only,) = plan(two_breakers()).districts
    assert only.feeders == ("CB1", "CB2")
    assert only.is_joined
    assert only.chain == ("PB1", "CB1", "CB2")


def test_a_breaker_that_is_fed_past_counts_as_joined_to_its_booster() -> None:
    found = plan(line(breaker(1), behind("CB1", 1, 1.0), behind("PB1", 2, 3.0)))
    assert feeders(found) == [("CB1", "PB1")]


def test_two_boosters_with_one_rail_in_common_stay_two_districts() -> None:
    found = plan(
        line(
            booster(2),
            gap(1, 2.0, "left"),
            behind("PB1", 1, 1.0),
            behind("PB2", 2, 3.0),
        )
    )
    assert feeders(found) == [("PB1",), ("PB2",)]


def test_the_whole_chain_is_told_and_so_is_a_reverser() -> None:
    found = plan(
        line(
            breaker(1),
            inline("AR1", "reverser", "CB1"),
            inline("OD1", "detector", "AR1"),
            behind("OD1", 1, 1.0),
        )
    )
    (only,) = found.districts
    assert only.chain == ("PB1", "CB1", "AR1", "OD1")
    assert only.reverser == "AR1"
    assert found.at(R1, 2.0) is only


def test_what_nothing_feeds_is_in_no_district() -> None:
    found = plan(line(behind("PB1", 1, 1.0), gap(1, 2.0)))
    assert numbers(found) == [(0.0, 2.0, 1), (2.0, 4.0, 0)]
    assert found.at(R1, 3.0) is None


def test_between_staggered_cuts_there_is_no_district_of_its_own() -> None:
    found = plan(two_breakers(gap(1, 2.0, "left"), gap(2, 2.04, "right")))
    assert [number for _, _, number in numbers(found)] == [1, 2]


def room(district: District) -> tuple[str, float]:
    """Return which device is full first, and what is left on it. [A]"""
    assert district.headroom is not None
    return district.headroom.by, round(district.headroom.amps_a, 6)


def test_standing_amps_and_what_is_left_on_the_chain() -> None:
    # CB1 carries 1.2 A of its 3 A, CB2 0.5 A of its 3 A; PB1 1.7 A of its 5 A.
    loads = (train(1, 0.5, 1.2), train(2, 3.5, 0.5))
    one, other = plan(Layout({**two_breakers(gap(1, 2.0), *loads).parts})).districts
    assert (one.amps_a, other.amps_a) == pytest.approx((1.2, 0.5))
    assert room(one) == ("CB1", 1.8)
    assert room(other) == ("CB2", 2.5)


def test_the_booster_may_be_what_is_full_first() -> None:
    # 2.6 + 2.2 = 4.8 A of the booster's 5 A; the breakers have 0.4 and 0.8 A left.
    loads = (train(1, 0.5, 2.6), train(2, 3.5, 2.2))
    found = plan(two_breakers(gap(1, 2.0), *loads)).districts
    assert [room(d) for d in found] == [("PB1", 0.2)] * 2


def test_behind_a_short_no_headroom_is_told() -> None:
    crossed = replace(behind("CB1", 3, 1.5), a_rail="right")
    found = plan(two_breakers(gap(1, 2.0), crossed))
    assert [district.headroom for district in found.districts] == [None, None]


def test_districts_are_counted_as_people_count() -> None:
    # CB10 comes after CB2.
    found = plan(two_breakers(gap(1, 2.0), second="CB10"))
    assert feeders(found) == [("CB1",), ("CB10",)]


def test_a_single_wire_takes_the_district_of_what_it_hangs_on() -> None:
    # The second half's rails have one drop each; conductor B comes past the breaker.
    one = replace(behind("CB2", 2, 3.0), rails="left")
    other = replace(behind("CB2", 3, 3.2), rails="right")
    found = plan(
        line(breaker(1), breaker(2), behind("CB1", 1, 1.0), one, other, gap(1, 2.0))
    )
    assert feeders(found) == [("CB1",), ("CB2",)]
