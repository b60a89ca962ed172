"""Wire sizes from text, and the gauge law."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import UnitParseError
from core.units.wire_size import (
    area_of_awg,
    awg_diameter_mm,
    awg_of_area,
    nearest_awg,
    nearest_mm2,
    parse_wire_size,
    show_area,
)


@pytest.mark.parametrize(
    ("text", "label", "kind"),
    [
        ("14 AWG", "14 AWG", "awg"),
        ("14awg", "14 AWG", "awg"),
        ("AWG 14", "14 AWG", "awg"),
        ("#14", "14 AWG", "awg"),
        ("14 gauge", "14 AWG", "awg"),
        ("No. 14", "14 AWG", "awg"),
        ("2.5 mm²", "2.5 mm²", "mm2"),
        ("2.5mm2", "2.5 mm²", "mm2"),
        ("2,5 sq mm", "2.5 mm²", "mm2"),
        ("2.5", "2.5 mm²", "mm2"),
        ("4", "4 mm²", "mm2"),
        ("10 mm^2", "10 mm²", "mm2"),
        ("16/0.2", "16/0.2", "strands"),
        ("16 x 0,2 mm", "16/0.2", "strands"),
        ("16×0.2", "16/0.2", "strands"),
    ],
)
def test_sizes_are_read_as_they_are_sold(text: str, label: str, kind: str) -> None:
    size = parse_wire_size(text)
    assert (size.label, size.kind) == (label, kind)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        # needs.md N03 and 3.1: 16/0.2 shows 0.50, 22 AWG 0.326, 14 AWG 2.08 mm².
        ("16/0.2", "0.503 mm²"),
        ("22 AWG", "0.326 mm²"),
        ("14 AWG", "2.08 mm²"),
        ("12 AWG", "3.31 mm²"),
    ],
)
def test_every_size_has_an_area(text: str, shown: str) -> None:
    assert show_area(parse_wire_size(text).area_mm2) == shown


@pytest.mark.parametrize(
    ("text", "area_mm2"),
    [("7/0.2", 0.2199), ("16/0.2", 0.5027), ("24/0.2", 0.7540), ("32/0.2", 1.0053)],
)
def test_strands_add_up(text: str, area_mm2: float) -> None:
    # By hand: a strand of 0.2 mm has π/4 · 0.04 = 0.031416 mm².
    assert parse_wire_size(text).area_mm2 == pytest.approx(area_mm2, abs=5e-5)


def test_a_bare_gauge_is_refused_unless_the_system_is_known() -> None:
    with pytest.raises(UnitParseError) as caught:
        parse_wire_size("14")
    assert caught.value.hint == "Write it like 14 AWG or 14 mm²."
    assert parse_wire_size("14", "awg").kind == "awg"
    assert parse_wire_size("10", "mm2").label == "10 mm²"


@pytest.mark.parametrize(
    "text",
    [
        *("", "thick", "AWG", "14 AWG 2", "2.5 mm", "16/", "/0.2", "-1", "0", "0 mm2"),
        *("0/0.2", "16/0", "200 mm2", "41 AWG", "1,500 mm2", "16/1,500", "0/0"),
        "9" * 400,
    ],
)
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(UnitParseError):
        parse_wire_size(text)


def test_a_gauge_too_high_is_refused_in_either_writing() -> None:
    with pytest.raises(UnitParseError):
        parse_wire_size("50", "awg")


def test_36_gauge_is_five_mils() -> None:
    # ASTM B258, as an encyclopedia quotes it (reference-data.md check 1).
    assert awg_diameter_mm(36) / 25.4 == pytest.approx(0.005, abs=1e-12)


def test_0000_gauge_is_0_46_inch() -> None:
    # ASTM B258; hyperphysics table of gauges (reference-data.md check 2).
    assert awg_diameter_mm(-3) / 25.4 == pytest.approx(0.46, abs=5e-6)


def test_three_gauges_double_and_ten_gauges_are_tenfold() -> None:
    # By hand: 92^(2·3/39) = 2.005 and 92^(2·10/39) = 10.164.
    assert area_of_awg(11) / area_of_awg(14) == pytest.approx(2.005, abs=5e-4)
    assert area_of_awg(10) / area_of_awg(20) == pytest.approx(10.164, abs=5e-4)


@given(st.floats(-3.0, 40.0))
def test_the_gauge_of_an_area_is_the_gauge_it_came_from(gauge: float) -> None:
    assert awg_of_area(area_of_awg(gauge)) == pytest.approx(gauge, abs=1e-9)


@pytest.mark.parametrize(
    ("area_mm2", "label"), [(2.5, "14 AWG"), (4.0, "12 AWG"), (0.33, "22 AWG")]
)
def test_the_nearest_stocked_gauge_is_found(area_mm2: float, label: str) -> None:
    # By area, handbook table: 14 AWG is 2.08, 12 AWG 3.31, 22 AWG 0.326 mm².
    assert nearest_awg(area_mm2).label == label


@pytest.mark.parametrize(
    ("gauge", "label"), [(12, "4 mm²"), (14, "2.5 mm²"), (10, "6 mm²")]
)
def test_the_nearest_metric_size_is_found(gauge: int, label: str) -> None:
    # By area ratio, by hand: 4/3.31 = 1.21 < 3.31/2.5 = 1.32; 2.5/2.08 = 1.20
    # < 2.08/1.5 = 1.39; 6/5.26 = 1.14 < 5.26/4 = 1.32.
    assert nearest_mm2(area_of_awg(gauge)).label == label


@given(st.floats(0.02, 90.0))
def test_an_area_that_is_shown_reads_back(area_mm2: float) -> None:
    back = parse_wire_size(show_area(area_mm2)).area_mm2
    assert back == pytest.approx(area_mm2, rel=0.006)
    assert math.isfinite(back)
