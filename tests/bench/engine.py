"""Speed of the engine, as ratios measured in one run."""

import shutil
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
from msgspec.structs import replace
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.linalg import splu

from core.analysis.examine import study_layout
from core.analysis.scan import loop_terms
from core.analysis.shorts import solve_waves
from core.analysis.study import Study
from core.analysis.system import System, fill_pattern
from core.checks.run import RULES, run_checks
from core.layout.layout import Layout
from core.layout.parts import Turnout
from core.sheet.deck import deck_text
from tests.bench.generate import club_layout
from tests.bench.table import Row
from tests.bench.turnouts import station_layout

REPEATS = 9
"""Each figure is the median of this many; pairs are timed in turn."""

POINTS = 60
"""Track points that the simulator is asked one by one; scaled to all of them."""


def timed(*works: Callable[[], object]) -> list[float]:
    """Return the median seconds of each work, run in turn so that drift cancels."""
    taken: list[list[float]] = [[] for _ in works]
    for work in works:
        work()
    for _ in range(REPEATS):
        for times, work in zip(taken, works, strict=True):
            begun = perf_counter()
            work()
            times.append(perf_counter() - begun)
    return [median(times) for times in taken]


def matrix_of(system: System) -> "csc_matrix[np.float64]":
    """Return the nodal matrix of the circuit alone, for the reference."""
    use = system.active
    tail, head, g = system.tail[use], system.head[use], 1.0 / system.ohm[use]
    rows = np.concatenate([tail, head, tail, head])
    columns = np.concatenate([tail, head, head, tail])
    entries = np.concatenate([g, g, -g, -g])
    keep = (rows >= 0) & (columns >= 0)
    size = system.size
    return coo_matrix(
        (entries[keep], (rows[keep], columns[keep])), shape=(size, size)
    ).tocsc()


def factorize(matrix: "csc_matrix[np.float64]") -> object:
    """Return a sparse factorization: the yardstick of all ratios."""
    return splu(
        matrix,
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )


def scan_once(study: Study) -> object:
    """Do the resistive scan: fill, factor, invert, gather every segment's loop."""
    system, pattern = study.system, study.pattern
    values = fill_pattern(system, pattern, 1.0 / system.ohm[:, None])
    inverse = pattern.factor(values).selected_inverse()
    return loop_terms(system, pattern, inverse)


def scan_rows() -> list[Row]:
    """Compare both scans with one factorization, on the club layout."""
    study = study_layout(club_layout(pieces=400))
    matrix = matrix_of(study.system)
    scan, waves, once = timed(
        lambda: scan_once(study),
        lambda: solve_waves(study.system, study.pattern),
        lambda: factorize(matrix),
    )
    size = f"{study.system.size} equations, {len(study.circuit.segments)} segments"
    return [
        Row("whole-track scan / one factorization", scan / once, "≤ 4", size),
        Row(
            "square-wave shorts / one factorization",
            waves / once,
            "≤ 40",
            "16 harmonics",
        ),
        *_simulator_rows(study, scan),
    ]


def findings_rows() -> list[Row]:
    """Time every rule over many turnouts, sound and with every heel gap missing."""
    sound = station_layout(200)
    spoilt = {
        i: replace(part, heel_gaps=False) if isinstance(part, Turnout) else part
        for i, part in sound.parts.items()
    }
    studies = [study_layout(sound), study_layout(Layout(spoilt))]
    rows = []
    for name, study in zip(("sound", "all heel gaps missing"), studies, strict=True):
        (seconds,) = timed(lambda s=study: run_checks(s))  # type: ignore[misc]
        count = len(run_checks(study))
        what = f"all findings of 200 turnouts, seconds, {name}"
        rows.append(Row(what, seconds, "≤ 1", f"{len(RULES)} rules, {count} findings"))
    return rows


def growth_rows() -> list[Row]:
    """Compare the time a node at 400 and at 10,000 pieces."""
    small = study_layout(club_layout(pieces=400))
    large = study_layout(club_layout(pieces=10_000))
    rows = []
    for name, work in (
        ("scan", scan_once),
        ("square-wave shorts", lambda s: solve_waves(s.system, s.pattern)),
    ):
        few, many = timed(lambda w=work: w(small), lambda w=work: w(large))  # type: ignore[misc]
        growth = (many / large.system.size) / (few / small.system.size)
        rows.append(
            Row(
                f"{name}: time a node, 10,000 / 400 pieces",
                growth,
                "≤ 1.5",
                f"{large.system.size} equations",
            )
        )
    return rows


def _simulator_rows(study: Study, scan: float) -> list[Row]:
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        return [
            Row(
                "simulator, one operating point a place / scan",
                None,
                "≥ 1,000",
                "ngspice is not installed",
            )
        ]
    places = [(s.left1, s.right1) for s in study.circuit.segments]
    step = max(len(places) // POINTS, 1)
    chosen = places[::step]
    few = _simulate(ngspice, study, chosen[:2])
    many = _simulate(ngspice, study, chosen)
    each = (many - few) / (len(chosen) - 2)
    total = each * len(places)
    note = f"{total:.1f} s for {len(places)} places, from {len(chosen)} timed"
    return [
        Row(
            "simulator, one operating point a place / scan",
            total / scan,
            "≥ 1,000",
            note,
        )
    ]


def _simulate(ngspice: str, study: Study, places: list[tuple[int, int]]) -> float:
    """Return the seconds that the simulator takes for a test train at each place."""
    nodes = study.circuit.nodes
    cards = [
        line
        for line in deck_text(study, inductance=False).splitlines()
        if line not in (".op", ".end")
    ]
    asks = []
    for i, (left, right) in enumerate(places):
        cards.append(f"Iask{i} {nodes[left].name} {nodes[right].name} 0")
        asks += [f"alter iask{i} dc = 1", "op", "destroy all", f"alter iask{i} dc = 0"]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "deck.cir"
        path.write_text(
            "\n".join([*cards, ".control", *asks, "quit", ".endc", ".end"]) + "\n"
        )
        begun = perf_counter()
        subprocess.run(
            [ngspice, "-b", str(path)], capture_output=True, check=False, timeout=600
        )
        return perf_counter() - begun
