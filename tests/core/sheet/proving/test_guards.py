"""Protection: devices and their times, who is first, and how power comes back."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.analysis.returning import returns
from core.checks.guards import GuardRow, first_words, guard_rows
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Inline,
    Load,
    OnRun,
    Part,
    ToPort,
    TrackRun,
)
from core.sheet.pages.proving.guards import guard_leaves
from tests.core.sheet.boards import brief_of, drop, layout_of, shelf_run, texts

BOOSTER = Booster(
    id=PartId("PB1"), name="Shelf", x_mm=0, y_mm=-300, trip_a=5.0, trip_s=0.1
)


def breaker(number: int, feed: str | None = "PB1", **fields: object) -> Inline:
    plain = Inline(
        id=PartId(f"CB{number}"),
        device="breaker",
        x_mm=0,
        y_mm=-200,
        trip_a=4.0,
        trip_s=0.016,
        feed=None if feed is None else ToPort(part=PartId(feed)),
    )
    return replace(plain, **fields)


REVERSER = breaker(9, "CB1", id=PartId("AR1"), device="reverser", trip_a=3.0,
                   trip_s=0.005)  # fmt: skip


def chain(*more: Part, booster: Booster = BOOSTER) -> Layout:
    """Return track behind a reverser, behind a breaker, behind a booster."""
    feed = drop(1, 0.1, to=ToPort(part=REVERSER.id), lead_m=0.5)
    return layout_of(shelf_run(), booster, breaker(1), REVERSER, feed, *more)


def rows_of(layout: Layout) -> dict[str, GuardRow]:
    return {row.device.id: row for row in guard_rows(study_layout(layout))}


def engine(number: int, run: str, idle_a: float, store_uf: float) -> Load:
    return Load(
        id=PartId(f"L{number}"),
        on=OnRun(run=PartId(run), position_m=0.2),
        idle_a=idle_a,
        store_uf=store_uf,
    )


def districts(count: int, *more: Part, booster: Booster = BOOSTER) -> Layout:
    """Return so many tracks, each behind a breaker of its own with one engine on it."""
    runs: list[TrackRun] = []
    parts: list[Part] = []
    for n in range(1, count + 1):
        run = shelf_run(id=PartId(f"R{n}"), name=f"Road {n}", y_mm=200.0 * n)
        on = OnRun(run=run.id, position_m=0.1)
        to = ToPort(part=PartId(f"CB{n}"))
        runs.append(run)
        parts += [
            breaker(n, trip_a=2.0),
            drop(n, 0.1, on=on, to=to, lead_m=0.5),
            engine(n, run.id, 0.5, 500.0),
        ]
    return layout_of(*runs, booster, *parts, *more)


# Who is first -----------------------------------------------------------------------


def test_n27_reverser_breaker_booster_are_selective() -> None:
    # Needs N27: reverser 3 A/5 ms, sub 4 A/16 ms, booster 5 A/100 ms: selective.
    rows = rows_of(chain())
    assert {part: row.order for part, row in rows.items()} == {
        "PB1": "alone",
        "CB1": "first",
        "AR1": "first",
    }
    assert [a.part for a in rows["AR1"].above] == ["CB1", "PB1"]


def test_n27_a_booster_of_10_ms_wins() -> None:
    rows = rows_of(chain(booster=replace(BOOSTER, trip_s=0.010)))
    assert rows["CB1"].order == "by time"
    assert first_words(rows["CB1"]) == "▲ PB1 wins: 16 ms against 10 ms"
    # 5 ms and 10 ms: twice as fast is the least that counts as first.
    assert rows["AR1"].order == "first"


@pytest.mark.parametrize(
    ("trip_s", "order"),
    [(0.016, "by time"), (0.017, "hardly"), (0.0319, "hardly"), (0.032, "first")],
)
def test_twice_as_fast_is_first_and_less_is_hardly(trip_s: float, order: str) -> None:
    rows = rows_of(chain(booster=replace(BOOSTER, trip_s=trip_s)))
    assert rows["CB1"].order == order


def test_a_lower_trip_above_comes_first_whatever_its_time() -> None:
    rows = rows_of(chain(booster=replace(BOOSTER, trip_a=3.5)))
    assert rows["CB1"].order == "by current"
    assert "trips at 3.50 A, below 4.00 A" in first_words(rows["CB1"])
    assert rows["AR1"].order == "first"


def test_a_device_that_never_trips_guards_nothing() -> None:
    detector = breaker(5, device="detector", id=PartId("OD1"), trip_a=None)
    assert "OD1" not in rows_of(chain(detector))


def test_each_booster_is_followed_by_what_is_behind_it() -> None:
    second = replace(BOOSTER, id=PartId("PB2"))
    lone = breaker(2, "PB2")
    more = shelf_run(id=PartId("R2"), y_mm=400)
    on = OnRun(run=more.id, position_m=0.1)
    feed = drop(2, 0.1, on=on, to=ToPort(part=lone.id), lead_m=0.5)
    rows = rows_of(chain(second, lone, more, feed))
    assert list(rows) == ["PB1", "CB1", "AR1", "PB2", "CB2"]


# How power comes back ---------------------------------------------------------------


def test_n31_four_districts_come_back_half_a_second_apart() -> None:
    # Needs N31: 0.5, 1.0, 1.5, 2.0 s, and the booster stays below 8 A. Each charges
    # at its trip of 2 A while those before it idle at 0.5 A: 2, 2.5, 3, 3.5 A.
    found = returns(study_layout(districts(4)))
    assert [(r.restart.part, r.restart.close_after_s) for r in found] == [
        ("CB1", 0.5),
        ("CB2", 1.0),
        ("CB3", 1.5),
        ("CB4", 2.0),
    ]
    assert [r.peak_a for r in found] == pytest.approx([2.0, 2.5, 3.0, 3.5])


def test_what_stores_nothing_only_idles() -> None:
    # Nothing to charge: the 0.3 A of standing still is all.
    study = study_layout(chain(engine(1, "R1", 0.3, 0.0)))
    (found,) = returns(study)
    assert found.peak_a == pytest.approx(0.3)


# The page ---------------------------------------------------------------------------


def said(layout: Layout) -> list[str]:
    return [t for leaf in guard_leaves(brief_of(layout)) for t in texts(leaf.marks)]


def test_a_device_is_a_row_with_its_settings() -> None:
    words = said(chain())
    start = words.index("AR1 (reverser)")
    assert words[start + 1 : start + 6] == ["4.00 A", "3.00 A", "5.0 ms", "average",
                                            "CB1, PB1"]  # fmt: skip
    assert "PB1 Shelf, booster" in words


def test_without_engines_nothing_is_said_of_restart() -> None:
    assert "When power comes back" not in said(chain())


def test_n30_too_many_sound_engines_are_counted() -> None:
    # Needs N30: 6 × 1000 µF at 15 V, trip 4 A, idle 0.4 A: 25 ms > 16 ms: 3 at most.
    engines = [engine(n, "R1", 0.4 / 6.0, 1000.0) for n in range(1, 7)]
    feed = drop(1, 0.1, to=ToPort(part=PartId("CB1")), lead_m=0.5)
    words = said(layout_of(shelf_run(), BOOSTER, breaker(1), feed, *engines))
    start = words.index("CB1", words.index("When power comes back"))
    assert words[start + 1 : start + 6] == ["0.5 s", "6", "▲ 3", "25 ms", "16 ms"]


def test_a_booster_that_would_trip_while_districts_come_back_is_marked() -> None:
    # The fourth charges beside 1.5 A: 500 µF · 15 V / (1.7 − 0.5) A = 6.25 ms.
    words = said(districts(4, booster=replace(BOOSTER, trip_a=3.2, trip_s=0.006)))
    assert sum("PB1: 3.50 A" in t and t.startswith("▲") for t in words) == 1
    words = said(districts(4, booster=replace(BOOSTER, trip_a=3.2, trip_s=0.007)))
    assert sum("PB1: 3.50 A" in t and t.startswith("▲") for t in words) == 0
    assert any("PB1: 3.50 A for 6.2 ms" in t for t in words)


def test_what_closes_all_at_once_is_told_below_the_turns() -> None:
    # Four of 500 µF ask for 8 A of 5: 2 mF · 15 V / (5 − 2) A = 10 ms.
    words = " ".join(said(districts(4, booster=replace(BOOSTER, trip_s=0.009))))
    assert "▲ PB1 trips again if CB1, CB2, CB3 and CB4 close at once" in words
    assert "charging takes 10 ms, it waits 9.0 ms" in words
    words = " ".join(said(districts(4, booster=replace(BOOSTER, trip_s=0.011))))
    assert "PB1 stays on even if CB1, CB2, CB3 and CB4 close at once" in words


def test_a_layout_that_nothing_guards_has_no_page() -> None:
    assert guard_leaves(brief_of(layout_of(shelf_run()))) == ()


def test_a_breaker_that_nothing_feeds_is_not_called_well() -> None:
    # As drawn: CB2 has no feed, CB3 hangs on CB2; the chain of CB1 is fed.
    loose = breaker(2, feed=None)
    layout = chain(loose, breaker(3, "CB2"))
    rows = rows_of(layout)
    assert {n: r.order for n, r in rows.items() if n in ("CB2", "CB3", "PB1")} == {
        "CB2": "not wired",
        "CB3": "not wired",
        "PB1": "alone",
    }
    assert first_words(rows["CB2"]) == "▲ CB2 is not wired: no booster feeds it"
    assert first_words(rows["CB3"]) == "▲ CB3 is not wired: no booster feeds it"
    assert first_words(rows["PB1"]) == "PB1: nothing above it trips"
    words = " ".join(said(layout))
    assert "CB2 is not wired" in words


def test_a_district_tells_the_least_that_is_left_on_its_way() -> None:
    # 1.20 A of load: 3.8 A left at the booster (5 A), 2.8 A at CB1 (4 A), 1.8 A at
    # AR1, which trips at 3 A though it is rated for 4 A.
    train = Load(
        id=PartId("L1"), on=OnRun(run=PartId("R1"), position_m=0.2), amps_a=1.2
    )
    told = printed(
        chain(
            replace(BOOSTER, rated_a=5.0),
            replace(breaker(1), rated_a=4.0),
            replace(REVERSER, rated_a=4.0),
            train,
        )
    )
    assert "PB1 → CB1 → AR1" in told
    assert "1.80 A left at AR1" in told


def test_a_district_with_more_load_than_its_device_gives_is_marked() -> None:
    trains = [
        Load(id=PartId(f"L{n}"), on=OnRun(run=PartId("R1"), position_m=0.2), amps_a=2.0)
        for n in (1, 2)
    ]
    # 4 A behind AR1, which trips at 3 A.
    assert "▲ 1.00 A too much for AR1" in printed(chain(*trains))


def printed(layout: Layout) -> str:
    return " ".join(
        t for leaf in guard_leaves(brief_of(layout)) for t in texts(leaf.marks)
    )


# Lamps ------------------------------------------------------------------------


def lit(trip_s: float) -> Layout:
    """Return a shelf whose one drop hangs behind a lamp of 12.8 V and 2.1 A."""
    lamp = breaker(1, device="lamp", trip_a=None)
    feed = drop(1, 0.1, to=ToPort(part=lamp.id), lead_m=0.5)
    return layout_of(shelf_run(), replace(BOOSTER, trip_s=trip_s), lamp, feed)


def test_lamps_have_a_table_with_what_they_take_and_hold() -> None:
    words = said(lit(0.5))
    start = words.index("12.8 V 2.1 A")
    # 12.8 · (1/2.1)^(1/0.55) = 3.32 V at 1 A; near 2.2 A and 33 W (needs.md N33).
    assert words[start + 1 : start + 3] == ["3.32 V at 1.00 A", "3.32 V"]
    amps, watts = words[start + 4 : start + 6]
    assert float(amps.split()[0]) == pytest.approx(2.2, rel=0.10)
    assert float(watts.split()[0]) == pytest.approx(33.0, rel=0.10)
    assert words[start + 6] == "nothing"
    assert "hot enough to burn" in " ".join(words)


def test_a_booster_that_trips_on_the_cold_lamp_is_marked() -> None:
    assert "▲ PB1" in said(lit(0.1))


def test_without_lamps_there_is_no_table_of_them() -> None:
    assert "Lamp limiters" not in " ".join(said(layout_of(shelf_run(), BOOSTER)))
