"""What comes back together by one conductor, of districts that are each small enough."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.together import flow_together
from core.checks.finding import Severity
from core.checks.holding import hold_rows, verdict_words
from core.checks.rules.thin_wire import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Drop,
    Inline,
    OnRun,
    Part,
    Point,
    Settings,
    ToBus,
    ToPort,
)
from tests.core.analysis.layouts import booster, breaker, layout_of, straight
from tests.core.analysis.test_tripping import two_breakers


def shared(
    count: int = 3, *, booster_a: float = 20.0, apart: bool = False, **b0: object
) -> Layout:
    """Return districts of 3 A each, A by a bus of its own, B of all by B0's.

    `apart`: each comes back by its own bus. All buses are 0.5 mm², good for 5 A.
    """
    supply = replace(booster(), trip_a=booster_a, rated_a=booster_a)
    parts: list[Part] = [Settings(), supply]
    for n in range(count):
        y_mm = 100.0 * n
        run, own = PartId(f"R{n}"), PartId(f"B{n}")
        end = Point(x_mm=8000.0, y_mm=-500.0 - y_mm)
        bus = Bus(
            id=own,
            points=(Point(x_mm=0.0, y_mm=-500.0 - y_mm), end),
            wire="0.5mm2-c5",
            start=ToPort(part=PartId(f"CB{n}"), port="out"),
        )
        if n == 0:
            bus = replace(bus, **b0)
        back = own if apart else PartId("B0")
        parts += [
            straight(3.0, run=run, y_mm=y_mm, piece_m=10.0),
            breaker(n, trip_a=3.0),
            bus,
            lead(f"D{n}", run, own, "left"),
            lead(f"D{n}r", run, back, "right"),
        ]
    return layout_of(*parts)


def lead(name: str, run: PartId, bus: PartId, rail: str) -> Drop:
    return Drop(
        id=PartId(name),
        on=OnRun(run=run, position_m=1.5),
        to=ToBus(part=bus, position_m=8.0),
        lead_m=0.3,
        rails=rail,  # type: ignore[arg-type]
    )


def test_three_breakers_of_3_a_give_9_a_back_by_one_wire() -> None:
    found = flow_together(study_layout(shared()))
    assert set(found) == {"B0"}
    assert found[PartId("B0")].amps_a == pytest.approx(9.0, rel=1e-6)
    assert {g.part for g in found[PartId("B0")].guards} == {"CB0", "CB1", "CB2"}


def test_the_booster_above_bounds_the_sum() -> None:
    # 3 + 3 + 3 A, but the booster trips at 7 A.
    found = flow_together(study_layout(shared(booster_a=7.0)))
    assert found[PartId("B0")].amps_a == pytest.approx(7.0, rel=1e-6)


def test_wires_back_of_their_own_share_nothing() -> None:
    assert flow_together(study_layout(shared(apart=True))) == {}


def test_w203_fires_for_what_comes_back_together() -> None:
    (found,) = RULE.check(study_layout(shared()))
    assert found.severity is Severity.HAZARD
    assert found.parts == ("B0", "CB0", "CB1", "CB2")
    assert "up to 9.00 A" in found.sentence
    assert "together 9.00 A > 5.00 A" in found.figures
    # The fix takes a wire that carries the 9 A: the finding is gone.
    assert found.fix is not None
    layout = shared()
    layout.apply(found.fix)
    assert list(RULE.check(study_layout(layout))) == []


def test_w203_is_quiet_where_the_wire_carries_the_sum() -> None:
    assert list(RULE.check(study_layout(shared(1)))) == []
    # 3 + 3 A of two on a wire that is good for 5 A fires; 4 A of both does not.
    assert len(list(RULE.check(study_layout(shared(2))))) == 1
    assert list(RULE.check(study_layout(shared(2, booster_a=4.0)))) == []


def test_a_lead_to_the_right_rail_alone_is_guarded_and_judged() -> None:
    # 0.14 mm² of hook-up wire is good for 1.5 A (needs.md N28); 3 A flow for good.
    layout = shared(2, wire="2.5mm2-c5")
    thin = replace(layout.need(PartId("D1r"), Drop), wire="0.14mm2-hookup")
    study = study_layout(layout_of(*{**layout.parts, thin.id: thin}.values()))
    by = {duty.part: duty.by for duty in study.wires}
    device = by[PartId("D1r")]
    assert device is not None
    # It hangs on the bus of CB0, but carries what CB1 lets through.
    assert device.part == "CB1"
    (found,) = RULE.check(study)
    assert found.parts == ("D1r", "CB1")


def test_a_lead_to_one_rail_straight_from_the_booster_is_the_boosters() -> None:
    layout = layout_of(
        Settings(),
        straight(2.0, piece_m=10.0),
        replace(booster(), trip_a=10.0),
        *(
            Drop(
                id=PartId(name),
                on=OnRun(run=PartId("R1"), position_m=1.0),
                to=ToPort(part=PartId("PB1")),
                lead_m=0.3,
                wire="0.14mm2-hookup",
                rails=rail,  # type: ignore[arg-type]
            )
            for name, rail in (("D1", "left"), ("D2", "right"))
        ),
    )
    (found,) = RULE.check(study_layout(layout))
    assert found.parts == ("D1", "D2", "PB1")
    assert layout.need(PartId("PB1"), Booster).trip_a == 10.0


def test_a_bus_that_begins_crossed_behind_a_breaker_is_the_breakers() -> None:
    # Its pair does pass the breaker: 1.5 A on wire that is good for 1.5 A.
    end = Point(x_mm=4000.0, y_mm=-500.0)
    for crossed in (False, True):
        bus = Bus(
            id=PartId("B1"),
            points=(Point(x_mm=0.0, y_mm=-500.0), end),
            wire="0.14mm2-hookup",
            start=ToPort(part=PartId("CB1"), port="out"),
            start_flipped=crossed,
        )
        drop = Drop(
            id=PartId("D1"),
            on=OnRun(run=PartId("R1"), position_m=2.0),
            to=ToBus(part=bus.id, position_m=2.0),
        )
        device = breaker(1, trip_a=1.5)
        study = study_layout(
            layout_of(Settings(), straight(4.0), booster(), device, bus, drop)
        )
        assert [d.by.part for d in study.wires if d.by] == ["CB1", "CB1"]
        assert list(RULE.check(study)) == []


def test_the_table_of_conductors_tells_the_sum_too() -> None:
    rows = hold_rows(study_layout(shared()))
    (bad,) = (row.worst for row in rows if row.worst.verdict != "holds")
    assert (bad.part, bad.verdict) == ("B0", "too thin")
    assert "9.00 A together > 5.00 A for good" in verdict_words(bad)


def test_a_lamp_bounds_what_its_district_sends_back() -> None:
    # Lamps hold each district at some 2 A, whatever the booster trips at: B of B0
    # takes under 3 × 3 A, and more than a lamp alone.
    layout = shared()
    lamps = {
        part.id: replace(part, device="lamp", trip_a=None)
        for part in layout.of_kind(Inline)
    }
    study = study_layout(layout_of(*{**layout.parts, **lamps}.values()))
    (held,) = {duty.by.trip_a for duty in study.wires if duty.by and duty.by.holds}
    found = flow_together(study)
    assert set(found) == {"B0"}
    assert found[PartId("B0")].amps_a == pytest.approx(3.0 * held, rel=1e-3)


def test_a_lamp_alone_shares_with_nobody() -> None:
    layout = shared(apart=True)
    lamps = {
        part.id: replace(part, device="lamp", trip_a=None)
        for part in layout.of_kind(Inline)
    }
    study = study_layout(layout_of(*{**layout.parts, **lamps}.values()))
    assert flow_together(study) == {}


def test_devices_that_feed_the_same_track_are_not_summed() -> None:
    # That they are joined is W127's; no bound of one holds for the other.
    assert flow_together(study_layout(two_breakers())) == {}
