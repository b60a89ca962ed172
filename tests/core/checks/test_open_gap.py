"""W506: saw cuts that nothing holds open."""

from msgspec.structs import replace

from core.checks.finding import Severity
from core.checks.rules.open_gap import RULE
from core.layout.layout import Layout
from core.layout.parts import Part
from tests.core.checks.fed import layout_with
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.track import gap, layout_of, on, run


def cut(*gaps: Part, rail: str = "code83-ns", piece_m: float = 0.914) -> Layout:
    track = replace(run(1, 4.0), rail=rail, piece_length_m=piece_m)
    return layout_of(track, *gaps)


def test_fires_once_for_all_gaps_with_n49_indoors() -> None:
    # needs.md N49: nickel silver 0.914 m, 20 K: 0.31 mm.
    found = find_one(RULE, cut(gap(1, on(1, 1.0)), gap(2, on(1, 3.0), "left")))
    assert found.severity is Severity.ADVICE
    assert found.parts == ("G1", "G2")
    assert found.figures == "a piece of 0.914 m grows 0.31 mm over 20 K"


def test_fires_with_n49_in_the_garden() -> None:
    # needs.md N49: brass 1.5 m, 50 K outdoors: 1.4 mm.
    garden = layout_with(
        cut(gap(1, on(1, 1.0)), rail="code332-brass", piece_m=1.5), scale="G"
    )
    assert find_one(RULE, garden).figures == "a piece of 1.5 m grows 1.40 mm over 50 K"


def test_fires_with_a_fix_that_mends_it() -> None:
    layout = cut(gap(1, on(1, 1.0)))
    assert find(RULE, mended(layout, find_one(RULE, layout))) == []


def test_quiet_about_gaps_that_are_filled() -> None:
    assert find(RULE, cut(replace(gap(1, on(1, 1.0)), filled=True))) == []


def test_quiet_about_metal_in_a_gap_which_is_another_matter() -> None:
    assert find(RULE, cut(replace(gap(1, on(1, 1.0)), bridged=True))) == []


def test_quiet_without_gaps() -> None:
    assert find(RULE, cut()) == []
