"""Three-way turnouts: where the third crossing is, and how it is told."""

from math import sqrt

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.checks.run import run_checks
from core.layout.branching import Branching
from core.layout.edits.turnout import Kind
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, ToPort, Turnout
from core.network.three_way import find_three_ways, partner_of
from tests.core.layout.edits.hand import arc, i, layout_of, near, on, run, straight
from tests.core.layout.edits.test_turnout import laid, wanted

LEAD_MM = sqrt(2.0 * 600.0 * 16.5)


def three_way(kind: Kind = "three-way", *frogs: str) -> Layout:
    layout = laid(layout_of(run("R1", straight(2000))), on("R1", 0.5), wanted(kind))
    for turnout, frog in zip(list(layout.of_kind(Turnout)), frogs, strict=False):
        wired = replace(turnout, frog=frog)
        layout = Layout({**layout.parts, turnout.id: wired})
    return layout


def test_two_equal_legs_cross_where_each_is_half_a_gauge_aside() -> None:
    # On the centre line: x²/2R = g/2, so x = √(R·g) = lead / √2 = 99.5 mm.
    (pair,) = find_three_ways(three_way())
    assert pair.apart_m == 0.0
    assert 1000 * pair.third_m == near(LEAD_MM / sqrt(2.0), rel=0.005)
    assert pair.place == on("R1", near(0.5 + pair.third_m))


def test_staggered_legs_cross_further_on() -> None:
    # x²/2R + (x − s)²/2R = g with s = lead/2: with lead² = 2Rg it is
    # 2u² − u − 3/4 = 0 for u = x / lead: u = (1 + √7) / 4 = 0.9114.
    (pair,) = find_three_ways(three_way("staggered"))
    assert 1000 * pair.apart_m == near(LEAD_MM / 2.0)
    assert 1000 * pair.third_m == near(LEAD_MM * (1 + sqrt(7)) / 4, rel=0.005)


def test_both_halves_know_of_each_other() -> None:
    layout = three_way()
    one, other = layout.of_kind(Turnout)
    assert partner_of(layout, one) == partner_of(layout, other)
    assert partner_of(laid(layout_of(run("R1")), on("R1", 0.5), wanted()), one) is None


def test_on_a_curve_too() -> None:
    layout = laid(
        layout_of(run("R1", arc(1500, 90))), on("R1", 0.5), wanted("three-way")
    )
    (pair,) = find_three_ways(layout)
    assert 1000 * pair.third_m == near(LEAD_MM / sqrt(2.0), rel=0.03)


def test_two_turnouts_one_after_the_other_are_none() -> None:
    layout = laid(layout_of(run("R1", straight(2000))), on("R1", 0.5), wanted())
    right = wanted(hand="right", shape=Branching.of_radius(600.0, 16.5))
    layout = laid(layout, on("R1", 0.5 + LEAD_MM / 1000.0 + 0.002), right)
    assert list(find_three_ways(layout)) == []


def live(*frogs: str) -> Layout:
    """A live three-way, its toe and all three ways beyond it fed alike."""
    layout = three_way("three-way", *frogs)
    booster = Booster(id=i("PB1"), x_mm=0, y_mm=-300)
    to = ToPort(part=booster.id)
    feet = [on("R1", 0.1), on("R1", 1.5), on("R2", 0.205), on("R3", 0.205)]
    drops = [Drop(id=i(f"D{n}"), on=at, to=to) for n, at in enumerate(feet, 1)]
    return Layout({**layout.parts, booster.id: booster, **{d.id: d for d in drops}})


@pytest.mark.parametrize("frogs", [("switched",) * 2, ("self-powered",) * 2])
def test_cut_out_no_setting_shorts_it(frogs: tuple[str, str]) -> None:
    # The two outer crossings get their pole from their own turnout, and all rails
    # beyond are gapped: whatever is thrown, nothing meets.
    layout = live(*frogs)
    found = {f.code for f in run_checks(study_layout(layout))}
    assert found & {"W103", "W115"} == set()
