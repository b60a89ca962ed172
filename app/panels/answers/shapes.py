"""Ways to feed a bus, tried: elsewhere along it, as a ring, as a star."""

from functools import partial

from PySide6.QtWidgets import QProgressBar

from app.panels.answers.fold import Fold
from app.panels.answers.hindrance import hindrance
from app.panels.answers.trial_table import Named, TrialTable, to_buy
from app.panels.bits import button, label, row
from app.panels.fields.editors import PickEditor
from app.panels.fields.field import Choice
from app.session.asking import Inquiry, Talk
from app.session.looks import Looks
from app.session.session import Session
from core.errors import CoreError
from core.layout.change import Change
from core.layout.edits.feed import LEGS, fed_end
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus
from core.proposals.shapes import RING_NOTE, Shape, trials_of, try_shapes
from core.units.figures import show_kilos
from core.units.length import show_length
from core.units.si import Metre

HEADING = "Try where to feed a bus"
SAYS = (
    "Slides the booster along the bus and tries a feeder, a ring and a star, all with "
    "the wire that is drawn, and works the whole layout out for each."
)
NO_BUS = "Draw a bus from a booster or an output to a free end; then this can be tried."
MOVED_ON = "The plan has changed since these were tried. Try again for fresh figures."
STOPPED = "Stopped."
TRYING = "Trying ways to feed it…"


class ShapesCard(Fold):
    """Tries the ways in the background; one press draws one of them."""

    def __init__(self, session: Session, looks: Looks) -> None:
        super().__init__(session, looks, HEADING)
        self.inquiry = Inquiry(self)
        self.inquiry.told.connect(self._on_told)
        self.inquiry.answered.connect(lambda _: self._end(said_of(self._shapes)))
        self.inquiry.refused.connect(self._end)
        self._shapes: list[Shape] = []
        self._said = ""
        self.words = label(SAYS, "faint")
        self.pick = PickEditor()
        self.pick.setAccessibleName("Bus")
        self.start = button("Try them", self._on_start, "main")
        self.stop = button("Stop", self._on_stop)
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.table: TrialTable[Shape] = TrialTable(
            looks, "Fed", self._named, self._on_use
        )
        self.body.addWidget(self.words)
        self.body.addWidget(self.pick)
        self.body.addLayout(row(self.start, self.stop, None))
        self.body.addWidget(self.bar)
        self.body.addWidget(self.table)
        session.layout_changed.connect(self._on_change)
        session.layout_replaced.connect(self._forget)
        self._forget()

    def refresh(self) -> None:
        """Offer the buses that run to a free end, and show what was found out."""
        choices = bus_choices(self.session.layout)
        values = [choice.value for choice in choices]
        chosen = self._chosen()
        self.pick.show_choices(choices)
        if values:
            self.pick.show_value(chosen if chosen in values else values[0])
        self.pick.setVisible(len(choices) > 1)
        busy = self.inquiry.is_busy
        why_not = hindrance(self.session) if choices else NO_BUS
        self.start.setEnabled(not why_not and not busy)
        self.stop.setVisible(busy)
        self.bar.setVisible(busy)
        self.words.setText(self._said or why_not or SAYS)
        self.table.show_trials(self._shapes, lambda shape: shape.change is None)

    def close_work(self) -> None:
        """Give up what is being tried."""
        self.inquiry.close()

    def _on_start(self) -> None:
        layout, bus = self.session.layout.copy(), self._chosen()
        self._shapes, self._said = [], TRYING
        self.bar.setRange(0, trials_of(layout, bus))
        self.bar.setValue(0)
        self.inquiry.ask(partial(try_all, layout, bus))
        self.refresh()

    def _on_told(self, told: object) -> None:
        if isinstance(told, Shape):
            self._shapes.append(told)
            self.refresh()
        else:
            self.bar.setValue(self.bar.value() + 1)

    def _on_stop(self) -> None:
        self.inquiry.stop()
        self._end(STOPPED)

    def _end(self, said: str) -> None:
        self._said = said
        self.refresh()

    def _on_use(self, shape: Shape) -> None:
        assert shape.change is not None, "what is drawn offers nothing"
        try:
            self.session.commit(shape.change)
        except CoreError as error:
            self.session.notice.emit(error.sentence())

    def _on_change(self, _: Change) -> None:
        if self._shapes or self.inquiry.is_busy:
            # A change that was tried fits the plan it was tried on, and no other.
            self.inquiry.stop()
            self._shapes, self._said = [], MOVED_ON
        self.refresh_if_open()

    def _forget(self) -> None:
        self.inquiry.stop()
        self._shapes, self._said = [], ""
        self.refresh()

    def _chosen(self) -> PartId:
        data = self.pick.currentData()
        return data.value if isinstance(data, Choice) else PartId("")

    def _named(self, shape: Shape) -> Named:
        layout = self.session.layout
        system = layout.settings.lengths
        metres = show_length(Metre(shape.metres), system)
        kilos = show_kilos(shape.kg)
        full = f"{way_of(shape, layout)}; {metres} in all buses, {kilos} of copper"
        return Named(
            short_of(shape, layout), to_buy(shape.metres, shape.kg, system), full
        )


def try_all(layout: Layout, bus: PartId, talk: Talk) -> None:
    """Try each way, and tell each as soon as it is worked out."""

    def goes_on() -> bool:
        talk.tell(None)
        return talk.goes_on()

    for shape in try_shapes(layout, bus, go_on=goes_on):
        talk.tell(shape)


def bus_choices(layout: Layout) -> list[Choice]:
    """Return the buses that are fed at just one end."""
    return [
        Choice(bus.id, f"{bus.id} {bus.name}".strip())
        for bus in layout.of_kind(Bus)
        if fed_end(layout, bus) is not None
    ]


def short_of(shape: Shape, layout: Layout) -> str:
    """Return a way to feed a bus in a word or two."""
    match shape.kind:
        case "as it is":
            return "as drawn"
        case "ring":
            return "as a ring"
        case "star":
            return f"star of {LEGS}"
        case _:
            at = show_length(Metre(shape.at_m or 0.0), layout.settings.lengths)
            return f"at {at}" if shape.kind == "feeder" else f"from {at}"


def way_of(shape: Shape, layout: Layout) -> str:
    """Return a way to feed a bus in a sentence."""
    at = show_length(Metre(shape.at_m or 0.0), layout.settings.lengths)
    match shape.kind:
        case "as it is":
            return "The bus as it is drawn"
        case "moved":
            boosters = list(layout.of_kind(Booster))
            name = boosters[0].id if len(boosters) == 1 else "The booster"
            return f"{name} moved to {at} along the bus"
        case "feeder":
            return f"A feeder beside the bus, joined to it at {at}"
        case "ring":
            return "The far end led straight back to where the bus begins"
        case "star":
            return f"Cut into {LEGS} legs, each fed in its middle by its own feeder"


def said_of(shapes: list[Shape]) -> str:
    """Return what the figures come to."""
    if len(shapes) < 2:
        return "There is no other way to feed this bus."
    drawn, *others = shapes
    best = max(others, key=lambda s: (s.volts_v or 0.0, -s.kg))
    gain = (best.volts_v or 0.0) - (drawn.volts_v or 0.0)
    words = {
        "moved": "Standing the booster beside the bus",
        "feeder": "A feeder",
        "ring": "A ring",
        "star": "A star",
    }
    said = (
        f"{words[best.kind]} gives most: {gain:.2f} V more than now."
        if gain >= LEAST_GAIN_V
        else "None gives more than what is drawn."
    )
    return f"{said} {RING_NOTE}" if any(s.kind == "ring" for s in shapes) else said


LEAST_GAIN_V = 0.02
"""Less than this is no gain (house choice). [V]"""
