"""Crossing a connection over, and back."""

from collections.abc import Callable

import pytest

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.flip import (
    flip_bus_end,
    flip_connection,
    flip_drop,
    flip_feed,
    flip_phase,
    flip_strip,
)
from core.layout.layout import Layout
from core.layout.parts import Inline, Strip
from tests.core.layout.edits.hand import (
    after,
    booster,
    bus,
    drop,
    i,
    layout_of,
    on,
    run,
)

WHOLE = layout_of(
    run("R1"),
    booster(),
    bus("B1", (0, 0), (100, 0)),
    Strip(id=i("TS1"), x_mm=0, y_mm=0),
    Inline(id=i("CB1"), device="breaker", x_mm=0, y_mm=0),
    drop("D1", on("R1", 0.5), "right"),
)


@pytest.mark.parametrize(
    ("flip", "part", "field", "value"),
    [
        (lambda x: flip_drop(x, i("D1")), "D1", "a_rail", "left"),
        (lambda x: flip_strip(x, i("TS1")), "TS1", "flipped", True),
        (lambda x: flip_bus_end(x, i("B1"), "start"), "B1", "start_flipped", True),
        (lambda x: flip_bus_end(x, i("B1"), "end"), "B1", "end_flipped", True),
        (lambda x: flip_feed(x, i("CB1")), "CB1", "feed_flipped", True),
        (lambda x: flip_phase(x, i("PB1")), "PB1", "reversed_phase", True),
        (lambda x: flip_connection(x, i("D1"), "drop"), "D1", "a_rail", "left"),
        (lambda x: flip_connection(x, i("TS1"), "strip"), "TS1", "flipped", True),
        (lambda x: flip_connection(x, i("B1"), "start"), "B1", "start_flipped", True),
        (lambda x: flip_connection(x, i("B1"), "end"), "B1", "end_flipped", True),
        (lambda x: flip_connection(x, i("CB1"), "feed"), "CB1", "feed_flipped", True),
    ],
)
def test_a_flip_crosses_one_connection_and_a_second_flip_mends_it(
    flip: Callable[[Layout], Change], part: str, field: str, value: object
) -> None:
    once = after(WHOLE, flip(WHOLE))
    assert getattr(once.parts[i(part)], field) == value
    others = {k: v for k, v in once.parts.items() if k != part}
    assert others == {k: v for k, v in WHOLE.parts.items() if k != part}
    assert dict(after(once, flip(once)).parts) == dict(WHOLE.parts)


@pytest.mark.parametrize(
    ("flip", "says"),
    [
        (lambda: flip_drop(WHOLE, i("D9")), "no drop D9"),
        (lambda: flip_drop(WHOLE, i("B1")), "B1 is a bus, not a drop"),
        (lambda: flip_strip(WHOLE, i("TS9")), "no terminal strip TS9"),
        (lambda: flip_feed(WHOLE, i("PB1")), "PB1 is a booster, not a device"),
        (lambda: flip_phase(WHOLE, i("CB1")), "CB1 is a breaker, not a booster"),
        (lambda: flip_connection(WHOLE, i("D1"), "start"), "D1 is a drop, not a bus"),
        (lambda: flip_connection(WHOLE, i("D1"), "sideways"), "no connection"),
    ],
)
def test_what_has_no_such_connection_is_not_flipped(
    flip: Callable[[], Change], says: str
) -> None:
    with pytest.raises(EditError, match=says):
        flip()
