"""Moving parts: what comes along, what stays, what comes apart."""

from math import nan

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.edits.attach import connect
from core.layout.edits.move import (
    insert_bus_point,
    move_along,
    move_bus_point,
    move_parts,
    nudge_parts,
    remove_bus_point,
)
from core.layout.edits.set import set_fields
from core.layout.ids import BACKDROP_ID, PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Board,
    Booster,
    Bus,
    Drop,
    Gap,
    Inline,
    Joist,
    Load,
    Point,
    Strip,
    ToBus,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.layout.queries import anchor, place_xy
from tests.core.layout.edits.hand import (
    after,
    arc,
    booster,
    bus,
    corners,
    drop,
    end,
    i,
    layout_of,
    on,
    port,
    run,
    start,
    straight,
    tap,
    the,
)


def ids(*names: str) -> frozenset[PartId]:
    return frozenset(i(name) for name in names)


def moved(layout: Layout, dx: float, dy: float, *names: str) -> Layout:
    return after(layout, move_parts(layout, ids(*names), dx, dy))


def wired() -> Layout:
    """A bus from a booster to a strip; a drop and a second bus hang on it."""
    return layout_of(
        run("R1", y=500),
        booster(x=0, y=0),
        Strip(id=i("TS1"), x_mm=1000, y_mm=0, ways=1),
        replace(
            bus("B1", (0, 0), (500, 0), (1000, 0)),
            start=port("PB1"),
            end=ToStrip(part=i("TS1"), way=1),
        ),
        replace(bus("B2", (250, 0), (250, -400)), start=tap("B1", 0.25)),
        replace(drop("D1", on("R1", 0.5)), to=tap("B1", 0.75)),
        replace(drop("D2", on("R1", 0.7)), to=tap("B2", 0.1)),
    )


# Wires ---------------------------------------------------------------------------------


def test_a_moved_strip_drags_the_bus_end_that_is_screwed_to_it() -> None:
    layout = moved(wired(), 0, 300, "TS1")
    b1 = the(layout, Bus, "B1")
    assert corners(b1) == [(0, 0), (500, 0), (1000, 300)]
    assert b1.end == ToStrip(part=i("TS1"), way=1)
    # The leg with D1 swings from (500, 0)–(1000, 0) to (500, 0)–(1000, 300). D1 hung
    # at (750, 0): 250 along the old leg, 250·cos θ along the new one, cos θ = 5/√34.
    to = the(layout, Drop, "D1").to
    assert isinstance(to, ToBus)
    assert to.position_m == pytest.approx(0.5 + 0.25 * 5 / 34**0.5)
    assert the(layout, Bus, "B2") == the(wired(), Bus, "B2")


def test_a_moved_bus_stays_attached_and_takes_along_what_hangs_on_it() -> None:
    layout = moved(wired(), 0, -100, "B1")
    assert corners(the(layout, Bus, "B1")) == [(0, 0), (500, -100), (1000, 0)]
    b2 = the(layout, Bus, "B2")
    assert b2.start is not None
    assert corners(b2)[0] == pytest.approx(anchor(layout, b2.start))
    assert corners(b2)[1] == (250, -400)


def test_a_bus_held_at_both_ends_springs_back_with_all_that_hangs_on_it() -> None:
    held = Layout({k: v for k, v in wired().parts.items() if k not in {"B2", "D2"}})
    held.apply(remove_bus_point(held, i("B1"), 1))
    assert move_parts(held, ids("B1"), 123, 45).is_empty


def test_a_free_bus_moves_as_it_is() -> None:
    layout = layout_of(
        run("R1"),
        bus("B1", (0, 0), (900, 0)),
        replace(drop("D1", on("R1", 0)), to=tap("B1", 0.3)),
    )
    result = move_parts(layout, ids("B1"), 7, -8)
    assert set(result.after) == {"B1"}
    assert corners(the(after(layout, result), Bus, "B1")) == [(7, -8), (907, -8)]


def test_a_chain_of_buses_follows_to_its_end() -> None:
    layout = layout_of(
        booster(),
        replace(bus("B1", (0, 0), (100, 0)), start=port("PB1")),
        replace(bus("B2", (0, 0), (0, 50)), start=tap("B1", 0.0)),
        replace(bus("B3", (0, 0), (0, -50)), start=tap("B2", 0.0)),
    )
    layout = moved(layout, 10, 20, "PB1")
    for name in ("B1", "B2", "B3"):
        assert corners(the(layout, Bus, name))[0] == pytest.approx((10, 20))


def test_buses_that_hang_on_each_other_do_not_hang_the_program() -> None:
    layout = layout_of(
        replace(bus("B1", (0, 0), (100, 0)), end=tap("B2", 0.05)),
        replace(bus("B2", (100, -50), (100, 50)), end=tap("B1", 0.05)),
    )
    result = moved(layout, 30, 40, "B1")
    assert set(result.parts) == set(layout.parts)


def test_an_end_that_lay_elsewhere_before_is_not_pulled_in_by_other_edits() -> None:
    askew = replace(bus("B1", (5, 5), (900, 0)), start=port("PB1"))
    layout = layout_of(run("R1"), booster(), askew, drop("D1", on("R1", 0)))
    assert the(moved(layout, 1, 1, "R1"), Bus, "B1") == askew
    change = connect(layout, i("D1"), "to", tap("B1", 0.1))
    assert the(after(layout, change), Bus, "B1") == askew
    change = set_fields(layout, ids("B1", "PB1"), name="North")
    assert the(after(layout, change), Bus, "B1").points == askew.points
    assert corners(the(moved(layout, 3, 0, "PB1"), Bus, "B1"))[0] == (3, 0)


# Corners of a bus ----------------------------------------------------------------------


def test_what_hangs_on_other_legs_does_not_stir_when_a_corner_moves() -> None:
    layout = after(
        wired(), move_bus_point(wired(), i("B1"), 1, Point(x_mm=500, y_mm=200))
    )
    longer = replace(
        bus("B1", (0, 0), (100, 0), (500, 0), (1000, 0)), start=port("PB1")
    )
    layout = layout_of(
        run("R1"),
        booster(),
        longer,
        replace(drop("D1", on("R1", 0)), to=tap("B1", 0.9)),
    )
    # Leg 1 grows from 100 to 500 and leg 2 from 400 to 500 (a 300-400-500 triangle):
    # the drop, 400 along the third leg, is now at 500 + 500 + 400.
    bent = after(layout, move_bus_point(layout, i("B1"), 1, Point(x_mm=100, y_mm=300)))
    to = the(bent, Drop, "D1").to
    assert isinstance(to, ToBus)
    grown = (100**2 + 300**2) ** 0.5
    assert to.position_m == pytest.approx((grown + 500 + 400) / 1000)
    assert anchor(bent, to) == pytest.approx((900, 0))


def test_a_tap_on_the_way_back_does_not_jump_to_the_way_out() -> None:
    folded = bus("B1", (0, 0), (1000, 0), (0, 0))
    layout = layout_of(
        run("R1"), folded, replace(drop("D1", on("R1", 0)), to=tap("B1", 1.6))
    )
    bent = after(layout, move_bus_point(layout, i("B1"), 2, Point(x_mm=0, y_mm=10)))
    to = the(bent, Drop, "D1").to
    assert isinstance(to, ToBus)
    assert to.position_m == pytest.approx(1.6, abs=0.001)


def test_a_new_corner_goes_between_its_neighbours_and_taps_stay() -> None:
    layout = after(wired(), insert_bus_point(wired(), i("B1"), Point(x_mm=800, y_mm=0)))
    assert corners(the(layout, Bus, "B1")) == [(0, 0), (500, 0), (800, 0), (1000, 0)]
    for name in ("D1", "D2"):
        assert the(layout, Drop, name).to == the(wired(), Drop, name).to
    assert the(layout, Bus, "B2") == the(wired(), Bus, "B2")


def test_a_corner_less_leaves_the_taps_where_they_hung() -> None:
    layout = after(wired(), remove_bus_point(wired(), i("B1"), 1))
    assert corners(the(layout, Bus, "B1")) == [(0, 0), (1000, 0)]
    assert the(layout, Drop, "D1").to == tap("B1", 0.75)


def test_an_attached_end_does_not_move_and_a_free_one_does() -> None:
    at = Point(x_mm=1, y_mm=2)
    assert move_bus_point(wired(), i("B1"), 0, at).is_empty
    layout = after(wired(), move_bus_point(wired(), i("B2"), 1, at))
    assert corners(the(layout, Bus, "B2")) == [(250, 0), (1, 2)]


@pytest.mark.parametrize("index", [-1, 3])
def test_a_corner_that_is_not_there_is_not_moved(index: int) -> None:
    with pytest.raises(EditError, match="no corner"):
        move_bus_point(wired(), i("B1"), index, Point(x_mm=0, y_mm=0))


@pytest.mark.parametrize("index", [0, 2, 7])
def test_a_bus_keeps_its_ends(index: int) -> None:
    with pytest.raises(EditError, match="needs its two ends"):
        remove_bus_point(wired(), i("B1"), index)


# Track ---------------------------------------------------------------------------------


def yard() -> Layout:
    return layout_of(
        run("R1"),
        run("R2", x=1000),
        run("R3", x=500),
        TrackJoint(id=i("J1"), a=end("R1"), b=start("R2")),
        Turnout(id=i("T1"), on=on("R1", 0.5), leg=start("R3")),
        drop("D1", on("R1", 0.3)),
    )


def test_what_is_on_a_run_moves_with_it() -> None:
    layout = moved(yard(), 10, 20, "R1")
    assert the(layout, Drop, "D1").on == on("R1", 0.3)
    assert place_xy(layout, on("R1", 0.3)) == pytest.approx((310, 20))


@pytest.mark.parametrize(
    ("names", "kept"),
    [
        (("R1",), set()),
        (("R2",), {"T1"}),
        (("R3",), {"J1"}),
        (("R1", "R2"), {"J1"}),
        (("R1", "R3"), {"T1"}),
        (("R1", "R2", "R3"), {"J1", "T1"}),
        (("R1", "R2", "R3", "J1", "T1", "D1"), {"J1", "T1"}),
        (("J1", "T1"), {"J1", "T1"}),
    ],
)
def test_joints_and_turnouts_hold_where_all_their_track_moves(
    names: tuple[str, ...], kept: set[str]
) -> None:
    layout = moved(yard(), 0, 50, *names)
    assert {p for p in ("J1", "T1") if i(p) in layout.parts} == kept
    assert the(layout, Drop, "D1").on == on("R1", 0.3)


def test_a_hair_s_breadth_does_not_part_a_joint() -> None:
    assert i("J1") in moved(yard(), 1.0, 0.5, "R2").parts


def test_a_joint_that_never_met_is_not_parted_by_other_edits() -> None:
    gaping = layout_of(
        run("R1"),
        run("R2", x=1010),
        run("R3", y=99),
        TrackJoint(id=i("J1"), a=end("R1"), b=start("R2")),
        Turnout(id=i("T1"), on=on("R1", 0.5), leg=start("R3")),
    )
    renamed = after(gaping, set_fields(gaping, ids("R1"), name="Main"))
    assert {i("J1"), i("T1")} <= set(renamed.parts)
    assert {i("J1"), i("T1")} <= set(moved(gaping, 5, 5, "R1", "R2", "R3").parts)
    assert i("J1") in moved(gaping, -4, 0, "R2").parts  # nearer than it was
    assert i("J1") not in moved(gaping, 4, 0, "R2").parts
    assert i("T1") not in moved(gaping, 0, 9, "R3").parts


def test_things_on_a_run_slide_along_it() -> None:
    layout = layout_of(
        run("R1", straight(2000)),
        drop("D1", on("R1", 0.3)),
        Gap(id=i("G1"), on=on("R1", 1.9)),
        Load(id=i("L1"), on=on("R1", 0.1)),
    )
    layout = moved(layout, 200, 77, "D1", "G1", "L1")
    assert the(layout, Drop, "D1").on.position_m == pytest.approx(0.5)
    assert the(layout, Gap, "G1").on.position_m == pytest.approx(2.0)  # held at the end
    assert the(layout, Load, "L1").on.position_m == pytest.approx(0.3)


def test_a_thing_is_put_elsewhere_along_its_run() -> None:
    layout = after(yard(), move_along(yard(), i("D1"), 0.9))
    assert the(layout, Drop, "D1").on == on("R1", 0.9)
    keys = {move_along(yard(), i("D1"), p).merge_key for p in (0.1, 0.2)}
    assert keys == {"along D1"}


@pytest.mark.parametrize(
    ("name", "position", "says"),
    [
        ("D1", 1.1, "off R1"),
        ("D1", -0.1, "off R1"),
        ("D1", nan, "off R1"),
        ("R1", 0.5, "does not sit on a track"),
        ("D9", 0.5, "does not sit on a track"),
    ],
)
def test_a_thing_stays_on_its_run(name: str, position: float, says: str) -> None:
    with pytest.raises(EditError, match=says):
        move_along(yard(), i(name), position)


def test_a_joined_bend_that_is_moved_by_one_end_only_is_parted() -> None:
    oval = run("R1", straight(1000), arc(500, 180), straight(1000), arc(500, 180))
    layout = layout_of(oval, TrackJoint(id=i("J1"), a=end("R1"), b=start("R1")))
    assert i("J1") in moved(layout, 300, 300, "R1").parts


# Everything else -------------------------------------------------------------------------


def test_every_part_with_a_place_of_its_own_moves() -> None:
    layout = layout_of(
        booster(x=1, y=2),
        Inline(id=i("CB1"), device="breaker", x_mm=3, y_mm=4),
        Strip(id=i("TS1"), x_mm=5, y_mm=6),
        Board(id=i("BD1"), x_mm=7, y_mm=8, width_mm=100, depth_mm=50),
        Joist(id=i("JS1"), x1_mm=9, y1_mm=10, x2_mm=11, y2_mm=12),
        Backdrop(
            media="image/png", data=b"", width_px=1, height_px=1, x_mm=13, y_mm=14
        ),
    )
    everything = frozenset(layout.parts)
    layout = after(layout, move_parts(layout, everything, 100, -1))
    where = {
        "PB1": (101, 1),
        "CB1": (103, 3),
        "TS1": (105, 5),
        "BD1": (107, 7),
        BACKDROP_ID: (113, 13),
    }
    for name, place in where.items():
        part = layout.parts[i(name)]
        assert isinstance(part, Booster | Inline | Strip | Board | Backdrop)
        assert (part.x_mm, part.y_mm) == place
    joist = the(layout, Joist, "JS1")
    assert (joist.x1_mm, joist.y1_mm, joist.x2_mm, joist.y2_mm) == (109, 9, 111, 11)


@pytest.mark.parametrize(
    ("names", "label"), [(("R1",), "Move R1"), (("R1", "D1"), "Move 2 parts")]
)
def test_the_label_says_what_moved(names: tuple[str, ...], label: str) -> None:
    assert move_parts(yard(), ids(*names), 1, 1).label == label


def test_nudges_in_a_row_are_one_step_and_moves_are_not() -> None:
    chosen = ids("R1", "R2")
    first, second = (nudge_parts(yard(), chosen, x, 0) for x in (1, 2))
    assert first.merge_key == second.merge_key != ""
    assert nudge_parts(yard(), ids("R1"), 1, 0).merge_key != first.merge_key
    assert move_parts(yard(), chosen, 1, 0).merge_key == ""
    assert dict(first.after) == dict(move_parts(yard(), chosen, 1, 0).after)


@pytest.mark.parametrize(
    ("dx", "says"), [(nan, "x of R1"), (2e6, "x of R1"), (float("inf"), "x of R1")]
)
def test_nothing_moves_out_of_the_world(dx: float, says: str) -> None:
    with pytest.raises(EditError, match=says):
        move_parts(yard(), ids("R1"), dx, 0)


def test_a_part_that_is_not_there_is_not_moved() -> None:
    with pytest.raises(EditError, match="no part X9"):
        move_parts(yard(), ids("R1", "X9"), 1, 1)


def test_the_track_run_itself_keeps_its_shape() -> None:
    before, now = (
        the(yard(), TrackRun, "R1"),
        the(moved(yard(), 3, 4, "R1"), TrackRun, "R1"),
    )
    assert now == replace(before, x_mm=3, y_mm=4)
