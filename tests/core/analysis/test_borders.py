"""Borders: what lies on the two sides of every cut, by hand from the drawing."""

from msgspec.structs import replace

from core.analysis.borders import Border, Flank, find_borders
from core.analysis.districts import find_districts
from core.analysis.examine import study_layout
from core.analysis.poles import find_poles
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, Gap, OnRun, RunEnd, ToPort, TrackJoint, Turnout
from tests.app.yard import TURNOUT, yard
from tests.core.analysis.feeds import feed, supply, track
from tests.core.analysis.test_districts import gap
from tests.core.network.track import end, joint, layout_of, on, run

WHOLE = 50.0


def borders(layout: Layout) -> tuple[Border, ...]:
    study = study_layout(layout)
    return find_borders(study, find_poles(study), find_districts(study))


def line(*more: Drop | Gap) -> tuple[Border, ...]:
    parts = (supply(), supply(number=2), track(4.0, piece_m=WHOLE), *more)
    return borders(layout_of(*parts))


def second(at_m: float) -> Drop:
    """Return a drop from the second booster."""
    return replace(feed(2, at_m), to=ToPort(part=PartId("PB2")))


def test_a_gap_tells_poles_and_districts_on_its_two_sides() -> None:
    (found,) = line(feed(1, 0.5), second(3.5), gap(1, 2.0))
    assert found.before == Flank("A", "B", 1)
    assert found.after == Flank("A", "B", 2)
    assert found.is_double
    assert found.parts_districts
    assert not found.flips


def test_where_a_rail_has_the_other_pole_beyond_it_flips() -> None:
    (found,) = line(feed(1, 0.5), replace(second(3.5), a_rail="right"), gap(1, 2.0))
    assert (found.before, found.after) == (Flank("A", "B", 1), Flank("B", "A", 2))
    assert found.flips


def test_a_rail_that_is_not_cut_does_not_flip() -> None:
    # Only the left rail is cut, and beyond it is dead.
    (found,) = line(feed(1, 0.5), gap(1, 2.0, "left"))
    assert (found.before, found.after) == (Flank("A", "B", 1), Flank(None, "B", 1))
    assert not found.is_double
    assert not found.flips


def test_cuts_side_by_side_know_each_other() -> None:
    one, other = line(
        feed(1, 0.5), second(3.5), gap(1, 2.0, "left"), gap(2, 2.04, "right")
    )
    assert (one.mate, other.mate) == ("G2", "G1")
    assert one.is_double
    assert other.is_double


def test_cuts_further_apart_are_two_cuts_through_one_rail() -> None:
    # 5 cm is the limit of what counts as one double gap.
    one, other = line(
        feed(1, 0.5), second(3.5), gap(1, 2.0, "left"), gap(2, 2.06, "right")
    )
    assert (one.mate, other.mate) == (None, None)


def test_beyond_a_gap_at_a_run_s_end_the_next_run_counts() -> None:
    # The second run was drawn against the first: its left rail is the first's right.
    fed = replace(second(0.5), on=on(2, 1.0), a_rail="right")
    (found,) = borders(
        layout_of(
            *(supply(), supply(number=2), run(1, 2.0), run(2, 2.0)),
            joint(1, end(1, "end"), end(2, "end")),
            *(feed(1, 0.5), fed, gap(1, 2.0)),
        )
    )
    assert found.before == Flank("A", "B", 1)
    assert found.after == Flank("A", "B", 2)


def test_insulated_joiners_are_borders_too() -> None:
    met = TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=PartId("R1"), end="end"),
        b=RunEnd(run=PartId("R2"), end="end"),
        insulated="both",
    )
    fed = replace(second(0.5), on=on(2, 1.0))
    (found,) = borders(
        layout_of(
            *(supply(), supply(number=2), run(1, 2.0), run(2, 2.0), met),
            *(feed(1, 0.5), fed),
        )
    )
    assert found.place == OnRun(run=PartId("R1"), position_m=2.0)
    # A lies on the left of both runs, which face each other: it changes sides.
    assert (found.before, found.after) == (Flank("A", "B", 1), Flank("B", "A", 2))
    assert found.flips
    assert found.state == "insulated"


def test_an_insulated_leg_is_seen_on_the_leg() -> None:
    # The yard's siding begins at the toe, drawn the same way as its main line.
    layout = yard(leg_insulated="both", frog="insulated")
    found = {border.part: border for border in borders(layout)}
    border = found[layout.need(TURNOUT, Turnout).id]
    assert border.place == OnRun(run=PartId("R2"), position_m=0.0)
    assert border.before == Flank("A", "B", 1)  # the main line
    assert border.after == Flank(None, None, 0)  # nothing feeds the siding


def test_before_there_is_a_booster_no_pole_is_known() -> None:
    (found,) = borders(layout_of(track(4.0, piece_m=WHOLE), gap(1, 2.0)))
    assert found.before == Flank(None, None, 0)
    assert found.after == Flank(None, None, 0)


def test_metal_in_a_gap_makes_it_no_cut() -> None:
    whole = replace(gap(1, 2.0), bridged=True)
    (found,) = line(feed(1, 0.5), whole)
    assert found.state == "bridged"
    assert not found.is_double
    assert found.before == found.after == Flank("A", "B", 1)
