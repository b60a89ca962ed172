"""How far the engine's answers are from a circuit simulator's, as rows."""

import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.shorts import HALF_BITS, HARMONICS, OMEGAS
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.sheet.deck import deck_text
from tests.bench.generate import club_layout
from tests.bench.table import Row
from tests.core.spice import run_deck
from tests.samples.test_samples_spice import TEN_JOINTS, coin_wave, opened

NAMES = (
    "agreement with the simulator, operating point",
    "agreement with the simulator, .ac",
    "agreement with the simulator, transient short",
)
LEAST = ("≤ 1 ppm", "≤ 1 ppm", "≤ 1 %")

LOOSE = "wulfenmoor-regional-end-fed"
"""The sample in which inductance counts most."""


def agreement_rows(pieces: int = 400) -> list[Row]:
    """Compare every node's volts, a place's sixteen harmonics, and a coin's current."""
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        why = "ngspice is not installed"
        return [
            Row(name, None, least, why)
            for name, least in zip(NAMES, LEAST, strict=True)
        ]
    study = study_layout(club_layout(pieces))
    with TemporaryDirectory() as folder:
        point = _worst_volts(ngspice, study, Path(folder))
        waves = _worst_impedance(ngspice, study, Path(folder))
        coin = _worst_coin(ngspice, Path(folder))
    size = f"{study.system.size} equations"
    return [
        Row(NAMES[0], 1e6 * point, LEAST[0], f"worst of all nodes, {size}", "ppm"),
        Row(NAMES[1], 1e6 * waves, LEAST[1], "worst of 16 harmonics", "ppm"),
        Row(NAMES[2], 100.0 * coin, LEAST[2], "worst of rms and mean, 40 m loose", "%"),
    ]


def _worst_volts(ngspice: str, study: Study, folder: Path) -> float:
    """Return how far the volts of any node are off, over the highest volts. [1]"""
    found = run_deck(ngspice, deck_text(study), "op", folder)
    names = [node.name for node in study.circuit.nodes]
    simulated = np.array([found[f"v({n})".lower()][0].real for n in names])
    live, volts = study.system.islands.live, study.standing.volts
    return float(np.abs(simulated - volts)[live].max() / np.abs(volts[live]).max())


def _worst_impedance(ngspice: str, study: Study, folder: Path) -> float:
    """Return how far a place's impedance is off at any harmonic. [1]"""
    assert study.waves is not None, "fed track has waves"
    middle = len(study.circuit.segments) // 2
    ends = study.circuit.segments[middle]
    left, right = (study.circuit.nodes[n].name for n in (ends.left1, ends.right1))
    cards = [c for c in deck_text(study).splitlines() if c not in (".op", ".end")]
    deck = "\n".join([*cards, f"Iask {right} {left} dc 0 ac 1"]) + "\n"
    ours = study.waves.impedance(np.array([middle]), np.array([1.0])).ravel()
    worst = 0.0
    for first in (0, HARMONICS):
        hertz = OMEGAS[first : first + HARMONICS] / (2.0 * np.pi)
        ask = f"ac lin {HARMONICS} {float(hertz[0])!r} {float(hertz[-1])!r}"
        found = run_deck(ngspice, deck, ask, folder)
        theirs = found[f"v({left})".lower()] - found[f"v({right})".lower()]
        off = np.abs(ours[first : first + HARMONICS] / theirs - 1.0)
        worst = max(worst, float(off.max()))
    return worst


def _worst_coin(ngspice: str, folder: Path) -> float:
    """Return how far the current of a coin at the far end is off. [1]"""
    study = opened(LOOSE)
    place = OnRun(run=PartId("R1"), position_m=0.914 * TEN_JOINTS[-1])
    probe = probe_place(study, place)
    ours = (
        (probe.short_rms_ones_a, probe.short_mean_ones_a),
        (probe.short_rms_zeros_a, probe.short_mean_zeros_a),
    )
    worst = 0.0
    for half_bit, pair in zip(HALF_BITS, ours, strict=True):
        theirs = coin_wave(ngspice, study, place, half_bit, folder)
        for mine, its in zip(pair, theirs, strict=False):
            assert mine is not None, "the coin lies on fed track"
            worst = max(worst, abs(mine / its - 1.0))
    return worst
