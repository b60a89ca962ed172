"""The gap list: every cut once, its place, its rails, its sides."""

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Crossing,
    Gap,
    Inline,
    OnRun,
    Part,
    ToPort,
    TrackJoint,
)
from core.sheet.marks import Line
from core.sheet.pages.track.gaps import end_words, gap_leaves
from core.sheet.schedules.track.gaps import GapRow, gap_rows
from core.sheet.schedules.track.turnouts import totals_of, turnout_rows
from tests.core.network.track import FrogKind, end, layout_of, on, run, turnout
from tests.core.sheet.boards import board, brief_of, drop, oval, shelf_run, texts
from tests.core.sheet.boards import layout_of as sheet_of

BOOSTER = Booster(id=PartId("PB1"), x_mm=0, y_mm=-300)


def breaker(number: int, name: str = "") -> Inline:
    return Inline(
        id=PartId(f"CB{number}"),
        device="breaker",
        name=name,
        x_mm=0,
        y_mm=-200,
        feed=ToPort(part=BOOSTER.id),
    )


def gap(number: int, position_m: float, **fields: object) -> Gap:
    place = OnRun(run=PartId("R1"), position_m=position_m)
    return replace(Gap(id=PartId(f"G{number}"), on=place), **fields)


def shelf(*gaps: Part, **settings: object) -> Layout:
    """Return 2.40 m of rail along the front, CB1 West at 0.1 m, CB2 East at 2.3 m."""
    return sheet_of(
        board(),
        shelf_run(),
        BOOSTER,
        breaker(1, "West"),
        breaker(2, "East"),
        drop(1, 0.1, to=ToPort(part=PartId("CB1")), lead_m=0.5),
        drop(2, 2.3, to=ToPort(part=PartId("CB2")), lead_m=0.5),
        *gaps,
        **settings,
    )


def rows_of(layout: Layout) -> tuple[GapRow, ...]:
    return gap_rows(study_layout(layout))


def junctions(frog: FrogKind, count: int, *, heel_gaps: bool = True) -> Layout:
    """Return turnouts along a main, each with a leg of its own, all from one drop."""
    parts: list[Part] = [run(1, count + 1.0)]
    for n in range(1, count + 1):
        parts += [
            run(n + 1, 0.5),
            turnout(
                n, on(1, float(n)), end(n + 1, "start"), frog=frog, heel_gaps=heel_gaps
            ),
        ]
    feed = drop(1, 0.2, to=ToPort(part=BOOSTER.id), lead_m=0.5)
    return layout_of(*parts, BOOSTER, feed)


def test_a_gap_is_found_from_the_nearer_end_and_from_two_edges() -> None:
    # 2.40 m from left to right, 0.10 m from the front: 1.842 m from the left is
    # 0.558 m from the right end.
    (row,) = rows_of(shelf(gap(7, 1.842)))
    assert (row.name, row.spot.track) == ("G7", "Main")
    assert row.end_m == pytest.approx(0.558)
    assert row.end == "right end"
    assert (row.spot.at.along, row.spot.at.inward) == pytest.approx((1.842, 0.1))


def test_the_end_is_named_after_what_it_is_joined_to() -> None:
    beyond = replace(shelf_run(), id=PartId("R2"), x_mm=2400, name="Helix")
    joint = TrackJoint(id=PartId("J1"), a=end(1, "end"), b=end(2, "start"))
    (row,) = rows_of(shelf(gap(1, 2.0), beyond, joint))
    assert row.end == "right end (joint to Helix)"


def test_rails_are_told_by_conductor_and_by_where_they_lie() -> None:
    # The run goes to the right: its left rail lies at the back, and has A.
    both, one = rows_of(shelf(gap(1, 0.5), gap(2, 1.0, rails="right")))
    assert [(r.edge, r.before) for r in both.rails] == [("back", "A"), ("front", "B")]
    assert [(r.edge, r.after) for r in one.rails] == [("front", "B")]


def test_each_side_is_labelled_with_what_feeds_it() -> None:
    (row,) = rows_of(shelf(gap(1, 1.2)))
    assert [(s.way, s.feed) for s in row.sides] == [
        ("left", "CB1 West"),
        ("right", "CB2 East"),
    ]


def test_a_side_without_power_is_dead() -> None:
    words = texts(gap_leaves(brief_of(shelf(gap(1, 1.2), gap(2, 1.6))))[0].marks)
    assert "right: dead" in words
    assert "left: dead" in words


@pytest.mark.parametrize(
    ("fields", "filling"),
    [
        ({}, "air"),
        ({"filled": True}, "plastic"),
        ({"bridged": True}, "metal"),
        ({"bridged": True, "filled": True}, "metal"),
    ],
)
def test_what_is_between_the_ends_is_told(
    fields: dict[str, object], filling: str
) -> None:
    (row,) = rows_of(shelf(gap(1, 1.2, **fields)))
    assert row.filling == filling


def test_insulated_joiners_are_gaps_too() -> None:
    beyond = replace(shelf_run(), id=PartId("R2"), x_mm=2400)
    joint = TrackJoint(
        id=PartId("J1"), a=end(1, "end"), b=end(2, "start"), insulated="both"
    )
    layout = shelf(beyond, joint)
    (row,) = rows_of(layout)
    assert (row.name, row.filling, len(row.rails)) == ("J1", "joiner", 2)
    assert end_words(brief_of(layout), row) == "at the right end (joint to Main)"


@pytest.mark.parametrize("frog", ["switched", "self-powered"])
def test_a_live_frog_needs_two_cuts_behind_it(frog: FrogKind) -> None:
    first, second = rows_of(junctions(frog, 1))
    assert [first.name, second.name] == ["T1 cut 1", "T1 cut 2"]
    # The crossing is 0.15 m from the blades, on the through run and on the leg.
    assert first.spot.on == OnRun(run=PartId("R1"), position_m=1.15)
    assert second.spot.on == OnRun(run=PartId("R2"), position_m=0.15)
    assert [first.sides[0].feed, second.sides[0].feed] == ["frog of T1"] * 2


def test_a_dead_frog_needs_none() -> None:
    assert rows_of(junctions("insulated", 1)) == ()


def test_a_cut_of_a_frog_that_is_drawn_is_not_listed_twice() -> None:
    layout = junctions("switched", 1)
    drawn = Gap(id=PartId("G1"), on=on(1, 1.16), rails="left")
    layout = layout_of(*layout.parts.values(), drawn)
    assert [row.name for row in rows_of(layout)] == ["G1", "T1 cut 2"]


def test_cuts_that_the_plan_lacks_but_the_rails_need_are_marked() -> None:
    # Uncut behind the frog: with drops of their own on both tracks beyond, it shorts.
    bare = junctions("switched", 1, heel_gaps=False)
    beyond = [
        replace(drop(n, at, to=ToPort(part=BOOSTER.id)), on=on(track, at))
        for n, track, at in ((2, 1, 1.8), (3, 2, 0.4))
    ]
    assert rows_of(bare) == ()
    needed = rows_of(layout_of(*bare.parts.values(), *beyond))
    assert [row.missing for row in needed] == [True, True]


def test_nine_live_frogs_need_18_gaps_9_leads_and_9_contacts() -> None:
    # Common practice, no source: two gaps behind each live frog, one lead and one
    # change-over contact for each.
    layout = junctions("switched", 9)
    totals = totals_of(turnout_rows(study_layout(layout)))
    assert (totals.live, totals.gaps, totals.leads) == (9, 18, 9)
    assert len(rows_of(layout)) == 18


def test_a_switched_diamond_is_cut_out_of_all_its_rails() -> None:
    # Near a right angle all four small crossings are cut out of both their rails: 8.
    across = replace(run(2, 2.0), x_mm=1000.0, y_mm=-900.0, heading_deg=90.0)
    diamond = Crossing(id=PartId("X1"), a=on(1, 1.0), b=on(2, 1.0), frog="switched")
    rows = rows_of(layout_of(run(1, 2.0), across, diamond))
    assert [row.name for row in rows if row.name.startswith("X1")] == [
        row.name for row in rows
    ]
    assert len(rows) == 8


@pytest.mark.parametrize(
    ("fields", "settings", "words"),
    [
        # α from memory, 17e-6 /K: 17e-6 · 0.914 m · 20 K = 0.311 mm = 0.0122 in.
        ({}, {}, "0.31 mm"),
        ({}, {"lengths": "ft"}, "0.012 in"),
        # Brass, 18.7e-6 /K, outdoors: 18.7e-6 · 1.5 m · 50 K = 1.40 mm.
        ({"rail": "code332-brass", "piece_length_m": 1.5}, {"scale": "G"}, "1.40 mm"),
    ],
)
def test_the_room_that_rail_needs_to_grow_is_printed(
    fields: dict[str, object], settings: dict[str, object], words: str
) -> None:
    layout = sheet_of(board(), shelf_run(**fields), gap(1, 1.2), **settings)
    assert words in texts(gap_leaves(brief_of(layout))[0].marks)


def test_each_gap_has_its_boxes_and_the_cuts_are_counted() -> None:
    (leaf,) = gap_leaves(brief_of(shelf(gap(1, 0.5), gap(2, 1.0, rails="left"))))
    assert "2 gaps, 3 cuts in all." in texts(leaf.marks)
    boxes = [m for m in leaf.marks if isinstance(m, Line) and m.closed]
    assert len(boxes) == 2 * 4


def test_metal_is_said_aloud() -> None:
    (leaf,) = gap_leaves(brief_of(shelf(gap(1, 1.2, bridged=True))))
    assert any("METAL" in text for text in texts(leaf.marks))


def test_without_a_cut_there_is_no_page() -> None:
    assert gap_leaves(brief_of(oval())) == ()
