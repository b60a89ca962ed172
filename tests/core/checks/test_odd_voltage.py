"""W402: a track voltage that does not suit the scale."""

import pytest

from core.checks.finding import Severity
from core.checks.rules.odd_voltage import RULE
from core.layout.layout import Layout
from core.layout.parts import Settings
from tests.core.checks.plank import find, find_one, plank

# NMRA S-9.1 (2020), table 3: 12 V nominal for N, 15 V for HO, 22 V at most and
# 8.5 V at least from a station.


def at(volts: float, settings: Settings) -> Layout:
    return plank(settings, changes={"PB1": {"volts_v": volts}})


N, HO = Settings(scale="N"), Settings(scale="HO")


def test_fires_as_advice_for_sixteen_volts_on_n() -> None:
    # needs N58.
    found = find_one(RULE, at(16.0, N))
    assert found.severity is Severity.ADVICE
    assert "12.00 V" in found.sentence


@pytest.mark.parametrize("volts", [22.1, 8.4])
def test_fires_as_a_fault_outside_what_a_station_may_give(volts: float) -> None:
    assert find_one(RULE, at(volts, HO)).severity is Severity.FAULT


@pytest.mark.parametrize("volts", [12.1, 15.0, 17.9])
def test_quiet_near_the_nominal_volts(volts: float) -> None:
    # A fifth either side of 15 V: 12 to 18 V.
    assert find(RULE, at(volts, HO)) == []


@pytest.mark.parametrize("volts", [11.9, 18.1])
def test_fires_a_fifth_away_from_nominal(volts: float) -> None:
    assert find_one(RULE, at(volts, HO)).severity is Severity.ADVICE
