"""Gauge of each scale."""

import pytest

from core.errors import UnknownNameError
from core.materials.scales import GAUGES_MM, gauge_m
from core.materials.signal import SIGNAL_VOLTS


@pytest.mark.parametrize(
    ("scale", "millimetres"),
    # NEM 010, from memory.
    [("Z", 6.5), ("N", 9.0), ("TT", 12.0), ("HO", 16.5), ("OO", 16.5), ("O", 32.0)],
)
def test_gauges_are_the_standards(scale: str, millimetres: float) -> None:
    assert gauge_m(scale) * 1e3 == pytest.approx(millimetres, rel=1e-12)


def test_every_scale_with_a_gauge_has_track_volts() -> None:
    assert GAUGES_MM.keys() == SIGNAL_VOLTS.keys()


def test_an_unknown_scale_is_told() -> None:
    with pytest.raises(UnknownNameError, match="no scale called 'P'"):
        gauge_m("P")
