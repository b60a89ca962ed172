"""The canvas: it follows a session, and shows what its studies say."""

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent

from app.canvas.following import follow
from app.canvas.heat import HeatMap
from app.canvas.look import Look
from app.canvas.over.handles import Handles
from app.canvas.over.markers import ProbePin
from app.canvas.over.trail import Shown, TrailMark
from app.canvas.picture import PictureRoom
from app.canvas.toolview import ToolView
from app.session.session import Session
from app.session.theme import Theme
from app.session.views import View, quantity_of
from app.tools.selecting.handles import handles_of
from app.tools.snapping.snapper import Snapper
from core.analysis.railmap import RailMap
from core.checks.trail import Trail
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.queries import place_xy
from core.units.figures import show_volts

PLACE_PX_PER_MM = 0.9
"""A place that is gone to is shown at least this large. [px/mm]"""

PARTS_PX_PER_MM = 1.5
"""Parts that are gone to are shown no larger than this. [px/mm]"""

AROUND_MM = 150.0
"""How much is shown round parts that are gone to. [mm]"""


class Canvas(ToolView):
    """Shows the layout of a session in plan, and lets tools work on it.

    Signals
    -------
    legend_changed(Legend or None)
        What the colours along the track mean.
    rails_changed(RailMap or None)
        What the rails are, and who feeds them.
    """

    legend_changed = Signal(object)
    rails_changed = Signal(object)

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(session, Look(theme))
        self._handles = Handles(self.look)
        self._pin = ProbePin(self.look)
        self._trail = TrailMark(self.look)
        for overlay in (self._handles, self._pin, self._trail):
            self.plan.addItem(overlay)
        self._heat = HeatMap(self.plan, self.look, self)
        self.markers = (self._heat.flag, self._pin)
        self._pictures = PictureRoom(self)
        self.setAccessibleName("Plan of the layout")
        self.tool_changed.connect(lambda _: self._show_handles())
        self._connect()
        self._on_replaced()

    @property
    def colouring(self) -> View | None:
        """What the track is shown by."""
        return self.look.view

    @property
    def rails(self) -> RailMap | None:
        """What the rails are, and who feeds them; None while that is worked out."""
        return self._heat.rails

    def set_colouring(self, view: View | None) -> None:
        """Show the track by a quantity, its poles or its districts, or plain."""
        self.plan.set_view(view)
        self._heat.quantity = quantity_of(view)
        self._show_heat()
        self.place_labels_soon()

    def show_district(self, number: int) -> None:
        """Let a district stand out, and bring its track into view."""
        self.plan.set_focus(number)
        area = self.plan.area_of_district(number)
        if not area.isEmpty():
            area.adjust(-AROUND_MM, -AROUND_MM, AROUND_MM, AROUND_MM)
            self.show_area(area, PARTS_PX_PER_MM)

    def set_theme(self, theme: Theme) -> None:
        """Take other colours."""
        self.look.set_theme(theme)
        self._pictures.read(self.session.layout.backdrop, theme.paper)
        self.viewport().update()
        self.place_labels_soon()
        self.legend_changed.emit(self._heat.legend(self.session.layout))

    @property
    def trail(self) -> Shown | None:
        """The way that is drawn for a finding."""
        return self._trail.shown

    def show_trail(self, trail: Trail | None) -> None:
        """Draw the way by which a fault comes about, whole in view; None: no way."""
        if trail is None and self._trail.shown is None:
            return
        layout, rails = self.session.layout, self._heat.rails
        shown = None
        if trail is not None:
            poles = rails.poles if rails is not None else None
            shown = follow(layout, trail, self.plan.around, poles)
        self._trail.show_trail(shown)
        if shown is not None:
            area = self._trail.area()
            area.adjust(-AROUND_MM, -AROUND_MM, AROUND_MM, AROUND_MM)
            self.show_area(area, PARTS_PX_PER_MM)
            # Once the zoom is known, its words want room on either side too.
            words = self._trail.words_px * self.look.mm_per_px
            self.show_area(area.adjusted(-words, 0.0, words, 0.0), PARTS_PX_PER_MM)
        self.place_labels_soon()

    def gives_way(self) -> bool:
        """Let words wait for figures and findings: all of them want Python."""
        return self.session.is_studying or self._heat.is_busy

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the way of a finding away, or hand a key to the tool."""
        is_escape = event.key() == Qt.Key.Key_Escape
        if is_escape and self._trail.shown is not None and self._hand.state.is_idle:
            self.show_trail(None)
        else:
            super().keyPressEvent(event)

    def show_place(self, on: OnRun) -> None:
        """Bring a place of track to the middle, near enough to see it."""
        at = place_xy(self.session.layout, on)
        if at is not None:
            self.show_at(*at, max(self.look.px_per_mm, PLACE_PX_PER_MM))

    def show_parts(self, ids: Iterable[PartId]) -> None:
        """Bring parts into view."""
        known = [i for i in ids if i in self.plan.parts]
        if known:
            area = self.plan.content(known)
            area.adjust(-AROUND_MM, -AROUND_MM, AROUND_MM, AROUND_MM)
            self.show_area(area, PARTS_PX_PER_MM)

    # What the session tells

    def _connect(self) -> None:
        session = self.session
        session.layout_replaced.connect(self._on_replaced)
        session.layout_changed.connect(self._on_changed)
        session.figures_ready.connect(lambda _: self._on_figures())
        session.study_refused.connect(lambda _: self._heat.show(None))
        self._heat.shown.connect(self._on_heat)
        self.painted.connect(self._heat.note_painted)
        self._heat.settled.connect(lambda: session.hold_findings(hold=False))
        session.selection_changed.connect(self._on_selected)
        session.probe_changed.connect(self._show_probe)
        session.case_changed.connect(self._show_thrown)
        self._pictures.ready.connect(self.plan.set_picture)

    def _on_replaced(self) -> None:
        layout = self.session.layout
        self._hand.cancel()
        self._snapper = Snapper(layout)
        self.lengths = layout.settings.lengths
        self.plan.rebuild(layout)
        self.plan.settle(self.viewport().size())
        self._read_picture()
        self._on_selected()
        self._show_probe()
        self._show_heat()
        self.fit()

    def _on_changed(self, change: Change) -> None:
        self._snapper.forget()
        self.lengths = self.session.layout.settings.lengths
        self.plan.follow(change)
        self._read_picture()
        self.show_trail(None)
        self._heat.place_flag(self.session.layout)
        self._heat.place_meets(self.session.layout)
        self._show_probe()
        self.keep_markers_in()
        self._show_handles()
        self.place_labels_soon()
        if not self._desk.is_committing:
            self.leave_gesture()

    def _on_selected(self) -> None:
        self.show_trail(None)
        self.plan.set_selection(self.session.selection)
        self._show_handles()

    def _read_picture(self) -> None:
        picture = self.plan.unread_picture
        if picture is not None:
            self._pictures.read(picture, self.look.theme.paper)

    def _on_figures(self) -> None:
        self._show_heat()
        self.session.hold_findings(hold=self._heat.is_busy)

    def _show_heat(self) -> None:
        self._heat.show(self.session.study)
        self.legend_changed.emit(self._heat.legend(self.session.layout))

    def _on_heat(self) -> None:
        self.rails_changed.emit(self._heat.rails)
        self._heat.place_flag(self.session.layout)
        self._heat.place_meets(self.session.layout)
        self.keep_markers_in()
        self.place_labels_soon()

    def _show_probe(self) -> None:
        place, probe = self.session.probe_place, self.session.probe
        at = place_xy(self.session.layout, place) if place is not None else None
        word = ""
        if probe is not None:
            word = show_volts(probe.volts_v) if probe.fed else "not fed"
        self._pin.stand(at, word)
        self.keep_markers_in()
        self.place_labels_soon()

    def _show_thrown(self) -> None:
        session = self.session
        self.plan.set_thrown(session.case.thrown | session.case.opened)
        self.place_labels_soon()

    def _show_handles(self) -> None:
        shown = self.tool == "select"
        chosen = self.session.selection if shown else frozenset()
        self._handles.show_handles(handles_of(self.session.layout, chosen))
