"""Hands what a study says of the rails to the drawings, and keeps it for new ones."""

from collections.abc import Mapping

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainterPath

from app.canvas.drawings.border import Cut, make_cut
from app.canvas.drawings.drawing import Drawing
from app.canvas.drawings.run import RunDrawing
from app.canvas.drawings.trackside import OnTrack
from app.canvas.item import PartItem
from core.analysis.poles import RunPoles
from core.analysis.railmap import RailMap
from core.layout.ids import PartId


class Railing:
    """Keeps the poles of runs, their districts, and what lies beside cuts.

    Parameters
    ----------
    items : mapping of PartId to PartItem
        The items of the scene, as they come and go.
    """

    def __init__(self, items: Mapping[PartId, PartItem]) -> None:
        self._items = items
        self.rails: RailMap | None = None
        self._poles: dict[PartId, RunPoles] = {}

    def show(self, rails: RailMap | None) -> int:
        """Draw rails by their poles, and tell of cuts; return how many runs changed."""
        if rails is self.rails:
            return 0
        self.rails = rails
        poles = rails.poles if rails is not None else None
        self._poles = dict(poles.runs) if poles is not None else {}
        return sum(self._tell(part_id, item) for part_id, item in self._items.items())

    def forget(self, run: PartId) -> None:
        """Let a run have the poles its drops are meant to give: it is another now."""
        self._poles.pop(run, None)

    def dress(self, part_id: PartId, drawing: Drawing) -> None:
        """Tell a drawing that was just made what is known of its part."""
        if isinstance(drawing, RunDrawing):
            drawing.show_poles(self._poles.get(part_id))
            drawing.show_districts(self.rails.plan if self.rails else None)
        elif isinstance(drawing, OnTrack):
            drawing.show_cut(self._cut_of(part_id))

    def area_of(self, number: int) -> QRectF:
        """Return the box around a district's track. [mm]"""
        path = QPainterPath()
        runs = self.rails.plan.runs if self.rails is not None else {}
        for run, stretches in runs.items():
            item = self._items.get(run)
            if item is not None and isinstance(item.drawing, RunDrawing):
                for stretch in stretches:
                    if stretch.number == number:
                        ends = (stretch.start_m, stretch.end_m)
                        path.addRect(item.drawing.box_between(*ends))
        return path.boundingRect()

    def _tell(self, part_id: PartId, item: PartItem) -> bool:
        """Tell an item what is known of its part; return whether its rails changed."""
        drawing = item.drawing
        if isinstance(drawing, RunDrawing):
            if drawing.show_districts(self.rails.plan if self.rails else None):
                item.forget_words()
                item.update()
            areas = drawing.show_poles(self._poles.get(part_id))
            for area in areas:
                item.update_about(area)
            return bool(areas)
        if isinstance(drawing, OnTrack) and drawing.show_cut(self._cut_of(part_id)):
            item.forget_words()
            item.update()
        return False

    def _cut_of(self, part_id: PartId) -> Cut | None:
        rails = self.rails
        border = rails.border_of.get(part_id) if rails is not None else None
        return make_cut(border, rails.plan) if rails and border else None
