"""Change-over contacts: what one must be good for."""

import pytest

from core.materials.contacts import CONTACTS, contact_needed, least_contact


@pytest.mark.parametrize(
    ("trip_a", "let_through", "amps"),
    [
        # 5 A for good; 30 A for 16 ms are 30² · 0.016 = 14.4 A²s, √(14.4/10) = 1.2 A.
        (5.0, 14.4, 5.0),
        # 40 A for 0.5 s are 800 A²s: √80 = 8.94 A.
        (5.0, 800.0, 8.944),
    ],
)
def test_a_contact_carries_the_trip_and_stands_the_short(
    trip_a: float, let_through: float, amps: float
) -> None:
    assert contact_needed(trip_a, let_through) == pytest.approx(amps, abs=0.001)


def test_the_smallest_that_is_enough_is_named() -> None:
    chosen = least_contact(4.0)
    assert chosen is not None
    assert chosen.id == "snap"
    assert least_contact(50.0) is None


def test_they_stand_from_small_to_large() -> None:
    amps = [contact.amps_a for contact in CONTACTS.values()]
    assert amps == sorted(amps)
