"""Every conductor against what protects it, by hand."""

from dataclasses import replace as swap

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.checks.conductors import Kind
from core.checks.faults import fault_amps
from core.checks.holding import HoldRow, hold_rows, told_rows, verdict_words
from core.checks.rules import let_through, thin_wire
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
    Straight,
    ToBus,
    ToPort,
    TrackRun,
    Turnout,
)
from tests.core.checks.plank import plank
from tests.samples.build import SAMPLES, build_sample

BOOSTER = Booster(
    id=PartId("PB1"), x_mm=0.0, y_mm=-100.0, rated_a=3.0, trip_a=3.0, trip_s=0.1
)
RUN = TrackRun(
    id=PartId("R1"),
    name="Main",
    x_mm=0.0,
    y_mm=0.0,
    heading_deg=0.0,
    pieces=(Straight(length_mm=1000.0),),
)
DROP = Drop(
    id=PartId("D1"),
    on=OnRun(run=RUN.id, position_m=0.5),
    to=ToPort(part=BOOSTER.id),
    lead_m=0.5,
)
"""0.5 mm² of 39 mΩ/m, a screw of 2 mΩ and a soldered joint of 0.5 mΩ: with the
booster's 50 mΩ the loop at D1 is 50 + 2·(2 + 0.5 + 0.5·39) = 94 mΩ, and 15 V drive
159.6 A through it."""


def direct(*more: Part, booster: Booster = BOOSTER, drop: Drop = DROP) -> Layout:
    """Return a metre of code 100, fed in its middle straight from a booster."""
    return Layout({p.id: p for p in (RUN, booster, drop, *more)})


def rows_of(layout: Layout) -> dict[tuple[Kind, str], HoldRow]:
    rows = hold_rows(study_layout(layout))
    found: dict[tuple[Kind, str], HoldRow] = {
        (row.worst.kind, row.worst.by.part): row for row in rows
    }
    assert len(found) == len(rows), "the tests' layouts have one size of each kind"
    return found


def test_a_drop_and_its_short_are_told_as_by_hand() -> None:
    # 159.6² A² × 0.1 s = 2546 A²s; 0.5 mm² stands (115·0.5)² = 3306 (IEC 60364-4-43,
    # k = 115 for copper in PVC) and 5 A for good (hobby press guidance).
    row = rows_of(direct())["drop", "PB1"]
    own = row.worst
    assert (own.part, own.size, row.count) == ("D1", "0.5 mm² flexible", 1)
    assert own.short_a == pytest.approx(15.0 / 0.094)
    assert own.passed == pytest.approx(2546.4, rel=1e-3)
    assert own.squared == pytest.approx(3306.25)
    assert own.amps_a == 5.0
    assert (
        verdict_words(own) == "holds: 3.00 A ≤ 5.00 A; 2\u00a0550 A²s ≤ 3\u00a0310 A²s"
    )


@pytest.mark.parametrize(
    ("trip_s", "verdict"), [(0.129, "holds"), (0.131, "overheats")]
)
def test_a_slower_device_lets_too_much_through(trip_s: float, verdict: str) -> None:
    # 3306.25 A²s / 159.6² A² = 0.1298 s.
    own = rows_of(direct(booster=replace(BOOSTER, trip_s=trip_s)))["drop", "PB1"].worst
    assert own.verdict == verdict


def test_thin_wire_that_a_limited_short_heats_too_far() -> None:
    # 10 A for 500 ms in 30 AWG: 50 A²s > (115 × 0.0509 mm²)² = 34.3 A²s.
    # 0.5 A is what it stands for good, no less than the booster's trip.
    slow = replace(BOOSTER, trip_a=0.5, trip_s=0.5, limit_a=10.0)
    thin = replace(DROP, wire="awg30-solid", lead_m=0.05)
    own = rows_of(direct(booster=slow, drop=thin))["drop", "PB1"].worst
    assert own.verdict == "overheats"
    assert verdict_words(own, in_full=True) == (
        "▲ overheats in a short: (10.0 A)² × 500 ms = 50.0 A²s > (115 × 0.0509 mm²)² = "
        "34.3 A²s"
    )
    # 10² A² × 16 ms = 1.6 A²s.
    fast = replace(slow, trip_s=0.016)
    own = rows_of(direct(booster=fast, drop=thin))["drop", "PB1"].worst
    assert own.verdict == "holds"
    assert own.passed == pytest.approx(1.6)


def test_bell_wire_behind_a_big_trip_is_too_thin() -> None:
    # 0.14 mm² is good for 1.5 A (hobby press guidance); 5 A flow for good.
    big = replace(BOOSTER, trip_a=5.0)
    bell = replace(DROP, wire="0.14mm2-hookup")
    own = rows_of(direct(booster=big, drop=bell))["drop", "PB1"].worst
    assert own.verdict == "too thin"
    assert verdict_words(own) == "▲ too thin: 5.00 A > 1.50 A for good"


@pytest.mark.parametrize(("trip_a", "verdict"), [(1.5, "holds"), (1.51, "too thin")])
def test_a_wire_stands_just_its_rating(trip_a: float, verdict: str) -> None:
    booster = replace(BOOSTER, trip_a=trip_a, trip_s=0.001)
    bell = replace(DROP, wire="0.14mm2-hookup")
    own = rows_of(direct(booster=booster, drop=bell))["drop", "PB1"].worst
    assert own.verdict == verdict


def test_a_short_that_trips_nothing_is_said() -> None:
    # 10 m of 0.14 mm² (138 mΩ/m): 0.05 + 2·(0.0025 + 1.38) = 2.815 Ω, 5.33 A < 6 A.
    weak = replace(DROP, wire="0.14mm2-hookup", lead_m=10.0)
    own = rows_of(direct(booster=replace(BOOSTER, trip_a=6.0), drop=weak))
    assert own["rail", "PB1"].worst.passed is None
    assert verdict_words(own["rail", "PB1"].worst).endswith(
        "▲ a short of 5.33 A does not trip PB1"
    )


def test_rail_and_its_joint_are_told_as_by_hand() -> None:
    # Rail: 7.48 A and 4042 A²s, see test_warmth. The strongest short is at the drop.
    # Joint at 0.914 m: a new joiner of 5 mΩ makes 1 W at √(1/0.005) = 14.1 A and stands
    # ten times that for 0.1 s, 10·200 = 2000 A²s. The short there: 94 + 2·0.414·76 =
    # 156.9 mΩ, 95.6 A, 914 A²s.
    rows = rows_of(direct())
    rail, joint = rows["rail", "PB1"].worst, rows["rail joint", "PB1"].worst
    assert rail.place == OnRun(run=RUN.id, position_m=0.5)
    assert rail.short_a == pytest.approx(15.0 / 0.094)
    assert (rail.amps_a, rail.squared) == pytest.approx((7.48, 4042.0), rel=0.01)
    assert joint.place == OnRun(run=RUN.id, position_m=0.914)
    assert joint.amps_a == pytest.approx(14.14, abs=0.01)
    assert joint.squared == pytest.approx(2000.0)
    assert joint.short_a == pytest.approx(15.0 / 0.156928)
    assert joint.passed == pytest.approx(913.6, rel=1e-3)
    assert rows["rail joint", "PB1"].count == 1


def test_an_aged_joiner_gets_hot_before_anything_trips() -> None:
    # 100 mΩ: 3² · 0.1 = 0.9 W; at 5 A 2.5 W.
    aged = replace(RUN, joint="joiner-aged")
    cool = rows_of(direct(aged))["rail joint", "PB1"].worst
    assert cool.verdict != "gets hot"
    hot = rows_of(direct(aged, booster=replace(BOOSTER, trip_a=5.0, trip_s=0.01)))
    assert verdict_words(hot["rail joint", "PB1"].worst) == (
        "▲ gets hot: (5.00 A)² × 0.10 Ω = 2.5 W > 1.0 W"
    )


def behind_a_breaker() -> Layout:
    """Return a bus without drops, a breaker at its end, and a bus and drop behind."""
    main = Bus(
        id=PartId("B1"),
        points=(Point(x_mm=0.0, y_mm=-100.0), Point(x_mm=10000.0, y_mm=-100.0)),
        wire="1.5mm2-c5",
        slack=0.0,
        start=ToPort(part=BOOSTER.id),
    )
    breaker = Inline(
        id=PartId("CB1"),
        device="breaker",
        x_mm=10000.0,
        y_mm=0.0,
        feed=ToBus(part=main.id, position_m=10.0),
        trip_a=2.0,
        rated_a=2.0,
        trip_s=0.016,
    )
    second = replace(
        main,
        id=PartId("B2"),
        start=ToPort(part=breaker.id),
        points=(Point(x_mm=0.0, y_mm=-200.0), Point(x_mm=1000.0, y_mm=-200.0)),
    )
    drop = replace(DROP, to=ToBus(part=second.id, position_m=1.0))
    return direct(main, breaker, second, drop=drop)


def test_a_bus_without_drops_stands_a_short_at_its_far_end() -> None:
    # 10 m of 13.3 mΩ/m and a screw of 2 mΩ: 50 + 2·(2 + 133) = 320 mΩ, 46.9 A; until
    # the booster lets go 219.7 A²s of (115·1.5)² = 29 756.
    rows = rows_of(behind_a_breaker())
    main = rows["bus", "PB1"].worst
    assert main.part == "B1"
    assert main.short_a == pytest.approx(15.0 / 0.320)
    assert main.passed == pytest.approx(219.7, rel=1e-3)
    assert main.squared == pytest.approx(29756.25)


def test_what_stands_behind_a_breaker_is_the_breakers() -> None:
    rows = rows_of(behind_a_breaker())
    assert {key for key in rows if key[1] == "CB1"} == {
        ("sub-bus", "CB1"),
        ("drop", "CB1"),
        ("wire joint", "CB1"),
        ("rail", "CB1"),
        ("rail joint", "CB1"),
    }
    assert rows["sub-bus", "CB1"].worst.part == "B2"


def test_a_thin_bus_without_drops_is_found_too() -> None:
    # 30 AWG is good for 0.5 A; 10 A for 0.5 s are 50 A²s of 34.3.
    layout = behind_a_breaker()
    main, booster = layout.need(PartId("B1"), Bus), layout.need(BOOSTER.id, Booster)
    short = (Point(x_mm=0.0, y_mm=-100.0), Point(x_mm=500.0, y_mm=-100.0))
    thin = replace(main, wire="awg30-solid", points=short)
    slow = replace(booster, trip_a=0.5, trip_s=0.5, limit_a=10.0)
    device = replace(
        layout.need(PartId("CB1"), Inline), feed=ToBus(part=main.id, position_m=0.5)
    )
    changed = Layout({**layout.parts, thin.id: thin, slow.id: slow, device.id: device})
    study = study_layout(changed)
    assert fault_amps(study)[thin.id] == 10.0
    (found,) = let_through.RULE.check(study)
    assert found.parts == ("B1", "PB1")


def test_wires_behind_a_shorted_booster_have_no_short() -> None:
    layout = plank(changes={"D2": {"a_rail": "right"}})
    rows = hold_rows(study_layout(layout))
    assert rows
    for row in rows:
        assert row.worst.short_a is None
        assert "no figure for a short" in verdict_words(row.worst)


def test_what_is_not_fed_has_nothing_to_stand() -> None:
    assert hold_rows(study_layout(Layout({RUN.id: RUN, DROP.id: DROP}))) == ()
    assert hold_rows(study_layout(Layout())) == ()


def test_switched_frogs_have_leads_and_contacts() -> None:
    layout = build_sample("fennimarsh-loops")
    switched = [t for t in layout.of_kind(Turnout) if t.frog == "switched"]
    rows = hold_rows(study_layout(layout))
    for kind in ("frog lead", "frog contact"):
        own = [row for row in rows if row.worst.kind == kind]
        assert sum(row.count for row in own) == len(switched) > 0


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_wires_fail_just_where_findings_say_so(name: str) -> None:
    # Two ways to one answer: the rules name every wire, the table the weakest.
    study = study_layout(build_sample(name))
    rows = hold_rows(study)
    wires = [r for r in rows if r.worst.kind in ("bus", "sub-bus", "drop")]
    for verdict, rule in (
        ("too thin", thin_wire.RULE),
        ("overheats", let_through.RULE),
    ):
        found = {part for f in rule.check(study) for part in f.parts[:-1]}
        failing = {r.worst.part for r in wires if r.worst.verdict == verdict}
        assert failing <= found
        behind = {(f.parts[-1]) for f in rule.check(study)}
        assert {r.worst.by.part for r in wires if r.worst.verdict == verdict} == behind


def test_what_fails_is_told_first_and_what_holds_once_a_size() -> None:
    row = rows_of(direct())["drop", "PB1"]
    other = swap(row, worst=swap(row.worst, by=swap(row.worst.by, part=PartId("PB2"))))
    bad = swap(row, worst=swap(row.worst, amps_a=1.0))
    told = told_rows((row, other, bad))
    assert [(r.worst.verdict, more) for r, more in told] == [
        ("too thin", 0),
        ("holds", 1),
    ]
