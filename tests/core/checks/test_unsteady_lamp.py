"""W308: a lamp limiter that does not keep the rest of the booster's track on."""

from typing import Any

import msgspec
import pytest

from core.checks.finding import Severity
from core.checks.rules.unsteady_lamp import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Drop, Inline, ToPort
from tests.core.checks.plank import drop, find, find_one, plank

PORT = ToPort(part=PartId("LL1"))


def lit(booster: dict[str, Any], *more: Drop, **lamp: Any) -> Layout:
    """Return the plank behind a car lamp of 12.8 V and 2.1 A."""
    usual = Inline(
        id=PartId("LL1"),
        device="lamp",
        x_mm=0.0,
        y_mm=-100.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=None,
    )
    layout = plank(msgspec.structs.replace(usual, **lamp), *more)
    parts = dict(layout.parts)
    bus = layout.need(PartId("B1"), Bus)
    parts[bus.id] = msgspec.structs.replace(bus, start=PORT)
    source = layout.need(PartId("PB1"), Booster)
    parts[source.id] = msgspec.structs.replace(source, **booster)
    return Layout(parts)


def test_fires_where_the_booster_is_faster_than_the_lamp() -> None:
    # needs.md N33: the booster stays up only if slower than 250 ms. Cold the lamp has
    # 12.8/2.1/12 = 0.51 Ω, so some 20 A flow, far over the 3 A that trip it.
    found = find_one(RULE, lit({"trip_s": 0.24}))
    assert found.severity is Severity.FAULT
    assert found.parts == ("LL1", "PB1")
    assert "240 ms < 250 ms" in found.figures
    assert "250 ms or more" in found.remedy


def test_quiet_where_the_booster_waits_long_enough() -> None:
    assert find(RULE, lit({"trip_s": 0.25})) == []


def test_fires_where_the_lit_lamp_lets_through_what_trips() -> None:
    # Hot it lets 2.27 A through (see the tests of lamps), over a trip of 2.2 A. At the
    # same volts the current goes with the rating: 2.1 · 2.2 / 2.27 = 2.03, so 2.0 A.
    found = find_one(RULE, lit({"trip_s": 0.5, "trip_a": 2.2}))
    assert "2.2" in found.figures
    assert found.remedy == "Take a lamp of 2.00 A or less at 12.8 V."
    assert found.size == pytest.approx(2.27 / 2.2, rel=0.01)


def test_quiet_where_the_lit_lamp_lets_just_too_little_through() -> None:
    assert find(RULE, lit({"trip_s": 0.5, "trip_a": 2.4})) == []


def test_fires_where_its_track_is_fed_by_another_way_too() -> None:
    round_it = drop("D3", 1.7, 0.0, to=ToPort(part=PartId("PB1")))
    found = find_one(RULE, lit({"trip_s": 0.5}, round_it))
    assert "fed by another way" in found.sentence


def test_quiet_where_a_lamp_feeds_no_track() -> None:
    spare = Inline(
        id=PartId("LL1"),
        device="lamp",
        x_mm=0.0,
        y_mm=-100.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=None,
    )
    assert find(RULE, plank(spare)) == []
