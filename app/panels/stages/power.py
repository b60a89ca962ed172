"""The Power panel: boosters, devices, strips and buses against what they may carry."""

from collections.abc import Sequence

from PySide6.QtWidgets import QLabel

from app.panels.answers.shapes import ShapesCard
from app.panels.answers.sizes import SizesCard
from app.panels.bits import Card, label
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands, StagePanel
from app.session.looks import Looks
from app.session.result import Result
from app.session.session import Session
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Inline, Strip
from core.layout.queries import bus_length_m, kind_word, rated_amps, ways_by_strip
from core.units.figures import show_amps
from core.units.length import show_length
from core.units.si import Metre

SECTIONS = (
    (
        "Boosters",
        (
            "Place the booster where it stands: it drives the track. Then draw the bus "
            "from it."
        ),
    ),
    (
        "Breakers and other devices",
        "None. A breaker keeps a short on one part of the layout off the rest.",
    ),
    ("Buses", "None yet. Draw the pair of wires that runs under the whole layout."),
    (
        "Terminal strips",
        "None. Drops can go straight to the bus, or neatly to a strip.",
    ),
)
"""Heading, and what to do while there is nothing."""

AFTER_BUSES = 3
"""Which place in the column stands below the buses."""


class PowerPanel(StagePanel):
    """Lists what feeds the track."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Power")
        self._sections = [self._section(*section) for section in SECTIONS]
        self.sizes = SizesCard(session, looks)
        self.shapes = ShapesCard(session, looks)
        self.box.insertWidget(AFTER_BUSES, self.sizes)
        self.box.insertWidget(AFTER_BUSES + 1, self.shapes)
        self.close_up()
        self.refresh()

    def refresh(self) -> None:
        """Show the parts, and the amps where they are worked out."""
        layout, result = self.session.layout, self.session.result
        rows = (
            _boosters(layout, result),
            _devices(layout, result),
            _buses(layout),
            _strips(layout),
        )
        for (words, listed), entries in zip(self._sections, rows, strict=True):
            words.setVisible(not entries)
            listed.show_entries(entries)

    def close_work(self) -> None:
        """End what is being tried."""
        self.sizes.close_work()
        self.shapes.close_work()

    def _section(self, heading: str, empty: str) -> tuple[QLabel, EntryList]:
        card = Card(heading)
        words = label(empty, "faint")
        listed = EntryList(self.looks, self.hands.show_entry)
        card.box.addWidget(words)
        card.box.addWidget(listed)
        self.add(card)
        return words, listed


def _boosters(layout: Layout, result: Result | None) -> list[Entry]:
    duties = {d.part: d.amps_a for d in result.study.boosters} if result else {}
    return [
        _duty(b.id, b.name or b.id, duties.get(b.id), b.rated_a)
        for b in layout.of_kind(Booster)
    ]


def _devices(layout: Layout, result: Result | None) -> list[Entry]:
    duties = {d.part: d.amps_a for d in result.study.devices} if result else {}
    return [
        _duty(
            d.id, f"{d.name or d.id} ({kind_word(d)})", duties.get(d.id), rated_amps(d)
        )
        for d in layout.of_kind(Inline)
    ]


def _buses(layout: Layout) -> list[Entry]:
    return [
        Entry((b.id,), b.name or b.id, _length(layout, bus_length_m(b)))
        for b in layout.of_kind(Bus)
    ]


def _strips(layout: Layout) -> Sequence[Entry]:
    found = []
    ways = ways_by_strip(layout)
    for strip in layout.of_kind(Strip):
        taken = len(ways.get(strip.id, ()))
        figure = f"{taken} of {strip.ways} ways"
        found.append(
            Entry((strip.id,), strip.name or strip.id, figure, share=taken / strip.ways)
        )
    return found


def _duty(part: PartId, word: str, amps: float | None, rated: float) -> Entry:
    if amps is None:
        return Entry((part,), word, f"rated {show_amps(rated)}")
    figure = f"{show_amps(amps)} of {show_amps(rated)}"
    return Entry((part,), word, figure, share=amps / rated)


def _length(layout: Layout, length_m: float) -> str:
    text: str = show_length(Metre(length_m), layout.settings.lengths)
    return text
