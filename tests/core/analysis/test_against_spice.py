"""Operating point, alternating current and transients against ngspice.

Outside check: the circuit simulator of Debian's package ngspice, fed with the
deck that `feederwright netlist` writes.
"""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from core.analysis.examine import study_layout
from core.analysis.probe import find_point, probe_place
from core.analysis.shorts import HALF_BITS, OMEGAS
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Inline, OnRun, Settings, ToPort
from core.sheet.deck import deck_text
from tests.core.analysis.layouts import (
    booster,
    breaker,
    drop,
    layout_of,
    oval,
    small_line,
    straight,
    straight_bus,
    train,
    watts,
)
from tests.core.spice import run_deck

Find = Callable[[str], str]


def detected() -> Layout:
    """Return a line behind a diode detector that takes 1.4 V."""
    detector = Inline(
        id=PartId("OD1"),
        device="detector",
        x_mm=0.0,
        y_mm=-500.0,
        feed=ToPort(part=PartId("PB1")),
        trip_a=None,
        drop_v=1.4,
    )
    return layout_of(
        Settings(),
        straight(4.0),
        booster(),
        detector,
        straight_bus(4.0, to="OD1"),
        drop(1, 1.0),
        drop(2, 3.0),
        train(1, 2.0, 1.0),
    )


LAYOUTS: dict[str, Callable[[], Layout]] = {
    "line": lambda: small_line(train(1, 2.7, 1.2)),
    "oval": lambda: oval(train(1, 2.0, 1.5), watts(2, 0.7, 12.0)),
    "breaker": lambda: layout_of(
        Settings(),
        straight(4.0),
        booster(),
        breaker(1),
        straight_bus(4.0, to="CB1"),
        drop(1, 2.0),
        train(1, 3.3, 0.9),
    ),
    "detector": detected,
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_operating_point_agrees(name: str, tool: Find, tmp_path: Path) -> None:
    study = study_layout(LAYOUTS[name]())
    found = run_deck(tool("ngspice"), deck_text(study), "op", tmp_path)
    for i, node in enumerate(study.circuit.nodes):
        if not study.system.islands.live[i]:
            continue
        simulated = found[f"v({node.name})".lower()][0].real
        assert simulated == pytest.approx(study.standing.volts[i], rel=1e-6, abs=1e-6)


def bare_deck(study: Study) -> list[str]:
    """Return the cards of the deck without loads, boosters at zero volts."""
    lines = []
    for line in deck_text(study).splitlines():
        if line.startswith(("Iload", ".op", ".end")):
            continue
        fields = line.split()
        if line.startswith("Vsupply"):
            fields[-1] = "0"
        lines.append(" ".join(fields))
    return lines


@pytest.mark.parametrize("harmonic", [0, 1, 4])
def test_impedance_at_three_harmonics_agrees(
    harmonic: int, tool: Find, tmp_path: Path
) -> None:
    # One ampere of alternating current drawn at a rail joint; 1e-6 relative.
    study = study_layout(oval())
    segment = next(i for i, s in enumerate(study.circuit.segments) if s.end_m == 0.914)
    ends = study.circuit.segments[segment]
    left = study.circuit.nodes[ends.left1].name
    right = study.circuit.nodes[ends.right1].name
    hertz = float(OMEGAS[harmonic] / (2 * np.pi))
    deck = [*bare_deck(study), f"Iask {left} {right} dc 0 ac 1"]
    found = run_deck(
        tool("ngspice"),
        "\n".join(deck) + "\n",
        f"ac lin 1 {hertz!r} {hertz!r}",
        tmp_path,
    )
    across = found[f"v({right})".lower()][0] - found[f"v({left})".lower()][0]
    assert study.waves is not None
    ours = study.waves.impedance(np.array([segment]), np.array([1.0]))[0, harmonic]
    assert abs(across - ours) <= 1e-6 * abs(ours)


@pytest.mark.parametrize("bit", [0, 1])
def test_a_short_in_the_time_domain_agrees(
    bit: int, tool: Find, tmp_path: Path
) -> None:
    # A coin (1 µΩ) on the rails at a joint, the booster a square wave of ±15 V
    # with 10 ns edges; after 40 bits the wave repeats. 1 %.
    study = study_layout(small_line(length_m=12.0, drops=(2.0, 11.0)))
    place = OnRun(run=PartId("R1"), position_m=0.914 * 7)
    point = find_point(study, place)
    probe = probe_place(study, place)
    ends = study.circuit.segments[point.segment]
    left = study.circuit.nodes[ends.left1].name
    right = study.circuit.nodes[ends.right1].name
    half = HALF_BITS[bit]
    wave = f"pulse(-15 15 0 10n 10n {half - 10e-9!r} {2 * half!r})"
    deck = []
    for line in bare_deck(study):
        if line.startswith("Vsupply"):
            fields = line.split()
            deck.append(f"{' '.join(fields[:-1])} {wave}")
        else:
            deck.append(line)
    deck += [f"Vcoin {left} coinend 0", f"Rcoin coinend {right} 1e-6"]
    stop, last = 80 * half, 78 * half
    found = run_deck(
        tool("ngspice"),
        "\n".join(deck) + "\n",
        f"tran 50n {stop!r} {last!r} 50n",
        tmp_path,
    )
    time = found["time"].real
    amps = found["i(vcoin)"].real
    span = time[-1] - time[0]
    rms = float(np.sqrt(np.trapezoid(amps**2, time) / span))
    mean = float(np.trapezoid(np.abs(amps), time) / span)
    peak = float(np.abs(amps).max())
    bits = ("ones", "zeros")[bit]
    assert getattr(probe, f"short_rms_{bits}_a") == pytest.approx(rms, rel=0.01)
    assert getattr(probe, f"short_mean_{bits}_a") == pytest.approx(mean, rel=0.01)
    if bit == 1:  # the higher peak of the two is the one reported
        assert probe.short_peak_a == pytest.approx(peak, rel=0.01)
