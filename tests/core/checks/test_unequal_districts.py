"""W122: two districts of unequal volts meet at a gap."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.unequal_districts import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import gap, layout_of, on, run

# Loop of one side by hand: booster 0.0500 Ω and lead 0.1 m of 0.5 mm², out and back
# 2·(0.1·39.0 + 2.0 screw + 0.5 soldered) = 12.8 mΩ, and x of code 100 at 152 mΩ/m.
# With both drops x = 0.9026 m from the gap each side has 0.0628 + 0.1372 = 0.2000 Ω,
# the two together 0.40 Ω as in needs.md N35.
NEAR_M = 0.9026


def districts(volts: float, *more: Part) -> Layout:
    """Return PB1 of 15 V and PB2 of other volts, with a double gap at 2 m."""
    return layout_with(
        layout_of(run(1, 4.0)),
        booster(1),
        booster(2, volts_v=volts),
        gap(1, on(1, 2.0)),
        lead(1, on(1, 2.0 - NEAR_M), lead_m=0.1),
        lead(2, on(1, 2.0 + NEAR_M), "PB2", lead_m=0.1),
        *more,
    )


def test_fires_for_n35() -> None:
    # needs.md N35: 15.0 against 14.2 V over 0.40 Ω: 2.0 A through the wheels.
    found = find_one(RULE, districts(14.2))
    assert found.figures.startswith("0.80 V / 0.40 Ω = 2.00 A")
    assert found.parts == ("G1", "PB1", "PB2")
    assert found.place == on(1, 2.0)


@pytest.mark.parametrize(
    ("volts", "severity"),
    [
        (14.49, Severity.FAULT),
        (14.50, Severity.ADVICE),
        (15.21, Severity.ADVICE),
    ],
)
def test_fires_as_advice_up_to_half_a_volt(volts: float, severity: Severity) -> None:
    assert find_one(RULE, districts(volts)).severity is severity


@pytest.mark.parametrize("volts", [14.8, 15.0, 15.2])
def test_quiet_within_a_fifth_of_a_volt(volts: float) -> None:
    # needs.md N35: match within 0.2 V.
    assert find(RULE, districts(volts)) == []


def test_fires_once_for_two_gaps_between_the_same_boosters() -> None:
    second = (
        run(2, 4.0),
        gap(2, on(2, 2.0)),
        lead(3, on(2, 1.0)),
        lead(4, on(2, 3.0), "PB2"),
    )
    found = find_one(RULE, districts(14.2, *second))
    # Leads of 0.3 m and a metre of rail to either side make G2's loop the larger.
    assert found.parts == ("G1", "PB1", "PB2", "G2")
    assert "So it is at G2." in found.sentence


def test_quiet_about_a_detector_on_one_side() -> None:
    # 1.4 V of diodes before the second block of the same booster: through diodes
    # nothing evens itself out.
    detected = (device("OD1", drop_v=1.4), lead(2, on(1, 3.0), "OD1"))
    assert find(RULE, districts(15.0, *detected)) == []


def test_quiet_about_volts_that_diodes_hold_back() -> None:
    # 15.0 against 14.0 V, but 1.4 V of diodes between them.
    detected = (device("OD1", "PB2", drop_v=1.4), lead(2, on(1, 3.0), "OD1"))
    assert find(RULE, districts(14.0, *detected)) == []


def test_quiet_about_boosters_of_opposite_phase() -> None:
    assert find(RULE, districts(14.2, lead(2, on(1, 3.0), "PB2", "right"))) == []
