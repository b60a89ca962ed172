"""Reversing paths: worked loops, wyes and dog-bones, and brute force."""

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.layout.edits.shape import reverse_run
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part, Sides
from core.network.build import build_circuit
from core.network.reversing import find_odd_links, find_reversing
from tests.core.network.track import (
    balloon,
    dog_bone,
    end,
    gap,
    joint,
    layout_of,
    on,
    oval,
    run,
    turnout,
    wye,
)


def test_a_balloon_loop_is_one_path_of_its_own_length() -> None:
    # By hand: out at the toe (2 m), round to the end (5 m), back in at the leg.
    (path,) = find_reversing(balloon())
    assert path.links == ("T1",)
    assert path.length_m == pytest.approx(3.0)


def test_a_wye_reverses_through_all_three_of_its_turnouts() -> None:
    # By hand: R1 from 1 to 3 m, R3 its 1.5 m, R2 from 2 m back to its start.
    (path,) = find_reversing(wye())
    assert set(path.links) == {"T1", "T2", "T3"}
    assert path.length_m == pytest.approx(2.0 + 1.5 + 2.0)


def test_a_dog_bone_reverses_through_its_crossover() -> None:
    # By hand: either half of the oval closes it; the shorter is 5 m and 0.5 m
    # of crossover: R1 from 2 to 7 m.
    (path,) = find_reversing(dog_bone())
    assert set(path.links) == {"T1", "T2"}
    assert path.length_m == pytest.approx(5.5)


def test_an_oval_with_a_passing_loop_does_not_reverse() -> None:
    assert find_reversing(oval()) == ()


def test_two_double_gaps_make_a_section_of_what_lies_between() -> None:
    (path,) = find_reversing(balloon(gap(1, on(1, 2.3)), gap(2, on(1, 4.8))))
    assert set(path.gaps) == {"G1", "G2"}
    lengths = sorted(sum(h.length_m for h in span) for span in path.spans)
    # Between the gaps 2.5 m; from G2 over the turnout to G1: 0.2 + 0.3 m.
    assert lengths == pytest.approx([0.5, 2.5])


def test_one_double_gap_leaves_no_section() -> None:
    (path,) = find_reversing(balloon(gap(1, on(1, 3.0))))
    assert path.gaps == ("G1",)
    assert path.spans == ()


def test_a_cut_through_one_rail_cures_nothing() -> None:
    (path,) = find_reversing(balloon(gap(1, on(1, 3.0), "left")))
    assert path.gaps == ()


@pytest.mark.parametrize(
    ("apart_m", "cut"), [(0.02, True), (0.05, True), (0.06, False)]
)
def test_staggered_cuts_are_one_double_gap_up_to_50_mm(
    apart_m: float, *, cut: bool
) -> None:
    pair = (gap(1, on(1, 3.0), "left"), gap(2, on(1, 3.0 + apart_m), "right"))
    (path,) = find_reversing(balloon(*pair))
    assert bool(path.gaps) is cut


def test_a_joint_insulated_on_both_rails_is_a_double_gap() -> None:
    layout = layout_of(
        run(1, 2.0),
        run(2, 3.0),
        joint(1, end(1, "end"), end(2, "start"), insulated="both"),
        turnout(1, on(1, 1.0), end(2, "end")),
    )
    (path,) = find_reversing(layout)
    assert path.gaps == ("J1",)


MAKERS = {"balloon": balloon, "wye": wye, "dog-bone": dog_bone, "oval": oval}


@pytest.mark.parametrize(
    ("name", "number"),
    [
        (name, number)
        for name, make in MAKERS.items()
        for number in (1, 2, 3)
        if f"R{number}" in make().parts
    ],
)
def test_drawing_a_run_the_other_way_changes_nothing(name: str, number: int) -> None:
    layout = MAKERS[name]()
    turned = layout.copy()
    turned.apply(reverse_run(turned, PartId(f"R{number}")))
    before, after = find_reversing(layout), find_reversing(turned)
    assert [set(p.links) for p in after] == [set(p.links) for p in before]
    assert [p.length_m for p in after] == pytest.approx([p.length_m for p in before])


_CUTS: tuple[Sides, Sides] = ("none", "both")


@st.composite
def tangles(draw: st.DrawFn) -> Layout:
    """Draw a few runs joined at random: any way that ends and sides can meet."""
    count = draw(st.integers(1, 4))
    parts: list[Part] = [run(i + 1, 4.0) for i in range(count)]
    ends = draw(
        st.permutations([(i + 1, e) for i in range(count) for e in ("start", "end")])
    )
    for number in range(len(ends)):
        if not ends:
            break
        first = ends.pop()
        kind = draw(st.sampled_from(["free", "joint", "turnout"]))
        if kind == "joint" and ends:
            other = ends.pop()
            insulated: Sides = draw(st.sampled_from(_CUTS))
            parts.append(joint(number + 1, end(*first), end(*other), insulated))
        elif kind == "turnout":
            place = on(draw(st.integers(1, count)), draw(st.integers(1, 7)) / 2 + 0.1)
            back = draw(st.booleans())
            parts.append(turnout(number + 1, place, end(*first), backward=back))
    for number in range(draw(st.integers(0, 2))):
        place = on(draw(st.integers(1, count)), draw(st.integers(1, 7)) / 2 - 0.2)
        parts.append(gap(number + 1, place))
    return layout_of(*parts)


@given(tangles())
@settings(max_examples=150, deadline=None)
def test_left_meets_right_exactly_where_a_path_without_gaps_is_found(
    layout: Layout,
) -> None:
    # Brute force on the metal itself: build the rails as conductors and ask a
    # general graph library whether any left rail is joined to its own right one.
    circuit = build_circuit(layout)
    metal = nx.Graph(circuit.graph)
    meets = any(nx.has_path(metal, s.left0, s.right0) for s in circuit.segments)
    found = any(not path.gaps for path in find_reversing(layout))
    assert found == meets


@given(tangles())
@settings(max_examples=100, deadline=None)
def test_a_layout_without_its_gaps_has_as_many_ways_to_reverse(layout: Layout) -> None:
    # Cutting parts metal, not the way a train goes: whether track reverses at all
    # does not depend on gaps.
    bare = layout_of(*(p for p in layout.parts.values() if not p.id.startswith("G")))
    assert bool(find_reversing(bare)) == bool(find_reversing(layout))


@given(tangles())
@settings(max_examples=150, deadline=None)
def test_without_its_odd_links_left_meets_right_nowhere(layout: Layout) -> None:
    # Brute force on the metal again, with the links that were named taken away.
    odd = find_odd_links(layout)
    kept = layout_of(*(p for i, p in layout.parts.items() if i not in odd))
    metal = nx.Graph(build_circuit(kept).graph)
    segments = build_circuit(kept).segments
    assert not any(nx.has_path(metal, s.left0, s.right0) for s in segments)
    assert bool(odd) == any(not path.gaps for path in find_reversing(layout))


def test_a_loop_that_is_cut_has_no_odd_link() -> None:
    assert find_odd_links(balloon()) == ("T1",)
    assert find_odd_links(balloon(gap(1, on(1, 3.0)))) == ()
