"""Feeding a bus elsewhere: a feeder, a moved booster, a ring, a star."""

from collections.abc import Callable
from typing import Any

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.feed import (
    close_ring,
    fed_end,
    feed_along,
    make_star,
    move_feed,
)
from core.layout.geometry import bus_path
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Drop, Inline, Part, ToBus
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


def wired(*more: Part, **ends: Any) -> Layout:
    """Return a bus of 3 m with a corner after 2 m, and drops after 0.5 and 2.5 m."""
    way = bus("B1", (0, 0), (2000, 0), (2000, 1000))
    return layout_of(
        run("R1"),
        booster("PB1", 0, 0),
        replace(way, **(ends or {"start": port("PB1")})),
        replace(drop("D1", on("R1", 0.2)), to=tap("B1", 0.5)),
        replace(drop("D2", on("R1", 0.8)), to=tap("B1", 2.5)),
        *more,
    )


def taps_of(layout: Layout) -> list[tuple[float, float]]:
    """Return where in plan the two drops hang."""
    found: list[tuple[float, float]] = []
    for name in ("D1", "D2"):
        to = the(layout, Drop, name).to
        assert isinstance(to, ToBus)
        pose = bus_path(layout.need(to.part, Bus)).at(to.position_m)
        found.append((pose.x_mm, pose.y_mm))
    return found


HANGING = [(500.0, 0.0), (2000.0, 500.0)]


def test_a_feeder_runs_along_the_bus_to_its_place() -> None:
    layout = after(wired(), feed_along(wired(), i("B1"), 2.4))
    old, new = the(layout, Bus, "B1"), the(layout, Bus, "B2")
    assert (old.start, old.end) == (None, None)
    assert corners(old) == [(0, 0), (2000, 0), (2000, 1000)]
    assert corners(new) == [(0, 0), (2000, 0), (2000, 400)]
    assert (new.start, new.end) == (port("PB1"), tap("B1", near(2.4)))
    assert taps_of(layout) == HANGING


def test_a_bus_fed_at_its_end_gets_its_feeder_from_there() -> None:
    layout = wired(booster("PB1", 2000, 1000), end=port("PB1"))
    layout = after(layout, feed_along(layout, i("B1"), 1.5))
    assert the(layout, Bus, "B1").end is None
    feeder = the(layout, Bus, "B2")
    assert bus_path(feeder).length_m == near(1.5)
    assert (feeder.start, feeder.end) == (port("PB1"), tap("B1", near(1.5)))


def test_the_booster_is_moved_beside_its_bus() -> None:
    layout = after(wired(), move_feed(wired(), i("B1"), 1.0))
    moved, lead = the(layout, Booster, "PB1"), the(layout, Bus, "B2")
    assert (moved.x_mm, abs(moved.y_mm)) == (near(1000.0), near(120.0))
    assert bus_path(lead).length_m == near(0.12)
    assert (lead.start, lead.end) == (port("PB1"), tap("B1", near(1.0)))
    assert the(layout, Bus, "B1").start is None
    assert taps_of(layout) == HANGING


def test_a_ring_leads_the_far_end_back() -> None:
    layout = after(wired(), close_ring(wired(), i("B1")))
    back = the(layout, Bus, "B2")
    assert corners(back) == [(0, 0), (2000, 1000)]
    assert (back.start, back.end) == (port("PB1"), tap("B1", near(3.0)))
    assert the(layout, Bus, "B1") == the(wired(), Bus, "B1")


def test_a_star_has_three_legs_each_fed_in_its_middle() -> None:
    layout = after(wired(), make_star(wired(), i("B1")))
    buses = list(layout.of_kind(Bus))
    legs = [b for b in buses if b.start is None]
    feeders = [b for b in buses if b.start == port("PB1")]
    assert [bus_path(leg).length_m for leg in legs] == [near(1.0)] * 3
    lengths = sorted(bus_path(feeder).length_m for feeder in feeders)
    assert lengths == [near(0.5), near(1.5), near(2.5)]
    fed = {feeder.end.part for feeder in feeders if isinstance(feeder.end, ToBus)}
    assert fed == {leg.id for leg in legs}
    assert taps_of(layout) == [near_xy(xy) for xy in HANGING]


def near_xy(xy: tuple[float, float]) -> tuple[float, float]:
    return near(xy[0]), near(xy[1])


@pytest.mark.parametrize("end", ["start", "end"])
def test_wires_that_were_swapped_stay_swapped(end: str) -> None:
    ends: dict[str, Any] = {end: port("PB1"), f"{end}_flipped": True}
    layout = wired(**ends)
    layout = after(layout, feed_along(layout, i("B1"), 1.5))
    old, lead = the(layout, Bus, "B1"), the(layout, Bus, "B2")
    assert (old.start_flipped, old.end_flipped) == (False, False)
    assert (lead.start_flipped, lead.end_flipped) == (True, False)


def test_one_undo_takes_all_of_it_back() -> None:
    plain = wired()
    work = plain.copy()
    change = make_star(plain, i("B1"))
    work.apply(change)
    work.apply(change.inverse())
    assert dict(work.parts) == dict(plain.parts)


@pytest.mark.parametrize(
    "make",
    [
        lambda layout: feed_along(layout, i("B1"), 1.5),
        lambda layout: move_feed(layout, i("B1"), 1.5),
        lambda layout: close_ring(layout, i("B1")),
        lambda layout: make_star(layout, i("B1")),
    ],
)
def test_a_bus_that_is_fed_at_no_end_or_both_is_refused(
    make: Callable[[Layout], Change],
) -> None:
    for ends in ({"start": None}, {"start": port("PB1"), "end": port("PB1")}):
        layout = wired(**ends)
        assert fed_end(layout, the(layout, Bus, "B1")) is None
        with pytest.raises(EditError, match="not fed at just one"):
            make(layout)


def test_the_place_where_it_is_fed_now_is_refused() -> None:
    with pytest.raises(EditError, match="fed there already"):
        feed_along(wired(), i("B1"), 0.0)


def test_a_breaker_is_not_moved_as_a_booster_is() -> None:
    breaker = replace(the(wired(), Bus, "B1"), start=port("CB1"))
    device = Inline(id=i("CB1"), device="breaker", x_mm=0.0, y_mm=0.0, feed=port("PB1"))
    layout = layout_of(*wired().parts.values(), device)
    layout = layout_of(*(p for p in layout.parts.values() if p.id != "B1"), breaker)
    assert fed_end(layout, breaker) == "start"
    with pytest.raises(EditError, match="hangs on CB1, not on a booster"):
        move_feed(layout, i("B1"), 1.0)


def test_a_ring_wants_a_free_end() -> None:
    layout = wired(bus("B9", (2000, 1000), (3000, 1000)), start=port("PB1"))
    joined = replace(the(layout, Bus, "B1"), end=tap("B9", 0.0))
    layout = layout_of(*(p for p in layout.parts.values() if p.id != "B1"), joined)
    with pytest.raises(EditError, match="joined to something"):
        close_ring(layout, i("B1"))
