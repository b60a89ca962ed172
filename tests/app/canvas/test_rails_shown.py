"""Rails by their poles, districts as bands, and what cuts say, as they are drawn."""

from itertools import groupby

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.item import PartItem
from app.canvas.over.meets import Meets
from app.session.hues import DARK_HUES, LIGHT_HUES, hue_of, ink_on, pattern_of
from app.session.session import Session
from app.session.theme import LIGHT
from app.session.views import View
from core.layout.edits.flip import flip_drop
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Gap, OnRun, Part, ToPort, TrackRun, Turnout
from tests.app.board import MAIN, board
from tests.app.yard import TURNOUT, yard
from tests.core.analysis.layouts import breaker

D2, G1 = PartId("D2"), PartId("G1")
AREA_MM = (1000.0, -300.0, 2000.0, 300.0)


@pytest.fixture
def shown(session: Session, canvas: Canvas, qtbot: QtBot) -> "Shown":
    return Shown(session, canvas, qtbot)


class Shown:
    """Opens layouts and waits until their rails are drawn."""

    def __init__(self, session: Session, canvas: Canvas, qtbot: QtBot) -> None:
        self.session, self.canvas, self._qtbot = session, canvas, qtbot

    def open(self, layout: Layout, view: View | None, px_per_mm: float = 0.5) -> None:
        with self._qtbot.waitSignal(self.session.study_ready):
            self.session.replace_layout(layout, None)
        self.see(view, px_per_mm)

    def see(self, view: View | None, px_per_mm: float = 0.5) -> None:
        self.canvas.set_colouring(view)
        self.canvas.show_at(1500.0, 0.0, px_per_mm)
        self.wait()

    def wait(self) -> None:
        heat = self.canvas._heat
        self._qtbot.waitUntil(lambda: not self.session.is_studying and not heat.is_busy)

    def item(self, part: PartId) -> PartItem:
        return self.canvas.plan.parts[part]

    def words(self, part: PartId) -> list[tuple[str, str]]:
        return [(label.text, label.foot) for label in self.item(part).labels]

    def picture(self) -> QImage:
        return self.canvas.grab().toImage()

    def row_at(self, y_mm: float) -> list[float]:
        """Return how dark the picture is along a level line on the plan: 0 to 1."""
        image = self.picture()
        port = self.canvas.viewport()
        ends = [
            self.canvas.mapFromScene(x, y_mm) + port.pos() for x in (1250.0, 1450.0)
        ]
        return [
            1.0 - QColor(image.pixel(x, ends[0].y())).lightnessF()
            for x in range(ends[0].x(), ends[1].x())
        ]


def gap(number: int, at_m: float, rails: str = "both") -> Gap:
    place = OnRun(run=MAIN, position_m=at_m)
    return Gap(id=PartId(f"G{number}"), on=place, rails=rails)  # type: ignore[arg-type]


def parted(*more: Part) -> Layout:
    """Return the board with its second drop behind a breaker."""
    layout = board()
    second = replace(layout.need(D2, Drop), to=ToPort(part=PartId("CB1")))
    own = (breaker(1), second, *more)
    return Layout({**layout.parts, **{part.id: part for part in own}})


# Poles


def test_without_colour_a_is_an_unbroken_line_and_b_a_dashed_one(shown: Shown) -> None:
    shown.open(board(), "poles", px_per_mm=1.0)
    left, right = (shown.row_at(y) for y in (8.25, -8.25))
    assert min(left) > 0.3  # never paper
    runs = [ink for ink, _ in groupby(value > 0.3 for value in right)]
    assert runs.count(True) > 5
    assert runs.count(False) > 5


def test_both_rails_are_told_apart_from_afar_too(shown: Shown) -> None:
    # At 0.1 px/mm the rails of H0 are 1.65 px apart: they are drawn further apart.
    shown.open(board(), "poles", px_per_mm=0.1)
    image, port = shown.picture(), shown.canvas.viewport()
    place = shown.canvas.mapFromScene(1250.0, 0.0) + port.pos()
    column = [
        QColor(image.pixel(x, place.y() + dy)).lightnessF() < 0.7
        for x in range(place.x(), place.x() + 1)
        for dy in range(-8, 9)
    ]
    # Paper between them: ink, paper, ink (where B has a dash just there, else one).
    assert [ink for ink, _ in groupby(column)][:3] == [False, True, False]


def test_where_a_drop_is_crossed_the_rails_flip_and_the_meeting_is_marked(
    shown: Shown,
) -> None:
    shown.open(board(), "poles")
    meets: Meets = shown.canvas._heat.meets

    def met() -> list[int]:
        return [round(place.x()) for place in meets.places]

    assert met() == []
    with shown._qtbot.waitSignal(shown.session.study_ready):
        shown.session.commit(flip_drop(shown.session.layout, D2))
    shown.wait()
    # The two drops are alike, so the poles meet half way between 0.5 and 2.5 m.
    assert met() == [1500]
    shown.session.undo_stack.undo()
    shown._qtbot.waitUntil(lambda: met() == [])


def test_a_short_has_ticks_across_both_rails(shown: Shown) -> None:
    shown.open(board(), "poles", px_per_mm=1.0)
    beside = 8.25 + 3.5  # clear of the rail, within half a tick
    assert max(shown.row_at(beside)) < 0.3
    with shown._qtbot.waitSignal(shown.session.study_ready):
        shown.session.commit(flip_drop(shown.session.layout, D2))
    shown.wait()
    assert max(shown.row_at(beside)) > 0.3


def test_a_rail_that_nothing_feeds_is_dotted(shown: Shown) -> None:
    # Both rails are cut at 1 m, and the second drop is gone: beyond it they are dead.
    layout = parted(gap(1, 1.0))
    parts = {i: part for i, part in layout.parts.items() if i != D2}
    shown.open(Layout(parts), "poles", px_per_mm=1.0)
    dots = [ink for ink, _ in groupby(value > 0.25 for value in shown.row_at(8.25))]
    assert dots.count(True) > 20  # a dashed rail has 13 in these 200 px, at most


def test_a_cut_where_a_rail_flips_says_so(shown: Shown) -> None:
    crossed = replace(parted().need(D2, Drop), a_rail="right")
    shown.open(parted(crossed, gap(1, 1.5)), "poles")
    assert shown.words(G1)[0] == ("G1 flips A|B", "")
    assert shown.words(G1)[1] == ("A|B", "")  # where there is no room for more


def test_the_section_of_a_reverser_says_what_turns_it(shown: Shown) -> None:
    turns = replace(breaker(1), device="reverser")
    shown.open(parted(turns, gap(1, 1.5)), "poles")
    assert ("CB1 turns this", "") in shown.words(MAIN)
    shown.see("districts")
    assert ("CB1 turns this", "") not in shown.words(MAIN)


# Districts


def test_each_stretch_of_track_has_the_number_and_name_of_what_feeds_it(
    shown: Shown,
) -> None:
    shown.open(parted(gap(1, 1.5)), "districts", px_per_mm=0.25)
    assert shown.words(MAIN)[-2:] == [("1 PB1", ""), ("2 CB1", "")]
    shown.see("volts", 0.25)
    assert shown.words(MAIN) == [("Main", "")]


def test_feeds_that_nothing_parts_are_told_on_the_track(shown: Shown) -> None:
    shown.open(parted(), "districts", px_per_mm=0.25)
    assert shown.words(MAIN)[-1] == ("1 CB1 + PB1, joined", "")


@pytest.mark.parametrize(
    ("rails", "word"), [("both", "both rails"), ("left", "A rail")]
)
def test_where_districts_meet_the_cut_says_which_rails_and_what_is_where(
    shown: Shown, rails: str, word: str
) -> None:
    shown.open(parted(gap(1, 1.5, rails)), "districts", px_per_mm=0.25)
    assert shown.words(G1)[0] == (f"G1 · {word}", "← 1 PB1 | 2 CB1 →")
    assert shown.words(G1)[1] == ("1|2", "")


def test_seen_from_below_the_sides_change_places(shown: Shown) -> None:
    shown.open(parted(gap(1, 1.5)), "districts")
    shown.canvas.set_underside(True)
    assert shown.words(G1)[0][1] == "← 2 CB1 | 1 PB1 →"
    assert shown.words(G1)[1] == ("2|1", "")


def test_on_track_that_runs_up_the_plan_the_sides_are_up_and_down(
    shown: Shown,
) -> None:
    layout = parted(gap(1, 1.5))
    upright = replace(layout.need(MAIN, TrackRun), heading_deg=90.0)
    shown.open(Layout({**layout.parts, MAIN: upright}), "districts")
    # It starts below: what lies before the gap is the lower side.
    assert shown.words(G1)[0][1] == "↑ 2 CB1 | 1 PB1 ↓"
    assert shown.words(G1)[1] == ("2|1", "")


def test_the_bands_are_there_only_in_their_view(shown: Shown) -> None:
    shown.open(parted(gap(1, 1.5)), "districts", px_per_mm=0.1)
    wanted = {QColor(hue_of(LIGHT.hues, n)).name() for n in (1, 2)}

    def colours() -> set[str]:
        image = shown.picture()
        wide, high = range(image.width()), range(image.height())
        return {QColor(image.pixel(x, y)).name() for x in wide for y in high}

    assert wanted <= colours()
    shown.see(None, 0.1)
    assert not wanted & colours()


def test_a_district_that_is_chosen_comes_into_view_and_stands_out(
    shown: Shown,
) -> None:
    shown.open(parted(gap(1, 1.5)), "districts")
    shown.canvas.show_at(-9000.0, 0.0, 0.5)
    shown.canvas.show_district(2)
    assert shown.canvas.look.focus == 2
    port = shown.canvas.viewport().rect()
    for x in (1500.0, 3000.0):  # from its gap to the end of the run
        assert port.contains(shown.canvas.mapFromScene(x, 0.0))
    shown.see("poles")
    assert shown.canvas.look.focus == 0


def test_28_districts_look_unlike_each_other() -> None:
    assert len({(hue_of(LIGHT_HUES, n), pattern_of(n)) for n in range(1, 29)}) == 28


@pytest.mark.parametrize("hues", [LIGHT_HUES, DARK_HUES])
def test_numbers_are_read_on_every_hue(hues: tuple[str, ...]) -> None:
    # WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1. Its own formula, from the
    # text of the recommendation.
    def glow(colour: str) -> float:
        shades = [
            QColor(colour).redF(),
            QColor(colour).greenF(),
            QColor(colour).blueF(),
        ]
        red, green, blue = (
            s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shades
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    for hue in hues:
        one, other = sorted((glow(hue), glow(ink_on(hue, "#ffffff", "#000000"))))
        assert (other + 0.05) / (one + 0.05) >= 4.5


# Cuts, whatever the view


def test_a_gap_tells_its_rails_its_filling_and_its_sides(shown: Shown) -> None:
    filled = replace(gap(1, 1.5), filled=True)
    shown.open(parted(filled), "volts")
    assert shown.words(G1) == [
        ("G1 · both rails · filled", "← 1 PB1 | 2 CB1 →"),
        ("G1", ""),
    ]
    shown.see("volts", 0.2)
    assert shown.words(G1) == [("G1", "")]


def test_a_gap_within_one_district_says_that(shown: Shown) -> None:
    # The right rail's: conductor B comes past the breaker, so both sides are joined.
    shown.open(parted(gap(1, 1.5, "right")), "volts")
    assert shown.words(G1)[0] == (
        "G1 · B rail · open",
        "1 CB1+PB1 on both sides",
    )


def test_the_short_words_stand_only_where_the_long_ones_do_not(shown: Shown) -> None:
    shown.open(parted(gap(1, 1.5)), "volts")
    shown.canvas._on_rest()
    shown._qtbot.waitUntil(lambda: len(shown.item(G1)._placed) == 2)
    long, short = shown.item(G1)._placed
    assert long is not None
    assert short is None


def test_an_insulated_leg_is_labelled_at_its_heel(shown: Shown) -> None:
    layout = yard(leg_insulated="both", frog="insulated")
    shown.open(layout, None)
    label = shown.item(TURNOUT).labels[-2]
    assert label.text == "T1 leg · both rails · insulated"
    assert label.foot == "← 1 PB1 | not fed →"
    lead_mm = 1000.0 * layout.need(TURNOUT, Turnout).lead_m
    assert label.at.x() > 1000.0 + lead_mm - 1.0
