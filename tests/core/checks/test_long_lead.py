"""W502: a drop whose leads are long or thin enough to count."""

from core.checks.rules.long_lead import RULE
from tests.core.checks.plank import find, find_one, plank

# 1 % of 15 V is 0.15 V: at 1 A, 150 mΩ of both leads.


def test_fires_for_thin_leads_a_metre_long() -> None:
    # needs 9.4: 0.14 mm², 1 m pair = 260 mΩ: not.
    leads = {"D2": {"wire": "0.14mm2-hookup", "lead_m": 1.0}}
    found = find_one(RULE, plank(changes=leads))
    assert found.parts == ("D2",)
    assert "0.2" in found.figures


def test_quiet_for_short_ones() -> None:
    # needs 9.4: 22 AWG, 0.3 m pair = 32 mΩ: fine.
    leads = {"D2": {"wire": "awg22-solid", "lead_m": 0.3}}
    assert find(RULE, plank(changes=leads)) == []


def test_quiet_just_below_one_per_cent_and_fires_just_above() -> None:
    # IEC 60228 class 5, 0.5 mm²: 39.0 mΩ/m; 150 mΩ are 2 × 1.923 m.
    assert find(RULE, plank(changes={"D2": {"lead_m": 1.90}})) == []
    long = plank(changes={"D2": {"lead_m": 1.95}})
    assert find_one(RULE, long).parts == ("D2",)
