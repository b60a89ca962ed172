"""Wiring parts to each other, and letting go."""

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.edits.attach import Which, connect
from core.layout.layout import Layout
from core.layout.parts import Attachment, Bus, Drop, Inline, Strip, ToStrip
from tests.core.layout.edits.hand import (
    after,
    booster,
    bus,
    corners,
    drop,
    i,
    layout_of,
    on,
    port,
    run,
    tap,
    the,
)


def loose() -> Layout:
    return layout_of(
        run("R1"),
        booster(x=0, y=0),
        Inline(id=i("CB1"), device="breaker", x_mm=500, y_mm=0),
        Strip(id=i("TS1"), x_mm=900, y_mm=0, ways=3),
        bus("B1", (10, 10), (800, 10)),
        drop("D1", on("R1", 0.2)),
    )


WAY_2 = ToStrip(part=i("TS1"), way=2)


def test_a_drop_is_wired_and_let_go() -> None:
    layout = after(loose(), connect(loose(), i("D1"), "to", WAY_2))
    assert the(layout, Drop, "D1").to == WAY_2
    layout.apply(connect(layout, i("D1"), "to", None))
    assert the(layout, Drop, "D1").to is None


def test_a_wired_bus_end_is_put_where_it_is_wired() -> None:
    layout = after(loose(), connect(loose(), i("B1"), "start", port("PB1")))
    layout.apply(connect(layout, i("B1"), "end", WAY_2))
    wired = the(layout, Bus, "B1")
    assert (wired.start, wired.end) == (port("PB1"), WAY_2)
    assert corners(wired) == [(0, 0), (900, 0)]  # way 2 of 3 is the middle


def test_a_bus_end_let_go_stays_where_it_is() -> None:
    layout = after(loose(), connect(loose(), i("B1"), "start", port("PB1")))
    layout.apply(connect(layout, i("B1"), "start", None))
    assert corners(the(layout, Bus, "B1")) == [(0, 0), (800, 10)]


def test_a_device_is_fed_without_a_wire() -> None:
    layout = after(loose(), connect(loose(), i("CB1"), "feed", tap("B1", 0.5)))
    assert the(layout, Inline, "CB1").feed == tap("B1", 0.5)


@pytest.mark.parametrize(
    ("part", "which", "to", "says"),
    [
        ("D9", "to", WAY_2, "no part D9"),
        ("D1", "start", WAY_2, "D1 has no connection called start"),
        ("B1", "to", WAY_2, "B1 has no connection called to"),
        ("PB1", "feed", WAY_2, "PB1 has no connection called feed"),
        ("R1", "to", None, "R1 has no connection called to"),
        ("B1", "start", tap("B1", 0.1), "to itself"),
        ("CB1", "feed", port("CB1"), "to itself"),
        ("D1", "to", port("TS1"), "no TS1 to wire to"),
        ("D1", "to", port("R1"), "no R1 to wire to"),
        ("D1", "to", tap("PB1", 0), "no PB1 to wire to"),
        ("D1", "to", tap("B1", 0.8), "0.800 m is off bus B1"),
        ("D1", "to", tap("B1", -0.1), "off bus B1"),
        ("D1", "to", ToStrip(part=i("TS1"), way=4), "3 ways; there is no way 4"),
        ("D1", "to", ToStrip(part=i("TS1"), way=0), "no way 0"),
        ("D1", "to", ToStrip(part=i("TS9"), way=1), "no TS9 to wire to"),
    ],
)
def test_what_cannot_be_wired_is_refused(
    part: str, which: Which, to: Attachment | None, says: str
) -> None:
    with pytest.raises(EditError, match=says):
        connect(loose(), i(part), which, to)


def test_a_tap_a_hair_beyond_the_end_is_taken() -> None:
    layout = after(loose(), connect(loose(), i("D1"), "to", tap("B1", 0.79 + 5e-7)))
    assert the(layout, Drop, "D1").to is not None


def test_a_change_says_what_it_does() -> None:
    assert connect(loose(), i("D1"), "to", WAY_2).label == "Wire D1 to TS1"
    wired = replace(the(loose(), Drop, "D1"), to=WAY_2)
    layout = Layout({**loose().parts, wired.id: wired})
    assert connect(layout, i("D1"), "to", None).label == "Let go of D1"
