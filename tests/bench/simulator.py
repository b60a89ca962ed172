"""The same questions put to a circuit simulator, one place after the other."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

import numpy as np

from core.analysis.shorts import HARMONICS, OMEGAS
from core.analysis.study import Study
from core.sheet.deck import deck_text
from tests.bench.table import Row

POINTS = 60
"""Track points that the simulator is asked one by one; scaled to all of them."""

Commands = Callable[[int], list[str]]
"""Returns the simulator's commands for the place of a number."""

AC_POINTS = 12
"""The same for sixteen harmonics at a place."""

OP = "simulator, one operating point a place / scan"
AC = "simulator, .ac at 16 harmonics a place / square-wave shorts"


def simulator_rows(study: Study, scan_s: float, waves_s: float) -> list[Row]:
    """Compare both scans with what the simulator takes for the same. [s]"""
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        why = "ngspice is not installed"
        return [Row(OP, None, "≥ 1,000", why), Row(AC, None, "", why)]
    return [
        _compare(OP, "≥ 1,000", scan_s, _Asker(ngspice, study, _points), POINTS),
        _compare(AC, "", waves_s, _Asker(ngspice, study, _harmonics), AC_POINTS),
    ]


def _points(number: int) -> list[str]:
    ask = f"iask{number}"
    return [f"alter {ask} dc = 1", "op", "destroy all", f"alter {ask} dc = 0"]


def _harmonics(number: int) -> list[str]:
    """Return the commands for the eight harmonics of ones, then those of zeros."""
    found = [f"alter @iask{number}[acmag] = 1"]
    for first in (0, HARMONICS):
        hertz = OMEGAS[first : first + HARMONICS] / (2.0 * np.pi)
        found += [f"ac lin {HARMONICS} {hertz[0]!r} {hertz[-1]!r}", "destroy all"]
    return [*found, f"alter @iask{number}[acmag] = 0"]


class _Asker:
    """Asks the simulator about places, and tells how long it worked."""

    def __init__(self, ngspice: str, study: Study, commands: Commands) -> None:
        self._ngspice, self._study, self._commands = ngspice, study, commands
        segments = study.circuit.segments
        self.places = [(s.left1, s.right1) for s in segments]

    def seconds(self, places: list[tuple[int, int]]) -> float:
        """Return what it takes on the processor for a load at each place. [s]"""
        nodes = self._study.circuit.nodes
        alternating = self._commands is _harmonics
        deck = deck_text(self._study, inductance=alternating)
        cards = [line for line in deck.splitlines() if line not in (".op", ".end")]
        asks: list[str] = []
        for i, (left, right) in enumerate(places):
            cards.append(f"Iask{i} {nodes[left].name} {nodes[right].name} dc 0 ac 0")
            asks += self._commands(i)
        lines = [*cards, ".control", *asks, "quit", ".endc", ".end"]
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "deck.cir"
            path.write_text("\n".join(lines) + "\n", encoding="utf-8")
            before = os.times()
            command = [self._ngspice, "-b", str(path)]
            done = subprocess.run(
                command, capture_output=True, text=True, check=False, timeout=600
            )
            after = os.times()
        said = done.stdout + done.stderr
        assert "rror" not in said, f"the simulator refused: {said[-500:]}"
        return (
            after.children_user
            - before.children_user
            + after.children_system
            - before.children_system
        )


def _compare(what: str, wanted: str, ours_s: float, asker: _Asker, count: int) -> Row:
    step = max(len(asker.places) // count, 1)
    chosen = asker.places[::step]
    # Reading the deck counts for nothing: only what further places add.
    few, many = asker.seconds(chosen[:2]), asker.seconds(chosen)
    total = (many - few) / max(len(chosen) - 2, 1) * len(asker.places)
    note = f"{total:.1f} s for {len(asker.places)} places, from {len(chosen)} timed"
    return Row(what, total / ours_s, wanted, note)
