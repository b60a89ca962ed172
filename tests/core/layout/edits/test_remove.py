"""Removing parts: what falls with them, what lets go."""

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.edits.remove import remove_parts
from core.layout.ids import SETTINGS_ID, PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Bus,
    Drop,
    Gap,
    Inline,
    Load,
    Strip,
    ToStrip,
    TrackJoint,
    Turnout,
)
from tests.core.layout.edits.hand import (
    after,
    booster,
    bus,
    drop,
    end,
    i,
    layout_of,
    on,
    port,
    run,
    start,
    tap,
    the,
)


def whole() -> Layout:
    first = replace(bus("B1", (0, 0), (1000, 0)), start=port("PB1"), end=port("CB1"))
    second = replace(bus("B2", (500, 0), (500, 500)), start=tap("B1", 0.5))
    to_strip = ToStrip(part=i("TS1"), way=1)
    return layout_of(
        run("R1"),
        run("R2", x=1000),
        run("R3", x=500),
        TrackJoint(id=i("J1"), a=end("R1"), b=start("R2")),
        Turnout(id=i("T1"), on=on("R1", 0.5), leg=start("R3")),
        Gap(id=i("G1"), on=on("R1", 0.7)),
        Load(id=i("L1"), on=on("R1", 0.1)),
        booster(),
        Inline(id=i("CB1"), device="breaker", x_mm=1000, y_mm=0),
        Inline(id=i("CB2"), device="breaker", x_mm=0, y_mm=0, feed=tap("B1", 0.2)),
        first,
        second,
        Strip(id=i("TS1"), x_mm=0, y_mm=0),
        replace(drop("D1", on("R1", 0.2)), to=tap("B1", 0.3)),
        replace(drop("D2", on("R2", 0.2)), to=to_strip),
        drop("D3", on("R3", 0.2)),
    )


def removed(*names: str) -> Layout:
    layout = whole()
    return after(layout, remove_parts(layout, frozenset(i(n) for n in names)))


def gone(layout: Layout) -> set[PartId]:
    return set(whole().parts) - set(layout.parts)


def test_with_a_track_goes_what_is_on_it_and_joins_it() -> None:
    assert gone(removed("R1")) == {"R1", "J1", "T1", "G1", "L1", "D1"}


def test_with_a_leg_goes_its_turnout_but_not_the_through_track() -> None:
    assert gone(removed("R3")) == {"R3", "T1", "D3"}


def test_what_hung_on_a_bus_lets_go() -> None:
    layout = removed("B1")
    assert gone(layout) == {"B1"}
    assert the(layout, Drop, "D1").to is None
    assert the(layout, Bus, "B2").start is None
    assert the(layout, Inline, "CB2").feed is None
    assert the(layout, Drop, "D2").to == ToStrip(part=i("TS1"), way=1)


@pytest.mark.parametrize(("name", "left"), [("PB1", "end"), ("CB1", "start")])
def test_a_bus_lets_go_of_a_removed_device_at_that_end_alone(
    name: str, left: str
) -> None:
    found = the(removed(name), Bus, "B1")
    assert [found.start is not None, found.end is not None] == [
        left == "start",
        left == "end",
    ]
    assert found.points == the(whole(), Bus, "B1").points


def test_a_drop_lets_go_of_a_removed_strip() -> None:
    assert the(removed("TS1"), Drop, "D2").to is None


def test_parts_that_are_on_each_other_go_together() -> None:
    assert gone(removed("B1", "D1", "R1")) == {"B1", "R1", "J1", "T1", "G1", "L1", "D1"}


def test_the_settings_stay() -> None:
    layout = removed("settings", "G1")
    assert layout.settings.id == SETTINGS_ID
    assert gone(layout) == {"G1"}


@pytest.mark.parametrize(
    ("names", "label"),
    [(("R1",), "Delete R1"), (("G1",), "Delete G1"), (("G1", "L1"), "Delete 2 parts")],
)
def test_the_label_names_what_was_chosen(names: tuple[str, ...], label: str) -> None:
    assert remove_parts(whole(), frozenset(i(n) for n in names)).label == label


def test_parts_go_in_the_order_they_came_in() -> None:
    """So that a change is the same every time, whatever order a set has."""
    layout = whole()
    chosen = frozenset({i("D2"), i("R1"), i("G1"), i("PB1")})
    goes = [k for k, v in remove_parts(layout, chosen).after.items() if v is None]
    assert goes == ["R1", "J1", "T1", "G1", "L1", "PB1", "D1", "D2"]


def test_a_part_that_is_not_there_is_named() -> None:
    with pytest.raises(EditError, match="no part X9"):
        remove_parts(whole(), frozenset({i("X9"), i("R1")}))
