"""The Prove panel: what the layout is tried with, its worst places, the findings."""

from collections.abc import Sequence

from app.panels.answers.conductors import conductors_question
from app.panels.answers.feeds import FeedsCard
from app.panels.answers.hindrance import NOT_YET
from app.panels.answers.legs import legs_question
from app.panels.answers.list_card import ListCard
from app.panels.answers.openings import openings_question
from app.panels.answers.restarts import has_stores, restarts_question
from app.panels.answers.weakest import WeakestCard
from app.panels.bits import Card, button, label
from app.panels.fields.settings import LIMITS, TRIAL
from app.panels.findings import Findings
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands, StagePanel, key_of
from app.panels.verdicts import show_margin
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.beyond import beyond_at, say_beyond
from core.analysis.probe import find_point
from core.analysis.sound import shorted_boosters, trains_amps
from core.analysis.study import Study
from core.checks.finding import Finding
from core.checks.words import left_out, list_names
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Load, OnRun
from core.layout.queries import kind_word, place_name, run_name
from core.units.figures import show_amps, show_ohms, show_volts, show_watts

NOTHING_FED = "No track is fed yet. Draw track, a booster, a bus and a drop first."


NO_TRAINS = (
    "None placed. Every point is tried with the test train all the same; place those "
    f"that run at the same time with the Train tool ({key_of('train')})."
)


class ProvePanel(StagePanel):
    """Shows the worst places and the findings."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Prove")
        worst = Card("Worst places")
        self._words = label(NOT_YET, "faint")
        self._worst = EntryList(looks, self._on_worst)
        self._left_out = label("", "error")
        for widget in (self._words, self._worst, self._left_out):
            worst.box.addWidget(widget)
        self._trial = self.settings_card("Tried with", TRIAL)
        self._limits = self.settings_card("What is good enough", LIMITS)
        self._limits.hide()
        self._more = button("Change the limits…", self._on_more, "link")
        self._trial.box.addWidget(self._more)
        trains = Card("Trains and standing loads")
        self._no_trains = label(NO_TRAINS, "faint")
        self._trains = EntryList(looks, hands.show_entry)
        self._draw = label("", "faint")
        for widget in (self._no_trains, self._trains, self._draw):
            trains.box.addWidget(widget)
        self._heading = label("Findings", "title")
        self.findings = Findings(session, looks, self._on_finding)
        self.findings.left.connect(lambda: hands.show_trail(None))
        self.findings.counted.connect(self._count)
        self.weakest = WeakestCard(session, looks, self._on_worst)
        go_to = self._on_worst
        self.openings = ListCard(session, looks, openings_question(), go_to)
        self.legs = ListCard(session, looks, legs_question(), go_to)
        self.restarts = ListCard(session, looks, restarts_question(), go_to)
        self.conductors = ListCard(session, looks, conductors_question(), go_to)
        self.feeds = FeedsCard(session, looks, hands)
        self.add(worst, self.feeds, self.weakest)
        self.add(self.openings, self.conductors, self.legs, self.restarts)
        self.add(self._heading, self.findings)
        self.add(trains, self._trial, self._limits)
        self.close_up()
        self.refresh()

    def refresh(self) -> None:
        """Show the worst places of the last study."""
        result = self.session.result
        study = result.study if result is not None else None
        entries = self._entries(result.sound) if result is not None else []
        self._worst.show_entries(entries)
        said = left_out(shorted_boosters(study)) if study is not None else ""
        self._left_out.setText(said)
        self._left_out.setVisible(bool(said))
        self._words.setText(NOT_YET if study is None else NOTHING_FED)
        self._words.setVisible(not entries and not said)
        self._show_trains(study)
        layout = self.session.layout
        self.legs.setVisible(any(True for _ in layout.of_kind(Bus)))
        self.restarts.setVisible(has_stores(layout))

    def _count(self, count: int) -> None:
        self._heading.setText(f"Findings ({count})" if count else "Findings")

    def _show_trains(self, study: Study | None) -> None:
        layout = self.session.layout
        loads = list(layout.of_kind(Load))
        self._no_trains.setVisible(not loads)
        self._trains.show_entries([_load(layout, load) for load in loads])
        self._draw.setVisible(study is not None and bool(loads))
        if study is not None:
            rated = sum(duty.rated_a for duty in study.boosters)
            self._draw.setText(
                f"Together {show_amps(trains_amps(study))} of {show_amps(rated)} that "
                f"the boosters can give.{_short_words(shorted_boosters(study))}"
            )

    def _entries(self, study: Study) -> list[Entry]:
        rows = (
            ("Lowest volts", study.worst_volts, show_volts),
            ("Highest loop", study.worst_loop, show_ohms),
            ("Weakest short", study.weakest_short, show_margin),
        )
        found: list[Entry] = []
        for word, extreme, show in rows:
            if extreme is not None:
                place = extreme.place
                name = place_name(study.layout, place)
                figure = show(extreme.value)
                if extreme is study.worst_volts:
                    name += _beyond_words(study, place)
                found.append(Entry((place.run,), word, figure, name, place=place))
        return found

    def close_work(self) -> None:
        """End what the cards work out in the background."""
        for card in (self.openings, self.conductors, self.legs, self.restarts):
            card.close_work()

    def _on_worst(self, entry: Entry) -> None:
        if entry.place is not None:
            self.session.set_probe(entry.place)
        self.hands.show_entry(entry)

    def _on_finding(self, finding: Finding) -> None:
        parts = [i for i in finding.parts if i in self.session.layout.parts]
        if finding.trail is not None:
            parts = parts[:1]  # all that lies on a way would glow, and hide it
        self.session.select(parts)
        if finding.place is not None:
            self.hands.show_place(finding.place)
        else:
            self.hands.show_parts(parts)
        self.hands.show_trail(finding.trail)

    def _on_more(self) -> None:
        shown = not self._limits.isVisible()
        self._limits.setVisible(shown)
        self._more.setText("Hide the limits" if shown else "Change the limits…")


def _beyond_words(study: Study, place: OnRun) -> str:
    """Return a line on a device that cannot give what these volts ask for."""
    beyond = beyond_at(study, find_point(study, place))
    return f"\n{say_beyond(beyond[0])}" if beyond else ""


def _load(layout: Layout, load: Load) -> Entry:
    figure = show_watts(load.watts_w) if load.watts_w else show_amps(load.amps_a)
    word = load.name or f"{kind_word(load).capitalize()} {load.id}"
    where = run_name(layout, load.on.run)
    return Entry(
        (load.id,), f"{word} on {where}", figure if load.active else f"{figure}, off"
    )


def _short_words(shorted: Sequence[PartId]) -> str:
    if not shorted:
        return ""
    are = "is" if len(shorted) == 1 else "are"
    return f" {list_names(shorted)} {are} shorted: that current is not counted."
