"""The first board by hand: every resistance typed, solved a second way.

Values as in test_dapplecombe: 76 mΩ/m of code 100, 13.3 mΩ/m of bus (and 5 % more
of it than drawn), 39.0 mΩ/m of lead; joiner 5, screw 2, tap 3, solder 0.5 mΩ.
"""

import pytest

from core.analysis.examine import study_layout
from tests.samples.build import build_sample
from tests.samples.pairs import Edge, PairNetwork

RAIL, BUS, LEAD = 2 * 0.0760, 2 * 0.0133 * 1.05, 2 * 0.0390
"""Out and back. [Ω/m]"""

JOINER, SCREW, TAP, SOLDERED = 2 * 0.005, 2 * 0.002, 2 * 0.003, 2 * 0.0005
"""Out and back. [Ω]"""

LENGTH = 1.1283
"""420 + 2 · 900 · 20° + 80 mm. [m]"""


def drop(tap: str, name: str, away_m: float) -> Edge:
    """Return a drop: contacts and both leads, 40 mm down and 150 mm slack."""
    return tap, name, TAP + SOLDERED + LEAD * (0.190 + away_m)


BOARD: list[Edge] = [
    ("booster", "PB1", 0.1),
    ("PB1", "B1 0.000", SCREW),
    ("B1 0.000", "B1 0.210", 0.210 * BUS),
    ("B1 0.210", "B1 0.646", 0.436 * BUS),
    ("B1 0.646", "B1 0.957", 0.311 * BUS),
    drop("B1 0.210", "D1", 0.140),  # (0.300, 0.220) to (0.300, 0.080)
    drop("B1 0.646", "D2", 0.183),  # (0.736, 0.263) to (0.736, 0.080)
    drop("B1 0.957", "D3", 0.248),  # (1.047, 0.328) to (1.047, 0.080)
    ("start", "D1", 0.26 * RAIL),
    ("D1", "D2", 0.44 * RAIL),
    ("D2", "L1", 0.20 * RAIL),
    ("L1", "D3", 0.12 * RAIL + JOINER),
    ("D3", "end", (LENGTH - 1.02) * RAIL),
]


def test_the_railcar_and_a_second_train_lose_what_the_hand_says() -> None:
    # 0.4 A at L1 always, 0.5 A at the far end: 0.139 V, not 1 % of 15 V.
    network = PairNetwork(BOARD)
    by_hand = 0.4 * network.shared_ohm("end", "L1") + 0.5 * network.loop_ohm("end")
    study = study_layout(build_sample("first-board"))
    assert study.worst_volts is not None
    assert by_hand == pytest.approx(0.139, rel=0.005)
    assert 15.0 - study.worst_volts.value == pytest.approx(by_hand, rel=0.002)
    assert study.worst_volts.place.position_m == pytest.approx(LENGTH, abs=0.001)


def test_the_highest_loop_is_at_the_near_end_of_the_track() -> None:
    # 0.26 m beyond D1, further from a drop than any other place: 0.1744 Ω.
    study = study_layout(build_sample("first-board"))
    assert study.worst_loop is not None
    by_hand = PairNetwork(BOARD).loop_ohm("start")
    assert by_hand == pytest.approx(0.1744, rel=0.002)
    assert study.worst_loop.value == pytest.approx(by_hand, rel=0.002)
    assert study.worst_loop.place.position_m == 0.0


def test_the_booster_gives_the_railcar_its_four_tenths() -> None:
    study = study_layout(build_sample("first-board"))
    (duty,) = study.boosters
    assert duty.amps_a == pytest.approx(0.4)
