"""Feeds side by side: each device senses its own part of a short, then the next."""

import numpy as np
import pytest
from msgspec.structs import replace

from core.analysis.along import every_track_values
from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.study import Probe, Racer
from core.analysis.weak import weakest_shorts
from core.checks.finding import Severity
from core.checks.rules.weak_short import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Drop,
    Inline,
    OnRun,
    Point,
    Settings,
    ToBus,
    ToPort,
)
from core.sheet.schedules.proving.coins import coin_rows
from tests.core.analysis.layouts import booster, breaker, drop, layout_of, straight

ONE_S = 58e-6
"""Half-bit of a one: NMRA S-9.1 table 1. [s]"""


def at_port(number: int, at_m: float, part: str, lead_m: float = 0.3) -> Drop:
    to = ToPort(part=PartId(part), port="out")
    return replace(drop(number, at_m), to=to, lead_m=lead_m)


def two_breakers(
    inner_ohm: float = 1.6, *, trip_a: float = 20.0, second: Inline | None = None
) -> Layout:
    """Return 4 m of track with a breaker of 5 A at either end of it."""
    return layout_of(
        Settings(),
        straight(4.0, piece_m=10.0),
        replace(booster(), inner_ohm=inner_ohm, trip_a=trip_a),
        breaker(1, trip_a=5.0),
        second or breaker(2, trip_a=5.0),
        at_port(1, 0.5, "CB1"),
        at_port(2, 3.5, "CB2"),
    )


def two_boosters(*changes: dict[str, float], at_m: float = 9.5) -> Layout:
    """Return 10 m of track that two boosters feed."""
    supplies = (
        Booster(id=PartId(f"PB{n}"), x_mm=0.0, y_mm=-500.0, inner_ohm=1.2, trip_a=5.0)
        for n in (1, 2)
    )
    return layout_of(
        Settings(),
        straight(10.0, piece_m=20.0),
        *(
            replace(one, **change)
            for one, change in zip(supplies, changes, strict=True)
        ),
        at_port(1, 0.5, "PB1"),
        at_port(2, at_m, "PB2"),
    )


def probed(layout: Layout, at_m: float) -> Probe:
    place = OnRun(run=PartId("R1"), position_m=at_m)
    return probe_place(study_layout(layout), place)


def without(layout: Layout, *parts: str) -> Layout:
    return layout_of(*(p for p in layout.parts.values() if p.id not in parts))


def opened(layout: Layout, part: str) -> Layout:
    """Return the same with wire A of a breaker as good as cut, to be solved anew.

    B comes straight through a breaker, open or shut.
    """
    device = replace(layout.need(PartId(part), Inline), series_ohm=1e7)
    return layout_of(*without(layout, part).parts.values(), device)


def test_two_equal_breakers_share_a_short_in_the_middle_and_neither_trips() -> None:
    # 15 V over 1.6 Ω of booster and some 0.15 Ω of wire and rail: 8.6 A by direct
    # current, 4.3 A through each of two like ways; both trip at 5 A.
    found = probed(two_breakers(), 2.0)
    senses: dict[str, float] = {racer.part: racer.sensed_a for racer in found.race}
    assert senses["CB1"] == pytest.approx(senses["CB2"], rel=1e-6)
    assert senses["CB1"] == pytest.approx(senses["PB1"] / 2.0, rel=1e-6)
    assert senses["CB1"] == pytest.approx(4.3, rel=0.03)
    assert found.margin == pytest.approx(senses["CB1"] / 5.0)
    assert not any(racer.trips for racer in found.race)
    assert "may never trip" in found.sentence


def test_map_headline_list_coins_and_finding_tell_of_the_part() -> None:
    study = study_layout(two_breakers())
    values = every_track_values(study, "short").values()
    mapped = min(float(np.nanmin(v.values)) for v in values)
    weak, coins = weakest_shorts(study, 1)[0], coin_rows(study)
    (finding,) = RULE.check(study)
    assert mapped == pytest.approx(0.84, rel=0.03)
    assert weak.margin == pytest.approx(mapped, rel=2e-3)
    # A coin lies 30 mm off the middle: nearer to one breaker, which senses more.
    assert min(row.margin for row in coins) == pytest.approx(mapped, rel=2e-2)
    assert not any(row.trips for row in coins)
    assert finding.severity is Severity.HAZARD
    assert {"CB1", "CB2"} & set(finding.parts)


def test_the_nearer_of_two_trips_first_and_the_other_then_carries_all() -> None:
    # 0.4 Ω: some 27 A; more than half of it by CB1 at 0.6 m, and all of it by CB2
    # once CB1 is open: as much as with CB1 opened by hand, which is solved anew here.
    layout = two_breakers(0.4)
    found = probed(layout, 0.6)
    assert [racer.part for racer in found.race[:2]] == ["CB1", "CB2"]
    first, second = found.race[:2]
    assert first.opens_s == pytest.approx(0.016)
    assert second.then_a is not None
    assert second.sensed_a < first.sensed_a
    alone = probed(opened(layout, "CB1"), 0.6)
    (other,) = (racer for racer in alone.race if racer.part == "CB2")
    assert second.then_a == pytest.approx(other.sensed_a, rel=1e-5)


def test_the_second_begins_its_time_when_the_first_has_opened() -> None:
    # CB2 trips at 12 A: beside CB1 it senses less, alone more; PB1 never: 40 A.
    slow = replace(breaker(2, trip_a=12.0), trip_s=0.05)
    layout = two_breakers(0.6, trip_a=40.0, second=slow)
    found = probed(layout, 0.6)
    by: dict[str, Racer] = {racer.part: racer for racer in found.race}
    assert by["CB2"].sensed_a < 12.0
    assert (by["CB1"].opens_s, by["CB2"].opens_s) == pytest.approx((0.016, 0.066))
    assert by["PB1"].opens_s is None
    # The short lasts until both have opened: the margin is that of the worse stage.
    assert found.margin is not None
    race = probed(opened(layout, "CB1"), 0.6).race
    alone = next(racer.sensed_a for racer in race if racer.part == "CB2")
    assert "CB2 senses" in found.sentence
    assert " once CB1 opened, " in found.sentence
    worse = min(by["CB1"].sensed_a / 5.0, alone / 12.0)
    assert found.margin == pytest.approx(worse, rel=1e-5)


def test_a_short_is_not_cleared_where_the_second_cannot_trip_alone() -> None:
    # PB1 gives half of 25 A and trips at 5; PB2 alone then gives 15 V over 1.2 Ω and
    # what wire there is, under 12.5 A, and never trips at 13.
    layout = two_boosters({}, {"trip_a": 13.0})
    found = probed(layout, 5.0)
    by: dict[str, Racer] = {racer.part: racer for racer in found.race}
    assert by["PB1"].opens_s == pytest.approx(0.1)
    assert by["PB2"].opens_s is None
    alone = probed(without(layout, "D1"), 5.0)
    assert found.margin is not None
    assert found.margin == pytest.approx(alone.margin)
    assert found.margin < 1.0
    assert found.short_verdict == "poor"
    (finding,) = RULE.check(study_layout(layout))
    assert finding.severity is Severity.HAZARD


def test_two_like_boosters_each_sense_half() -> None:
    found = probed(two_boosters({}, {}), 5.0)
    whole = found.short_mean_ones_a
    assert whole is not None
    assert found.margin == pytest.approx(whole / 2.0 / 5.0, rel=1e-3)
    assert [racer.opens_s for racer in found.race] == pytest.approx([0.1, 0.1])


def test_boosters_of_unequal_volts_leave_the_volts_of_the_other() -> None:
    # Once PB1, of 18 V, is open, PB2 gives what it gives alone.
    layout = two_boosters({"volts_v": 18.0}, {"trip_s": 0.3})
    second = probed(layout, 5.0).race[1]
    alone = probed(without(layout, "D1"), 5.0).race[0]
    assert second.then_a == pytest.approx(alone.sensed_a, rel=1e-6)


def test_in_series_the_one_that_trips_at_less_makes_the_margin() -> None:
    # A breaker of 9 A behind a booster of 5 A: the short is cleared, by the booster.
    layout = without(two_breakers(0.4, trip_a=5.0), "D2", "CB2")
    big = replace(breaker(1, trip_a=9.0))
    found = probed(layout_of(*(without(layout, "CB1")).parts.values(), big), 2.0)
    assert found.cleared_by == "PB1"
    assert found.margin == pytest.approx(found.race[0].sensed_a / 5.0)


def test_inductance_divides_a_short_too() -> None:
    # CB1 behind 20 m of loose bus, CB2 behind as much twisted: by resistance they are
    # alike, in truth most of it comes the twisted way. By hand: the part of CB1 is
    # Z2 / (Z1 + Z2) of wire A at each harmonic, added up to the 799th.
    def bus(n: int, lay: str) -> Bus:
        end = Point(x_mm=20_000.0, y_mm=-500.0 * n)
        return Bus(
            id=PartId(f"B{n}"),
            points=(Point(x_mm=0.0, y_mm=-500.0 * n), end),
            wire="2.5mm2-c5",
            lay=lay,  # type: ignore[arg-type]
            spacing_mm=200.0,
            slack=0.0,
            start=ToPort(part=PartId(f"CB{n}"), port="out"),
        )

    def tap(n: int) -> Drop:
        return replace(drop(n, 0.0), to=ToBus(part=PartId(f"B{n}"), position_m=20.0))

    layout = layout_of(
        Settings(),
        straight(1.0, piece_m=10.0),
        replace(booster(), inner_ohm=0.1, trip_a=50.0),
        breaker(1, trip_a=3.0),
        breaker(2, trip_a=3.0),
        bus(1, "apart"),
        bus(2, "twisted"),
        tap(1),
        tap(2),
    )
    study = study_layout(layout)
    n = np.arange(1, 800, 2)
    omega = np.pi * n / ONE_S

    def way(n: int, wire: str) -> "np.ndarray[tuple[int], np.dtype[np.complex128]]":
        names = (f"CB{n}", f"B{n}", f"D{n}")
        rail = "left" if wire == "A" else "right"
        ends = {i for i, node in enumerate(study.circuit.nodes) if node.wire == rail}
        own = [
            b
            for b in study.circuit.branches
            if b.part in names and (b.wire == wire or b.head in ends)
        ]
        ohm, henry = sum(b.ohm for b in own), sum(b.henry for b in own)
        return np.asarray(ohm + 1j * omega * henry)

    # The breakers break A: what counts is how A divides; B comes back both ways too.
    one, other = way(1, "A"), way(2, "A")
    back, forth = way(1, "B"), way(2, "B")
    impedance = 0.1 + one * other / (one + other) + back * forth / (back + forth)
    waves = 4.0 * 15.0 / (np.pi * n) / impedance
    times = ONE_S * (np.arange(400) + 0.5) / 400
    turns = np.exp(1j * np.outer(omega, times))
    means = [
        float(np.abs(((waves * share) @ turns).imag).mean())
        for share in (other / (one + other), one / (one + other))
    ]
    found = probe_place(study, OnRun(run=PartId("R1"), position_m=0.0))
    senses: dict[str, float] = {racer.part: racer.sensed_a for racer in found.race}
    assert [senses["CB1"], senses["CB2"]] == pytest.approx(means, rel=3e-3)
    assert means[1] > 1.5 * means[0]


def test_a_bad_contact_between_two_feeds_may_draw_both_trips() -> None:
    # Like ways: CB1 trips on 5 A when the contact draws 10 A; PB1 trips at 20. Alone
    # CB1 lets 5 A flow: (15 V − 5 A · R)·5 A, as needs.md 3.10 has it.
    wide = probed(two_breakers(0.4), 2.0)
    assert wide.lazy_w is not None
    assert wide.lazy_w == pytest.approx((15.0 - 10.0 * wide.loop_ohm) * 10.0, rel=1e-6)
    narrow = probed(without(two_breakers(0.4), "D2", "CB2"), 2.0)
    assert narrow.lazy_w == pytest.approx((15.0 - 5.0 * narrow.loop_ohm) * 5.0)
