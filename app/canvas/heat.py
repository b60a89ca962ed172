"""What a study shows along the track: the poles of its rails, a quantity, the worst."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from time import monotonic

from PySide6.QtCore import QObject, QTimer, Signal

from app.canvas.colouring import Colours, Legend, Scale, make_legend, make_scale
from app.canvas.look import Look
from app.canvas.over.markers import WorstFlag
from app.canvas.over.meets import Meets
from app.canvas.scene import PlanScene
from app.session.asking import Inquiry, Talk
from core.analysis.along import every_track_values
from core.analysis.railmap import RailMap, map_rails
from core.analysis.sound import sound_part
from core.analysis.study import Extreme, Quantity, Study, TrackValues
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster
from core.layout.queries import place_xy
from core.units.figures import show_ohms, show_volts

PAINT_MS = 40
"""So long the rails wait for colours to be painted, where none need be. [ms]"""

AFTER_MS = 8
"""So long the rest of the window has to paint itself before threads go on. [ms]"""

SLICE_S = 0.005
"""New colours are taken for so long at a time. [s]"""

NOTHING_FED_V = 15.0
"""What the scale is tied to while there is no booster. [V]"""


class HeatMap(QObject):
    """Draws the track as the newest study has it, and flags the worst place.

    The rails have their true poles, and cuts say what lies beside them, whatever
    colours the track; `rails` is what they are drawn by. All values are worked out
    off the window thread; the newest wins. The colours come first; the poles are
    worked out once those are painted, since both want Python.

    Signals
    -------
    shown()
        The colours or the flag are other ones now.
    settled()
        All that a study shows is painted, or nothing is to come.
    """

    shown = Signal()
    settled = Signal()

    def __init__(self, scene: PlanScene, look: Look, parent: QObject) -> None:
        super().__init__(parent)
        self._scene = scene
        self._look = look
        self.quantity: Quantity | None = None
        self.rails: RailMap | None = None
        self.flag = WorstFlag(look)
        self.meets = Meets(look)
        self._worst: Extreme | None = None
        self._mapped: tuple[Study, RailMap] | None = None
        self._inquiry = Inquiry(self)
        self._inquiry.answered.connect(self._on_answer)
        # Qt may put painting off by some milliseconds; where there is nothing to
        # paint, this runs out.
        self._unpainted = QTimer(self, singleShot=True, interval=PAINT_MS)
        self._unpainted.timeout.connect(self._go_on)
        self._colouring = scene.recolour_some(None)
        self._slice = QTimer(self, singleShot=True, interval=0)
        self._slice.timeout.connect(self._colour_some)
        self._next: Callable[[], None] = self.settled.emit
        scene.addItem(self.flag)
        scene.addItem(self.meets)

    @property
    def is_busy(self) -> bool:
        """Whether other colours or poles are still to come, or to be painted."""
        waits = self._unpainted.isActive() or self._slice.isActive()
        return self._inquiry.is_busy or waits

    def show(self, study: Study | None) -> None:
        """Show a study, soon; without one, what is drawn of the layout alone."""
        self._unpainted.stop()
        self._leave_off()
        if self.quantity is None or study is None:
            self._worst = None
            self._scene.recolour(None)
            self.flag.stand(None)
            self.shown.emit()
        if study is None:
            self._inquiry.stop()
            self.rails = self._mapped = None
            self._scene.show_rails(None)
            self.settled.emit()
        elif self.quantity is None:
            self._ask_rails(study)
        else:
            self._inquiry.ask(partial(_colour, study, self.quantity))

    def place_flag(self, layout: Layout) -> None:
        """Put the flag where the worst place lies now."""
        worst = self._worst
        at = place_xy(layout, worst.place) if worst is not None else None
        if worst is None or at is None or self.quantity is None:
            self.flag.stand(None)
        else:
            self.flag.stand(at, worst_word(self.quantity, worst.value))

    def place_meets(self, layout: Layout) -> None:
        """Put the signs where the poles meet now."""
        poles = self.rails.poles if self.rails is not None else None
        places = [place_xy(layout, on) for on in poles.meets] if poles else []
        self.meets.stand(tuple(place for place in places if place is not None))

    def _ask_rails(self, study: Study) -> None:
        known = self._mapped
        rails = known[1] if known is not None and known[0] is study else None
        self._inquiry.ask(partial(_map, study, rails))

    def _on_answer(self, found: object) -> None:
        if isinstance(found, _Values):
            self._next = partial(self._ask_rails, found.study)
            self._show_values(found)
        else:
            assert isinstance(found, _Rails)
            self._next = self.settled.emit
            self._show_rails(found)
            self._unpainted.start()

    def _go_on(self) -> None:
        self._next()

    def note_painted(self) -> None:
        """Go on with what waits till all is painted."""
        if self._unpainted.isActive():
            self._unpainted.start(AFTER_MS)

    def _show_values(self, found: "_Values") -> None:
        if found.quantity != self.quantity:
            self._unpainted.start()
            return
        scale = self.scale_for(found.study.layout)
        colours = {run: Colours(own, scale) for run, own in found.along.items()}
        self._worst = found.worst
        self._leave_off()
        self._colouring = self._scene.recolour_some(colours)
        self._colour_some()

    def _colour_some(self) -> None:
        """Take new colours for a moment, then let the window breathe."""
        until = monotonic() + SLICE_S
        for step in self._colouring:
            if step is None or monotonic() >= until:
                self._slice.start()
                return
        self.shown.emit()
        self._unpainted.start(PAINT_MS)

    def _leave_off(self) -> None:
        """Leave the colours as they are by now; what has new ones is painted."""
        self._slice.stop()
        self._colouring.close()

    def _show_rails(self, found: "_Rails") -> None:
        self.rails = found.rails
        self._mapped = (found.study, found.rails)
        self._scene.show_rails(found.rails)
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


@dataclass(frozen=True, slots=True)
class _Values:
    """One quantity of a study along all track, and its worst place."""

    study: Study
    quantity: Quantity
    along: dict[PartId, TrackValues]
    worst: Extreme | None


@dataclass(frozen=True, slots=True)
class _Rails:
    """What the rails of a study are, and who feeds them."""

    study: Study
    rails: RailMap


def _colour(study: Study, quantity: Quantity, _: Talk) -> _Values:
    along = every_track_values(study, quantity)
    return _Values(study, quantity, along, sound_part(study).worst(quantity))


def _map(study: Study, known: RailMap | None, _: Talk) -> _Rails:
    return _Rails(study, known or map_rails(study))


def worst_word(quantity: Quantity, value: float) -> str:
    """Return what is written on the flag."""
    match quantity:
        case "volts":
            return f"lowest, {show_volts(value)}"
        case "loop":
            return f"highest loop, {show_ohms(value)}"
        case "short":
            return f"weakest short, {value:.2g} × trip"
        case "short_dc":
            return f"weakest by resistance, {value:.2g} × trip"
