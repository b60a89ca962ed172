"""Selected inversion: the entries of an inverse that lie on a sparse pattern.

For A = L·D·Lᵀ with L unit lower triangular, the entries of Z = A⁻¹ on the
pattern of L follow from those of later columns alone (Takahashi, Fagan and
Chen 1973; Erisman and Tinney 1975):

    Z[S, j] = −Z[S, S]·L[S, j],   Z[j, j] = 1/D[j] − L[S, j]ᵀ·Z[S, j],

S being the rows of column j below the diagonal. Every entry of Z[S, S] lies on
the pattern, since S is a clique once j is gone. The cost is that of the
factorization, whatever the number of entries asked for.

Both passes go by rounds of independent columns (see `ordering`), so that one
array operation serves a whole round, and over any number of matrices of one
pattern at once (the harmonics of a square wave).
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.analysis.ordering import Ints, Ordering, find_ordering

BLOCK = 4096
"""Entries of the squares of one block of columns; bounds memory, keeps to caches."""

Numbers = NDArray[Any]
"""float64 or complex128."""


@dataclass(frozen=True, slots=True)
class _Round:
    """One round: m columns of up to c rows, padded with the empty slot.

    columns : (m,)        slots of the diagonals
    rows : (m, c)         slots of the diagonals of the rows (for solving)
    below : (m, c)        slots of L[S, j]
    square : (m, c, c)    slots of A[S, S]
    take, starts, targets sorted scatter of the products into their slots
    """

    columns: Ints
    rows: Ints
    below: Ints
    square: Ints
    take: Ints
    starts: Ints
    targets: Ints


class Pattern:
    """The symbolic part: done once for a circuit's shape, kept while values change.

    Parameters
    ----------
    size : int
        Number of unknowns, n.
    pairs : int array, shape (E, 2)
        Where A has entries off the diagonal, and where Z is wanted.

    Attributes
    ----------
    slots : int
        Length of the value arrays: n diagonals, the entries of L, and one
        empty slot at the end that stays zero.
    """

    def __init__(self, size: int, pairs: Ints) -> None:
        ordering = find_ordering(size, pairs)
        self.size = size
        self._place = _places(ordering, size)
        self._keys = _keys(ordering, self._place, size)
        self.slots = size + len(self._keys) + 1
        self.empty = self.slots - 1
        self._rounds = tuple(
            self._round(columns, ordering)
            for together in ordering.rounds
            for columns in _blocks(together, ordering)
        )

    def slot(self, rows: Ints, columns: Ints) -> Ints:
        """Return the slots of entries; negative indices give the empty slot.

        Raises
        ------
        KeyError
            An entry is not on the pattern.
        """
        a = np.minimum(self._place[rows], self._place[columns])
        b = np.maximum(self._place[rows], self._place[columns])
        key = a * self.size + b
        found = np.searchsorted(self._keys, key)
        inside = np.minimum(found, max(len(self._keys) - 1, 0))
        nowhere = (rows < 0) | (columns < 0)
        diagonal = rows == columns
        if len(self._keys):
            known = self._keys[inside] == key
        else:
            known = np.zeros(key.shape, np.bool_)
        if not np.all(known | nowhere | diagonal):
            raise KeyError("an entry is not on the pattern")
        slots = np.where(diagonal, rows, self.size + found)
        return np.where(nowhere, self.empty, slots)

    def factor(self, values: Numbers) -> "Factor":
        """Return L and D of the matrices whose entries stand in `values`.

        Parameters
        ----------
        values : float64 or complex128 array, shape (slots, K)
            Entries of K matrices by slot; not changed.

        Notes
        -----
        No pivoting: nodal matrices of passive circuits are positive definite
        (complex ones have a positive definite real part), where any order of
        elimination is stable.
        """
        work = values.copy()
        work[self.empty] = 0.0
        for step in self._rounds:
            below = work[step.below]
            scaled = below / work[step.columns][:, None]
            work[step.below] = scaled
            work[self.empty] = 0.0
            if len(step.targets):
                products = below[:, :, None] * scaled[:, None, :]
                flat = products.reshape(-1, work.shape[1])[step.take]
                work[step.targets] -= np.add.reduceat(flat, step.starts, axis=0)
        return Factor(self, work)

    @property
    def rounds(self) -> tuple[_Round, ...]:
        """The rounds of the elimination, in order."""
        return self._rounds

    def _round(self, columns: Ints, ordering: Ordering) -> _Round:
        lists = [
            sorted(ordering.neighbours[j], key=self._place.__getitem__)
            for j in columns.tolist()
        ]
        width = max((len(rows) for rows in lists), default=0)
        rows = np.full((len(columns), width), -1, np.int64)
        for i, row in enumerate(lists):
            rows[i, : len(row)] = row
        below = self.slot(rows, np.broadcast_to(columns[:, None], rows.shape))
        square = self.slot(
            np.broadcast_to(rows[:, :, None], (*rows.shape, width)),
            np.broadcast_to(rows[:, None, :], (*rows.shape, width)),
        )
        take, starts, targets = self._scatter(square)
        return _Round(
            columns,
            np.where(rows < 0, self.empty, rows),
            below,
            square,
            take,
            starts,
            targets,
        )

    def _scatter(self, square: Ints) -> tuple[Ints, Ints, Ints]:
        """Return how products are sorted and summed into their slots."""
        width = square.shape[1]
        upper = np.triu(np.ones((width, width), np.bool_))
        flat = np.where(upper, square, self.empty).reshape(-1)
        take = np.flatnonzero(flat != self.empty)
        take = take[np.argsort(flat[take], kind="stable")]
        targets, starts = np.unique(flat[take], return_index=True)
        return take, starts.astype(np.int64), targets


class Factor:
    """L and D of K matrices of one pattern."""

    def __init__(self, pattern: Pattern, values: Numbers) -> None:
        self._pattern = pattern
        self._values = values

    def selected_inverse(self) -> Numbers:
        """Return the entries of the inverses on the pattern, shape (slots, K)."""
        pattern, lower = self._pattern, self._values
        inverse = np.zeros_like(lower)
        for step in reversed(pattern.rounds):
            below = lower[step.below]
            square = inverse[step.square]
            column = -_multiply(square, below)
            inverse[step.below] = column
            inverse[pattern.empty] = 0.0
            inverse[step.columns] = 1.0 / lower[step.columns] - (
                (below * column).sum(axis=1)
            )
        return inverse

    def solve(self, rhs: Numbers) -> Numbers:
        """Return A⁻¹·rhs for the first matrix; rhs has shape (n,) or (n, M)."""
        pattern = self._pattern
        lower = self._values[:, 0]
        flat = rhs.reshape(pattern.size, -1)
        work = np.zeros((pattern.slots, flat.shape[1]), np.result_type(lower, rhs))
        work[: pattern.size] = flat
        for step in pattern.rounds:
            parts = lower[step.below][:, :, None] * work[step.columns][:, None, :]
            np.subtract.at(work, step.rows, parts)
        work[pattern.empty] = 0.0
        for step in reversed(pattern.rounds):
            known = (lower[step.below][:, :, None] * work[step.rows]).sum(axis=1)
            work[step.columns] = work[step.columns] / lower[step.columns, None] - known
        return work[: pattern.size].reshape(rhs.shape)


def _blocks(together: Ints, ordering: Ordering) -> list[Ints]:
    """Return the columns of a round in blocks of like width that fit a cache.

    Columns of a round do not touch each other, so blocks may follow in any order.
    """
    widths = np.array([len(ordering.neighbours[j]) for j in together.tolist()])
    order = np.argsort(widths, kind="stable")
    blocks: list[Ints] = []
    first = 0
    while first < len(order):
        last = first + 1
        while last < len(order) and (
            (last + 1 - first) * max(widths[order[last]], 1) ** 2 <= BLOCK
        ):
            last += 1
        blocks.append(together[order[first:last]])
        first = last
    return blocks


def _multiply(square: Numbers, column: Numbers) -> Numbers:
    """Return square @ column for each of m columns and K matrices."""
    if square.shape[-1] == 1:
        flat: Numbers = np.matmul(square[..., 0], column)
        return flat
    product: Numbers = np.einsum("mijk,mjk->mik", square, column)
    return product


def _places(ordering: Ordering, size: int) -> Ints:
    """Return when each node is eliminated (and 0 for the index −1's sake)."""
    place = np.zeros(size + 1, np.int64)
    if size:
        place[np.concatenate(ordering.rounds)] = np.arange(size)
    return place


def _keys(ordering: Ordering, place: Ints, size: int) -> Ints:
    """Return column · n + row of every entry of L below the diagonal, sorted."""
    columns = np.repeat(
        np.arange(size), [len(rows) for rows in ordering.neighbours] if size else []
    )
    rows = np.array([r for rows in ordering.neighbours for r in rows], np.int64)
    keys = place[columns.astype(np.int64)] * size + place[rows]
    keys.sort()
    return keys
