"""The quantity that is shown along the track, and its worst place."""

from app.canvas.colouring import Colours, Legend, Scale, make_legend, make_scale
from app.canvas.look import Look
from app.canvas.over.markers import WorstFlag
from app.canvas.scene import PlanScene
from app.session.result import Result
from core.analysis.along import every_track_values
from core.analysis.study import Extreme, Quantity, Study
from core.layout.layout import Layout
from core.layout.parts import Booster
from core.layout.queries import place_xy
from core.units.figures import show_ohms, show_volts

NOTHING_FED_V = 15.0
"""What the scale is tied to while there is no booster. [V]"""


class HeatMap:
    """Colours the track by the newest study, and flags the worst place."""

    def __init__(self, scene: PlanScene, look: Look) -> None:
        self._scene = scene
        self._look = look
        self.quantity: Quantity | None = None
        self.flag = WorstFlag(look)
        self._worst: Extreme | None = None
        scene.addItem(self.flag)

    def show(self, result: Result | None) -> int:
        """Colour the track; return how many runs look different now."""
        if self.quantity is None or result is None:
            self._worst = None
            self.flag.stand(None)
            return self._scene.recolour(None)
        study, quantity = result.study, self.quantity
        scale = self.scale_for(study.layout)
        colours = {
            run: Colours(values, scale)
            for run, values in every_track_values(study, quantity).items()
        }
        self._worst = _worst(study, quantity)
        return self._scene.recolour(colours)

    def place_flag(self, layout: Layout) -> None:
        """Put the flag where the worst place lies now."""
        worst = self._worst
        at = place_xy(layout, worst.place) if worst is not None else None
        if worst is None or at is None or self.quantity is None:
            self.flag.stand(None)
        else:
            self.flag.stand(at, worst_word(self.quantity, worst.value))

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
