"""Adding parts: where they lie, how they begin, what is refused."""

from collections.abc import Callable
from math import inf, nan

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import (
    add_board,
    add_booster,
    add_bus,
    add_drop,
    add_gap,
    add_inline,
    add_joist,
    add_load,
    add_run,
    add_strip,
    set_backdrop,
)
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_settings
from core.layout.ids import BACKDROP_ID
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Bus,
    Drop,
    Gap,
    Inline,
    Load,
    Point,
    Strip,
    ToStrip,
    TrackRun,
)
from tests.core.layout.edits.hand import (
    after,
    booster,
    bus,
    corners,
    drop,
    i,
    layout_of,
    on,
    only,
    port,
    run,
    straight,
    tap,
    the,
)

HERE = Point(x_mm=100, y_mm=200)
PICTURE = Backdrop(media="image/png", data=b"1", width_px=640, height_px=480)


def test_a_first_track_has_a_name_and_the_usual_rail() -> None:
    layout = after(Layout(), add_run(Layout(), HERE, 90, (straight(500),)))
    made = only(layout, TrackRun)
    assert (made.id, made.name, made.rail) == ("R1", "Track 1", "code100-ns")
    assert (made.x_mm, made.y_mm, made.heading_deg) == (100, 200, 90)


def test_a_track_is_laid_as_the_last_one_was() -> None:
    first = replace(
        run("R9"), rail="code55-ns", joint="soldered", piece_length_m=0.6, level_mm=70
    )
    other = replace(run("R2"), rail="code83-ns")
    layout = layout_of(first, other)  # R9 has the higher number, so it is the last
    made = the(
        after(layout, add_run(layout, HERE, 0, (straight(500),))), TrackRun, "R10"
    )
    assert (made.rail, made.joint, made.piece_length_m) == (
        "code55-ns",
        "soldered",
        0.6,
    )
    assert made.level_mm == 70


def test_an_id_is_not_given_again_when_its_part_is_gone() -> None:
    layout = layout_of(run("R1"), drop("D7", on("R1", 0.5)))
    layout.apply(remove_parts(layout, frozenset({i("D7")})))
    assert only(after(layout, add_drop(layout, on("R1", 0.1))), Drop).id == "D8"


@pytest.mark.parametrize(
    ("system", "of_bus", "of_drop"),
    [("mm2", "2.5mm2-c5", "0.5mm2-c5"), ("awg", "awg14-stranded", "awg22-stranded")],
)
def test_a_first_wire_is_of_the_persons_system(
    system: str, of_bus: str, of_drop: str
) -> None:
    layout = layout_of(run("R1"))
    layout.apply(set_settings(layout, wires=system))
    layout.apply(add_bus(layout, (HERE, Point(x_mm=0, y_mm=0))))
    layout.apply(add_drop(layout, on("R1", 0.5)))
    assert only(layout, Bus).wire == of_bus
    assert only(layout, Drop).wire == of_drop


def test_a_wire_is_as_the_last_one_was() -> None:
    old_drop = replace(drop("D1", on("R1", 0)), wire="awg20-stranded", contact="tap")
    old_bus = replace(
        bus("B1", (0, 0), (1, 0)),
        wire="1.5mm2-c1",
        lay="apart",
        spacing_mm=60,
        slack=0.2,
    )
    layout = layout_of(run("R1"), old_drop, old_bus)
    layout.apply(add_drop(layout, on("R1", 0.5)))
    layout.apply(add_bus(layout, (HERE, Point(x_mm=0, y_mm=0))))
    new = the(layout, Drop, "D2")
    assert (new.wire, new.contact) == ("awg20-stranded", "tap")
    made = the(layout, Bus, "B2")
    assert (made.wire, made.lay, made.spacing_mm) == ("1.5mm2-c1", "apart", 60)
    assert made.slack == 0.2


def test_a_bus_ends_exactly_where_it_is_attached() -> None:
    # Way 4 of 4 is one and a half ways of 12 mm right of the middle of the strip.
    strip = Strip(id=i("TS1"), x_mm=900, y_mm=50, ways=4)
    layout = layout_of(booster(x=10, y=20), strip)
    change = add_bus(
        layout,
        (HERE, HERE, HERE),
        start=port("PB1"),
        end=ToStrip(part=i("TS1"), way=4),
    )
    made = only(after(layout, change), Bus)
    assert corners(made) == [(10, 20), (100, 200), (918, 50)]


def test_a_train_draws_what_the_last_train_drew() -> None:
    lamp = Load(id=i("L1"), on=on("R1", 0.2), use="standing", amps_a=0.1)
    train = Load(id=i("L2"), on=on("R1", 0.2), amps_a=0.8, length_m=1.5)
    layout = layout_of(run("R1"), lamp, train)
    made = the(after(layout, add_load(layout, on("R1", 0.6))), Load, "L3")
    assert (made.amps_a, made.length_m) == (0.8, 1.5)
    made = the(
        after(layout, add_load(layout, on("R1", 0.6), use="standing")), Load, "L3"
    )
    assert made.amps_a == 0.1


def test_a_gap_is_cut_where_it_is_asked_for() -> None:
    layout = layout_of(run("R1"))
    gap = only(after(layout, add_gap(layout, on("R1", 0.25), rails="right")), Gap)
    assert (gap.id, gap.on, gap.rails) == ("G1", on("R1", 0.25), "right")


def test_a_place_a_hair_beyond_the_end_is_the_end() -> None:
    layout = layout_of(run("R1"))
    gap = only(after(layout, add_gap(layout, on("R1", 1.0 + 5e-7))), Gap)
    assert gap.on.position_m == 1.0


@pytest.mark.parametrize(
    ("device", "name", "trips"),
    [
        ("breaker", "CB1", 4.0),
        ("reverser", "AR1", 4.0),
        ("fuse", "F1", 4.0),
        ("detector", "OD1", None),
        ("switch", "SW1", None),
    ],
)
def test_only_what_protects_trips(device: str, name: str, trips: float | None) -> None:
    made = only(after(Layout(), add_inline(Layout(), device, HERE)), Inline)  # type: ignore[arg-type]
    assert (made.id, made.trip_a) == (name, trips)


def test_a_backdrop_is_laid_changed_and_taken_away() -> None:
    layout = after(Layout(), set_backdrop(Layout(), PICTURE))
    assert layout.backdrop == PICTURE
    layout.apply(set_backdrop(layout, replace(PICTURE, mm_per_px=2)))
    assert layout.backdrop is not None
    assert layout.backdrop.mm_per_px == 2
    layout.apply(set_backdrop(layout, None))
    assert BACKDROP_ID not in layout.parts


SMALL = layout_of(
    run("R1"),
    booster(),
    Strip(id=i("TS1"), x_mm=0, y_mm=0, ways=4),
    bus("B1", (0, 0), (1000, 0)),
)
FAR = Point(x_mm=2e6, y_mm=0)
THERE = Point(x_mm=300, y_mm=0)


@pytest.mark.parametrize(
    ("build", "says"),
    [
        (lambda x: add_run(x, HERE, 0, ()), "at least one piece"),
        (lambda x: add_run(x, HERE, nan, (straight(5),)), "heading of R2"),
        (lambda x: add_run(x, HERE, 0, (straight(nan),)), "length"),
        (lambda x: add_run(x, HERE, 0, (straight(0),)), "length"),
        (lambda x: add_run(x, HERE, 0, (straight(-5),)), "length"),
        (
            lambda x: add_run(x, HERE, 0, (straight(1e6), straight(1))),
            "1,000 m is the most",
        ),
        (lambda x: add_run(x, FAR, 0, (straight(5),)), "x of R2"),
        (lambda x: add_run(x, HERE, 0, (straight(5),), name="n" * 201), "name of R2"),
        (lambda x: add_bus(x, (HERE,)), "two points"),
        (lambda x: add_bus(x, (HERE, HERE)), "needs a length"),
        (lambda x: add_bus(x, (HERE, THERE), start=port("PB9")), "no PB9"),
        (lambda x: add_bus(x, (HERE, THERE), end=port("R1")), "no R1 to wire to"),
        (lambda x: add_bus(x, (HERE, FAR)), "x of B2"),
        (lambda x: add_drop(x, on("R9", 0)), "no track R9"),
        (lambda x: add_drop(x, on("B1", 0)), "B1 is a bus, not a track"),
        (lambda x: add_drop(x, on("R1", 1.1)), "1.100 m is off R1"),
        (lambda x: add_drop(x, on("R1", -0.1)), "off R1"),
        (lambda x: add_drop(x, on("R1", nan)), "off R1"),
        (
            lambda x: add_drop(x, on("R1", 0), to=ToStrip(part=i("TS1"), way=5)),
            "no way 5",
        ),
        (lambda x: add_drop(x, on("R1", 0), to=ToStrip(part=i("B1"), way=1)), "no B1"),
        (lambda x: add_drop(x, on("R1", 0), to=tap("B1", 1.2)), "off bus B1"),
        (lambda x: add_drop(x, on("R1", 0), to=tap("B1", nan)), "off bus B1"),
        (lambda x: add_drop(x, on("R1", 0), wire="2.5mm2-c6"), "no wire called"),
        (lambda x: add_booster(x, FAR), "x of PB2"),
        (lambda x: add_inline(x, "fuse", HERE, feed=port("PB7")), "no PB7"),
        (lambda x: add_strip(x, HERE, ways=0), "ways of TS2"),
        (lambda x: add_strip(x, HERE, ways=201), "ways of TS2"),
        (lambda x: add_load(x, on("R1", 0), amps_a=inf), "amps"),
        (lambda x: add_load(x, on("R1", 0), amps_a=-1), "amps"),
        (lambda x: add_gap(x, on("R1", 2)), "off R1"),
        (lambda x: add_board(x, HERE, 0, 600), "width"),
        (lambda x: add_board(x, HERE, 600, nan), "depth"),
        (lambda x: add_joist(x, HERE, HERE), "needs a length"),
        (lambda x: set_backdrop(x, replace(PICTURE, opacity=2)), "opacity"),
    ],
)
def test_what_the_layout_cannot_take_is_refused_in_words(
    build: Callable[[Layout], Change], says: str
) -> None:
    before = dict(SMALL.parts)
    with pytest.raises(EditError, match=says) as caught:
        build(SMALL)
    assert str(caught.value).endswith(".")
    assert dict(SMALL.parts) == before


def test_a_layout_does_not_grow_beyond_what_a_file_may_hold() -> None:
    # 49 runs of 1000 m and 1 of 999 m: 49,999 m of the 50,000 m a file may hold.
    runs = [run(f"R{n}", straight(1e6)) for n in range(1, 50)]
    layout = layout_of(*runs, run("R50", straight(999_000)))
    layout.apply(add_run(layout, HERE, 0, (straight(1000),)))
    with pytest.raises(EditError, match="50,000 are the most"):
        add_run(layout, HERE, 0, (straight(100),))


def test_control_characters_in_a_name_become_spaces() -> None:
    layout = after(Layout(), add_booster(Layout(), HERE, name="one\ntwo\x00"))
    assert layout.parts[i("PB1")].name == "one two "  # type: ignore[union-attr]
