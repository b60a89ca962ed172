"""The quantity that is shown along the track, and its worst place."""

from PySide6.QtCore import QObject, QRunnable, Qt, QThreadPool, Signal

from app.canvas.colouring import Colours, Legend, Scale, make_legend, make_scale
from app.canvas.look import Look
from app.canvas.over.markers import WorstFlag
from app.canvas.scene import PlanScene
from app.session.result import Result
from core.analysis.along import every_track_values
from core.analysis.study import Extreme, Quantity, Study, TrackValues
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster
from core.layout.queries import place_xy
from core.units.figures import show_ohms, show_volts

NOTHING_FED_V = 15.0
"""What the scale is tied to while there is no booster. [V]"""


class HeatMap(QObject):
    """Colours the track by the newest study, and flags the worst place.

    The values are worked out off the window thread; the newest wins.

    Signals
    -------
    shown()
        The colours or the flag are other ones now.
    """

    shown = Signal()

    def __init__(self, scene: PlanScene, look: Look, parent: QObject) -> None:
        super().__init__(parent)
        self._scene = scene
        self._look = look
        self.quantity: Quantity | None = None
        self.flag = WorstFlag(look)
        self._worst: Extreme | None = None
        self._job: _Job | None = None
        self._jobs: list[_Job] = []
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(1)
        scene.addItem(self.flag)

    def show(self, result: Result | None) -> None:
        """Colour the track by a result, soon; without one, not at all."""
        self._job = None
        if self.quantity is None or result is None:
            self._worst = None
            self._scene.recolour(None)
            self.flag.stand(None)
            self.shown.emit()
            return
        job = _Job(result.study, self.quantity)
        job.told.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        self._job = job
        # Jobs are kept till after they have ended: Qt still runs in them.
        self._jobs = [old for old in self._jobs if not old.is_done] + [job]
        self._pool.start(job)

    def place_flag(self, layout: Layout) -> None:
        """Put the flag where the worst place lies now."""
        worst = self._worst
        at = place_xy(layout, worst.place) if worst is not None else None
        if worst is None or at is None or self.quantity is None:
            self.flag.stand(None)
        else:
            self.flag.stand(at, worst_word(self.quantity, worst.value))

    def _on_done(self, job: "_Job", values: dict[PartId, TrackValues]) -> None:
        job.is_done = True
        if job is not self._job:
            return
        self._job = None
        scale = self.scale_for(job.study.layout)
        colours = {run: Colours(own, scale) for run, own in values.items()}
        self._worst = _worst(job.study, job.quantity)
        self._scene.recolour(colours)
        self.shown.emit()

    def scale_for(self, layout: Layout) -> Scale:
        """Return the scale that suits a layout."""
        assert self.quantity is not None, "asked only while something is shown"
        volts = [booster.volts_v for booster in layout.of_kind(Booster)]
        return make_scale(
            self.quantity, layout.settings, max(volts, default=NOTHING_FED_V)
        )

    def legend(self, layout: Layout) -> Legend | None:
        """Return what the colours mean now."""
        if self.quantity is None:
            return None
        return make_legend(self.scale_for(layout), self._look.theme.ramp)


class _Told(QObject):
    done = Signal(object, object)


class _Job(QRunnable):
    """Works one quantity of one study out along all track."""

    def __init__(self, study: Study, quantity: Quantity) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self.told = _Told()
        self.is_done = False
        self.study, self.quantity = study, quantity

    def run(self) -> None:
        """Work it out, and hand it back."""
        self.told.done.emit(self, every_track_values(self.study, self.quantity))


def worst_word(quantity: Quantity, value: float) -> str:
    """Return what is written on the flag."""
    match quantity:
        case "volts":
            return f"lowest, {show_volts(value)}"
        case "loop":
            return f"highest loop, {show_ohms(value)}"
        case "short":
            return f"weakest short, {value:.2g} × trip"


def _worst(study: Study, quantity: Quantity) -> Extreme | None:
    match quantity:
        case "volts":
            return study.worst_volts
        case "loop":
            return study.worst_loop
        case "short":
            return study.weakest_short
