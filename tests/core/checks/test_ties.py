"""Findings of other rules that a diamond has a part in name it and say what to do."""

from msgspec.structs import replace

from core.checks.finding import Finding
from core.checks.rule import Rule
from core.checks.rules import joined_boosters, joined_devices, joiner_only, unfed
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Inline, Part, ToPort
from tests.core.checks.plank import find, find_one, mended
from tests.core.network.cross import crossing, fed_across


def two_feeds(*feeds: Part, frog: str = "switched") -> Layout:
    """Return two tracks across each other, R1 on the first feed, R2 on the second."""
    layout = fed_across(crossing(frog), *feeds)  # type: ignore[arg-type]
    parts = dict(layout.parts)
    for number, (first, second) in enumerate((("D1", "D2"), ("D3", "D4"))):
        for name in (first, second):
            drop = layout.need(PartId(name), Drop)
            parts[drop.id] = replace(drop, to=ToPort(part=feeds[number].id))
    return Layout(parts)


def breakers(frog: str = "switched") -> Layout:
    one, other = (
        Inline(
            id=PartId(f"CB{i}"),
            device="breaker",
            x_mm=100.0 * i,
            y_mm=-200.0,
            feed=ToPort(part=PartId("PB1")),
        )
        for i in (1, 2)
    )
    return two_feeds(one, other, frog=frog)


def boosters(frog: str = "switched") -> Layout:
    one, other = (
        Booster(id=PartId(f"PB{i}"), x_mm=100.0 * i, y_mm=-200.0) for i in (1, 2)
    )
    return two_feeds(one, other, frog=frog)


def told_and_mended(rule: Rule, layout: Layout) -> Finding:
    found = find_one(rule, layout)
    assert "X1" in found.parts
    assert "Cut the two obtuse crossings of X1" in found.remedy
    assert find(rule, mended(layout, found)) == []
    return found


def test_two_breakers_that_meet_in_joined_obtuse_crossings_are_parted_there() -> None:
    found = told_and_mended(joined_devices.RULE, breakers())
    assert found.parts[:2] == ("CB1", "CB2")


def test_so_are_two_boosters() -> None:
    found = told_and_mended(joined_boosters.RULE, boosters())
    assert "Outputs of two supplies are never to be joined." in found.remedy


def test_an_insulated_diamond_joins_no_districts() -> None:
    assert find(joined_devices.RULE, breakers("insulated")) == []
    assert find(joined_boosters.RULE, boosters("insulated")) == []


def one_sided() -> Layout:
    """Return two tracks that are fed on one side of their diamond only."""
    parts = fed_across(crossing("switched")).parts
    return Layout({i: p for i, p in parts.items() if i not in ("D2", "D4")})


def test_rails_that_a_diamond_cuts_off_are_told_with_it() -> None:
    # By hand: HO at 15°, cut 62.7 mm beyond the middle: 0.937 m of each track are
    # left behind with one rail, which only a drop on that side could feed.
    for found in find(unfed.RULE, one_sided()):
        assert "X1 cuts it there" in found.sentence
        assert found.remedy == "Give it a drop on that side of X1 too."
        assert found.sentence.startswith("937 mm")
    assert len(find(unfed.RULE, one_sided())) == 2


def test_metal_of_a_diamond_is_no_joiner() -> None:
    # The short pieces between the cuts hang on the obtuse crossings, one metal.
    assert find(joiner_only.RULE, one_sided()) == []
