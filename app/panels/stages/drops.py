"""The Drops panel: which runs are tied down how often."""

from collections.abc import Sequence

from app.panels.answers.apart import ApartCard
from app.panels.answers.filling import FillCard
from app.panels.bits import Card, label
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands, StagePanel, key_of
from app.session.looks import Looks
from app.session.session import Session
from core.layout.layout import Layout
from core.layout.parts import Drop, TrackRun
from core.layout.queries import drops_by_run, place_name, run_name

NO_DROPS = (
    f"Take the Drop tool ({key_of('drop')}) and click on a rail: it finds the nearest "
    "bus or strip. One for each piece of rail is common "
    "practice; the figures tell what is enough."
)


class DropsPanel(StagePanel):
    """Lists runs with their drops, and drops that end nowhere."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Drops")
        self._words = label(NO_DROPS, "faint")
        self._runs = EntryList(looks, hands.show_entry)
        self._loose = EntryList(looks, hands.show_entry)
        feeds = Card("Drops on each run")
        for widget in (self._words, self._runs, self._loose):
            feeds.box.addWidget(widget)
        self.filling = FillCard(session, looks)
        self.apart = ApartCard(session, looks, hands.show_entry)
        self.add(feeds, self.filling, self.apart)
        self.close_up()
        self.refresh()

    def close_work(self) -> None:
        """End what is being worked out."""
        self.filling.close_work()

    def refresh(self) -> None:
        """Show runs and drops."""
        layout = self.session.layout
        self._words.setVisible(not any(True for _ in layout.of_kind(Drop)))
        drops = drops_by_run(layout)
        runs = layout.of_kind(TrackRun)
        self._runs.show_entries([_run(layout, r, drops.get(r.id, ())) for r in runs])
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


def _run(layout: Layout, run: TrackRun, drops: Sequence[Drop]) -> Entry:
    count = f"{len(drops)} drop{'' if len(drops) == 1 else 's'}" if drops else "no drop"
    parts = (run.id, *(d.id for d in drops))
    return Entry(parts, run_name(layout, run.id), count, wrong=not drops)
