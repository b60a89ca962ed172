"""The Prove panel: what the layout is tried with, its worst places, the findings."""

from app.panels.bits import Card, button, label
from app.panels.fields.settings import LIMITS, TRIAL
from app.panels.findings import Findings
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands, StagePanel
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.study import Extreme, Study
from core.checks.finding import Finding
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.queries import place_name
from core.units.figures import show_amps, show_ohms, show_volts

NOTHING_FED = "No track is fed yet. Draw track, a booster, a bus and a drop first."


class ProvePanel(StagePanel):
    """Shows the worst places and the findings."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Prove")
        self._places: dict[PartId, OnRun] = {}
        worst = Card("Worst places")
        self._words = label(NOTHING_FED, "faint")
        self._worst = EntryList(looks, self._on_worst)
        self._load = label("", "faint")
        for widget in (self._words, self._worst, self._load):
            worst.box.addWidget(widget)
        self._trial = self.settings_card("Tried with", TRIAL)
        self._limits = self.settings_card("What is good enough", LIMITS)
        self._limits.hide()
        self._more = button("Change the limits…", self._on_more, "link")
        self._trial.box.addWidget(self._more)
        self._heading = label("Findings", "title")
        self.findings = Findings(session, looks, self._on_finding)
        self.add(worst, self._trial, self._limits, self._heading, self.findings)
        self.close_up()
        self.refresh()

    def refresh(self) -> None:
        """Show the worst places of the last study."""
        result = self.session.result
        study = result.study if result is not None else None
        entries = self._entries(study) if study is not None else []
        self._worst.show_entries(entries)
        self._words.setVisible(not entries)
        self._load.setVisible(bool(entries))
        if study is not None:
            drawn = sum(duty.amps_a for duty in study.boosters)
            rated = sum(duty.rated_a for duty in study.boosters)
            self._load.setText(
                f"Trains and standing loads draw {show_amps(drawn)} of "
                f"{show_amps(rated)}."
            )
        count = len(result.findings) if result is not None else 0
        self._heading.setText(f"Findings ({count})" if count else "Findings")

    def _entries(self, study: Study) -> list[Entry]:
        self._places.clear()
        rows = (
            ("Lowest volts", study.worst_volts, show_volts),
            ("Highest loop", study.worst_loop, show_ohms),
            ("Weakest short", study.weakest_short, lambda v: f"{v:.1f} × trip"),
        )
        found: list[Entry] = []
        for word, extreme, show in rows:
            if extreme is not None:
                key = PartId(word)
                self._places[key] = extreme.place
                name = place_name(study.layout, extreme.place)
                found.append(Entry((key,), f"{word}: {name}", show(extreme.value)))
        return found

    def _on_worst(self, keys: object) -> None:
        assert isinstance(keys, tuple)
        place = self._places[keys[0]]
        self.session.set_probe(place)
        self.hands.show_place(place)

    def _on_finding(self, finding: Finding) -> None:
        parts = [i for i in finding.parts if i in self.session.layout.parts]
        self.session.select(parts)
        if finding.place is not None:
            self.hands.show_place(finding.place)
        else:
            self.hands.show_parts(parts)

    def _on_more(self) -> None:
        shown = not self._limits.isVisible()
        self._limits.setVisible(shown)
        self._more.setText("Hide the limits" if shown else "Change the limits…")


def worst_of(study: Study, quantity: str | None) -> Extreme | None:
    """Return the worst place for a quantity that colours the track."""
    return {
        "volts": study.worst_volts,
        "loop": study.worst_loop,
        "short": study.weakest_short,
    }.get(quantity or "")
