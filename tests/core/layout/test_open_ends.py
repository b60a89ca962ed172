"""Which ends of a bus hang free: those that nothing carries on."""

from msgspec.structs import replace

from core.layout.layout import Layout
from core.layout.parts import Bus, Inline, Part
from core.layout.queries import open_ends
from tests.core.layout.edits.hand import booster, bus, drop, i, layout_of, on, run, tap
from tests.core.layout.edits.hand import port as out_of


def ends(*more: Part, **fields: object) -> tuple[str, ...]:
    stem = replace(bus("B1", (0, 0), (2000, 0)), **fields)
    layout: Layout = layout_of(run("R1"), booster("PB1", 0, 0), stem, *more)
    return open_ends(layout)[i("B1")]


def other(at_m: float) -> Bus:
    return replace(bus("B2", (2000, 0), (2000, 900)), start=tap("B1", at_m))


def test_a_bus_that_hangs_on_nothing_has_two() -> None:
    assert ends() == ("start", "end")


def test_the_end_on_a_booster_is_none() -> None:
    assert ends(start=out_of("PB1")) == ("end",)


def test_a_bus_that_goes_on_from_the_end_carries_it_on() -> None:
    assert ends(other(2.0), start=out_of("PB1")) == ()
    assert ends(other(1.96), start=out_of("PB1")) == ()
    assert ends(other(1.94), start=out_of("PB1")) == ("end",)


def test_a_device_fed_from_the_end_carries_it_on() -> None:
    device = Inline(
        id=i("CB1"), device="breaker", x_mm=2000, y_mm=0, feed=tap("B1", 2.0)
    )
    assert ends(device, start=out_of("PB1")) == ()


def test_a_drop_at_the_end_leaves_it_free() -> None:
    last = replace(drop("D1", on("R1", 0.5)), to=tap("B1", 2.0))
    assert ends(last, start=out_of("PB1")) == ("end",)
