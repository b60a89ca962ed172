"""Rails against published measurements and the trade's rules."""

import pytest

from core.errors import UnknownNameError
from core.materials.copper import iacs_resistivity
from core.materials.rails import RAILS, Rail, measured_ohm_per_m, rail

by_id = pytest.mark.parametrize("each", list(RAILS.values()), ids=lambda r: r.id)


@pytest.mark.parametrize(
    ("rail_id", "milliohm"),
    [
        # Published measurements of one rail at 1 A: drop over 5 inch (57.1, 18.9),
        # null method at 60 Hz (76, 108, 206).
        ("code100-ns", 57.1),
        ("code100-ns", 76.0),
        ("code83-ns", 108.0),
        ("code70-ns", 206.0),
        ("code100-brass", 18.9),
        # A page's 1.2 V a metre at 2 A, out and back: 1.2 / 2 / 2 = 300.
        ("code55-ns", 300.0),
        # Tinplate, Kelvin: about 3.3 mΩ in a 250 mm piece.
        ("tinplate-3rail", 3.3 / 0.25),
    ],
)
def test_published_measurements_lie_in_the_band(rail_id: str, milliohm: float) -> None:
    found = rail(rail_id)
    assert found.low <= milliohm / 1e3 <= found.high


@pytest.mark.parametrize(
    ("rail_id", "volts_a_foot"),
    [
        # Common practice, no source: loss in a foot of track (two rails) at 1 A.
        ("code100-ns", 0.056),
        ("code70-ns", 0.15),
    ],
)
def test_trade_rules_lie_at_the_pessimistic_edge_of_the_band(
    rail_id: str, volts_a_foot: float
) -> None:
    found = rail(rail_id)
    one_rail = volts_a_foot / 2 / 0.3048
    assert found.ohm_per_m < one_rail <= found.high


@pytest.mark.parametrize(("rail_id", "feet"), [("code83-ns", 6), ("code70-ns", 3)])
def test_the_trades_drop_spacing_keeps_the_rail_loss_small(
    rail_id: str, feet: float
) -> None:
    # Common practice, no source: a drop every 6 ft (code 83) or 3 ft (code 70). The
    # worst place is half-way between two drops, where 1 A loses a quarter of the
    # loop of one spacing; beyond the last drop it is half of it. Under 2 % of 15 V.
    spacing_loop = 2 * rail(rail_id).ohm_per_m * feet * 0.3048
    assert spacing_loop / 4 * 1.0 < 0.02 * 15.0
    assert spacing_loop / 2 * 1.0 < 0.02 * 15.0


@pytest.mark.parametrize(
    ("rail_id", "area_mm2", "percent"),
    [
        # Sections by hand from the RP-15.1 outline with a web of 0.2 A (±12 %), and
        # the poorest and best alloys of nickel silver, 5.5 and 9 % IACS
        # (mill data sheets): the default lies between.
        ("code148-ns", 5.17, (5.5, 9.0)),
        ("code125-ns", 3.97, (5.5, 9.0)),
        ("code100-ns", 2.40, (5.5, 9.0)),
        ("code83-ns", 1.79, (5.5, 9.0)),
        ("code70-ns", 1.31, (5.5, 9.0)),
        ("code55-ns", 0.83, (5.5, 9.0)),
        ("code40-ns", 0.43, (5.5, 9.0)),
        ("code332-ns", 30.8, (5.5, 9.0)),
        ("code332-brass", 30.8, (27.0, 28.0)),
        ("code250-brass", 17.6, (27.0, 28.0)),
        # Stainless, 300 series: 0.69 to 0.72 µΩ·m, that is about 2.4 to 2.5 %.
        ("code332-stainless", 30.8, (2.4, 2.5)),
        ("code250-stainless", 17.6, (2.4, 2.5)),
    ],
)
def test_defaults_follow_from_section_and_alloy(
    rail_id: str, area_mm2: float, percent: tuple[float, float]
) -> None:
    poorest, best = (iacs_resistivity(p) / (area_mm2 * 1e-6) for p in percent)
    assert best * 0.88 <= rail(rail_id).ohm_per_m <= poorest * 1.12


@pytest.mark.parametrize(
    ("inches", "millivolts", "per_foot", "per_metre"),
    [
        # 1.45 mΩ an inch of code 100, measured at 1 A over 5 inch (check 38).
        (5.0, 7.25, 17.40, 57.09),
        # 108 mΩ/m of code 83: 108 · 0.3048 = 32.92 mΩ a foot (check 39).
        (1000 / 25.4, 108.0, 32.92, 108.0),
    ],
)
def test_a_rail_can_be_measured(
    inches: float, millivolts: float, per_foot: float, per_metre: float
) -> None:
    ohm_per_m = measured_ohm_per_m(1.0, inches * 0.0254, millivolts / 1e3)
    assert ohm_per_m * 1e3 == pytest.approx(per_metre, abs=0.01)
    assert ohm_per_m * 304.8 == pytest.approx(per_foot, abs=0.01)


def test_a_piece_of_code_83_has_the_acceptance_figure() -> None:
    # needs.md N01: a 0.914 m piece, 0.0987 Ω a rail.
    assert rail("code83-ns").ohm_per_m * 0.914 == pytest.approx(0.0987, abs=5e-5)


@by_id
def test_every_rail_says_where_its_figures_come_from(each: Rail) -> None:
    assert len(each.source) > 10
    assert 0.0 < each.low <= each.ohm_per_m <= each.high
    assert each.area_mm2 > 0.0


def test_lower_rail_resists_more() -> None:
    silver = [r for r in RAILS.values() if r.alloy == "nickel silver"]
    by_height = sorted(silver, key=lambda r: r.code)
    ohms = [r.ohm_per_m for r in by_height]
    assert ohms == sorted(ohms, reverse=True)


def test_heads_are_about_as_wide_as_the_practice_says() -> None:
    # NMRA RP-15.1 table 1: head 0.045 in of code 100, 0.040 of 83, 0.066 of 148.
    for rail_id, inches in (("code100-ns", 0.045), ("code83-ns", 0.040)):
        assert rail(rail_id).head / 0.0254 == pytest.approx(inches, rel=0.1)
    assert rail("code148-ns").head / 0.0254 == pytest.approx(0.066, rel=0.1)


def test_an_unknown_rail_gets_the_nearest_name() -> None:
    with pytest.raises(UnknownNameError) as caught:
        rail("code10-ns")
    assert caught.value.nearest == "code100-ns"
