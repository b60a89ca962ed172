"""What stands before each device and wire, where conductors are joined crosswise.

A breaker breaks one conductor, A; B comes straight through. Two in series clear a
fault behind both whether the lower one's A is joined to A or to B of the upper one:
in a loop of one current both carry all of it (Kirchhoff). Expected chains are read
off the wiring drawn.
"""

import pytest
from msgspec.structs import replace

from core.analysis.districts import find_districts
from core.analysis.examine import study_layout
from core.analysis.legs import describe_legs
from core.analysis.probe import probe_place
from core.analysis.study import Study
from core.checks.guards import guard_rows
from core.checks.rules.wrong_order import RULE as WRONG_ORDER
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop, Inline, OnRun, ToBus, ToPort
from tests.core.analysis.layouts import (
    booster,
    breaker,
    layout_of,
    straight,
    straight_bus,
    train,
)

R1, B1 = PartId("R1"), PartId("B1")
CROSSED = ("", "CB1", "CB2", "CB3", "CB1 CB2", "CB2 CB3", "CB1 CB2 CB3")


def chained(crossed: str) -> Layout:
    """Return PB1 - CB1 - CB2 - CB3 - track, some of them fed A to B."""
    cross = crossed.split()
    breakers = [
        replace(
            breaker(n, trip_a=5.0 - n, feed=f"CB{n - 1}" if n > 1 else "PB1"),
            feed_flipped=f"CB{n}" in cross,
            trip_s=0.004,
        )
        for n in (1, 2, 3)
    ]
    return layout_of(
        straight(4.0), booster(), *breakers, behind("CB3"), train(1, 2.0, 1.5)
    )


def behind(part: str) -> Drop:
    place = OnRun(run=R1, position_m=1.0)
    return Drop(id=PartId("D1"), on=place, to=ToPort(part=PartId(part)), lead_m=0.3)


@pytest.mark.parametrize("crossed", CROSSED)
def test_a_breaker_fed_crosswise_does_not_hide_the_one_above(crossed: str) -> None:
    study = study_layout(chained(crossed))
    assert study.feeds.chain(PartId("CB3")) == ("CB3", "CB2", "CB1", "PB1")


@pytest.mark.parametrize("crossed", CROSSED)
def test_districts_loads_and_races_see_every_breaker_on_the_way(crossed: str) -> None:
    study = study_layout(chained(crossed))
    (district,) = find_districts(study).districts
    assert district.chain == ("PB1", "CB1", "CB2", "CB3")
    # CB3 is the smallest: 2 A, of which 1.5 A are drawn.
    assert district.headroom is not None
    assert (district.headroom.by, round(district.headroom.amps_a, 6)) == ("CB3", 0.5)
    probe = probe_place(study, OnRun(run=R1, position_m=2.0))
    assert {racer.part for racer in probe.race} == {"CB1", "CB2", "CB3", "PB1"}
    clearing = study.clearing[0]
    assert clearing is not None
    assert clearing.part == "CB3"


@pytest.mark.parametrize("crossed", CROSSED)
def test_who_trips_first_is_told_against_every_breaker_above(crossed: str) -> None:
    # All three trip after 4 ms: neither of the lower two is first.
    study = study_layout(chained(crossed))
    above: dict[str, list[str]] = {
        r.device.id: [*(a.part for a in r.above)] for r in guard_rows(study)
    }
    assert above["CB2"] == ["CB1", "PB1"]
    assert above["CB3"] == ["CB2", "CB1", "PB1"]
    named = {part for found in WRONG_ORDER.check(study) for part in found.parts}
    assert named == {"CB1", "CB2", "CB3"}


def on_a_bus(device: Inline, bus: Bus, rails: str = "both") -> Study:
    place = OnRun(run=R1, position_m=1.0)
    drop = Drop(
        id=PartId("D1"),
        on=place,
        to=ToBus(part=B1, position_m=1.0),
        lead_m=0.3,
        rails=rails,  # type: ignore[arg-type]
    )
    mate = replace(drop, id=PartId("D2"), rails="right" if rails == "left" else "left")
    more = () if rails == "both" else (mate,)
    return study_layout(layout_of(straight(12.0), booster(), device, bus, drop, *more))


@pytest.mark.parametrize("rails", ["both", "left"])
@pytest.mark.parametrize("flipped", [False, True])
def test_a_bus_that_begins_crosswise_is_protected_by_the_breaker_before_it(
    rails: str, *, flipped: bool
) -> None:
    # On a crossed bus the breaker stands in B; a short draws through it all the same.
    bus = replace(straight_bus(12.0, to="CB1"), start_flipped=flipped)
    study = on_a_bus(breaker(1), bus, rails)
    by = {duty.part: duty.by and duty.by.part for duty in study.wires}
    assert by == dict.fromkeys(by, "CB1")
    assert {"B1", "D1"} <= by.keys()


@pytest.mark.parametrize("flipped", [False, True])
def test_a_bus_that_begins_crosswise_lies_behind_its_detector(*, flipped: bool) -> None:
    detector = replace(breaker(1), id=PartId("OD1"), device="detector", trip_a=None)
    bus = replace(straight_bus(12.0, to="OD1"), start_flipped=flipped)
    (leg,) = describe_legs(on_a_bus(detector, bus))
    assert leg.behind == "OD1"


def test_devices_wired_in_a_ring_have_an_end() -> None:
    # CB1's B comes from CB2 and CB2's A from CB1: nonsense, but it can be drawn.
    ring = replace(
        breaker(1, feed="CB2"), other=ToPort(part=PartId("PB1")), device="switch"
    )
    parts = (ring, breaker(2, feed="CB1"), behind("CB2"), breaker(3))
    study = study_layout(layout_of(straight(4.0), booster(), *parts))
    assert len(study.feeds.chain(PartId("CB2"))) <= 3
    assert study.feeds.chain(PartId("CB3")) == ("CB3", "PB1")


def test_a_thousand_devices_in_a_row_are_told() -> None:
    row = [breaker(n, feed=f"CB{n - 1}" if n > 1 else "PB1") for n in range(1, 1200)]
    study = study_layout(layout_of(straight(4.0), booster(), *row, behind("CB1199")))
    assert len(study.feeds.chain(PartId("CB1199"))) == 1200
