"""What helps a weak short: the same wherever it is told, and never to no effect."""

from dataclasses import replace as changed

import pytest
from msgspec.structs import replace

from app.panels.probe_words import limit_in_words
from core.analysis.examine import study_layout
from core.analysis.probe import find_point, probe_place
from core.analysis.remedy import find_remedy
from core.analysis.study import Study
from core.analysis.weak import weakest_shorts
from core.checks.rules.weak_short import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, OnRun
from tests.core.analysis.layouts import layout_of, small_line
from tests.core.analysis.test_tripping import two_breakers


def far_end(lay: str, trip_a: float = 5.0) -> Layout:
    """Return needs.md S6: 40 m of 14 AWG, 15 V, a drop at every metre."""
    layout = small_line(length_m=40.0, drops=tuple(0.5 + n for n in range(40)))
    parts = dict(layout.parts)
    parts[PartId("B1")] = replace(
        layout.need(PartId("B1"), Bus),
        wire="awg14-solid",
        lay=lay,
        spacing_mm=100.0,
        slack=0.0,
    )
    supply = layout.need(PartId("PB1"), Booster)
    parts[PartId("PB1")] = replace(supply, trip_a=trip_a, rated_a=trip_a)
    return layout_of(*parts.values())


def told(study: Study) -> str:
    """Return the remedy of W301 at its place, after a look that the card agrees."""
    (finding,) = RULE.check(study)
    assert finding.place is not None
    card = probe_place(study, finding.place)
    weak = weakest_shorts(study, 1)[0]
    assert finding.remedy.startswith(f"{card.helps}. Or ")
    assert find_remedy(study, weak.point).words == card.helps
    assert card.helps in limit_in_words(changed(card, short_verdict="poor"))
    return finding.remedy


@pytest.mark.parametrize("trip_a", [5.0, 8.0, 8.5, 10.0])
def test_a_loose_bus_is_to_be_twisted_whatever_the_trip(trip_a: float) -> None:
    # needs.md 3.6: 17.8 A by resistance, 3.7 A rms in truth; twisted 9.0: inductance
    # holds it down at any trip, also where 17.8 A would be less than twice of it.
    remedy = told(study_layout(far_end("apart", trip_a)))
    assert remedy.startswith(
        "Inductance limits it: twist B1. Thicker wire would hardly"
    )


@pytest.mark.parametrize("lay", ["twisted", "side by side"])
def test_what_touches_is_not_to_be_twisted(lay: str) -> None:
    # L = 0.4·acosh(D/d) + 0.1 µH/m (reference data, line theory): it depends on the
    # spacing alone, and conductors side by side touch as twisted ones do.
    remedy = told(study_layout(far_end(lay, 8.0)))
    assert remedy.startswith("Inductance limits it: ")
    assert "twist" not in remedy


def test_a_bus_that_is_hardly_on_the_way_is_not_blamed() -> None:
    # B2 is as loose, but feeds another track alone.
    layout = far_end("apart")
    spare = replace(layout.need(PartId("B1"), Bus), id=PartId("B2"))
    study = study_layout(layout_of(*layout.parts.values(), spare))
    assert "B2" not in told(study)


def test_a_thin_short_way_is_held_by_resistance() -> None:
    # 4 m of 0.14 mm² from the booster: 2 × 4 m × 0.14 Ω/m is some 1 Ω, and under 4 µH.
    layout = small_line(length_m=4.0, drops=(3.5,))
    bus = replace(layout.need(PartId("B1"), Bus), wire="0.14mm2-hookup")
    parts = {**layout.parts, PartId("B1"): bus}
    remedy = told(study_layout(layout_of(*parts.values())))
    assert remedy.startswith("Resistance limits it: thicker or shorter bus")


def test_a_weak_supply_is_named() -> None:
    layout = small_line(drops=(0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5))
    supply = replace(layout.need(PartId("PB1"), Booster), inner_ohm=2.5)
    study = study_layout(layout_of(*{**layout.parts, PartId("PB1"): supply}.values()))
    assert told(study).startswith("The supply itself gives no more. Or ")


def test_where_devices_share_a_short_they_are_to_be_parted() -> None:
    study = study_layout(two_breakers())
    point = find_point(study, OnRun(run=PartId("R1"), position_m=2.0))
    remedy = find_remedy(study, point)
    assert remedy.sharers == ("CB1", "CB2")
    assert "cut both rails" in remedy.words


def test_twisting_is_worth_it_where_it_is_proposed() -> None:
    # The same told the other way: with B1 twisted the short is over twice as strong.
    loose, tight = (study_layout(far_end(lay)) for lay in ("apart", "twisted"))
    margins = [weakest_shorts(study, 1)[0].margin for study in (loose, tight)]
    assert margins[1] > 2.0 * margins[0]
