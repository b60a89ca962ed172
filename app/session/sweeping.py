"""Sweeps memory while the person rests, not while they draw.

A study makes a hundred thousand small objects. Python would look through all of
them for rings of garbage in the middle of the next study, and the window would
stand still for a quarter of a second; so the big sweep waits for a quiet moment.
"""

import gc

from PySide6.QtCore import QObject, QTimer, SignalInstance

from app.session.session import Session

REST_MS = 15_000
"""How long nothing must have happened. [ms]"""

MOST_STUDIES = 60
"""After so many studies it is swept all the same, or memory would run full."""

NEVER = 1_000_000_000


class Sweeper(QObject):
    """Takes the big sweep out of Python's hands and does it at rest.

    Parameters
    ----------
    session : Session
        Whose studies make the garbage.
    stirs : SignalInstance
        Tells that the person is at work.
    """

    def __init__(self, session: Session, *stirs: SignalInstance) -> None:
        super().__init__(session)
        self._studies = 0
        self._before = gc.get_threshold()
        gc.set_threshold(*self._before[:2], NEVER)
        self._timer = QTimer(self, singleShot=True, interval=REST_MS)
        self._timer.timeout.connect(self.sweep)
        session.study_ready.connect(self._on_study)
        for stir in stirs:
            stir.connect(self._on_stir)

    def sweep(self) -> None:
        """Look through everything now."""
        self._studies = 0
        self._timer.stop()
        gc.collect()

    def close(self) -> None:
        """Hand it back to Python."""
        self._timer.stop()
        gc.set_threshold(*self._before)

    def _on_study(self) -> None:
        self._studies += 1
        if self._studies >= MOST_STUDIES:
            self.sweep()
        else:
            self._timer.start()

    def _on_stir(self) -> None:
        if self._studies:
            self._timer.start()
