"""Who feeds what: the districts with what they draw, and what is still open in them."""

from collections.abc import Iterator

from PySide6.QtCore import Signal

from app.panels.answers.fold import Fold
from app.panels.answers.hindrance import NOT_YET
from app.panels.bits import label
from app.panels.lists import Entry, EntryList
from app.panels.stages.base import Hands
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.districts import District
from core.analysis.railmap import RailMap
from core.checks.words import chain_words, left_words, list_names
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Gap
from core.units.figures import show_amps
from core.units.length import show_length
from core.units.si import Metre

HEADING = "Who feeds what"
SAYS = "Press one to see its track on the plan."
NOTHING = "Nothing is fed yet."
OPEN, SETTLED = "Still open", "Every gap is filled, and every common settled."


class FeedsCard(Fold):
    """Lists the districts; pressing one shows its track.

    Signals
    -------
    chosen(int)
        The district to show.
    """

    chosen = Signal(int)

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, HEADING)
        self._rails: RailMap | None = None
        self.words = label(SAYS, "faint")
        self.list = EntryList(looks, self._on_press)
        self.open_words = label(OPEN, "heading")
        self.open = EntryList(looks, hands.show_entry)
        for widget in (self.words, self.list, self.open_words, self.open):
            self.body.addWidget(widget)

    def show_rails(self, rails: RailMap | None) -> None:
        """Take over what the rails are now."""
        self._rails = rails
        count = len(rails.plan.districts) if rails is not None else 0
        self.head.setText(f"{HEADING} ({count})" if count else HEADING)
        self.refresh_if_open()

    def refresh(self) -> None:
        """Show the districts, and what is open."""
        rails, layout = self._rails, self.session.layout
        districts = rails.plan.districts if rails is not None else ()
        without = NOT_YET if rails is None else NOTHING
        self.words.setText(SAYS if districts else without)
        self.list.show_entries([district_entry(layout, d) for d in districts])
        matters = list(open_matters(layout, rails)) if rails is not None else []
        self.open_words.setText(OPEN if matters else SETTLED)
        self.open_words.setVisible(bool(districts))
        self.open.show_entries(matters)

    def _on_press(self, entry: Entry) -> None:
        self.chosen.emit(self.list.entries.index(entry) + 1)


def district_entry(layout: Layout, district: District) -> Entry:
    """Return the row of a district: its chain, what it draws, and what is left."""
    length = show_length(Metre(district.length_m), layout.settings.lengths)
    room = district.headroom
    more = f"{length} of track"
    if district.reverser is not None:
        more += f", turned by {district.reverser}"
    more += f"; {left_words(district)}"
    share = 1.0 - room.amps_a / room.limit_a if room and room.limit_a else None
    return Entry(
        (),
        f"{district.number}  {chain_words(district)}",
        show_amps(district.amps_a),
        more,
        share,
        wrong=district.is_joined or room is None,
    )


def open_matters(layout: Layout, rails: RailMap) -> Iterator[Entry]:
    """Yield what is still to be done or settled where districts meet."""
    gaps = [g for g in layout.of_kind(Gap) if not g.filled and not g.bridged]
    if gaps:
        names = [gap.id for gap in gaps]
        one = len(gaps) == 1
        yield Entry(
            tuple(names),
            "1 gap is not filled" if one else f"{len(gaps)} gaps are not filled",
            more=list_names(names),
        )
    for (one_id, other_id), cuts in _unsettled(layout, rails).items():
        yield Entry(
            (one_id, other_id, *cuts),
            f"Common of {one_id} and {other_id} not settled",
            more=f"They meet at {list_names(cuts)}; ask their instructions",
        )


def _unsettled(
    layout: Layout, rails: RailMap
) -> dict[tuple[PartId, PartId], list[PartId]]:
    """Return boosters that meet at cuts and have no one answer about their common."""
    found: dict[tuple[PartId, PartId], list[PartId]] = {}
    for border in rails.borders:
        flanks = (border.before, border.after)
        sides = [rails.plan.get(flank.number) for flank in flanks]
        tops = sorted({side.chain[0] for side in sides if side is not None})
        if len(tops) == 2 and not _is_settled(layout, tops):
            found.setdefault((tops[0], tops[1]), []).append(border.part)
    return found


def _is_settled(layout: Layout, boosters: list[PartId]) -> bool:
    said = {layout.need(part, Booster).common for part in boosters}
    return len(said) == 1 and "not said" not in said
