"""From which zoom on small things are crowds, and who draws them then."""

from collections.abc import Callable, Mapping
from math import sqrt

from PySide6.QtCore import QRectF, QSize

from app.canvas.drawings.bench import JoistDrawing
from app.canvas.item import PartItem
from app.canvas.lines.crowd import Crowd
from app.canvas.look import Look
from app.canvas.sketch import CROWD_Z, GROUND, LOADS, ON_TRACK
from core.layout.ids import PartId

CROWD_FROM = 700
"""As many small things as are drawn one by one in time. [1]"""

COUNTED = (*ON_TRACK, JoistDrawing)
"""Drawings of which there may be thousands, and more the more there is of the plan."""

GROUND_Z, LOADS_Z = 8.0, 34.0


class Crowds:
    """Draws small things in batches where they lie close on the screen.

    Attributes
    ----------
    on_track : Crowd
        What sits on track; it loses its words too.
    """

    def __init__(self, look: Look, parts: Mapping[PartId, PartItem]) -> None:
        self._look = look
        self._parts = parts
        self.on_track = Crowd(look, CROWD_Z)
        self._ground = Crowd(look, GROUND_Z)
        self._loads = Crowd(look, LOADS_Z)
        self._below = 0.0
        self._settled_for: QSize | None = None
        self._is_gathered = False

    @property
    def items(self) -> tuple[Crowd, ...]:
        """The items that draw."""
        return (self._ground, self.on_track, self._loads)

    @property
    def are_wanted(self) -> bool:
        """Whether small things are crowds at the present zoom."""
        return self._look.px_per_mm < self._below

    def forget(self) -> None:
        """Take note that there are other parts now."""
        self._settled_for = None

    def settle(self, view_px: QSize, content: Callable[[], QRectF]) -> None:
        """Decide from which zoom on small things are drawn as a crowd.

        No more than CROWD_FROM of them are drawn one by one: n of them on an area
        A in a view of w by h pixels are about n·w·h / (A·zoom²) in view.
        """
        if self._settled_for == view_px:
            return
        self._settled_for = view_px
        small = sum(isinstance(i.drawing, COUNTED) for i in self._parts.values())
        area = content()
        per_mm2 = small / max(area.width() * area.height(), 1.0)
        view = view_px.width() * view_px.height()
        self._below = 0.0
        if small > CROWD_FROM:
            self._below = sqrt(per_mm2 * view / CROWD_FROM)
        self.gather(anew=True)

    def gather(self, *, anew: bool) -> None:
        """Let the crowds draw the small things, or each of them itself."""
        wanted = self.are_wanted
        if wanted == self._is_gathered and not (anew and wanted):
            return
        self._is_gathered = wanted
        parts = [(type(item.drawing), item) for item in self._parts.values()]
        for crowd, kinds in zip(self.items, (GROUND, ON_TRACK, LOADS), strict=True):
            own = [item for kind, item in parts if kind in kinds]
            for item in own:
                item.join_crowd(joined=wanted, with_words=kinds is not ON_TRACK)
            crowd.show_drawings([i.small for i in own] if wanted else ())

    def set_room(self, mm_per_px: float) -> None:
        """Keep room for what is measured in pixels of that size or smaller."""
        for crowd in self.items:
            crowd.set_room(mm_per_px)
