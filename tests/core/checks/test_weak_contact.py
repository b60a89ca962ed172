"""W307: change-over contacts and frog leads against what flows through them."""

from typing import Any

from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.weak_contact import RULE
from core.layout.layout import Layout
from core.layout.parts import Turnout
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.cross import crossing, fed_across
from tests.core.network.track import FrogKind, end, layout_of, on, run, turnout


def junction(frog: FrogKind = "switched", trip_s: float = 0.016, **of: Any) -> Layout:
    """Return one live turnout behind a breaker of 5 A, fed beside its toe.

    15 V over 0.05 Ω in the booster, 0.03 Ω in the breaker and 0.3 m of 0.5 mm² there
    and back, 2 · 0.3 · 0.039 = 0.0234 Ω, with two screws of 2 mΩ: some 140 A.
    """
    points = replace(turnout(1, on(1, 1.0), end(2, "start"), frog=frog), **of)
    return layout_with(
        layout_of(run(1, 3.0), run(2, 1.0), points),
        booster(rated_a=8.0, trip_a=8.0),
        device("CB1", rated_a=5.0, trip_a=5.0, trip_s=trip_s),
        lead(1, on(1, 1.0), to="CB1"),
        lead(2, on(2, 0.9), to="CB1"),
        lead(3, on(1, 2.0), to="CB1"),
    )


def test_fires_for_a_contact_of_1_a_behind_5_a_and_16_ms() -> None:
    found = find_one(RULE, junction(contact_a=1.0))
    assert found.severity is Severity.ADVICE
    assert found.parts == ("T1", "CB1")
    assert "5.00 A > 1.00 A" in found.figures


def test_fires_for_a_slow_device_by_its_let_through() -> None:
    # Some 140 A for 0.1 s: 2000 A²s, and √(2000 / 10) = 14 A > 5 A.
    found = find_one(RULE, junction(contact_a=5.0, trip_s=0.1, frog_wire="4mm2-c5"))
    assert found.figures.startswith("√(I²·t / 10 s)")


def test_fires_and_says_that_a_contact_was_not_looked_up() -> None:
    found = find_one(RULE, junction(trip_s=0.1, frog_wire="4mm2-c5"))
    assert "not looked up" in found.sentence


def test_fires_as_a_hazard_for_a_lead_too_thin() -> None:
    # 0.14 mm² is good for 1.5 A: hobby press guidance.
    found = find_one(RULE, junction(contact_a=10.0, frog_wire="0.14mm2-hookup"))
    assert found.severity is Severity.HAZARD
    assert found.figures.startswith("5.00 A > 1.50 A")


def test_fires_once_for_turnouts_alike() -> None:
    one = junction(contact_a=1.0)
    first = next(one.of_kind(Turnout))
    other = replace(
        turnout(2, on(1, 2.0), end(3, "start"), frog="switched"),
        contact_a=first.contact_a,
    )
    found = find_one(RULE, layout_with(one, run(3, 0.5), other))
    assert found.parts == ("T1", "T2", "CB1")


def test_quiet_where_the_contact_carries_the_trip() -> None:
    # By hand: at most 150² A² · 0.016 s = 360 A²s, √(360 / 10) = 6 A; and 0.5 mm²
    # bears (115 · 0.5)² = 3306 A²s (IEC 60364-5-54) and is good for 5 A.
    assert find(RULE, junction(contact_a=6.0)) == []


def test_quiet_about_dead_and_self_powered_frogs() -> None:
    assert find(RULE, junction("insulated", contact_a=1.0)) == []
    assert find(RULE, junction("self-powered", contact_a=1.0)) == []


def test_quiet_where_nothing_feeds_the_turnout() -> None:
    points = replace(
        turnout(1, on(1, 1.0), end(2, "start"), frog="switched"), contact_a=1.0
    )
    assert find(RULE, layout_of(run(1, 3.0), run(2, 1.0), points)) == []


def test_fires_for_the_contacts_of_a_diamond() -> None:
    made = replace(crossing("switched"), contact_a=1.0)
    found = find_one(RULE, fed_across(made))
    assert found.parts == ("X1", "PB1")
    assert find(RULE, fed_across(replace(made, frog="insulated"))) == []


def test_fires_as_a_hazard_for_the_thin_leads_of_a_diamond() -> None:
    made = replace(crossing("switched"), contact_a=50.0, frog_wire="0.14mm2-hookup")
    assert find_one(RULE, fed_across(made)).severity is Severity.HAZARD
