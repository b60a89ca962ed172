"""Who feeds what: the rows of the districts, and what is still open."""

from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.panels.answers.feeds import SETTLED, FeedsCard, open_matters
from app.panels.lists import Entry
from app.panels.probe_card import ProbeCard
from app.panels.probe_words import rails_in_words
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.examine import study_layout
from core.analysis.railmap import RailMap, map_rails
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Gap, OnRun, Part, ToPort
from tests.app.board import BOOSTER, MAIN, board
from tests.app.panels.conftest import Seen
from tests.core.analysis.layouts import breaker, train

D2 = PartId("D2")


def parted(*more: Part, feeder: str = "CB1", rails: str = "both") -> Layout:
    """Return the board with its second half behind a breaker, a gap at 1.5 m."""
    layout = board()
    second = replace(layout.need(D2, Drop), to=ToPort(part=PartId(feeder)))
    place = OnRun(run=MAIN, position_m=1.5)
    cut = Gap(id=PartId("G1"), on=place, rails=rails)  # type: ignore[arg-type]
    own = (breaker(1), second, cut, *more)
    return Layout({**layout.parts, **{part.id: part for part in own}})


def rails_of(layout: Layout) -> RailMap:
    return map_rails(study_layout(layout))


def opened(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen, layout: Layout
) -> FeedsCard:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(layout, None)
    card = FeedsCard(session, looks, seen.hands)
    qtbot.addWidget(card)
    card.show()
    card.show_rails(rails_of(layout))
    card.head.click()
    return card


def test_each_district_has_a_row_with_its_figures(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    # The breaker trips at 3 A and carries 1.2 A: 1.8 A are left, 40 % are used.
    layout = parted(train(1, 2.5, 1.2))
    card = opened(qtbot, session, looks, seen, layout)
    assert card.head.text() == "Who feeds what (2)"
    one, other = card.list.entries
    assert one.word == "1  PB1"
    assert (other.word, other.figure) == ("2  PB1 → CB1", "1.20 A")
    assert other.more.startswith("1.50 m of track")
    assert other.more.endswith("1.80 A left at CB1")
    assert other.share is not None
    assert round(other.share, 6) == 0.4
    assert not other.wrong


def test_a_row_asks_for_its_district(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = opened(qtbot, session, looks, seen, parted())
    with qtbot.waitSignal(card.chosen) as told:
        card.list._rows[1].click()
    assert told.args == [2]


def test_joined_feeds_are_marked_wrong(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = opened(qtbot, session, looks, seen, parted(rails="right"))
    (only,) = card.list.entries
    assert only.wrong
    assert "nothing parts them" in only.word


def matters(layout: Layout) -> list[Entry]:
    return list(open_matters(layout, rails_of(layout)))


def test_gaps_that_are_not_filled_are_open() -> None:
    (only,) = matters(parted())
    assert (only.word, only.more) == ("1 gap is not filled", "G1")
    assert only.parts == ("G1",)


def test_a_common_that_nobody_settled_is_open_where_two_boosters_meet() -> None:
    second = Booster(id=PartId("PB2"), x_mm=0.0, y_mm=-300.0)
    layout = parted(second, feeder="PB2")
    filled = replace(layout.need(PartId("G1"), Gap), filled=True)
    layout = Layout({**layout.parts, filled.id: filled})
    (only,) = matters(layout)
    assert only.word == "Common of PB1 and PB2 not settled"
    assert "G1" in only.more
    settled = [
        replace(layout.need(part, Booster), common="separate")
        for part in (BOOSTER, PartId("PB2"))
    ]
    assert matters(Layout({**layout.parts, **{b.id: b for b in settled}})) == []


def test_where_nothing_is_open_the_card_says_so(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = opened(qtbot, session, looks, seen, board())
    assert card.open_words.text() == SETTLED


# The probe


def test_the_probe_tells_poles_and_chain_in_one_line() -> None:
    rails = rails_of(parted())
    here = rails_in_words(rails, OnRun(run=MAIN, position_m=1.0))
    assert here == "Left rail A, right B · 1: PB1"
    there = rails_in_words(rails, OnRun(run=MAIN, position_m=2.0))
    assert there == "Left rail A, right B · 2: PB1 → CB1"


def test_the_probe_tells_what_is_dead_shorted_or_joined() -> None:
    there = OnRun(run=MAIN, position_m=2.0)
    loose = Layout({i: p for i, p in parted().parts.items() if i != D2})
    assert rails_in_words(rails_of(loose), there) == (
        "Left rail not fed, right not fed · nothing feeds it"
    )
    crossed = replace(board().need(D2, Drop), a_rail="right")
    shorted = Layout({**board().parts, D2: crossed})
    assert "both poles are on this metal" in rails_in_words(rails_of(shorted), there)
    assert "CB1 and PB1 feed it, nothing parts them" in rails_in_words(
        rails_of(parted(rails="right")), there
    )


def test_the_card_follows_the_map_of_the_rails(
    qtbot: QtBot, session: Session, looks: Looks, seen: Seen
) -> None:
    card = ProbeCard(
        session, looks, show_place=seen.places.append, show_parts=seen.show_parts
    )
    qtbot.addWidget(card)
    session.set_probe(OnRun(run=MAIN, position_m=1.0))
    assert card.rails.isHidden()
    card.show_rails(rails_of(board()))
    assert card.rails.text() == "Left rail A, right B · 1: PB1"
    assert "booster" in card.rails.toolTip()
    card.show_rails(None)
    assert card.rails.isHidden()
