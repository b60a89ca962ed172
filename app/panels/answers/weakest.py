"""The ten places where a short is cleared with the least to spare."""

from collections.abc import Callable

from app.panels.answers.fold import Fold
from app.panels.answers.hindrance import hindrance, omission
from app.panels.bits import label
from app.panels.lists import Entry, EntryList
from app.panels.verdicts import SHORT_WORDS, show_margin
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.probe import judge_short
from core.analysis.remedy import find_remedy
from core.analysis.study import Study
from core.analysis.weak import WeakShort, weakest_shorts
from core.layout.queries import place_name

COUNT = 10
"""How many places are listed."""

SAYS = (
    "The coin test, tried on paper: how much a coin across the rails draws, over "
    "what trips the breaker. Go round these with a real coin."
)
NOTHING_TRIPS = "No booster or breaker here trips on a short at all."


class WeakestCard(Fold):
    """Lists the weakest shorts; pressing one takes the probe there."""

    def __init__(
        self, session: Session, looks: Looks, on_press: Callable[[Entry], None]
    ) -> None:
        super().__init__(session, looks, "Ten weakest shorts")
        self.words = label(SAYS, "faint")
        self.list = EntryList(looks, on_press)
        self.body.addWidget(self.words)
        self.body.addWidget(self.list)

    def refresh(self) -> None:
        """Show the weakest places of the last study."""
        why_not, result = hindrance(self.session), self.session.result
        self.show_note(omission(self.session))
        if why_not or result is None:
            self.words.setText(why_not)
            self.list.show_entries(())
            return
        study = result.study
        entries = [_entry(study, found) for found in weakest_shorts(study, COUNT)]
        self.words.setText(SAYS if entries else NOTHING_TRIPS)
        self.list.show_entries(entries)


def _entry(study: Study, found: WeakShort) -> Entry:
    verdict = judge_short(found.margin, study.layout.settings.limits)
    more = f"{SHORT_WORDS[verdict]}; {found.margin_low:.1f} to "
    more += f"{found.margin_high:.1f} × as rail, joints and wire vary"
    if found.limited_by == "inductance":
        more += f"\nby resistance alone {show_margin(found.plain_margin)}"
    if verdict != "good":
        more += f"\n{find_remedy(study, found.point).words}."
    return Entry(
        (found.place.run,),
        place_name(study.layout, found.place),
        show_margin(found.margin),
        more,
        wrong=verdict == "poor",
        place=found.place,
    )
