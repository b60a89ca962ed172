"""The wiring card of each turnout: letters, cuts, lead, contact."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Inline, Part, Side, ToPort, Turnout
from core.sheet.drawing.points import WIDTH, Points, draw_points, height_of
from core.sheet.frame import Leaf
from core.sheet.inks import strokes_of
from core.sheet.marks import Circle, Line, Mark, Shape, Text
from core.sheet.pages.track.turnouts import total_words, turnout_leaves
from core.sheet.schedules.track.turnouts import Totals, TurnoutRow, turnout_rows
from tests.core.network.track import FrogKind, end, on, run, turnout
from tests.core.sheet.boards import brief_of, layout_of, texts

BOOSTER = Booster(id=PartId("PB1"), x_mm=0, y_mm=-300)
BREAKER = Inline(
    id=PartId("CB1"),
    device="breaker",
    x_mm=0,
    y_mm=-200,
    trip_a=5.0,
    trip_s=0.016,
    feed=ToPort(part=BOOSTER.id),
)


def feed(number: int, track: int, position_m: float, a_rail: Side = "left") -> Drop:
    return Drop(
        id=PartId(f"D{number}"),
        on=on(track, position_m),
        to=ToPort(part=BREAKER.id),
        a_rail=a_rail,
        lead_m=0.5,
    )


def junction(
    frog: FrogKind = "switched", *more: Part, a_rail: Side = "left", **fields: object
) -> Layout:
    """Return T1 at 1 m of R1, the leg R2 to its left; conductor A on one rail."""
    points = replace(turnout(1, on(1, 1.0), end(2, "start"), frog=frog), **fields)
    return layout_of(
        run(1, 3.0), run(2, 1.0), points, BOOSTER, BREAKER, feed(1, 1, 0.5, a_rail),
        *more,
    )  # fmt: skip


def row_of(layout: Layout) -> TurnoutRow:
    (row,) = turnout_rows(study_layout(layout))
    return row


def said(leaves: tuple[Leaf, ...]) -> str:
    return " ".join(t for leaf in leaves for t in texts(leaf.marks))


@pytest.mark.parametrize(
    ("hand", "backward", "near"),
    [
        # A on the left rail. Walking on, a left hand's own stock rail is the left one;
        # walking back it is the right one, seen along the run.
        ("left", False, "A"),
        ("right", False, "B"),
        ("left", True, "B"),
        ("right", True, "A"),
    ],
)
def test_stock_rails_have_the_poles_of_the_track_before_the_blades(
    *, hand: Side, backward: bool, near: str
) -> None:
    more = feed(2, 1, 2.5)
    opens = "backward" if backward else "forward"
    row = row_of(junction("switched", more, hand=hand, opens=opens))
    assert row.near == near
    assert row.far != near


def test_the_contact_lies_on_the_pole_of_the_way_that_is_set() -> None:
    # Straight on, the frog is part of the rail on the side of the hand: A here. Set
    # for the branch, of the branch's other rail, which comes from the far stock rail.
    assert "Straight on A, branch on B." in said(turnout_leaves(brief_of(junction())))
    turned = junction(a_rail="right")
    assert "Straight on B, branch on A." in said(turnout_leaves(brief_of(turned)))


@pytest.mark.parametrize(
    ("frog", "has", "lacks"),
    [
        ("insulated", "Dead: wire nothing to the frog", "Lead:"),
        ("switched", "Switched: a change-over contact", "Dead:"),
        ("self-powered", "Through the blades: no lead", "Lead:"),
    ],
)
def test_each_treatment_has_its_own_instruction(
    frog: FrogKind, has: str, lacks: str
) -> None:
    words = said(turnout_leaves(brief_of(junction(frog))))
    assert has in words
    assert lacks not in words


def test_the_lead_names_its_wire_and_the_contact_its_rating() -> None:
    # 5 A breaker: a contact of 1 A is too weak, and the card says so.
    layout = junction(frog_wire="0.75mm2-c5", contact_a=1.0)
    words = said(turnout_leaves(brief_of(layout)))
    assert "Lead: 0.75 mm² flexible, frog to common." in words
    assert "▲ Contact for 1.00 A; needed: 5.00 A." in words
    unsaid = said(turnout_leaves(brief_of(junction())))
    assert "Contact for 5.00 A or more." in unsaid


def test_a_live_frog_without_cuts_says_what_hangs_on_it() -> None:
    layout = junction(heel_gaps=False)
    assert row_of(layout).gaps == 0
    assert "the rails beyond live through it alone" in said(
        turnout_leaves(brief_of(layout))
    )


def test_a_turnout_without_power_has_no_letters() -> None:
    points = turnout(1, on(1, 1.0), end(2, "start"), frog="switched")
    layout = layout_of(run(1, 3.0), run(2, 1.0), points)
    words = said(turnout_leaves(brief_of(layout)))
    assert "Not fed" in words
    assert "Straight on –, branch on –." in words


@pytest.mark.parametrize(
    ("totals", "words"),
    [
        (
            Totals(dead=0, live=9, gaps=18, leads=9),
            "9 live frogs: 18 gaps, 9 frog leads, 9 change-over contacts.",
        ),
        (Totals(dead=2, live=0, gaps=0, leads=0), "2 dead frogs: nothing to wire."),
        (
            Totals(dead=0, live=1, gaps=2, leads=0),
            "1 live frog: 2 gaps, no frog leads, no change-over contacts.",
        ),
    ],
)
def test_the_sums_are_said_in_words(totals: Totals, words: str) -> None:
    assert total_words(totals) == words


def test_four_cards_stand_on_a_page_of_either_paper() -> None:
    parts: list[Part] = [run(1, 6.0), BOOSTER, BREAKER, feed(1, 1, 0.2)]
    for n in range(1, 5):
        parts += [
            run(n + 1, 1.0),
            turnout(n, on(1, float(n)), end(n + 1, "start"), frog="switched"),
            feed(n + 1, 1, n + 0.5),
        ]
    for paper in ("a4", "letter"):
        brief = brief_of(layout_of(*parts, paper=paper))
        assert len(turnout_leaves(brief)) == 1


def test_without_turnouts_there_is_no_page() -> None:
    assert turnout_leaves(brief_of(layout_of(run(1, 3.0)))) == ()


# The diagram ------------------------------------------------------------------------


def drawn(
    frog: FrogKind = "switched", hand: Side = "left", *, cut: bool = True
) -> tuple[Mark, ...]:
    points = Points(hand, frog, "A", "B", cut)
    return draw_points(points, strokes_of(layout_of().settings), (0.0, 0.0))


def _reach(mark: Mark) -> list[tuple[float, float]]:
    match mark:
        case Line(points=points) | Shape(points=points):
            return list(points)
        case Circle(x=x, y=y, radius=r):
            return [(x - r, y - r), (x + r, y + r)]
        case Text(x=x, y=y):
            return [(x, y)]
        case _:
            return []


@pytest.mark.parametrize("frog", ["insulated", "switched", "self-powered"])
@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_diagram_stays_in_its_room(frog: FrogKind, hand: Side) -> None:
    for mark in drawn(frog, hand):
        for x, y in _reach(mark):
            assert -0.5 <= x <= WIDTH
            assert -0.5 <= y <= height_of(frog) + 0.5


@pytest.mark.parametrize(
    ("frog", "cut", "numbers"),
    [
        ("switched", True, 2),
        ("self-powered", True, 2),
        ("self-powered", False, 0),
        ("insulated", False, 0),
    ],
)
def test_cuts_are_numbered_where_there_are_any(
    *, frog: FrogKind, cut: bool, numbers: int
) -> None:
    words = [m.text for m in drawn(frog, cut=cut) if isinstance(m, Text)]
    assert sum(word in ("1", "2") for word in words) == numbers


def test_only_a_switched_frog_has_a_contact() -> None:
    for frog, has in (("switched", True), ("self-powered", False)):
        words = [m.text for m in drawn(frog) if isinstance(m, Text)]  # type: ignore[arg-type]
        assert ("common" in words) == has


def test_a_is_solid_and_b_dashed_on_paper_without_colour() -> None:
    rails = [m for m in drawn("insulated") if isinstance(m, Line) and m.width == 0.75]
    by_ink: dict[str, set[bool]] = {}
    for rail in rails:
        by_ink.setdefault(rail.ink, set()).add(bool(rail.dash))
    a, b = strokes_of(layout_of().settings).a, strokes_of(layout_of().settings).b
    assert by_ink[a.ink] == {False}
    assert by_ink[b.ink] == {True}


def test_turnouts_are_in_the_order_one_walks() -> None:
    second: Turnout = turnout(2, on(1, 0.4), end(3, "start"))
    rows = turnout_rows(study_layout(junction("switched", run(3, 0.5), second)))
    assert [row.turnout.id for row in rows] == ["T2", "T1"]
