"""Speed of the engine, as ratios measured in one run."""

from collections.abc import Callable
from statistics import median
from time import process_time

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
from tests.bench.generate import club_layout
from tests.bench.simulator import simulator_rows
from tests.bench.table import Row
from tests.bench.turnouts import station_layout

REPEATS = 9
"""Each figure is the median of this many; pairs are timed in turn."""


def timed(*works: Callable[[], object]) -> list[float]:
    """Return the median work in seconds of each, done in turn so that drift cancels.

    On the processor: other programs on the machine count for little.
    """
    taken: list[list[float]] = [[] for _ in works]
    for work in works:
        work()
    for _ in range(REPEATS):
        for times, work in zip(taken, works, strict=True):
            begun = process_time()
            work()
            times.append(process_time() - begun)
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


def scan_rows(pieces: int = 400) -> list[Row]:
    """Compare both scans with one factorization, on the club layout."""
    study = study_layout(club_layout(pieces))
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
        *simulator_rows(study, scan, waves),
    ]


def findings_rows(turnouts: int = 200) -> list[Row]:
    """Time every rule over many turnouts, sound and with every heel gap missing."""
    sound = station_layout(turnouts)
    spoilt = {
        i: replace(part, heel_gaps=False) if isinstance(part, Turnout) else part
        for i, part in sound.parts.items()
    }
    studies = [study_layout(sound), study_layout(Layout(spoilt))]
    rows = []
    for name, study in zip(("sound", "all heel gaps missing"), studies, strict=True):
        (seconds,) = timed(lambda s=study: run_checks(s))  # type: ignore[misc]
        count = len(run_checks(study))
        what = f"all findings of {turnouts} turnouts, seconds, {name}"
        rows.append(Row(what, seconds, "≤ 1", f"{len(RULES)} rules, {count} findings"))
    return rows


def growth_rows(few_pieces: int = 400, many_pieces: int = 10_000) -> list[Row]:
    """Compare the time a node on a small and on a large club layout."""
    small = study_layout(club_layout(few_pieces))
    large = study_layout(club_layout(many_pieces))
    rows = []
    for name, work in (
        ("scan", scan_once),
        ("square-wave shorts", lambda s: solve_waves(s.system, s.pattern)),
    ):
        few, many = timed(lambda w=work: w(small), lambda w=work: w(large))  # type: ignore[misc]
        growth = (many / large.system.size) / (few / small.system.size)
        rows.append(
            Row(
                f"{name}: time a node, {many_pieces:,} / {few_pieces} pieces",
                growth,
                "≤ 1.5",
                f"{large.system.size} equations",
            )
        )
    return rows
