"""Every sample against ngspice: operating points, and shorts in the time domain.

Outside check: the circuit simulator of Debian's package ngspice, fed with the deck
that `feederwright netlist` writes.
"""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from core.analysis.examine import study_layout
from core.analysis.probe import find_point, probe_place
from core.analysis.shorts import HALF_BITS
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.storage.read import read_layout
from core.sheet.deck import deck_text
from tests.core.spice import run_deck
from tests.samples.build import FOLDER, SAMPLES

Find = Callable[[str], str]

EDGE_S = 10e-9
"""How long the booster takes to turn over. [s]"""

SETTLED = 24
"""Half-bits until the current repeats: twelve times L/R of 40 m of loose bus."""

TEN_JOINTS = (4, 8, 12, 16, 20, 24, 28, 32, 36, 44)
"""Ends of rail pieces along the main of Wulfenmoor at which a coin is laid."""


def opened(name: str) -> Study:
    return study_layout(read_layout(FOLDER / f"{name}.fwl")[0])


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_the_operating_point_agrees(name: str, tool: Find, tmp_path: Path) -> None:
    study = opened(name)
    found = run_deck(tool("ngspice"), deck_text(study), "op", tmp_path)
    live = study.system.islands.live
    names = [node.name for node in study.circuit.nodes]
    simulated = np.array([found[f"v({n})".lower()][0].real for n in names])
    assert live.any()
    assert simulated[live] == pytest.approx(study.standing.volts[live], rel=1e-6)


def squared_deck(study: Study, half_bit: float) -> list[str]:
    """Return the deck without loads, the boosters square waves of their volts."""
    lines: list[str] = []
    for line in deck_text(study).splitlines():
        if line.startswith(("Iload", ".op", ".end")):
            continue
        fields = line.split()
        if line.startswith("Vsupply"):
            volts = float(fields.pop())
            wave = (-volts, volts, 0.0, EDGE_S, EDGE_S, half_bit - EDGE_S, 2 * half_bit)
            fields.append(f"pulse({' '.join(map(repr, wave))})")
        lines.append(" ".join(fields))
    return lines


def coin_wave(
    ngspice: str, study: Study, place: OnRun, half_bit: float, folder: Path
) -> tuple[float, float, float]:
    """Return rms, rectified mean and peak through 1 µΩ across the rails. [A]"""
    point = find_point(study, place)
    assert point.t == pytest.approx(1.0), "coins are laid where the deck has nodes"
    ends = study.circuit.segments[point.segment]
    left, right = (study.circuit.nodes[n].name for n in (ends.left1, ends.right1))
    deck = [
        *squared_deck(study, half_bit),
        f"Vcoin {left} coinend 0",
        f"Rcoin coinend {right} 1e-6",
        ".save i(vcoin)",
    ]
    first, last = SETTLED * half_bit, (SETTLED + 2) * half_bit
    found = run_deck(
        ngspice, "\n".join(deck) + "\n", f"tran 500n {last!r} {first!r} 500n", folder
    )
    time, amps = found["time"].real, found["i(vcoin)"].real
    span = time[-1] - time[0]
    return (
        float(np.sqrt(np.trapezoid(amps**2, time) / span)),
        float(np.trapezoid(np.abs(amps), time) / span),
        float(np.abs(amps).max()),
    )


def check_coin(ngspice: str, study: Study, piece: int, folder: Path) -> None:
    """Compare rms, mean and peak at the end of a rail piece, ones and zeros, 1 %."""
    place = OnRun(run=PartId("R1"), position_m=0.914 * piece)
    probe = probe_place(study, place)
    ones, zeros = (coin_wave(ngspice, study, place, t, folder) for t in HALF_BITS)
    assert probe.short_rms_ones_a == pytest.approx(ones[0], rel=0.01)
    assert probe.short_mean_ones_a == pytest.approx(ones[1], rel=0.01)
    assert probe.short_rms_zeros_a == pytest.approx(zeros[0], rel=0.01)
    assert probe.short_mean_zeros_a == pytest.approx(zeros[1], rel=0.01)
    # The peak reported is the higher of the two bits'.
    assert probe.short_peak_a == pytest.approx(max(ones[2], zeros[2]), rel=0.01)


def test_a_coin_at_the_far_end_of_the_loose_bus_agrees(
    tool: Find, tmp_path: Path
) -> None:
    study = opened("wulfenmoor-regional-end-fed")
    check_coin(tool("ngspice"), study, TEN_JOINTS[-1], tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["wulfenmoor-regional-end-fed", "wulfenmoor-regional"])
@pytest.mark.parametrize("piece", TEN_JOINTS)
def test_a_coin_at_ten_places_agrees(
    name: str, piece: int, tool: Find, tmp_path: Path
) -> None:
    check_coin(tool("ngspice"), opened(name), piece, tmp_path)
