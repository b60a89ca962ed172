"""What was tried, one below the other: the figures, and a button to take it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QPushButton, QWidget

from app.panels.bits import button, empty, label
from app.panels.verdicts import DROP_WORDS, SHORT_WORDS, Coloured
from app.session.looks import Looks
from core.analysis.study import Verdict
from core.materials.wires import Wire
from core.proposals.outcome import Outcome
from core.units.figures import show_kilos, show_volts
from core.units.length import METRES_PER_FOOT, System

T = TypeVar("T", bound=Outcome)


@dataclass(frozen=True, slots=True)
class Named:
    """What a trial is called: in short, the line below, and in full."""

    short: str
    below: str
    full: str


class TrialTable(QWidget, Generic[T]):
    """Two lines a trial: the figures, and what they mean in words."""

    def __init__(
        self,
        looks: Looks,
        head: str,
        name: Callable[[T], Named],
        on_use: Callable[[T], None],
    ) -> None:
        super().__init__()
        self._looks, self._name, self._on_use = looks, name, on_use
        self._heads = (head, "Lowest", "Short", "")
        self._trials: list[T] = []
        self._buttons: list[QPushButton] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(6)
        self._grid.setVerticalSpacing(0)
        self._grid.setColumnStretch(2, 1)
        self._grid.setRowMinimumHeight(0, 22)

    @property
    def buttons(self) -> list[QPushButton]:
        """The button of each row, in their order."""
        return self._buttons

    def show_trials(self, trials: Sequence[T], in_use: Callable[[T], bool]) -> None:
        """Show what was tried; what is in use offers nothing."""
        if self._trials != list(trials[: len(self._trials)]):
            empty(self._grid)
            self._trials, self._buttons = [], []
        for trial in trials[len(self._trials) :]:
            if not self._trials:
                self._add_heads()
            self._add(trial)
        for trial, use in zip(self._trials, self._buttons, strict=True):
            used = in_use(trial)
            use.setText("in use" if used else "Use")
            use.setEnabled(not used)

    def _add_heads(self) -> None:
        for column, head in enumerate(self._heads):
            self._grid.addWidget(label(head, "faint", wraps=False), 0, column)

    def _add(self, trial: T) -> None:
        at = 1 + 2 * len(self._trials)
        self._trials.append(trial)
        named = self._name(trial)
        use = button("Use", partial(self._on_use, trial), "link")
        use.setAccessibleName(f"Use {named.full}")
        use.setToolTip(named.full)
        self._buttons.append(use)
        volts = "—" if trial.volts_v is None else show_volts(trial.volts_v)
        margin = "—" if trial.margin is None else f"{trial.margin:.1f} × trip"
        self._pair(at, 0, named.short, named.below)
        self._pair(at, 1, volts, DROP_WORDS[trial.drop_verdict], trial.drop_verdict)
        short = trial.short_verdict
        self._pair(at, 2, margin, SHORT_WORDS[short], short)
        self._grid.addWidget(use, at, 3, 2, 1, Qt.AlignmentFlag.AlignVCenter)
        self._grid.setRowMinimumHeight(at + 1, 22)

    def _pair(
        self,
        at: int,
        column: int,
        figure: str,
        word: str,
        verdict: Verdict | None = None,
    ) -> None:
        top, low = Qt.AlignmentFlag.AlignBottom, Qt.AlignmentFlag.AlignTop
        kind = "" if column else "heading"
        self._grid.addWidget(label(figure, kind, wraps=False), at, column, top)
        below = Coloured(self._looks, word, verdict or "faint")
        self._grid.addWidget(below, at + 1, column, low)


def to_buy(metres: float, kilos: float, system: System) -> str:
    """Return what is to be bought, in whole metres or feet, and its copper."""
    length = (
        f"{metres / float(METRES_PER_FOOT):.0f} ft"
        if system == "ft"
        else f"{metres:.0f} m"
    )
    return f"{length}, {show_kilos(kilos)}"


def size_of(wire: Wire) -> str:
    """Return the size alone: "14 AWG", "2.5 mm²"."""
    return f"{wire.awg} AWG" if wire.awg is not None else f"{wire.area_mm2:g} mm²"
