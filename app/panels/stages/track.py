"""The Track panel: what has been drawn."""

from app.panels.bits import Card, label
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands, StagePanel, key_of
from app.session.looks import Looks
from app.session.session import Session
from core.checks.words import count_of
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Crossing, TrackRun, Turnout, Turntable
from core.layout.queries import run_name
from core.units.length import show_length
from core.units.si import Metre

EMPTY = (
    f"Take the Track tool ({key_of('run')}) and click where the track begins. Move, "
    "and click again for each piece; type a length such as 1200 to draw it "
    "exactly. Enter ends the run."
)


class TrackPanel(StagePanel):
    """Lists the runs with their lengths."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Track")
        self._card = Card("Runs")
        self._words = label(EMPTY, "faint")
        self._list = EntryList(looks, hands.show_entry)
        self._total = label("", "faint")
        for widget in (self._words, self._list, self._total):
            self._card.box.addWidget(widget)
        self.add(self._card)
        self.close_up()
        self.refresh()

    def refresh(self) -> None:
        """Show the runs."""
        layout = self.session.layout
        runs = list(layout.of_kind(TrackRun))
        self._words.setVisible(not runs)
        self._list.show_entries(
            [
                Entry((run.id,), _name(layout, run), _length(layout, _long(run)))
                for run in runs
            ]
        )
        turnouts = sum(1 for _ in layout.of_kind(Turnout))
        pits = [table.form for table in layout.of_kind(Turntable)]
        counts = {
            "turnout": turnouts,
            "crossing": sum(1 for _ in layout.of_kind(Crossing)),
            "turntable": pits.count("turntable"),
            "traverser": pits.count("traverser"),
        }
        total = _length(layout, sum(_long(run) for run in runs))
        ways = "".join(f", {count_of(n, word)}" for word, n in counts.items() if n)
        self._total.setText(f"{total} of track in all{ways}.")
        self._total.setVisible(bool(runs))


def _long(run: TrackRun) -> float:
    return run_path(run).length_m


def _name(layout: Layout, run: TrackRun) -> str:
    name = run_name(layout, run.id)
    return name if name == run.id else f"{name} ({run.id})"


def _length(layout: Layout, length_m: float) -> str:
    text: str = show_length(Metre(length_m), layout.settings.lengths)
    return text
