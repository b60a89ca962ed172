"""The weakest short of a stretch of track, against a comb by a second method."""

import numpy as np
import pytest
from msgspec.structs import replace

from core.analysis.along import every_track_values
from core.analysis.examine import study_layout
from core.analysis.study import Study
from core.analysis.weak import weakest_shorts
from core.checks.finding import Severity
from core.checks.rules.weak_short import RULE
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Point, Settings, ToBus, ToPort
from core.sheet.schedules.proving.coins import coin_rows
from tests.core.analysis.layouts import booster, drop, layout_of, straight

ONE_S = 58e-6
"""Half-bit of a one: NMRA S-9.1 table 1. [s]"""

PLACES = np.linspace(0.0, 12.0, 241)


def bus(name: str, wire: str, lay: str, length_m: float, spacing_mm: float) -> Bus:
    end = Point(x_mm=length_m * 1000.0, y_mm=-500.0)
    return Bus(
        id=PartId(name),
        points=(Point(x_mm=0.0, y_mm=-500.0), end),
        wire=wire,
        lay=lay,  # type: ignore[arg-type]
        spacing_mm=spacing_mm,
        slack=0.0,
        start=ToPort(part=PartId("PB1")),
    )


def two_ways(spacing_mm: float = 100.0, *, thin_m: float = 8.0) -> Layout:
    """Return 12 m of track between a thin twisted feed and a thick loose one.

    Resistance is highest inside the track, inductance at the end of the loose bus.
    """
    return layout_of(
        Settings(),
        straight(12.0, piece_m=100.0),
        replace(booster(), inner_ohm=0.01),
        bus("B1", "0.5mm2-c5", "twisted", thin_m, 300.0),
        bus("B2", "4mm2-c5", "apart", 40.0, spacing_mm),
        drop(1, 0.0, bus_m=thin_m),
        replace(drop(2, 12.0), to=ToBus(part=PartId("B2"), position_m=40.0)),
    )


def by_hand(study: Study) -> tuple[float, float]:
    """Return the least mean current of a short, and where: A, m.

    Two feeds side by side, each with its end of the track: Z1 + t·z beside
    Z2 + (1 − t)·z, z the track's, behind the booster. The square wave is added up to
    its 799th harmonic, on ones: their half-bits are the shorter, so the current is
    the smaller.
    """
    branches = study.circuit.branches

    def pair(*parts: str) -> tuple[float, float]:
        own = [b for b in branches if b.part in parts]
        return sum(b.ohm for b in own), sum(b.henry for b in own)

    n = np.arange(1, 800, 2)
    omega = np.pi * n / ONE_S
    z1, z2, z = (
        ohm + 1j * omega * henry
        for ohm, henry in (pair("B1", "D1"), pair("B2", "D2"), pair("R1"))
    )
    times = ONE_S * (np.arange(400) + 0.5) / 400
    turns = np.exp(1j * np.outer(omega, times))
    found = []
    for at in PLACES:
        t = at / 12.0
        one, other = z1 + t * z, z2 + (1.0 - t) * z
        impedance = 0.01 + one * other / (one + other)
        current = ((4.0 * 15.0 / (np.pi * n) / impedance) @ turns).imag
        found.append(float(np.abs(current).mean()))
    least = int(np.argmin(found))
    return found[least], float(PLACES[least])


@pytest.mark.parametrize(
    ("spacing_mm", "thin_m"),
    [(100.0, 8.0), (300.0, 8.0), (30.0, 8.0), (15.0, 40.0), (8.0, 32.0)],
)
def test_the_weakest_place_is_where_the_true_current_is_least(
    spacing_mm: float, thin_m: float
) -> None:
    study = study_layout(two_ways(spacing_mm, thin_m=thin_m))
    amps, at = by_hand(study)
    weakest = study.weakest_short
    assert weakest is not None
    assert weakest.value * 5.0 == pytest.approx(amps, rel=2e-3)
    assert weakest.place.position_m == pytest.approx(at, abs=0.3)


def test_some_of_these_places_lie_inside_the_track() -> None:
    # Else the test above would be one of ends alone.
    inside = by_hand(study_layout(two_ways(8.0, thin_m=32.0)))[1]
    assert 1.0 < inside < 11.0


def test_map_headline_list_finding_and_coins_tell_the_same() -> None:
    study = study_layout(two_ways())
    amps, at = by_hand(study)
    margin = amps / 5.0
    mapped = min(
        float(np.nanmin(v.values)) for v in every_track_values(study, "short").values()
    )
    weak, coins = weakest_shorts(study, 1)[0], coin_rows(study)
    (finding,) = RULE.check(study)
    assert (mapped, weak.margin) == pytest.approx((margin, margin), rel=2e-3)
    # A coin lies 30 mm from the end of a rail.
    assert min(row.margin for row in coins) == pytest.approx(margin, rel=1e-2)
    # 1.32: under 1.5, so a fault; where resistance is highest it would be 1.98.
    assert finding.severity is Severity.FAULT
    assert finding.place == weak.place
    assert weak.place.position_m == pytest.approx(at)
