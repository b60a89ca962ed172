"""The track signal, against NMRA S-9.1 (2020) and the NEM sheets."""

import pytest

from core.errors import UnknownNameError
from core.materials import signal as s
from core.materials.scales import GAUGES_MM
from core.units.si import Second


def test_a_one_lasts_116_microseconds() -> None:
    # S-9.1 table 1: halves of 58 µs; by hand 1/116 µs = 8620.7 Hz (check 43).
    assert pytest.approx(58e-6, abs=1e-12) == s.HALF_BIT_ONE_S
    assert s.bit_frequency(s.HALF_BIT_ONE_S) == pytest.approx(8620.7, abs=0.1)
    assert s.bit_frequency(s.HALF_BIT_ZERO_S) == pytest.approx(5000.0, abs=0.1)


@pytest.mark.parametrize(
    ("microseconds", "limits", "passes"),
    [
        # S-9.1 table 1, a "one" as sent and as a decoder must take it (44 and 45).
        (54.9, s.ONE_SENT_S, False),
        (55.0, s.ONE_SENT_S, True),
        (61.0, s.ONE_SENT_S, True),
        (61.1, s.ONE_SENT_S, False),
        (51.9, s.ONE_RECEIVED_S, False),
        (52.0, s.ONE_RECEIVED_S, True),
        (64.0, s.ONE_RECEIVED_S, True),
        (64.1, s.ONE_RECEIVED_S, False),
        # The same for a "zero".
        (94.9, s.ZERO_SENT_S, False),
        (95.0, s.ZERO_SENT_S, True),
        (9900.0, s.ZERO_SENT_S, True),
        (9901.0, s.ZERO_SENT_S, False),
        (90.0, s.ZERO_RECEIVED_S, True),
        (10000.0, s.ZERO_RECEIVED_S, True),
        (10001.0, s.ZERO_RECEIVED_S, False),
    ],
)
def test_half_bits_at_the_limits(
    microseconds: float, limits: tuple[Second, Second], passes: bool
) -> None:
    assert s.is_within(microseconds * 1e-6, limits) is passes


def test_a_stretched_zero_has_a_longest() -> None:
    # S-9.1 table 1: 12 000 µs in all (check 46).
    assert s.is_zero_short_enough(12_000e-6)
    assert not s.is_zero_short_enough(12_001e-6)


@pytest.mark.parametrize(
    ("edge_rate", "microseconds"),
    # By hand: 8 V at 2.4 (S-9.1), 2.5 (NEM 670, 2013) and 2.0 V/µs (check 47).
    [(s.EDGE_SENT, 3.333), (2.5e6, 3.2), (s.EDGE_RECEIVED, 4.0)],
)
def test_time_through_the_window(edge_rate: float, microseconds: float) -> None:
    assert s.crossing_time(edge_rate) * 1e6 == pytest.approx(microseconds, abs=1e-3)


@pytest.mark.parametrize(
    ("scale", "nominal", "decoder_most"),
    # S-9.1 table 3: N and smaller, HO/S/O, large.
    [
        *(("Z", 12, 24), ("N", 12, 24), ("HO", 15, 27), ("OO", 15, 27)),
        *(("S", 15, 27), ("O", 15, 27), ("G", 18, 27)),
    ],
)
def test_track_volts_of_each_scale(
    scale: str, nominal: float, decoder_most: float
) -> None:
    volts = s.signal_volts(scale)
    assert (volts.nominal, volts.decoder_most) == (nominal, decoder_most)


@pytest.mark.parametrize("scale", list(GAUGES_MM))
def test_6_9_volts_are_too_few_for_station_and_decoder(scale: str) -> None:
    # S-9.1 table 3: decoders from 7 V, stations from 8.5 to 22 V (check 48).
    volts = s.signal_volts(scale)
    assert 6.9 < volts.decoder_least == 7.0
    assert (volts.station_least, volts.station_most) == (8.5, 22.0)


def test_an_unknown_scale_is_told() -> None:
    with pytest.raises(UnknownNameError):
        s.signal_volts("P")


@pytest.mark.parametrize(
    ("gauge_mm", "volts"),
    # NEM 630 (1982): to 6.5 mm 8 V, between 12 V, from 32 mm 16 V.
    [(6.5, 8), (9.0, 12), (16.5, 12), (32.0, 16), (45.0, 16)],
)
def test_analogue_nominal_volts(gauge_mm: float, volts: float) -> None:
    assert s.nominal_dc_volts(gauge_mm) == volts


def test_form_factors_of_rectified_supplies() -> None:
    # NEM 630 prints 0.90 and 0.64; by hand 2√2/π = 0.9003 and 2/π = 0.6366 (49).
    assert pytest.approx(0.9003, abs=1e-4) == s.FULL_WAVE_MEAN
    assert pytest.approx(0.6366, abs=1e-4) == s.HALF_WAVE_MEAN


def test_an_averaging_meter_reads_high_on_a_square_wave() -> None:
    # By hand: π/(2√2) = 1.1107 (check 50). needs.md N77: 15.5 shown at 14.0 V.
    assert pytest.approx(1.1107, abs=1e-4) == s.METER_FACTOR
    shown = 14.0 * s.METER_FACTOR
    assert shown == pytest.approx(15.5, abs=0.06)


@pytest.mark.parametrize(
    ("volts", "half_bit", "watts"),
    [
        # By hand ½·C·(2V)² · edges a second; 0.1 µF, ones 17 241, zeros 10 000
        # edges a second. 0.776 W is check 52.
        (12.0, s.HALF_BIT_ONE_S, 0.497),
        (15.0, s.HALF_BIT_ONE_S, 0.776),
        (18.0, s.HALF_BIT_ONE_S, 1.117),
        (15.0, s.HALF_BIT_ZERO_S, 0.45),
    ],
)
def test_a_snubber_needs_more_than_half_a_watt(
    volts: float, half_bit: float, watts: float
) -> None:
    assert s.snubber_watts(0.1e-6, volts, half_bit) == pytest.approx(watts, abs=2e-3)


@pytest.mark.parametrize(
    ("volts", "rated_w"),
    # needs.md 3.7: "recommend 2 W parts (3 W at 22 V)". 24 and 30 V by hand, 2·C·V²·rate
    # of 1.99 and 3.10 W: 2 and 3 W would be full, so the next sizes, 3 and 5 W.
    [(12.0, 2.0), (15.0, 2.0), (18.0, 2.0), (22.0, 3.0), (24.0, 3.0), (30.0, 5.0)],
)
def test_the_resistor_to_buy_has_something_to_spare(
    volts: float, rated_w: float
) -> None:
    assert s.snubber_resistor_watts(s.snubber_watts(0.1e-6, volts)) == rated_w


def test_past_the_largest_resistor_the_sum_itself_is_told() -> None:
    # By hand: 14 W over seven tenths.
    assert s.snubber_resistor_watts(14.0) == 20.0


@pytest.mark.parametrize(
    ("volts", "milliamps"), [(12, 41), (15, 52), (18, 62), (22, 76)]
)
def test_a_snubber_draws_what_a_detector_sees(volts: float, milliamps: float) -> None:
    # By hand: 0.1 µF · 2V · 17 241 edges a second; needs.md 3.7 has the same.
    found = s.snubber_amps(0.1e-6, volts)
    assert found * 1e3 == pytest.approx(milliamps, abs=0.5)
