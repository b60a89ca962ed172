"""An order that is carried over: whatever changed, the inverse is the dense one."""

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from core.analysis.carrying_over import MOST_NEW, carry_over
from core.analysis.examine import PatternShelf, study_layout
from core.analysis.ordering import Ordering, find_ordering
from core.analysis.selected import Pattern
from core.errors import EditError
from core.layout.edits.add import add_drop
from core.layout.edits.remove import remove_parts
from core.layout.layout import Layout
from core.layout.parts import Drop, OnRun, ToBus
from tests.bench.generate import club_layout

Ints = NDArray[np.int64]
Graph = tuple[int, list[tuple[int, int]]]


@st.composite
def grown(draw: st.DrawFn) -> tuple[Graph, list[int], Graph]:
    """Return a graph, the new numbers of its nodes (−1: gone), and what it became."""
    size = draw(st.integers(1, 20))
    node = st.integers(0, size - 1)
    pairs = draw(st.lists(st.tuples(node, node), max_size=40))
    kept = draw(st.lists(st.booleans(), min_size=size, max_size=size))
    more = draw(st.integers(0, 5))
    now = sum(kept) + more
    numbers = draw(st.permutations(range(now)))
    left = iter(numbers)
    new_of = [next(left) if k else -1 for k in kept]
    held = [(new_of[a], new_of[b]) for a, b in pairs if kept[a] and kept[b]]
    after = st.integers(0, max(now - 1, 0))
    added = draw(st.lists(st.tuples(after, after), max_size=8 if now else 0))
    lost = draw(st.integers(0, len(held)))
    return (size, pairs), new_of, (now, held[lost:] + added)


def array(pairs: list[tuple[int, int]]) -> Ints:
    return np.array(pairs, np.int64).reshape(-1, 2)


def inverse_on(pattern: Pattern, matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the entries of the inverse by slot, as `Factor` finds them."""
    values = np.zeros((pattern.slots, 1))
    rows, columns = np.nonzero(np.triu(matrix))
    values[pattern.slot(rows, columns), 0] = matrix[rows, columns]
    return pattern.factor(values).selected_inverse()[:, 0]


@given(grown(), st.integers(0, 2**32 - 1))
@settings(max_examples=200, deadline=None)
def test_entries_are_those_of_the_dense_inverse(
    made: tuple[Graph, list[int], Graph], chance: int
) -> None:
    # Outside check: numpy.linalg.inv of the whole matrix.
    (size, pairs), new_of, (now, kept) = made
    old = find_ordering(size, array(pairs))
    ordering = carry_over(old, np.array(new_of, np.int64), now, array(kept))
    if ordering is None or not now:
        return  # a new order is found then
    matrix = 0.1 * np.eye(now)
    weights = np.random.default_rng(chance).uniform(0.01, 100.0, len(kept))
    for (a, b), w in zip(kept, weights.tolist(), strict=True):
        if a != b:
            matrix[[a, b], [a, b]] += w
            matrix[[a, b], [b, a]] -= w
    pattern = Pattern(now, array(kept), ordering)
    found = inverse_on(pattern, matrix)
    wanted = array([*kept, *((i, i) for i in range(now))])
    dense = np.linalg.inv(matrix)[wanted[:, 0], wanted[:, 1]]
    slots = pattern.slot(wanted[:, 0], wanted[:, 1])
    assert found[slots] == pytest.approx(dense, rel=1e-8, abs=1e-10)


@given(grown())
@settings(max_examples=100, deadline=None)
def test_entries_are_closed_under_elimination(
    made: tuple[Graph, list[int], Graph],
) -> None:
    (size, pairs), new_of, (now, kept) = made
    old = find_ordering(size, array(pairs))
    ordering = carry_over(old, np.array(new_of, np.int64), now, array(kept))
    if ordering is None:
        return
    assert sorted(np.concatenate([[], *ordering.rounds])) == list(range(now))
    below = entries_of(ordering, now)
    place = places_of(ordering)
    for a, b in kept:
        if a != b:
            first, later = sorted((a, b), key=lambda n: place[n])
            assert later in below[first]
    for rows in below:
        if rows:
            parent = min(rows, key=lambda n: place[n])
            assert rows - {parent} <= below[parent]


def places_of(ordering: Ordering) -> dict[int, int]:
    order = [n for nodes in ordering.rounds for n in nodes.tolist()]
    return {node: place for place, node in enumerate(order)}


def entries_of(ordering: Ordering, size: int) -> list[set[int]]:
    below: list[set[int]] = [set() for _ in range(size)]
    found = list(zip(ordering.columns.tolist(), ordering.rows.tolist(), strict=True))
    assert len(set(found)) == len(found)
    for column, row in found:
        below[column].add(row)
    return below


def test_what_changed_too_much_is_not_carried_over() -> None:
    old = find_ordering(2, array([(0, 1)]))
    size = MOST_NEW + 3
    chain = array([(i, i + 1) for i in range(size - 1)])
    assert carry_over(old, np.array([0, 1]), size, chain) is None
    assert carry_over(old, np.array([0, 1]), size - 1, chain[:-1]) is not None


def test_nodes_of_one_round_that_become_neighbours_are_not_carried_over() -> None:
    # Two pairs that nothing joins: both their first nodes go in one round.
    old = find_ordering(4, array([(0, 1), (2, 3)]))
    first = old.rounds[0].tolist()
    joined = array([(0, 1), (2, 3), (first[0], first[1])])
    assert carry_over(old, np.arange(4), 4, joined) is None


def random_edit(layout: Layout, chance: random.Random) -> bool:
    """Add a drop beside another, or remove one; return whether that went."""
    drops = [d for d in layout.of_kind(Drop) if isinstance(d.to, ToBus)]
    drop = chance.choice(drops)
    assert isinstance(drop.to, ToBus)
    if chance.random() < 0.3:
        layout.apply(remove_parts(layout, frozenset({drop.id})))
        return True
    place = max(0.02, drop.on.position_m + chance.uniform(-0.3, 0.3))
    tap = max(0.0, drop.to.position_m + chance.uniform(-0.2, 0.2))
    to = ToBus(part=drop.to.part, position_m=tap)
    try:
        layout.apply(add_drop(layout, OnRun(run=drop.on.run, position_m=place), to=to))
    except EditError:
        return False  # off the end of the bus
    return True


def test_a_layout_under_edit_is_studied_as_if_it_were_new() -> None:
    # Outside check: a study whose order of elimination was found anew.
    chance = random.Random(5)
    layout, shelf = club_layout(60), PatternShelf()
    study_layout(layout.copy(), pattern=shelf.take)
    base = shelf._base
    for _ in range(30):
        if not random_edit(layout, chance):
            continue
        kept = study_layout(layout.copy(), pattern=shelf.take)
        anew = study_layout(layout.copy())
        for field in ("loop0", "cross", "loop1", "standing0"):
            mine, its = getattr(kept.scan, field), getattr(anew.scan, field)
            assert mine == pytest.approx(its, rel=1e-9, abs=1e-12), field
    assert base is not None
    assert shelf._base is not None
    assert shelf._base is not base  # more than MOST_NEW nodes came
