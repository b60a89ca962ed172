"""Turnouts turned over: the leg to the other side, or the other way."""

import pytest
from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import add_drop
from core.layout.edits.join import end_pose
from core.layout.edits.mirror import flip_hand, flip_opening
from core.layout.edits.shape import reverse_run
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Drop, Gap, TrackJoint, TrackRun, Turnout
from core.layout.queries import place_xy
from tests.core.layout.edits.hand import (
    after,
    arc,
    drop,
    end,
    i,
    layout_of,
    near,
    on,
    only,
    rail_at,
    run,
    start,
    straight,
    the,
)
from tests.core.layout.edits.test_turnout import laid, wanted


def yard() -> Layout:
    """A turnout to the left at 0.5 m; a siding of two runs, a turnout and a drop."""
    layout = laid(layout_of(run("R1", straight(2000))), on("R1", 0.5), wanted())
    tip = end_pose(layout, end("R2"))
    more = run("R3", arc(800, -12), straight(900), x=tip.x_mm, y=tip.y_mm)
    layout = Layout(
        {**layout.parts, i("R3"): replace(more, heading_deg=_deg(tip.heading))}
    )
    joint = TrackJoint(id=i("J1"), a=end("R2"), b=start("R3"), insulated="left")
    layout = Layout({**layout.parts, joint.id: joint})
    layout = laid(layout, on("R3", 0.4), wanted())
    gap = Gap(id=i("G1"), on=on("R3", 0.8), rails="left")
    return Layout({**layout.parts, i("D1"): drop("D1", on("R3", 0.9)), gap.id: gap})


def _deg(rad: float) -> float:
    return rad * 180.0 / 3.141592653589793


def places(layout: Layout) -> list[tuple[float, float]]:
    """Return where ends, joints and sitting things lie."""
    found = []
    for name in ("R2", "R3", "R4"):
        path = run_path(the(layout, TrackRun, name))
        found += [(p.x_mm, p.y_mm) for p in (path.start, path.at(0.1), path.end)]
    for part in layout.parts.values():
        if isinstance(part, Drop | Gap | Turnout):
            found.append(place_xy(layout, part.on) or (0.0, 0.0))
    return found


def test_a_flipped_leg_is_the_mirror_image_with_all_that_hangs_on_it() -> None:
    layout = yard()
    there = after(layout, flip_hand(layout, i("T1")))
    # The through run lies along y = 0: a mirror image has the other sign of y.
    expected = [(x, -y) for x, y in places(layout)]
    for got, want in zip(places(there), expected, strict=True):
        assert got == (near(want[0]), near(want[1]))
    assert [t.hand for t in there.of_kind(Turnout)] == ["right", "right"]
    assert only(there, TrackJoint).insulated == "left"
    assert (only(there, Drop).a_rail, only(there, Gap).rails) == ("left", "left")


def test_flipping_twice_changes_nothing() -> None:
    layout = yard()
    once = after(layout, flip_hand(layout, i("T1")))
    twice = after(once, flip_hand(once, i("T1")))
    assert places(twice) == [(near(x), near(y)) for x, y in places(layout)]
    assert the(twice, Turnout, "T1") == the(layout, Turnout, "T1")


def test_it_is_turned_to_open_the_other_way_by_half_a_turn() -> None:
    layout = yard()
    there = after(layout, flip_opening(layout, i("T1")))
    # Half a turn about the toe at (500, 0).
    expected = [(1000 - x, -y) for x, y in places(layout)]
    for got, want in zip(places(there), expected, strict=True):
        assert got == (near(want[0]), near(want[1]))
    made = the(there, Turnout, "T1")
    assert (made.opens, made.hand) == ("backward", "left")


def test_turned_round_its_rails_stay_fed_as_they_were() -> None:
    # Half a turn puts the leg's left rail against the through run's other rail.
    layout = yard()
    there = after(layout, flip_opening(layout, i("T1")))
    assert (only(there, Drop).a_rail, only(there, Gap).rails) == ("right", "right")
    assert only(there, TrackJoint).insulated == "right"
    # In plan: rail A of the leg is the upper one before, as rail A of the main is.
    before = rail_at(layout, on("R2", 0.0), "left")
    main = rail_at(layout, on("R1", 0.5), "left")
    now = rail_at(there, on("R2", 0.0), "right")
    for got in (before, now):
        assert got == (near(main[0]), near(main[1]))


def test_a_leg_that_ends_at_the_toe_is_flipped_too() -> None:
    layout = yard()
    turned = after(layout, reverse_run(layout, i("R2")))
    there = after(turned, flip_hand(turned, i("T1")))
    path = run_path(the(there, TrackRun, "R2"))
    far = run_path(the(layout, TrackRun, "R2")).end
    assert (path.start.x_mm, path.start.y_mm) == (
        near(far.x_mm),
        near(-far.y_mm),
    )
    assert (path.end.x_mm, path.end.y_mm) == (near(500), near(0))
    assert the(there, Turnout, "T1").leg == end("R2")


@pytest.mark.parametrize("hand", ["left", "right"])
def test_on_a_curve_it_becomes_the_turnout_that_would_be_laid_there(
    hand: str,
) -> None:
    layout = layout_of(run("R1", arc(900, 120)))
    other = "right" if hand == "left" else "left"
    one = laid(layout, on("R1", 0.7), wanted(hand=hand))  # type: ignore[arg-type]
    mate = laid(layout, on("R1", 0.7), wanted(hand=other))  # type: ignore[arg-type]
    flipped = after(one, flip_hand(one, i("T1")))
    got, want = (run_path(the(at, TrackRun, "R2")).end for at in (flipped, mate))
    assert (got.x_mm, got.y_mm) == (
        near(want.x_mm, abs=1.0),
        near(want.y_mm, abs=1.0),
    )
    assert only(flipped, Turnout).hand == other


def test_a_leg_that_leads_back_cannot_be_turned() -> None:
    layout = layout_of(run("R1", straight(3000)))
    layout = laid(layout, on("R1", 0.5), wanted())
    leg = the(layout, TrackRun, "R2")
    looped = Layout(
        {
            **layout.parts,
            i("J1"): TrackJoint(id=i("J1"), a=end("R2"), b=start("R1")),
        }
    )
    assert leg.name == "Track 2"
    for flip in (flip_hand, flip_opening):
        with pytest.raises(EditError, match="leads back to R1"):
            flip(looped, i("T1"))


def test_there_must_be_room_on_the_other_side_of_the_toe() -> None:
    layout = laid(layout_of(run("R1")), on("R1", 0.1), wanted())
    with pytest.raises(EditError, match="but R1 ends after 100 mm"):
        flip_opening(layout, i("T1"))


def test_a_flip_is_one_change_with_a_name() -> None:
    layout = yard()
    changes: list[Change] = [flip_hand(layout, i("T1")), flip_opening(layout, i("T1"))]
    assert [c.label for c in changes] == [
        "Flip T1 to the right",
        "Turn T1 the other way",
    ]


def test_a_drop_added_later_is_still_on_its_rail() -> None:
    layout = laid(layout_of(run("R1")), on("R1", 0.5), wanted())
    layout.apply(add_drop(layout, on("R1", 0.2), a_rail="left"))
    layout.apply(flip_opening(layout, i("T1")))
    change = add_drop(layout, on("R2", 0.1))
    (made,) = change.after.values()
    assert isinstance(made, Drop)
    assert made.a_rail == "right"
