"""Putting a breaker into a bus: what fed it feeds it, what hung beyond hangs on it."""

from collections.abc import Callable

import pytest
from msgspec.structs import replace

from core.analysis.districts import find_districts
from core.analysis.examine import study_layout
from core.errors import EditError
from core.layout.edits.cut_in import cut_in
from core.layout.layout import Layout
from core.layout.parts import Attachment, Bus, Drop, Gap, Inline, Part, ToPort
from tests.core.layout.edits.hand import (
    after,
    booster,
    bus,
    corners,
    drop,
    i,
    layout_of,
    near,
    on,
    port,
    run,
    tap,
    the,
)

INTO = ToPort(part=i("CB1"), port="in")
OUT = ToPort(part=i("CB1"), port="out")


def wired(*more: Part, **ends: Attachment | None) -> Layout:
    """Return a bus of 3 m with a corner after 2 m, and drops after 0.5 and 2.5 m.

    The track is cut through in its middle, so each drop feeds its own half.
    """
    way = bus("B1", (0, 0), (2000, 0), (2000, 1000))
    return layout_of(
        run("R1"),
        booster("PB1", 0, 0),
        Gap(id=i("G1"), on=on("R1", 0.5), rails="both"),
        replace(way, extra_m=0.6, end_label="far", **(ends or {"start": port("PB1")})),
        replace(drop("D1", on("R1", 0.2)), to=tap("B1", 0.5)),
        replace(drop("D2", on("R1", 0.8)), to=tap("B1", 2.5)),
        *more,
    )


def test_the_bus_is_cut_and_each_tap_stays_where_it_is() -> None:
    layout = after(wired(), cut_in(wired(), "breaker", tap("B1", 1.2)))
    first, second = the(layout, Bus, "B1"), the(layout, Bus, "B2")
    device = the(layout, Inline, "CB1")
    assert (device.x_mm, device.y_mm, device.feed) == (1200.0, 0.0, None)
    assert corners(first) == [(0, 0), (1200, 0)]
    assert corners(second) == [(1200, 0), (2000, 0), (2000, 1000)]
    assert (first.start, first.end) == (port("PB1"), INTO)
    assert (second.start, second.end) == (OUT, None)
    # 0.6 m more wire on 3 m: 1.2 / 3 of it stays before the cut.
    assert (first.extra_m, second.extra_m) == (near(0.24), near(0.36))
    assert (first.end_label, second.end_label) == ("", "far")
    assert the(layout, Drop, "D1").to == tap("B1", 0.5)
    assert the(layout, Drop, "D2").to == replace(tap("B2", 0.0), position_m=near(1.3))


def test_only_the_track_beyond_it_is_fed_through_it() -> None:
    layout = after(wired(), cut_in(wired(), "breaker", tap("B1", 1.2)))
    plan = find_districts(study_layout(layout))
    near_it, beyond = plan.at(i("R1"), 0.2), plan.at(i("R1"), 0.8)
    assert near_it is not None
    assert beyond is not None
    assert (near_it.feeders, beyond.feeders) == (("PB1",), ("CB1",))


def test_a_cut_at_a_corner_leaves_no_corner_twice() -> None:
    layout = after(wired(), cut_in(wired(), "breaker", tap("B1", 2.0)))
    assert corners(the(layout, Bus, "B1")) == [(0, 0), (2000, 0)]
    assert corners(the(layout, Bus, "B2")) == [(2000, 0), (2000, 1000)]


def test_a_bus_fed_at_its_end_feeds_the_breaker_from_there() -> None:
    before = wired(booster("PB2", 2000, 1000), end=port("PB2"))
    layout = after(before, cut_in(before, "breaker", tap("B1", 1.2)))
    assert (the(layout, Bus, "B1").start, the(layout, Bus, "B1").end) == (
        INTO,
        port("PB2"),
    )
    assert the(layout, Bus, "B2").end == OUT
    assert the(layout, Drop, "D1").to == tap("B2", 0.5)
    assert the(layout, Drop, "D2").to == replace(tap("B1", 0.0), position_m=near(1.3))


def test_a_branch_that_brings_the_power_tells_the_way() -> None:
    feeder = replace(
        bus("B7", (0, 0), (1800, 0)), start=port("PB1"), end=tap("B1", 1.8)
    )
    before = wired(feeder, start=None)
    layout = after(before, cut_in(before, "breaker", tap("B1", 1.2)))
    assert the(layout, Bus, "B7").end == replace(tap("B1", 0.0), position_m=near(0.6))
    assert the(layout, Bus, "B1").start == INTO
    assert the(layout, Drop, "D1").to is not None
    assert the(layout, Drop, "D1").to == tap("B8", 0.5)


def test_at_the_far_end_it_hangs_on_the_bus() -> None:
    layout = after(wired(), cut_in(wired(), "breaker", tap("B1", 3.0)))
    assert the(layout, Inline, "CB1").feed == tap("B1", 3.0)
    assert len(list(layout.of_kind(Bus))) == 1


@pytest.mark.parametrize(
    ("make", "at_m", "word"),
    [
        (wired, 0.0, "begins there"),
        (lambda: wired(end=port("PB1")), 3.0, "begins there"),
        (
            lambda: wired(booster("PB2"), start=port("PB1"), end=port("PB2")),
            1.0,
            "both sides",
        ),
    ],
)
def test_refused_with_a_sentence(
    make: Callable[[], Layout], at_m: float, word: str
) -> None:
    with pytest.raises(EditError, match=word):
        cut_in(make(), "breaker", tap("B1", at_m))
