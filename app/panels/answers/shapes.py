"""Ways to feed a bus, tried: elsewhere along it, as a ring, as a star."""

from collections.abc import Sequence
from functools import partial

from app.panels.answers.trial_table import Named, to_buy
from app.panels.answers.trying import MOVED_ON, TryingCard
from app.panels.fields.field import Choice
from app.session.asking import Talk
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
TRYING = "Trying ways to feed it…"


class ShapesCard(TryingCard[Shape]):
    """Tries the ways in the background; one press draws one of them."""

    says, no_bus = SAYS, NO_BUS

    def __init__(self, session: Session, looks: Looks) -> None:
        super().__init__(session, looks, HEADING, "Fed")

    def _choices(self) -> Sequence[Choice]:
        return bus_choices(self.session.layout)

    def _on_start(self) -> None:
        layout, bus = self.session.layout.copy(), self._chosen()
        self._begin(trials_of(layout, bus), TRYING)
        self.inquiry.ask(partial(try_all, layout, bus))
        self.refresh()

    def _on_told(self, told: object) -> None:
        if isinstance(told, Shape):
            self._trials.append(told)
            self.refresh()
        else:
            self.bar.setValue(self.bar.value() + 1)

    def _sum_up(self) -> str:
        return said_of(self._trials)

    def _is_in_use(self, shape: Shape) -> bool:
        return shape.change is None

    def _on_use(self, shape: Shape) -> None:
        assert shape.change is not None, "what is drawn offers nothing"
        try:
            self.session.commit(shape.change)
        except CoreError as error:
            self.session.notice.emit(error.sentence())

    def _on_change(self, _: Change) -> None:
        if self._trials or self.inquiry.is_busy:
            # A change that was tried fits the plan it was tried on, and no other.
            self.inquiry.stop()
            self._trials, self._said = [], MOVED_ON
        self.refresh_if_open()

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
