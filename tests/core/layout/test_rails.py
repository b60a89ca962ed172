"""A rail as the table says, or as the person measured it."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.edits.set import set_settings
from core.layout.layout import Layout
from core.layout.parts import MeasuredRail, Settings, TrackRun
from core.layout.rails import rail_of, rails_measured, with_measured
from core.layout.storage.text import dump_layout, parse_layout
from core.materials.rails import rail
from tests.core.analysis.layouts import small_line


def own(volts_v: float, name: str = "code100-ns") -> MeasuredRail:
    return MeasuredRail(rail=name, amps_a=2.0, length_m=0.5, volts_v=volts_v)


def with_own(plain: Layout, *measured: MeasuredRail) -> Layout:
    settings = replace(plain.settings, measured=measured)
    return Layout({**plain.parts, settings.id: settings})


def test_a_measured_rail_stands_in_for_the_table() -> None:
    # 2 A over 0.5 m leave 76 mV: U / I / l = 0.076 Ω/m; a meter is 5 % off at most.
    settings = Settings(measured=(own(0.076),))
    found = rail_of(settings, "code100-ns")
    assert found.ohm_per_m == pytest.approx(0.076)
    assert (found.low, found.high) == pytest.approx((0.0722, 0.0798))
    assert "2.00 A, 500 mm, 76 mV" in found.source
    assert found.label == rail("code100-ns").label


def test_other_rails_keep_their_table() -> None:
    settings = Settings(measured=(own(0.2),))
    assert rail_of(settings, "code83-ns") == rail("code83-ns")


def test_one_rail_has_one_measurement() -> None:
    settings = Settings(measured=(own(0.2), own(0.1, "code83-ns")))
    again = with_measured(settings, "code100-ns", own(0.3))
    assert [(m.rail, m.volts_v) for m in again] == [
        ("code83-ns", 0.1),
        ("code100-ns", 0.3),
    ]
    none = with_measured(settings, "code100-ns", None)
    assert [m.rail for m in none] == ["code83-ns"]


def test_it_moves_the_whole_layout_and_its_bands() -> None:
    # Twice the ohms in the rails, all else as it was: the worst loop grows, and to
    # less than twice; the band of the rails shrinks to 5 %.
    plain = small_line()
    name = next(plain.of_kind(TrackRun)).rail
    layout = plain.copy()
    twice = own(2.0 * rail(name).ohm_per_m * 2.0 * 0.5, name)
    layout.apply(set_settings(layout, measured=(twice,)))
    before, after = study_layout(plain), study_layout(layout)
    for old, new in zip(before.circuit.branches, after.circuit.branches, strict=True):
        is_rail = old.kind.name == "RAIL"
        assert new.ohm == pytest.approx((2.0 if is_rail else 1.0) * old.ohm)
        assert new.spread == (pytest.approx((0.95, 1.05)) if is_rail else old.spread)
    assert before.worst_loop is not None
    assert after.worst_loop is not None
    assert before.worst_loop.value < after.worst_loop.value
    assert after.worst_loop.value < 2.0 * before.worst_loop.value


def test_it_is_kept_in_the_file() -> None:
    text = dump_layout(with_own(small_line(), own(0.08)))
    again, report = parse_layout(text, "x")
    assert report.is_clean
    assert again.settings.measured == (own(0.08),)


def test_it_is_told_of_rails_that_are_laid_only() -> None:
    plain = small_line()
    name = next(plain.of_kind(TrackRun)).rail
    other = "code55-ns" if name != "code55-ns" else "code83-ns"
    (said,) = rails_measured(with_own(plain, own(0.08, name), own(0.3, other)))
    assert said.startswith(rail(name).label)
    assert "80 mΩ a metre of one rail." in said
