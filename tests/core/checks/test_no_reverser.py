"""W114: a reversing section that nothing can turn."""

from core.checks.finding import Severity
from core.checks.rules import opposed_phase
from core.checks.rules.no_reverser import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import booster, device, layout_with, lead
from tests.core.checks.plank import find, find_one
from tests.core.network.track import balloon, gap, on, oval, wye


def loop(feed: str, *more: Part) -> Layout:
    """Return the balloon with gaps at 2.5 and 4.5 m, its section fed by a part."""
    return layout_with(
        balloon(gap(1, on(1, 2.5)), gap(2, on(1, 4.5))),
        booster(),
        lead(1, on(1, 1.0)),
        lead(2, on(1, 3.0), feed),
        *more,
    )


def test_fires_where_the_section_hangs_on_the_booster_itself() -> None:
    found = find_one(RULE, loop("PB1"))
    assert set(found.parts) == {"G1", "G2"}
    assert found.severity is Severity.FAULT
    assert found.place is not None
    assert 2.5 < found.place.position_m < 4.5


def test_fires_where_a_breaker_stands_before_it() -> None:
    assert len(find(RULE, loop("CB1", device("CB1")))) == 1


def test_fires_alone_opposite_phase_at_its_gaps_follows_from_it() -> None:
    assert find(opposed_phase.RULE, loop("PB1")) == []


def test_fires_as_advice_where_a_switch_may_turn_it() -> None:
    found = find_one(RULE, loop("SW1", device("SW1")))
    assert found.severity is Severity.ADVICE
    assert found.parts[0] == "SW1"


def test_quiet_with_a_reverser_before_it() -> None:
    assert find(RULE, loop("AR1", device("AR1"))) == []


def test_quiet_with_a_reverser_further_up() -> None:
    assert find(RULE, loop("OD1", device("AR1"), device("OD1", "AR1"))) == []


def test_quiet_where_the_reverser_turns_the_rest_of_the_way() -> None:
    turned = lead(1, on(1, 1.0), "AR1")
    assert find(RULE, loop("PB1", device("AR1"), turned)) == []


def test_quiet_about_a_wye_whose_tail_is_turned() -> None:
    layout = layout_with(
        wye(gap(1, on(2, 1.8)), gap(2, on(3, 1.3))),
        booster(),
        device("AR1"),
        lead(1, on(1, 2.0)),
        lead(2, on(2, 2.5), "AR1"),
    )
    assert find(RULE, layout) == []


def test_quiet_where_nothing_turns() -> None:
    assert find(RULE, layout_with(oval(gap(1, on(1, 1.0)), gap(2, on(1, 6.0))))) == []
