"""The Drops panel: which runs are tied down how often, and what trains run."""

from app.panels.bits import Card, label
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands, StagePanel
from app.session.looks import Looks
from app.session.session import Session
from core.layout.layout import Layout
from core.layout.parts import Drop, Load, TrackRun
from core.layout.queries import drops_on, kind_word, place_name, run_name
from core.units.figures import show_amps, show_watts

NO_DROPS = (
    "Take the Drop tool (D), press on a rail and let go over the bus or a strip. "
    "One for each piece of rail is common practice; the figures tell what is enough."
)
NO_TRAINS = (
    "No train placed. Every point is tried with the test train all the same; place "
    "trains that run at the same time."
)


class DropsPanel(StagePanel):
    """Lists runs with their drops, drops that end nowhere, and trains."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Drops")
        self._words = label(NO_DROPS, "faint")
        self._runs = EntryList(looks, hands.show_parts)
        self._loose = EntryList(looks, hands.show_parts)
        self._no_trains = label(NO_TRAINS, "faint")
        self._trains = EntryList(looks, hands.show_parts)
        feeds, trains = Card("Drops on each run"), Card("Trains and standing loads")
        for widget in (self._words, self._runs, self._loose):
            feeds.box.addWidget(widget)
        for widget in (self._no_trains, self._trains):
            trains.box.addWidget(widget)
        self.add(feeds, trains)
        self.close_up()
        self.refresh()

    def refresh(self) -> None:
        """Show runs, drops and trains."""
        layout = self.session.layout
        loads = list(layout.of_kind(Load))
        self._words.setVisible(not any(True for _ in layout.of_kind(Drop)))
        self._runs.show_entries([_run(layout, r) for r in layout.of_kind(TrackRun)])
        self._loose.show_entries(
            [
                Entry(
                    (d.id,),
                    f"{d.id} on {place_name(layout, d.on)}",
                    "loose",
                    wrong=True,
                )
                for d in layout.of_kind(Drop)
                if d.to is None
            ]
        )
        self._no_trains.setVisible(not loads)
        self._trains.show_entries([_load(layout, load) for load in loads])


def _run(layout: Layout, run: TrackRun) -> Entry:
    drops = drops_on(layout, run.id)
    count = f"{len(drops)} drop{'' if len(drops) == 1 else 's'}" if drops else "no drop"
    parts = (run.id, *(d.id for d in drops))
    return Entry(parts, run_name(layout, run.id), count, wrong=not drops)


def _load(layout: Layout, load: Load) -> Entry:
    figure = show_watts(load.watts_w) if load.watts_w else show_amps(load.amps_a)
    word = load.name or f"{kind_word(load).capitalize()} {load.id}"
    where = run_name(layout, load.on.run)
    return Entry(
        (load.id,), f"{word} on {where}", figure if load.active else f"{figure}, off"
    )
