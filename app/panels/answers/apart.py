"""How far apart drops may stand: for each rail that is laid, and the test train."""

from collections.abc import Callable

from app.panels.answers.fold import Fold
from app.panels.bits import label
from app.panels.lists import Entry, EntryList
from app.session.looks import Looks
from app.session.session import Session
from core.layout.layout import Layout
from core.layout.parts import TrackRun
from core.layout.rails import rail_of
from core.proposals.spacing import drop_spacing_m, stub_length_m
from core.units.figures import show_amps, show_volts
from core.units.length import show_length
from core.units.si import Metre

LOST_V = 0.2
"""What rail may take from a train halfway between two drops (house choice). [V]"""

NO_TRACK = "Draw some track first."
NO_TRAIN = "The test train draws nothing; give it some amps in the Prove stage."


class ApartCard(Fold):
    """Lists the rails in use; pressing one shows its runs."""

    def __init__(
        self, session: Session, looks: Looks, on_press: Callable[[Entry], None]
    ) -> None:
        super().__init__(session, looks, "How far apart drops may stand")
        self.words = label("", "faint")
        self.list = EntryList(looks, on_press)
        self.body.addWidget(self.words)
        self.body.addWidget(self.list)
        session.layout_changed.connect(lambda _: self.refresh_if_open())

    def refresh(self) -> None:
        """Show the rails of the plan as it is now."""
        layout = self.session.layout
        self.list.show_entries(advice(layout))
        self.words.setText(sentence_for(layout))


def advice(layout: Layout) -> tuple[Entry, ...]:
    """Return a row for each rail in use, with its spacing and longest stub."""
    amps = layout.settings.test_train_a
    used: dict[str, list[TrackRun]] = {}
    for run in layout.of_kind(TrackRun):
        used.setdefault(run.rail, []).append(run)
    if not amps:
        return ()
    return tuple(
        Entry(
            tuple(run.id for run in runs),
            rail.label,
            _length(layout, drop_spacing_m(rail, LOST_V, amps)),
            f"dead ends {_length(layout, stub_length_m(rail, LOST_V, amps))} beyond "
            "their last drop",
        )
        for rail, runs in (
            (rail_of(layout.settings, name), runs) for name, runs in used.items()
        )
    )


def sentence_for(layout: Layout) -> str:
    """Return what the spacings rest on, or why there are none."""
    amps = layout.settings.test_train_a
    if not any(True for _ in layout.of_kind(TrackRun)):
        return NO_TRACK
    if not amps:
        return NO_TRAIN
    return (
        f"At this spacing a train of {show_amps(amps)} halfway between two drops loses "
        f"{show_volts(LOST_V)} in the rail. Joiners come on top, unless they are "
        "soldered."
    )


def _length(layout: Layout, length_m: float) -> str:
    return show_length(Metre(length_m), layout.settings.lengths)
