"""The selected inverse against dense inverses."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from core.analysis.ordering import find_ordering
from core.analysis.selected import MANY, Pattern

Matrix = NDArray[np.complex128]


def laplacian(
    size: int, pairs: list[tuple[int, int]], weights: list[complex], leak: float
) -> Matrix:
    matrix = np.eye(size).astype(np.complex128) * leak
    for (a, b), w in zip(pairs, weights, strict=True):
        if a != b:
            matrix[a, a] += w
            matrix[b, b] += w
            matrix[a, b] -= w
            matrix[b, a] -= w
    return matrix


def packed(pattern: Pattern, matrices: list[Matrix]) -> Matrix:
    values = np.zeros((pattern.slots, len(matrices)), np.complex128)
    for k, matrix in enumerate(matrices):
        every = np.arange(len(matrix))
        values[pattern.slot(every, every), k] = matrix[every, every]
        rows, columns = np.nonzero(np.triu(matrix, 1))
        slots = pattern.slot(rows.astype(np.int64), columns.astype(np.int64))
        values[slots, k] = matrix[rows, columns]
    return values


@st.composite
def patterns(draw: st.DrawFn) -> tuple[int, list[tuple[int, int]]]:
    size = draw(st.integers(1, 24))
    node = st.integers(0, size - 1)
    return size, draw(st.lists(st.tuples(node, node), max_size=60))


@given(patterns(), st.data())
@settings(max_examples=80, deadline=None)
def test_entries_are_those_of_the_dense_inverse(
    made: tuple[int, list[tuple[int, int]]], data: st.DataObject
) -> None:
    # Outside check: numpy.linalg.inv of the whole matrix.
    size, pairs = made
    weights: list[complex] = [data.draw(st.floats(0.01, 100.0)) for _ in pairs]
    matrix = laplacian(size, pairs, weights, leak=0.1)
    pattern = Pattern(size, np.array(pairs, np.int64).reshape(-1, 2))
    values = packed(pattern, [matrix]).real
    found = pattern.factor(values).selected_inverse()
    dense = np.linalg.inv(matrix.real)
    wanted = np.array([*pairs, *((i, i) for i in range(size))], np.int64)
    slots = pattern.slot(wanted[:, 0], wanted[:, 1])
    assert found[slots, 0] == pytest.approx(
        dense[wanted[:, 0], wanted[:, 1]], rel=1e-8, abs=1e-10
    )


@given(patterns(), st.data())
@settings(max_examples=30, deadline=None)
def test_many_complex_matrices_at_once(
    made: tuple[int, list[tuple[int, int]]], data: st.DataObject
) -> None:
    size, pairs = made
    weights = [data.draw(st.floats(0.01, 100.0)) for _ in pairs]
    matrices = [
        laplacian(size, pairs, [w / (1 + 1j * k) for w in weights], leak=0.1)
        for k in range(3)
    ]
    pattern = Pattern(size, np.array(pairs, np.int64).reshape(-1, 2))
    found = pattern.factor(packed(pattern, matrices)).selected_inverse()
    every = np.arange(size, dtype=np.int64)
    for k, matrix in enumerate(matrices):
        dense = np.linalg.inv(matrix)
        diagonal = found[pattern.slot(every, every), k]
        assert diagonal == pytest.approx(np.diag(dense), rel=1e-8, abs=1e-10)


@given(patterns(), st.data())
@settings(max_examples=40, deadline=None)
def test_solving_is_multiplying_by_the_inverse(
    made: tuple[int, list[tuple[int, int]]], data: st.DataObject
) -> None:
    size, pairs = made
    weights: list[complex] = [data.draw(st.floats(0.01, 100.0)) for _ in pairs]
    matrix = laplacian(size, pairs, weights, leak=0.1)
    pattern = Pattern(size, np.array(pairs, np.int64).reshape(-1, 2))
    factor = pattern.factor(packed(pattern, [matrix]).real)
    rhs = np.linspace(-1.0, 1.0, 2 * size).reshape(size, 2)
    assert factor.solve(rhs) == pytest.approx(
        np.linalg.solve(matrix.real, rhs), rel=1e-8, abs=1e-9
    )


def test_ill_conditioned_chain() -> None:
    # Contacts of 1 mΩ in a row with wires of 1 kΩ: condition some 1e9. A chain
    # to ground has Z[i, i] = resistance from i to ground, summed by hand.
    size = 60
    ohms = [1e-3 if i % 2 else 1e3 for i in range(size)]
    matrix = np.zeros((size, size), np.complex128)
    for i, ohm in enumerate(ohms):
        matrix[i, i] += 1 / ohm
        if i:
            matrix[i - 1, i - 1] += 1 / ohm
            matrix[i - 1, i] -= 1 / ohm
            matrix[i, i - 1] -= 1 / ohm
    pattern = Pattern(size, np.array([(i, i + 1) for i in range(size - 1)]))
    found = pattern.factor(packed(pattern, [matrix]).real).selected_inverse()
    every = np.arange(size)
    diagonal = found[pattern.slot(every, every), 0]
    assert diagonal == pytest.approx(np.cumsum(ohms), rel=1e-8)


def test_an_entry_off_the_pattern_is_refused() -> None:
    pattern = Pattern(4, np.array([(0, 1), (1, 2), (2, 3)]))
    with pytest.raises(KeyError, match="not on the pattern"):
        pattern.slot(np.array([0]), np.array([3]))


def test_a_long_chain_takes_few_rounds() -> None:
    # Cyclic reduction: rounds grow with the logarithm of the length, so ten
    # times the chain takes a few rounds more, not ten times as many.
    def rounds(size: int) -> int:
        pairs = np.array([(i, i + 1) for i in range(size - 1)])
        return len(find_ordering(size, pairs).rounds)

    assert rounds(10_000) <= rounds(1_000) + 8


@given(patterns(), st.integers(MANY, 2 * MANY), st.data())
@settings(max_examples=40, deadline=None)
def test_many_right_sides_are_answered_island_by_island(
    made: tuple[int, list[tuple[int, int]]], count: int, data: st.DataObject
) -> None:
    # Outside check: numpy.linalg.solve of the whole matrix. Few pairs leave islands;
    # most right sides are zero but for two places.
    size, pairs = made
    weights: list[complex] = [data.draw(st.floats(0.01, 100.0)) for _ in pairs]
    matrix = laplacian(size, pairs, weights, leak=0.1).real
    pattern = Pattern(size, np.array(pairs, np.int64).reshape(-1, 2))
    factor = pattern.factor(packed(pattern, [matrix.astype(np.complex128)]).real)
    rhs = np.zeros((size, count))
    for column in range(count - 1):
        rhs[data.draw(st.integers(0, size - 1)), column] += 1.0
        rhs[data.draw(st.integers(0, size - 1)), column] -= 0.5
    found = factor.solve(rhs)
    assert found == pytest.approx(np.linalg.solve(matrix, rhs), rel=1e-9, abs=1e-12)


def test_islands_are_what_nothing_joins() -> None:
    # By hand: 0-2-4 and 1-3 hang together, 5 stands alone.
    pattern = Pattern(6, np.array([(0, 2), (2, 4), (1, 3)], np.int64))
    found = {frozenset(island.unknowns.tolist()) for island in pattern.islands}
    assert found == {frozenset({0, 2, 4}), frozenset({1, 3}), frozenset({5})}
