"""The plan from above, and its mirror from below."""

from io import BytesIO

import pytest
from PIL import Image

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Gap,
    Joist,
    Load,
    OnRun,
    RunEnd,
    Straight,
    Strip,
    Turnout,
)
from core.sheet.drawing.holes import HOLE
from core.sheet.frame import Leaf
from core.sheet.marks import Circle, Line, Picture, Text
from core.sheet.pages.plan import plan_leaves, underside_leaves
from tests.core.sheet.boards import (
    board,
    brief_of,
    bus,
    drop,
    layout_of,
    oval,
    shelf_run,
    texts,
    to_bus,
    to_strip,
)


def underside(layout: Layout, **options: object) -> list[Leaf]:
    return list(underside_leaves(brief_of(layout, **options)))


def plan(layout: Layout, **options: object) -> list[Leaf]:
    return list(plan_leaves(brief_of(layout, **options)))


def hole_of(leaf: Leaf) -> Circle:
    """Return the one hole of a drawing; the key below it has another."""
    holes = [m for m in leaf.marks if isinstance(m, Circle) and m.radius == HOLE]
    (hole,) = (m for m in holes if m.y < 180.0)
    return hole


def left_edge(leaf: Leaf) -> float:
    """Return where the board's outline (its 0.6 mm lines) begins on the paper."""
    outline = [m for m in leaf.marks if isinstance(m, Line) and m.width == 0.6]
    return min(x for line in outline for x, _ in line.points)


def text_at(leaf: Leaf, words: str) -> Text:
    (found,) = (m for m in leaf.marks if isinstance(m, Text) and m.text == words)
    return found


def test_a_hole_is_mirrored_from_below_and_not_from_above() -> None:
    # Needs N60: 0.35 m on a 2.40 m board prints at 2.05 m; both pages are 1:10.
    layout = layout_of(board(), shelf_run(), drop(1, 0.35))
    (below,) = underside(layout)
    (above,) = plan(layout)
    assert (hole_of(below).x - left_edge(below)) * 10.0 == pytest.approx(2050.0)
    assert (hole_of(above).x - left_edge(above)) * 10.0 == pytest.approx(350.0)


def test_the_pages_shout_which_side_they_show() -> None:
    assert [leaf.flag for leaf in underside(oval())] == ["SEEN FROM BELOW"]
    assert [leaf.flag for leaf in plan(oval())] == ["SEEN FROM ABOVE"]


def test_the_aisle_edge_is_named_and_heavy() -> None:
    (leaf,) = underside(layout_of(board(), shelf_run(), drop(1, 0.35)))
    assert "AISLE: front edge" in texts(leaf.marks)
    assert any(isinstance(m, Line) and m.width == 1.8 for m in leaf.marks)


def test_edges_keep_their_names_from_above() -> None:
    # From below, the left end is on the right of the page.
    (leaf,) = underside(layout_of(board(), shelf_run(), drop(1, 0.35)))
    assert text_at(leaf, "left end").x > text_at(leaf, "right end").x


def test_a_board_with_its_aisle_at_the_back_is_turned_to_the_reader() -> None:
    (leaf,) = underside(layout_of(board(aisle="back"), shelf_run(), drop(1, 0.35)))
    aisle = text_at(leaf, "AISLE: back edge")
    assert aisle.y > text_at(leaf, "front edge").y
    assert aisle.rotation == 0.0


def test_every_drop_and_where_it_ends_is_on_the_underside() -> None:
    said = [t for leaf in underside(oval()) for t in texts(leaf.marks)]
    for number in range(1, 11):
        assert said.count(f"D{number}") == 1
    assert "TS1 · 3" in said
    assert "B2 at 800 mm" in said


@pytest.mark.parametrize(
    ("heading", "dx", "dy"),
    [
        # Drawn to the right, A on the left rail: A lies to the back, up the page.
        (0.0, 0, -1),
        # Drawn to the back, A on the left rail: from below that is the right.
        (90.0, 1, 0),
    ],
)
def test_the_letter_of_a_stands_on_the_side_of_its_rail(
    heading: float, dx: int, dy: int
) -> None:
    run = shelf_run(
        x_mm=1200, y_mm=300, heading_deg=heading, pieces=(Straight(length_mm=600),)
    )
    (leaf,) = underside(layout_of(board(), run, drop(1, 0.3, a_rail="left")))
    hole = hole_of(leaf)
    near = [
        m
        for m in leaf.marks
        if isinstance(m, Text) and m.text == "A" and abs(m.x - hole.x) < 5.0
    ]
    (letter,) = (m for m in near if abs(m.y - hole.y) < 6.0)
    middle = letter.y - 1.0
    assert (round((letter.x - hole.x) / 3.5), round((middle - hole.y) / 3.5)) == (
        dx,
        dy,
    )


def test_buses_are_solid_and_dashed_with_letters_on_both() -> None:
    layout = layout_of(board(), bus((200, 600), (2200, 600)))
    (leaf,) = underside(layout)
    lines = [m for m in leaf.marks if isinstance(m, Line) and m.width == 0.75]
    drawn = [m for m in lines if m.points[0][1] < 150.0]
    assert sorted(bool(m.dash) for m in drawn) == [False, True]
    said = texts(leaf.marks)
    assert said.count("A") >= 2
    assert said.count("B") >= 2


def test_joists_strips_and_devices_have_their_ids() -> None:
    said = texts(underside(oval())[0].marks)
    for name in ("JS1", "TS1", "PB1", "CB1", "B1", "B2"):
        assert any(t == name or t.startswith(f"{name} ") for t in said), name


def test_gaps_turnouts_and_trains_are_on_the_plan() -> None:
    spur = shelf_run(id=PartId("R2"), name="Spur", x_mm=600, y_mm=160)
    layout = layout_of(
        board(),
        shelf_run(),
        spur,
        Turnout(
            id=PartId("T1"),
            name="Mill",
            on=OnRun(run=PartId("R1"), position_m=0.5),
            leg=RunEnd(run=PartId("R2"), end="start"),
        ),
        Gap(id=PartId("G1"), on=OnRun(run=PartId("R1"), position_m=1.5), rails="left"),
        Load(id=PartId("L1"), name="Goods", on=OnRun(run=PartId("R1"), position_m=2.0)),
        drop(1, 0.3),
    )
    said = texts(plan(layout)[0].marks)
    assert {"T1 Mill", "G1 one rail", "L1 Goods, 0.5 A", "Main", "Spur"} <= set(said)


def test_the_rails_of_a_fed_run_show_which_is_a() -> None:
    # One drop, A on the left rail: the solid line lies to the back of the dashed.
    (leaf,) = plan(layout_of(board(), shelf_run(), drop(1, 0.3, a_rail="left")))
    rails = [m for m in leaf.marks if isinstance(m, Line) and m.width == 0.5]
    heights = {bool(m.dash): m.points[0][1] for m in rails}
    assert heights[False] < heights[True]


def test_a_large_board_is_cut_and_every_drop_is_on_some_part() -> None:
    run = shelf_run(pieces=(Straight(length_mm=13800),))
    feeder = bus((0, 50), (13800, 50))
    drops = [drop(n, 0.3 * n, to=to_bus(0.3 * n)) for n in range(1, 45)]
    layout = layout_of(board(width_mm=14000, depth_mm=600), run, feeder, *drops)
    found = underside(layout)
    assert len(found) > 1
    assert found[0].title == "Underside: BD1, parts A1, B1"
    said = {t for leaf in found for t in texts(leaf.marks)}
    assert {f"D{n}" for n in range(1, 45)} <= said


def test_a_large_plan_is_a_sketch_and_then_its_parts() -> None:
    run = shelf_run(pieces=(Straight(length_mm=13800),))
    layout = layout_of(board(width_mm=14000, depth_mm=600), run, drop(1, 0.3))
    sketch, *parts = plan(layout)
    assert "D1" not in texts(sketch.marks)
    assert "D1" in texts(parts[0].marks)


def test_a_sketch_of_many_boards_has_their_ids_and_no_other_words() -> None:
    boards = [
        board(id=PartId(f"BD{n}"), x_mm=2500 * n, aisle="back") for n in range(1, 9)
    ]
    strip = Strip(id=PartId("TS1"), name="Behind the leg", x_mm=3000, y_mm=300)
    sketch, *_ = plan(layout_of(*boards, strip))
    words = texts(sketch.marks)
    assert {f"BD{n}" for n in range(1, 9)} <= set(words)
    assert "TS1" in words
    assert "AISLE" not in words
    assert "Behind the leg" not in words


def test_rulers_count_from_the_edges_that_the_schedule_uses() -> None:
    # The aisle at the left: along it from the front, and inward from the left.
    (leaf,) = underside(layout_of(board(aisle="left"), shelf_run(), drop(1, 0.35)))
    origin = [m for m in leaf.marks if isinstance(m, Text) and m.text == "0"]
    assert len(origin) == 2
    flat, upright = sorted(origin, key=lambda m: m.rotation)
    # From below with the left end at the foot, the front is the left of the page.
    front = text_at(leaf, "front edge")
    back = text_at(leaf, "back edge")
    assert front.x < back.x
    assert abs(flat.x - left_edge(leaf)) < 1.0
    assert upright.y > text_at(leaf, "right end").y


def test_parts_with_no_wiring_are_left_out() -> None:
    run = shelf_run(pieces=(Straight(length_mm=13800),))
    layout = layout_of(board(width_mm=14000, depth_mm=600), run, drop(1, 0.3))
    # From below the left end is on the right: the last of six parts.
    assert [leaf.title for leaf in underside(layout)] == ["Underside: BD1, part F1"]


def test_a_scale_that_is_asked_for_is_kept() -> None:
    found = plan(oval(), plan_scale=5.0)
    assert len(found) == 4
    for leaf in found:
        assert any(t.startswith("Scale 1:5,") for t in texts(leaf.marks))


def test_feet_bring_a_scale_in_inches() -> None:
    said = texts(plan(oval(lengths="ft"))[0].marks)
    assert any("1 inch on paper is 1 ft" in t for t in said)


def test_a_board_without_wiring_has_no_page_from_below() -> None:
    bare = board(id=PartId("BD2"), x_mm=3000)
    layout = layout_of(board(), bare, shelf_run(), drop(1, 0.3))
    assert [leaf.title for leaf in underside(layout)] == ["Underside: BD1"]


def test_wiring_off_the_boards_has_a_page_of_its_own() -> None:
    strip = Strip(id=PartId("TS1"), x_mm=3000, y_mm=300)
    layout = layout_of(
        board(),
        shelf_run(),
        strip,
        drop(1, 0.3, to=to_strip(1)),
        bus((10, 10), (99, 10)),
    )
    assert [leaf.title for leaf in underside(layout)] == [
        "Underside: BD1",
        "Underside: off the boards",
    ]


def test_without_a_board_nothing_is_called_an_aisle() -> None:
    (leaf,) = underside(layout_of(shelf_run(), drop(1, 0.3)))
    assert not any("AISLE" in t for t in texts(leaf.marks))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_is_drawn_off_the_paper(paper: str) -> None:
    layout = oval(paper=paper)
    size = {"a4": (297.0, 210.0), "letter": (279.4, 215.9)}[paper]
    for leaf in [*plan(layout), *underside(layout)]:
        for mark in leaf.marks:
            if isinstance(mark, Line):
                for x, y in mark.points:
                    assert 8.0 <= x <= size[0] - 8.0
                    assert 20.0 <= y <= size[1] - 12.0


def picture_of(layout_size: int = 60) -> Backdrop:
    file = BytesIO()
    Image.new("RGB", (layout_size, layout_size // 2), "red").save(file, "PNG")
    return Backdrop(
        media="image/png",
        data=file.getvalue(),
        width_px=layout_size,
        height_px=layout_size // 2,
        mm_per_px=40.0,
    )


def test_the_picture_of_the_benchwork_lies_under_the_plan_to_scale() -> None:
    (leaf,) = plan(layout_of(board(), shelf_run(), picture_of()))
    (picture,) = (m for m in leaf.marks if isinstance(m, Picture))
    # 60 px of 40 mm are 2.40 m: 240 mm of paper at 1:10, as wide as the board.
    assert (picture.width, picture.height) == pytest.approx((240.0, 120.0))
    assert picture.x == pytest.approx(left_edge(leaf))
    assert leaf.marks[0] is picture


def test_the_picture_can_be_left_out_and_is_never_below() -> None:
    layout = layout_of(board(), shelf_run(), picture_of(), drop(1, 0.3))
    (bare,) = plan(layout, backdrop=False)
    (below,) = underside(layout)
    assert not any(isinstance(m, Picture) for m in (*bare.marks, *below.marks))


def test_a_joist_of_no_length_does_no_harm() -> None:
    point = Joist(id=PartId("JS1"), x1_mm=5, y1_mm=5, x2_mm=5, y2_mm=5)
    (leaf,) = underside(layout_of(board(), point, shelf_run(), drop(1, 0.3)))
    assert "JS1" not in texts(leaf.marks)
