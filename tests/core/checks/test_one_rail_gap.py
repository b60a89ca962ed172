"""W125: a gap in one rail where two feeds meet."""

import pytest

from core.checks.rules import joined_boosters
from core.checks.rules.one_rail_gap import RULE
from core.layout.layout import Layout
from core.layout.parts import Part, Side
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import end, gap, joint, layout_of, on, run, turnout


def line(first: str, second: str, *more: Part) -> Layout:
    """Return 4 m of track fed at 1 m and 3 m by two parts."""
    return layout_with(
        layout_of(run(1, 4.0)),
        booster(1),
        booster(2),
        device("CB1"),
        device("CB2"),
        lead(1, on(1, 1.0), first),
        lead(2, on(1, 3.0), second),
        *more,
    )


@pytest.mark.parametrize("rails", ["left", "right"])
@pytest.mark.parametrize("feeds", [("PB1", "PB2"), ("CB1", "CB2"), ("PB1", "CB2")])
def test_fires_between_two_districts(rails: Side, feeds: tuple[str, str]) -> None:
    found = find_one(RULE, line(*feeds, gap(1, on(1, 2.0), rails)))
    assert found.parts == ("G1", *feeds)
    assert f"only the {rails} rail at R1, 2.00 m" in found.sentence


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = line("PB1", "PB2", gap(1, on(1, 2.0), "left"))
    better = mended(layout, find_one(RULE, layout))
    assert find(RULE, better) == []
    assert find(joined_boosters.RULE, better) == []


@pytest.mark.parametrize("rails", ["left", "right"])
def test_fires_at_an_insulated_joint(rails: Side) -> None:
    layout = layout_with(
        layout_of(
            run(1, 2.0),
            run(2, 2.0),
            joint(1, end(1, "end"), end(2, "start"), insulated=rails),
        ),
        booster(1),
        booster(2),
        lead(1, on(1, 1.0)),
        lead(2, on(2, 1.0), "PB2"),
    )
    found = find_one(RULE, layout)
    assert found.parts == ("J1", "PB1", "PB2")
    assert find(RULE, mended(layout, found)) == []


def test_fires_at_the_leg_of_a_turnout() -> None:
    leg = turnout(1, on(1, 1.0), end(2, "start"))
    layout = layout_with(
        layout_of(run(1, 2.0), run(2, 2.0)),
        booster(1),
        booster(2),
        lead(1, on(1, 0.5)),
        lead(2, on(2, 1.0), "PB2"),
        type(leg)(
            id=leg.id, on=leg.on, leg=leg.leg, hand=leg.hand, leg_insulated="right"
        ),
    )
    found = find_one(RULE, layout)
    assert found.parts == ("T1", "PB1", "PB2")
    assert find(RULE, mended(layout, found)) == []


def test_quiet_between_detection_blocks_behind_one_breaker() -> None:
    blocks = (
        device("OD1", "CB1"),
        device("OD2", "CB1"),
        gap(1, on(1, 2.0), "left"),
    )
    assert find(RULE, line("OD1", "OD2", *blocks)) == []


def test_quiet_within_one_district() -> None:
    assert find(RULE, line("CB1", "CB1", gap(1, on(1, 2.0), "left"))) == []


@pytest.mark.parametrize(("apart_m", "count"), [(0.0, 0), (0.05, 0), (0.06, 2)])
def test_quiet_about_cuts_in_both_rails_up_to_50_mm_apart(
    apart_m: float, count: int
) -> None:
    cuts = (gap(1, on(1, 2.0), "left"), gap(2, on(1, 2.0 + apart_m), "right"))
    assert len(find(RULE, line("PB1", "PB2", *cuts))) == count


def test_quiet_with_both_rails_cut() -> None:
    assert find(RULE, line("PB1", "PB2", gap(1, on(1, 2.0)))) == []
