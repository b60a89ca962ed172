"""Diamonds and slips: what is joined by hand-worked sums, and by brute force."""

from itertools import combinations
from math import cos, hypot, radians, sin, tan

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.errors import EditError
from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import lie_of, road_ends, slip_roads
from core.layout.parts import Crossing, Gap, OnRun, Part, Side, TrackRun
from core.network.build import build_circuit
from core.network.circuit import Circuit
from core.network.crossings import plan_crossings
from core.network.islands import find_islands
from core.network.polarity import find_shorts
from core.network.reversing import find_odd_links, find_reversing
from core.network.route import find_route
from core.network.settings import find_setting_shorts
from tests.core.network.cross import HALF_M, Frogs, across, crossing, drop, fed_across
from tests.core.network.track import end, gap, joint, layout_of, on, turnout

ANGLES = (12.0, 60.0, 120.0, 168.0, -12.0, -60.0, -120.0, -168.0)
SIDES: tuple[Side, Side] = ("left", "right")

MAIN, SIDING = PartId("R1"), PartId("R2")


def rails(layout: Layout, *, thrown: bool = False) -> "dict[str, set[str]]":
    """Return which rails of the two tracks hang together, and with which pole.

    Named by run, side, and the stretch before or beyond the crossing, as R1 left
    before; the poles are A and B. Asked of a general graph library.
    """
    circuit = build_circuit(layout, thrown=frozenset({PartId("X1")} if thrown else ()))
    metal = nx.Graph(circuit.graph)
    names: dict[str, int] = {}
    for run in (MAIN, SIDING):
        segments = [s for s in circuit.segments if s.run == run]
        for word, s in (("before", segments[0]), ("beyond", segments[-1])):
            left, right = (
                (s.left0, s.right0) if word == "before" else (s.left1, s.right1)
            )
            names[f"{run} left {word}"] = left
            names[f"{run} right {word}"] = right
    for source in circuit.sources:
        names |= {"A": source.plus, "B": source.minus}
    for frog in circuit.frogs:
        names[circuit.nodes[frog.frog].name] = frog.frog
    return {
        name: {
            other
            for other in names
            if other != name and nx.has_path(metal, node, names[other])
        }
        for name, node in names.items()
    }


def bare(made: Crossing, angle_deg: float = 15.0) -> Layout:
    """Two tracks without any feed, so that only the crossing ties them."""
    return layout_of(across(1, 0.0), across(2, angle_deg), made)


# Where rails meet, by plane geometry


@pytest.mark.parametrize("angle_deg", [*ANGLES, 89.0, 90.0, -90.0])
def test_each_meeting_is_where_the_two_rails_cross_in_plan(angle_deg: float) -> None:
    # Independent: walk to the place on each run, step half the gauge (HO: 16.5 mm,
    # NEM 010, from memory) to the side of the rail; both must end on one spot.
    layout = bare(crossing(), angle_deg)
    lie = lie_of(layout, crossing())
    assert lie is not None
    for meeting in lie.meetings:
        spots = []
        for heading, place, side in (
            (0.0, meeting.a_m, meeting.a_side),
            (radians(angle_deg), meeting.b_m, meeting.b_side),
        ):
            along, aside = (place - HALF_M) * 1000.0, 8.25 if side == "left" else -8.25
            spots.append(
                (
                    along * cos(heading) - aside * sin(heading),
                    along * sin(heading) + aside * cos(heading),
                )
            )
        assert hypot(spots[0][0] - spots[1][0], spots[0][1] - spots[1][1]) < 1e-6


@pytest.mark.parametrize("angle_deg", ANGLES)
def test_the_acute_crossings_lie_half_a_gauge_by_the_half_angle_out(
    angle_deg: float,
) -> None:
    # By hand: two strips of width g at the sharp angle θ make a rhombus whose long
    # corners lie (g/2)/tan(θ/2) along either strip, whose blunt ones (g/2)·tan(θ/2).
    lie = lie_of(bare(crossing(), angle_deg), crossing())
    assert lie is not None
    sharp = radians(min(abs(angle_deg), 180.0 - abs(angle_deg)))
    assert lie.sharp_deg == pytest.approx(abs(sharp) * 180.0 / 3.141592653589793)
    for meeting in lie.meetings:
        reach = 0.00825 / tan(sharp / 2) if meeting.acute else 0.00825 * tan(sharp / 2)
        assert abs(meeting.a_m - HALF_M) == pytest.approx(reach)
        assert abs(meeting.b_m - HALF_M) == pytest.approx(reach)
    assert sum(meeting.acute for meeting in lie.meetings) == 2


@pytest.mark.parametrize(("angle_deg", "unlike"), [(12.0, True), (168.0, False)])
def test_drawn_alike_left_meets_right_at_the_acute_crossings(
    angle_deg: float, unlike: bool
) -> None:
    lie = lie_of(bare(crossing(), angle_deg), crossing())
    assert lie is not None
    for meeting in lie.meetings:
        assert (meeting.a_side != meeting.b_side) == (meeting.acute == unlike)


def test_a_square_crossing_has_no_acute_ones() -> None:
    lie = lie_of(bare(crossing(), 90.0), crossing())
    assert lie is not None
    assert lie.square
    assert not any(meeting.acute for meeting in lie.meetings)


# What each treatment joins


def test_insulated_a_diamond_ties_nothing_and_cuts_nothing() -> None:
    tied = rails(bare(crossing("insulated")))
    assert tied["R1 left before"] == {"R1 left beyond"}
    assert tied["R1 right before"] == {"R1 right beyond"}
    assert tied["R2 left before"] == {"R2 left beyond"}
    assert tied["R2 right before"] == {"R2 right beyond"}


def test_uncut_a_diamond_is_one_piece_of_metal() -> None:
    tied = rails(bare(crossing("uncut")))
    assert all(len(others) == 7 for others in tied.values())


@pytest.mark.parametrize("thrown", [False, True])
def test_switched_the_acute_crossings_are_cut_and_like_rails_tied(
    thrown: bool,
) -> None:
    # R2 leaves to the left. By hand: Main's left rail meets Siding's right one
    # beyond the middle, its right rail the left one before it: cut there. So of
    # Main the left rail before and the right one beyond reach the middle, where
    # they are one metal with the same rails of Siding.
    layout = bare(crossing("switched"))
    tied = rails(layout, thrown=thrown)
    east, west = "X1_piece_left_right", "X1_piece_right_left"
    left = {"R1 left before", "R2 left beyond"}
    right = {"R1 right beyond", "R2 right before"}
    # The piece in the east takes Main's left rail, or Siding's right one when thrown.
    one, other = (right, left) if thrown else (left, right)
    assert tied["R1 left before"] == (left | ({west} if thrown else {east})) - {
        "R1 left before"
    }
    assert tied[east] == one
    assert tied[west] == other
    for name in ("R1 left beyond", "R1 right before", "R2 left before"):
        assert tied[name] == set()
    assert tied["R2 right beyond"] == set()


@pytest.mark.parametrize("thrown", [False, True])
@pytest.mark.parametrize("b_rail", SIDES)
def test_a_switched_piece_has_the_pole_of_the_rail_of_the_road_that_is_set(
    thrown: bool, b_rail: Side
) -> None:
    # Fed on both sides, obtuse ones dead, so that any two poles will do. By hand:
    # set for Main, the piece in the east lies in Main's left rail, A; set for Siding
    # in Siding's right rail, B where Siding's left rail is A.
    made = crossing("switched", obtuse="dead")
    tied = rails(fed_across(made, b_rail=b_rail), thrown=thrown)
    right_of_siding = "B" if b_rail == "left" else "A"
    left_of_siding = "A" if b_rail == "left" else "B"
    assert (right_of_siding if thrown else "A") in tied["X1_piece_left_right"]
    assert (left_of_siding if thrown else "B") in tied["X1_piece_right_left"]
    assert "B" not in tied["A"]


def test_a_square_switched_crossing_ties_nothing_and_has_four_contacts() -> None:
    layout = fed_across(crossing("switched"), angle_deg=90.0, b_rail="right")
    (plan,) = plan_crossings(layout)
    assert (plan.contacts, plan.leads, plan.joined) == (4, 12, ())
    assert "B" not in rails(layout)["A"]


def test_a_switched_diamond_needs_two_contacts_and_four_cuts() -> None:
    # Two acute crossings, each cut out of both rails that meet there; a change-over
    # contact has three wires.
    (plan,) = plan_crossings(fed_across(crossing("switched")))
    assert (plan.contacts, plan.leads) == (2, 6)
    assert len(plan.cuts()) == 4


@pytest.mark.parametrize("shape", ["single slip", "double slip"])
@pytest.mark.parametrize("angle_deg", ANGLES)
def test_a_slip_makes_one_network_of_like_rails(shape: str, angle_deg: float) -> None:
    made = replace(crossing(), shape=shape)
    tied = rails(bare(made, angle_deg))
    like = "left" if abs(angle_deg) < 90.0 else "right"
    unlike = "right" if like == "left" else "left"
    assert f"R2 {like} before" in tied["R1 left before"]
    assert f"R2 {unlike} before" in tied["R1 right before"]
    assert "R1 right before" not in tied["R1 left before"]


def test_gaps_on_both_sides_of_both_acute_crossings_part_an_uncut_diamond() -> None:
    # HO at 15°: acute crossings 62.7 mm from the middle, blunt ones 1.1 mm. Cut
    # between and beyond, 30 and 90 mm out, in the rails that make them; what is left
    # in the middle ties left to left and right to right.
    cuts = [
        gap(1, on(1, 1.03), "left"),
        gap(2, on(1, 1.09), "left"),
        gap(3, on(2, 1.03), "right"),
        gap(4, on(2, 1.09), "right"),
        gap(5, on(1, 0.97), "right"),
        gap(6, on(1, 0.91), "right"),
        gap(7, on(2, 0.97), "left"),
        gap(8, on(2, 0.91), "left"),
    ]
    assert not is_short(cuts)
    for missing in range(len(cuts)):
        # One cut left out ties one rail to an acute piece: still no short.
        assert not is_short([cut for i, cut in enumerate(cuts) if i != missing])
    # Both cuts of one rail left out: that rail alone reaches the piece.
    assert not is_short(cuts[2:])
    # One cut of either rail left out: A and B meet in it.
    assert is_short([*cuts[1:2], *cuts[3:]])


def is_short(cuts: list[Gap]) -> bool:
    """Return whether an uncut diamond with these cuts joins A to B."""
    return "B" in rails(fed_across(crossing("uncut"), *cuts))["A"]


# Routes


def test_a_plain_diamond_leads_no_train_over() -> None:
    layout = bare(crossing("insulated"))
    with pytest.raises(EditError, match="No way leads"):
        find_route(layout, on(1, 0.5), on(2, 1.5))


@pytest.mark.parametrize(
    ("side", "start", "goal"),
    [("left", on(1, 0.5), on(2, 1.5)), ("right", on(2, 0.5), on(1, 1.5))],
)
def test_the_road_of_a_single_slip_lies_in_the_blunt_angle_on_its_side(
    side: Side, start: OnRun, goal: OnRun
) -> None:
    # R2 leaves to the left at 15°. The blunt angle left of Main lies between Main's
    # tail and Siding's head: a train from Main's tail turns left onto Siding.
    layout = bare(crossing("insulated", "single slip", side=side))
    (first, second) = find_route(layout, start, goal)
    assert (first.run, second.run) == (start.run, goal.run)
    assert first.length_m + second.length_m == pytest.approx(1.0)
    other = bare(
        crossing("insulated", "single slip", side="right" if side == "left" else "left")
    )
    with pytest.raises(EditError, match="No way leads"):
        find_route(other, start, goal)


@pytest.mark.parametrize("angle_deg", ANGLES)
@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("run", [MAIN, SIDING])
def test_a_slip_road_stays_in_plan_when_a_run_is_drawn_the_other_way(
    angle_deg: float, side: Side, run: PartId
) -> None:
    def road(layout: Layout) -> set[tuple[float, float]]:
        made = layout.need(PartId("X1"), Crossing)
        lie = lie_of(layout, made)
        assert lie is not None
        (only,) = slip_roads(made, lie)
        spots = set()
        for on_run, ahead in zip((made.a, made.b), road_ends(lie, only), strict=True):
            track = layout.need(on_run.run, TrackRun)
            way = radians(track.heading_deg) + (0.0 if ahead else radians(180.0))
            spots.add((round(cos(way), 6) + 0.0, round(sin(way), 6) + 0.0))
        return spots

    layout = bare(crossing("insulated", "single slip", side=side), angle_deg)
    before = road(layout)
    # A slip road turns by the sharp angle: its ends lie more than a right angle apart.
    (x0, y0), (x1, y1) = before
    assert x0 * x1 + y0 * y1 < 0.0
    layout.apply(reverse_run(layout, run))
    assert road(layout) == before


# Reversing


def figure_of_eight(frog: Frogs) -> Layout:
    """Two tracks that cross at 60°, joined end to end so that one closed way is made.

    Walked along R1, round to the start of R2 (drawn against it) and back: the left
    rail comes to lie where Siding's right one is, as on a figure of eight.
    """
    return layout_of(
        across(1, 0.0),
        across(2, 120.0),
        joint(1, end(1, "end"), end(2, "start")),
        joint(2, end(2, "end"), end(1, "start")),
        crossing(frog),
    )


def test_a_figure_of_eight_turns_back_only_through_joined_obtuse_crossings() -> None:
    # By hand: headings 0° and 120° on one closed way, so it crosses itself against
    # its own way; its left rail meets its right one at the blunt crossings.
    (path,) = find_reversing(figure_of_eight("switched"))
    assert "X1" in path.links
    assert find_reversing(figure_of_eight("insulated")) == ()
    made = replace(crossing("switched"), obtuse="dead")
    dead = Layout({**figure_of_eight("switched").parts, made.id: made})
    assert find_reversing(dead) == ()


# Brute force


@st.composite
def crossed_tangles(draw: st.DrawFn, *, fed: bool, uncut: bool) -> Layout:
    """Draw a few tracks across each other, joined, crossed, branched and cut."""
    count = draw(st.integers(2, 4))
    headings = [
        draw(st.sampled_from([0, 20, 100, 170, 250, 340])) for _ in range(count)
    ]
    parts: list[Part] = [
        replace(across(i + 1, float(h)), name="") for i, h in enumerate(headings)
    ]
    ends = draw(
        st.permutations([(i + 1, e) for i in range(count) for e in ("start", "end")])
    )
    for number in range(draw(st.integers(0, 3))):
        if not ends:
            break
        first = ends.pop()
        if draw(st.booleans()) and ends:
            parts.append(joint(number + 1, end(*first), end(*ends.pop())))
        else:
            parts.append(
                turnout(
                    number + 1,
                    on(draw(st.integers(1, count)), draw(st.integers(1, 3)) / 2 + 0.03),
                    end(*first),
                    backward=draw(st.booleans()),
                    hand=draw(st.sampled_from(SIDES)),
                    frog=draw(st.sampled_from(["insulated", "switched"]))
                    if fed
                    else "insulated",
                    heel_gaps=draw(st.booleans()),
                )
            )
    frogs = ["insulated", "switched", *(["uncut"] if uncut else [])]
    for number in range(draw(st.integers(1, 3))):
        pair = [
            (draw(st.integers(1, count)), draw(st.integers(1, 3)) / 2) for _ in "ab"
        ]
        parts.append(
            Crossing(
                id=PartId(f"X{number + 1}"),
                a=on(*pair[0]),
                b=on(pair[1][0], pair[1][1] + 0.2),
                shape=draw(st.sampled_from(["diamond", "single slip", "double slip"])),
                side=draw(st.sampled_from(SIDES)),
                frog=draw(st.sampled_from(frogs)),
                obtuse=draw(st.sampled_from(["joined", "dead"])),
            )
        )
    if fed:
        parts.append(fed_across(None).parts[PartId("PB1")])
        for i in range(draw(st.integers(1, 3))):
            place = draw(st.integers(1, 6)) / 4 + 0.11
            parts.append(
                drop(
                    i + 1,
                    draw(st.integers(1, count)),
                    place,
                    draw(st.sampled_from(SIDES)),
                )
            )
    return layout_of(*parts)


def shorted_for_some_setting(layout: Layout, circuit: Circuit) -> bool:
    """Try every setting of everything with a live crossing, one after the other."""
    switched = list(dict.fromkeys(frog.part for frog in circuit.frogs))
    for size in range(len(switched) + 1):
        for thrown in combinations(switched, size):
            made = build_circuit(layout, thrown=frozenset(thrown))
            if find_shorts(made, find_islands(made)):
                return True
    return False


@given(crossed_tangles(fed=True, uncut=True))
@settings(max_examples=150, deadline=None)
def test_the_search_over_settings_knows_crossings(layout: Layout) -> None:
    # Outside check: brute force over all 2ⁿ settings.
    circuit = build_circuit(layout)
    contacts = {frog.branch for frog in circuit.frogs}
    metal: nx.Graph[int] = nx.Graph()
    metal.add_nodes_from(range(len(circuit.nodes)))
    metal.add_edges_from(
        (b.tail, b.head) for i, b in enumerate(circuit.branches) if i not in contacts
    )
    fixed = any(nx.has_path(metal, s.plus, s.minus) for s in circuit.sources)
    found = fixed or bool(find_setting_shorts(circuit))
    assert found == shorted_for_some_setting(layout, circuit)


@given(crossed_tangles(fed=False, uncut=False))
@settings(max_examples=200, deadline=None)
def test_left_meets_right_exactly_where_a_reversing_path_is_found(
    layout: Layout,
) -> None:
    # Brute force on the metal itself, as for turnouts: is any left rail joined to
    # its own right one? The search counts a cut through one rail as none, for the
    # other rail still carries the polarity on: so acute crossings' cuts are healed.
    circuit = build_circuit(layout)
    metal = nx.Graph(circuit.graph)
    first: dict[tuple[str, float, str], int] = {}
    for i, node in enumerate(circuit.nodes):
        place = (node.part, round(node.position_m, 6), node.wire)
        metal.add_edge(i, first.setdefault(place, i))
    meets = any(nx.has_path(metal, s.left0, s.right0) for s in circuit.segments)
    found = any(not path.gaps for path in find_reversing(layout))
    assert found == meets


@given(crossed_tangles(fed=False, uncut=False))
@settings(max_examples=100, deadline=None)
def test_without_its_odd_links_left_meets_right_nowhere(layout: Layout) -> None:
    odd = find_odd_links(layout)
    kept = layout_of(*(p for i, p in layout.parts.items() if i not in odd))
    circuit = build_circuit(kept)
    metal = nx.Graph(circuit.graph)
    assert not any(nx.has_path(metal, s.left0, s.right0) for s in circuit.segments)
