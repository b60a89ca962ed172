"""The wire sizes that were tried, one below the other."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QPushButton, QWidget

from app.panels.bits import button, empty, label
from app.panels.verdicts import DROP_WORDS, SHORT_WORDS, Coloured
from app.session.looks import Looks
from core.analysis.study import Verdict
from core.layout.layout import Layout
from core.materials.wires import Wire
from core.proposals.wires import Trial
from core.units.figures import show_volts
from core.units.length import show_length
from core.units.si import Metre

HEADS = ("Size", "Lowest", "Short", "")
"""What stands above the columns."""


class TrialTable(QWidget):
    """Two lines a size: the figures, and what they mean in words."""

    def __init__(self, looks: Looks, on_use: Callable[[Trial], None]) -> None:
        super().__init__()
        self._looks, self._on_use = looks, on_use
        self._trials: list[Trial] = []
        self._buttons: list[QPushButton] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(0)
        self._grid.setColumnStretch(2, 1)
        self._grid.setRowMinimumHeight(0, 22)

    @property
    def buttons(self) -> list[QPushButton]:
        """The button of each row, thinnest wire first."""
        return self._buttons

    def show_trials(
        self, trials: Sequence[Trial], layout: Layout, in_use: Callable[[Trial], bool]
    ) -> None:
        """Show what was tried; a size that is in use offers nothing."""
        if self._trials != list(trials[: len(self._trials)]):
            empty(self._grid)
            self._trials, self._buttons = [], []
        for trial in trials[len(self._trials) :]:
            if not self._trials:
                self._add_heads()
            self._add(trial, layout)
        for trial, use in zip(self._trials, self._buttons, strict=True):
            used = in_use(trial)
            use.setText("in use" if used else "Use this")
            use.setEnabled(not used)

    def _add_heads(self) -> None:
        for column, head in enumerate(HEADS):
            self._grid.addWidget(label(head, "faint", wraps=False), 0, column)

    def _add(self, trial: Trial, layout: Layout) -> None:
        at = 1 + 2 * len(self._trials)
        self._trials.append(trial)
        metres = show_length(Metre(trial.metres), layout.settings.lengths)
        use = button("Use this", partial(self._on_use, trial), "link")
        use.setAccessibleName(f"Use {trial.wire.label}")
        use.setToolTip(f"{trial.wire.label}, {metres} to buy")
        self._buttons.append(use)
        volts = "—" if trial.volts_v is None else show_volts(trial.volts_v)
        margin = "—" if trial.margin is None else f"{trial.margin:.1f} × trip"
        self._pair(at, 0, size_of(trial.wire), metres)
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


def size_of(wire: Wire) -> str:
    """Return the size alone: "14 AWG", "2.5 mm²"."""
    return f"{wire.awg} AWG" if wire.awg is not None else f"{wire.area_mm2:g} mm²"
