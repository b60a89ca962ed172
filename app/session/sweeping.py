"""Sweeps memory while the person rests, not while they draw.

A study makes a hundred thousand small objects. Python would look through all of
them for rings of garbage in the middle of the next study, and the window would
stand still for a quarter of a second; so the big sweep waits for a quiet moment.
What is left after it is put aside, out of the way of the small sweeps that come
while the person works on: those look only at what came since.
"""

import gc

from PySide6.QtCore import QObject, QTimer, SignalInstance

from app.session.session import Session

REST_MS = 15_000
"""How long nothing must have happened. [ms]"""

MOST_STUDIES = 3
"""After so many studies what came with them is swept, or memory would run full."""

LATER_MS = 400
"""How long after them, so that all that they show is there. [ms]"""

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
        self._is_new = True
        self._before = gc.get_threshold()
        gc.set_threshold(*self._before[:2], NEVER)
        self._timer = QTimer(self, singleShot=True, interval=REST_MS)
        self._timer.timeout.connect(self.sweep)
        self._small = QTimer(self, singleShot=True, interval=LATER_MS)
        self._small.timeout.connect(self._sweep_some)
        session.study_ready.connect(self._on_study)
        session.layout_replaced.connect(self._on_replaced)
        for stir in stirs:
            stir.connect(self._on_stir)

    def sweep(self) -> None:
        """Look through everything now, and put aside what is left."""
        self._studies, self._is_new = 0, False
        self._timer.stop()
        self._small.stop()
        gc.unfreeze()
        gc.collect()
        gc.freeze()

    def _sweep_some(self) -> None:
        if self._is_new:
            self.sweep()
        else:
            gc.collect()
            gc.freeze()

    def close(self) -> None:
        """Hand it back to Python."""
        self._timer.stop()
        self._small.stop()
        gc.unfreeze()
        gc.set_threshold(*self._before)

    def _on_replaced(self) -> None:
        self._is_new = True  # all that the layout before left behind is garbage

    def _on_study(self) -> None:
        self._studies += 1
        self._timer.start()
        if self._is_new or self._studies % MOST_STUDIES == 0:
            self._small.start()

    def _on_stir(self) -> None:
        if self._studies:
            self._timer.start()
