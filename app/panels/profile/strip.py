"""The profile strip below the plan: a route, its plot, and a train on it."""

from PySide6.QtWidgets import QFrame, QVBoxLayout

from app.panels.bits import IconButton, button, label, row
from app.panels.profile.plot import ProfilePlot
from app.session.looks import Looks
from app.session.result import Result
from app.session.session import Session
from core.analysis.grades import stops_for
from core.analysis.profile import Profile, profile_route, profile_run
from core.analysis.study import Quantity, Study
from core.errors import CoreError
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.queries import place_name, run_name
from core.units.length import show_length

NOTHING = "Click a track with the probe to see the volts along it."


class ProfileStrip(QFrame):
    """Plots the track that the probe stands on, or the way to it from a pinned start.

    Dragging along the plot moves the probe: the card, the pin on the plan and the
    breakdown follow.
    """

    def __init__(self, session: Session, looks: Looks) -> None:
        super().__init__()
        self.setProperty("kind", "strip")
        self._session = session
        self._quantity: Quantity = "volts"
        self._start: OnRun | None = None
        self._run: PartId | None = None
        self._profile: Profile | None = None
        self._seen: tuple[object, ...] = ()
        self._scrubbing = False
        self.plot = ProfilePlot(looks)
        self._words = label(NOTHING, "faint", wraps=False)
        self._pin = button("Start here", self._pin_start, "link")
        self._pin.setToolTip("Plot the way from here to wherever you probe next")
        self._whole = button("Whole track", self._show_whole, "link")
        shut = IconButton(looks, "close", "Close the profile", self.hide)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 6, 12, 4)
        box.setSpacing(2)
        box.addLayout(row(self._words, None, self._pin, self._whole, shut))
        box.addWidget(self.plot, 1)
        self.setFixedHeight(190)
        self.plot.scrubbed.connect(self._scrub)
        session.study_ready.connect(self._on_ready)
        session.probe_changed.connect(self._on_probe)
        session.layout_replaced.connect(self._forget)
        self.refresh()

    def set_quantity(self, quantity: Quantity | None) -> None:
        """Plot what colours the track."""
        self._quantity = quantity or "volts"
        self.refresh()

    def refresh(self) -> None:
        """Work the profile out anew where what it shows has changed."""
        if not self.isVisible():
            return
        result, place = self._session.result, self._session.probe_place
        study = result.study if result is not None else None
        if study is None:
            return
        if place is None and self._run is None and study.worst_volts is not None:
            self._run = study.worst_volts.place.run
        if place is not None and self._start is None and not self._scrubbing:
            self._run = place.run
        key = (id(study), self._start, place if self._start else None, self._run)
        if key != self._seen and not (self._scrubbing and self._profile):
            self._seen = key
            self._profile = self._work_out(study, place)
        self._show(study)
        self._show_train(place)

    def showEvent(self, _: object) -> None:
        """Draw what was left undone while hidden."""
        self.refresh()

    def _work_out(self, study: Study, place: OnRun | None) -> Profile | None:
        try:
            if self._start is not None and place is not None:
                return profile_route(study, self._start, place)
            if self._run is not None and self._run in study.layout.parts:
                return profile_run(study, self._run)
        except CoreError as error:
            self._words.setText(error.sentence())
        return None

    def _show(self, study: Study) -> None:
        layout, profile = study.layout, self._profile
        system = layout.settings.lengths
        self.plot.show_profile(
            profile, self._quantity, _limits(study, self._quantity), system
        )
        place = self._session.probe_place
        self._pin.setEnabled(place is not None)
        self._whole.setVisible(self._start is not None)
        if profile is None:
            if self._start is None:
                self._words.setText(NOTHING)
            return
        length = show_length(profile.length_m, system)
        if self._start is None:
            name = run_name(layout, profile.hops[0].run)
            self._words.setText(f"{name}, {length}. Drag along it to move the train.")
        else:
            self._words.setText(f"From {place_name(layout, self._start)}: {length}")

    def _show_train(self, place: OnRun | None) -> None:
        profile, probe = self._profile, self._session.probe
        drops = probe.drops if probe is not None and not probe.shorted_by else ()
        self.plot.show_flows(drops)
        if profile is None or place is None:
            self.plot.show_train(None)
            return
        offset = 0.0
        for hop in profile.hops:
            low, high = sorted((hop.from_m, hop.to_m))
            if hop.run == place.run and low - 1e-6 <= place.position_m <= high + 1e-6:
                self.plot.show_train(offset + abs(place.position_m - hop.from_m))
                return
            offset += hop.length_m
        self.plot.show_train(None)

    def _scrub(self, distance_m: float) -> None:
        if self._profile is None:
            return
        self._scrubbing = True
        self._session.set_probe(self._profile.place_at(distance_m))
        self._scrubbing = False

    def _pin_start(self) -> None:
        self._start = self._session.probe_place
        self.refresh()

    def _show_whole(self) -> None:
        self._start = None
        self.refresh()

    def _forget(self) -> None:
        self._start = self._run = self._profile = None
        self._seen = ()
        self.refresh()

    def _on_probe(self) -> None:
        self.refresh()

    def _on_ready(self, _: Result) -> None:
        self.refresh()


def _limits(study: Study, quantity: Quantity) -> tuple[float, ...]:
    """Return the figures where the verdict changes: first tolerable, then poor."""
    return () if quantity == "loop" else stops_for(quantity, study.layout)[1:3]
