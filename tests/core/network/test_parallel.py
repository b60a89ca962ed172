"""What feeds the same metal twice: boosters, and devices of one booster."""

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Gap, Inline, Part, Side, ToPort
from core.network.build import build_circuit
from core.network.islands import find_islands
from core.network.parallel import Meeting, find_joined, find_meetings, trace_joined
from tests.core.network.track import gap, layout_of, on, run


def booster(number: int) -> Booster:
    return Booster(id=PartId(f"PB{number}"), x_mm=0.0, y_mm=-500.0)


def breaker(number: int, feed: str = "PB1") -> Inline:
    return Inline(
        id=PartId(f"CB{number}"),
        device="breaker",
        x_mm=0.0,
        y_mm=0.0,
        feed=ToPort(part=PartId(feed)),
    )


def drop(number: int, at_m: float, to: str, a_rail: Side = "left") -> Drop:
    place = on(1, at_m)
    feed = ToPort(part=PartId(to))
    return Drop(id=PartId(f"D{number}"), on=place, to=feed, a_rail=a_rail)


def two_boosters(*more: Part, a_rail: Side = "left") -> Layout:
    return layout_of(
        run(1, 4.0),
        booster(1),
        booster(2),
        drop(1, 1.0, "PB1"),
        drop(2, 3.0, "PB2", a_rail),
        *more,
    )


def meetings(layout: Layout) -> tuple[Meeting, ...]:
    circuit = build_circuit(layout)
    return find_meetings(circuit, find_islands(circuit))


def test_unlike_poles_that_meet_are_told_from_like_ones() -> None:
    # The second district's only drop is crossed: each booster alone is sound.
    (found,) = meetings(two_boosters(a_rail="right"))
    assert found.crossed
    assert found.poles == ("plus", "minus")


def test_one_rail_in_common_may_join_unlike_poles() -> None:
    (found,) = meetings(two_boosters(gap(1, on(1, 2.0), "left"), a_rail="right"))
    assert found.crossed
    assert found.poles == ("minus",)


def test_boosters_that_both_rails_part_do_not_meet() -> None:
    assert meetings(two_boosters(gap(1, on(1, 2.0)))) == ()


def two_breakers(*more: Part) -> Layout:
    parts = (booster(1), breaker(1), breaker(2))
    return layout_of(
        run(1, 4.0), *parts, drop(1, 1.0, "CB1"), drop(2, 3.0, "CB2"), *more
    )


def test_breakers_on_track_without_a_gap_are_joined() -> None:
    circuit = build_circuit(two_breakers())
    (found,) = find_joined(circuit)
    assert found.feeders == ("CB1", "CB2")
    path, _ = trace_joined(circuit, found)
    assert path == ("D1", "R1", "D2")


def test_a_gap_in_the_rail_that_they_switch_parts_them() -> None:
    cut = Gap(id=PartId("G1"), on=on(1, 2.0), rails="left")
    assert find_joined(build_circuit(two_breakers(cut))) == ()


def test_a_breaker_that_the_booster_feeds_past_is_named_with_it() -> None:
    layout = layout_of(
        run(1, 4.0), booster(1), breaker(1), drop(1, 1.0, "CB1"), drop(2, 3.0, "PB1")
    )
    (found,) = find_joined(build_circuit(layout))
    assert set(found.feeders) == {"CB1", "PB1"}


def test_breakers_one_behind_the_other_are_sound() -> None:
    layout = layout_of(
        run(1, 4.0), booster(1), breaker(1), breaker(2, "CB1"), drop(1, 1.0, "CB2")
    )
    assert find_joined(build_circuit(layout)) == ()
