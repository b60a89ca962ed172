"""W213: drops so far apart that a train between them sags."""

import pytest
from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.wide_spacing import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import gap, layout_of, on, run


def line(rail: str, apart_m: float, *more: Part) -> Layout:
    track = replace(run(1, 6.0), rail=rail)
    drops = (lead(1, on(1, 1.0)), lead(2, on(1, 1.0 + apart_m)))
    return layout_with(layout_of(track), booster(), *drops, *more)


# needs.md N15: 0.2 V at 2 A: code 100 2.6 m, 83 1.85 m, 70 0.97 m, 55 0.67 m.
@pytest.mark.parametrize(
    ("rail", "inside_m", "beyond_m"),
    [
        ("code100-ns", 2.6, 2.7),
        ("code83-ns", 1.85, 1.90),
        ("code70-ns", 0.97, 1.00),
        ("code55-ns", 0.66, 0.68),
    ],
)
def test_fires_beyond_n15_and_quiet_within(
    rail: str, inside_m: float, beyond_m: float
) -> None:
    assert find(RULE, line(rail, inside_m)) == []
    assert find_one(RULE, line(rail, beyond_m)).severity is Severity.ADVICE


def test_fires_for_the_shelf_of_s2() -> None:
    # needs.md S2, F1: 0.67 m for 0.2 V at 2 A: planned drops 0.8 m flagged amber.
    # By hand: 2·0.300·0.8/2 = 0.24 V.
    found = find_one(RULE, line("code55-ns", 0.8))
    assert found.parts == ("R1",)
    assert found.figures.endswith("= 0.24 V > 0.2 V")
    assert found.place == on(1, 1.4)


def test_quiet_across_a_gap() -> None:
    assert find(RULE, line("code55-ns", 0.8, gap(1, on(1, 1.3)))) == []


def test_quiet_about_a_single_drop() -> None:
    assert find(RULE, line("code55-ns", 0.8, lead(2, on(1, 1.0)))) == []
