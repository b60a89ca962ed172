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

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from core.analysis.ordering import Ints, Ordering, find_ordering

BLOCK = 4096
"""Entries of the squares of one block of columns; bounds memory, keeps to caches."""

MANY = 16
"""Right sides from which on it pays to solve each island by itself; measured. [1]"""

T = TypeVar("T")

Numbers = NDArray[Any]
"""float64 or complex128."""


@dataclass(frozen=True, slots=True)
class _Block:
    """Columns that are eliminated together: m of them, of up to c rows each.

    columns : slice       slots of their diagonals
    entries : slice       slots of their entries of L, column by column
    owner : (e,)          which of the m columns each entry belongs to
    left, right : (q,)    pairs of entries of one column, sorted by where their
                          product goes
    starts, targets       where the products of one slot begin, and that slot
    rows : (m, c)         slots of the diagonals of the rows; padded, as are
    below : (m, c)        slots of the entries, and
    square : (m, c, c)    slots of A[S, S]
    """

    columns: slice
    entries: slice
    owner: Ints
    left: Ints
    right: Ints
    starts: Ints
    targets: Ints
    rows: Ints
    below: Ints
    square: Ints


class Pattern:
    """The symbolic part: done once for a circuit's shape, kept while values change.

    Parameters
    ----------
    size : int
        Number of unknowns, n.
    pairs : int array, shape (E, 2)
        Where A has entries off the diagonal, and where Z is wanted.
    ordering : Ordering, optional
        An order of elimination that holds all pairs; found where it is not given.

    Attributes
    ----------
    ordering : Ordering
        The order of elimination.
    slots : int
        Length of the value arrays: n diagonals in order of elimination, the
        entries of L column by column in the same order, and one empty slot at the
        end that stays zero. What is worked on together thus lies together.
    """

    def __init__(
        self, size: int, pairs: Ints, ordering: Ordering | None = None
    ) -> None:
        ordering = ordering or find_ordering(size, pairs)
        self.ordering = ordering
        counts = np.bincount(ordering.columns, minlength=size)
        blocks = [
            block for round_ in ordering.rounds for block in _blocks(round_, counts)
        ]
        order = np.concatenate(blocks) if size else np.zeros(0, np.int64)
        self.size = size
        self._kept: dict[str, tuple[bytes, Any]] = {}
        # One place more, for the index −1.
        self._place = np.zeros(size + 1, np.int64)
        self._place[order] = np.arange(size)
        counts = counts[order]
        columns = np.repeat(np.arange(size), counts)
        place = self._place
        self._keys = place[ordering.columns] * size + place[ordering.rows]
        self._keys.sort()
        self.slots = size + len(self._keys) + 1
        self.empty = self.slots - 1
        firsts = np.concatenate([[0], np.cumsum(counts)])
        pairs_of = _Pairs(size, self._keys, columns, firsts)
        ends = np.cumsum([0, *(len(block) for block in blocks)])
        entries = _Entries(columns, firsts, ends, self._keys % max(size, 1))
        self.blocks = tuple(_blocks_of(entries, pairs_of, size, self.empty))

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
        slots = np.where(diagonal, self._place[rows], self.size + found)
        return np.where(nowhere, self.empty, slots)

    def keep(self, name: str, of: bytes, make: Callable[[], T]) -> T:
        """Return what was made under a name last time, if of the same; or make it."""
        known = self._kept.get(name)
        if known is None or known[0] != of:
            known = self._kept[name] = (of, make())
        made: T = known[1]
        return made

    @property
    def places(self) -> Ints:
        """When each unknown is eliminated, which is its diagonal's slot, shape (n,)."""
        return self._place[:-1]

    @cached_property
    def whole(self) -> "_Island":
        """All unknowns, to be solved for together; made when first asked for."""
        return self._island(np.arange(self.size))

    @cached_property
    def islands(self) -> "tuple[_Island, ...]":
        """The unknowns in sets that nothing joins; made when first asked for."""
        root = np.arange(self.size + 1)
        # The first entry below a diagonal is the column's parent; the last has none.
        columns, firsts = np.unique(self._keys // max(self.size, 1), return_index=True)
        parents = self._keys[firsts] % max(self.size, 1)
        for column, parent in zip(columns[::-1], parents[::-1], strict=True):
            root[column] = root[parent]
        roots = np.unique(root[:-1])
        if len(roots) < 2:
            return (self.whole,)
        return tuple(self._island(np.flatnonzero(root[:-1] == r)) for r in roots)

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
        for block in self.blocks:
            below = work[block.entries]
            scaled = below / work[block.columns][block.owner]
            if len(block.targets):
                products = below[block.left]
                products *= scaled[block.right]
                work[block.targets] -= np.add.reduceat(products, block.starts, axis=0)
            work[block.entries] = scaled
        return Factor(self, work)

    def _island(self, own: Ints) -> "_Island":
        """Return the island of some unknowns, given by their diagonals' slots."""
        unknown = np.empty(self.size, np.int64)
        unknown[self.places] = np.arange(self.size)
        local = np.full(self.slots, len(own))
        local[own] = np.arange(len(own))
        steps: list[_Step] = []
        for block in self.blocks:
            first, last = np.searchsorted(
                own, (block.columns.start, block.columns.stop)
            )
            if first == last:
                continue
            mine = own[first:last] - block.columns.start
            rows = local[block.rows[mine]]
            columns = slice(int(first), int(last))
            steps.append(_step_of(columns, block.below[mine], rows, len(own)))
        return _Island(own, unknown[own], tuple(steps))


class _Entries:
    """All entries of the factor, column by column, and the blocks they lie in.

    columns, rows : (E,)      of each entry, by place
    firsts : (n + 1,)         the first entry of each column
    ends : (B + 1,)           the first column of each block
    widths : (B,)             most entries that a column of it has
    block, owner, inside : (E,) of each entry: its block, which of the block's
                              columns it is in, and where in that column
    """

    def __init__(self, columns: Ints, firsts: Ints, ends: Ints, rows: Ints) -> None:
        sizes = np.diff(ends)
        block_of = np.repeat(np.arange(len(sizes)), sizes)
        self.columns, self.rows, self.firsts, self.ends = columns, rows, firsts, ends
        counts = np.diff(firsts)
        starts = ends[:-1]
        self.widths: Ints = np.maximum.reduceat(counts, starts) if len(starts) else ends
        self.block = block_of[columns]
        self.owner = columns - ends[self.block]
        self.inside = np.arange(len(columns)) - firsts[columns]

    def bases(self, power: int) -> Ints:
        """Return where each block begins if a column takes width ** power, (B + 1,)."""
        cells = np.diff(self.ends) * self.widths[: len(self.ends) - 1] ** power
        return np.concatenate([[0], np.cumsum(cells)])


def _blocks_of(
    entries: _Entries, pairs_of: "_Pairs", size: int, empty: int
) -> Iterator[_Block]:
    """Yield the blocks: each takes its share of arrays that are filled at one go."""
    width = entries.widths[entries.block]
    bases, bases_2 = entries.bases(1), entries.bases(2)
    at = bases[entries.block] + entries.owner * width + entries.inside
    rows, below = np.full((2, int(bases[-1])), empty)
    rows[at] = entries.rows
    below[at] = np.arange(size, size + len(at))
    square = np.full(int(bases_2[-1]), empty)
    left, right, targets = pairs_of.left, pairs_of.right, pairs_of.targets
    # Small numbers are sorted five times as fast.
    kind = np.uint16 if size + len(at) < 2**16 else np.int64
    goes_to = targets.astype(kind)
    corner = bases_2[entries.block] + entries.owner * width**2
    here, inside, across = corner[left], entries.inside, width[left]
    square[here + inside[left] * across + inside[right]] = targets
    square[here + inside[right] * across + inside[left]] = targets
    for block, (first, last) in enumerate(pairwise(entries.ends.tolist())):
        begin, end = entries.firsts[first].item(), entries.firsts[last].item()
        mine = slice(*pairs_of.firsts[[begin, end]].tolist())
        order = np.argsort(goes_to[mine], kind="stable")
        slots, starts = _groups(targets[mine][order])
        shape = (last - first, entries.widths[block].item())
        cells, cells_2 = (
            slice(*b[block : block + 2].tolist()) for b in (bases, bases_2)
        )
        yield _Block(
            slice(first, last),
            slice(size + begin, size + end),
            entries.owner[begin:end],
            left[mine][order] - begin,
            right[mine][order] - begin,
            starts,
            slots,
            rows[cells].reshape(shape),
            below[cells].reshape(shape),
            square[cells_2].reshape(*shape, shape[1]),
        )


@dataclass(frozen=True, slots=True)
class _Step:
    """One block of an island of n unknowns, as it is solved for; padding is row n.

    columns : slice       the unknowns of its m columns, counted in the island
    below : (m, c)        slots of the entries below each diagonal
    rows : (m, c)         the unknowns of those entries
    take, starts, targets sorted scatter of what the columns hand on
    """

    columns: slice
    below: Ints
    rows: Ints
    take: Ints
    starts: Ints
    targets: Ints


def _step_of(columns: slice, below: Ints, rows: Ints, size: int) -> _Step:
    flat = rows.reshape(-1)
    take = np.flatnonzero(flat < size)
    take = take[np.argsort(flat[take], kind="stable")]
    targets, starts = _groups(flat[take])
    return _Step(columns, below, rows, take, starts, targets)


@dataclass(frozen=True, slots=True)
class _Island:
    """Unknowns that are solved for together.

    diagonals : (n,)      slots of their diagonals, in order of elimination
    unknowns : (n,)       their numbers in what is asked
    steps                 the blocks that have any of them
    """

    diagonals: Ints
    unknowns: Ints
    steps: tuple[_Step, ...]


class Factor:
    """L and D of K matrices of one pattern."""

    def __init__(self, pattern: Pattern, values: Numbers) -> None:
        self._pattern = pattern
        self._values = values

    def some(self, which: Ints) -> "Factor":
        """Return the factors of some of the K matrices, by their numbers."""
        return Factor(self._pattern, self._values[:, which])

    def selected_inverse(self) -> Numbers:
        """Return the entries of the inverses on the pattern, shape (slots, K)."""
        pattern, lower = self._pattern, self._values
        inverse = np.zeros_like(lower)
        for block in reversed(pattern.blocks):
            below = lower[block.below]
            column = -_multiply(inverse, block.square, below)
            inverse[block.below] = column
            inverse[pattern.empty] = 0.0
            inverse[block.columns] = 1.0 / lower[block.columns] - (
                (below * column).sum(axis=1)
            )
        return inverse

    def solve(self, rhs: Numbers) -> Numbers:
        """Return A⁻¹·rhs for the first matrix; rhs has shape (n,) or (n, M).

        Many columns are solved island by island, each only where it is not zero.
        """
        pattern = self._pattern
        flat = rhs.reshape(pattern.size, -1)
        if flat.shape[1] < MANY:
            answer = np.empty(flat.shape, np.result_type(self._values, rhs))
            answer[pattern.whole.unknowns] = self._solve_island(pattern.whole, flat)
            return answer.reshape(rhs.shape)
        answer = np.zeros(flat.shape, np.result_type(self._values, rhs))
        for island in pattern.islands:
            asked = np.flatnonzero(flat[island.unknowns].any(axis=0))
            if len(asked):
                found = self._solve_island(island, flat[:, asked])
                answer[np.ix_(island.unknowns, asked)] = found
        return answer.reshape(rhs.shape)

    def _solve_island(self, island: _Island, rhs: Numbers) -> Numbers:
        lower = self._values[:, 0]
        diagonal = lower[island.diagonals, None]
        count = len(island.unknowns)
        work = np.zeros((count + 1, rhs.shape[1]), np.result_type(lower, rhs))
        work[:-1] = rhs[island.unknowns]
        for step in island.steps:
            if not len(step.targets):
                continue
            parts = lower[step.below][:, :, None] * work[step.columns][:, None, :]
            handed = parts.reshape(-1, work.shape[1])[step.take]
            work[step.targets] -= np.add.reduceat(handed, step.starts, axis=0)
        for step in reversed(island.steps):
            known = (lower[step.below][:, :, None] * work[step.rows]).sum(axis=1)
            work[step.columns] = work[step.columns] / diagonal[step.columns] - known
        return work[:-1]

    def solve_every(self, rhs: Numbers) -> Numbers:
        """Return A⁻¹·rhs for all K matrices: rhs (n, M), the answer (n, K, M)."""
        island, lower = self._pattern.whole, self._values[..., None]
        diagonal = lower[island.diagonals]
        size, count = len(island.unknowns), self._values.shape[1]
        work = np.zeros((size + 1, count, rhs.shape[1]), lower.dtype)
        work[:-1] = rhs[island.unknowns, None, :]
        for step in island.steps:
            if len(step.targets):
                parts = lower[step.below] * work[step.columns][:, None]
                handed = parts.reshape(-1, *work.shape[1:])[step.take]
                work[step.targets] -= np.add.reduceat(handed, step.starts, axis=0)
        for step in reversed(island.steps):
            known = (lower[step.below] * work[step.rows]).sum(axis=1)
            work[step.columns] = work[step.columns] / diagonal[step.columns] - known
        answer = np.empty((size, *work.shape[1:]), lower.dtype)
        answer[island.unknowns] = work[:-1]
        return answer


class _Pairs:
    """All pairs of entries of one column, by the first entry, and their slots.

    left, right, targets : (Q,)  the two entries, and the slot of their product
    firsts : (E + 1,)            the first pair of each entry
    """

    def __init__(self, size: int, keys: Ints, columns: Ints, firsts: Ints) -> None:
        entries = np.arange(len(keys))
        partners = firsts[columns + 1] - entries
        self.firsts = np.concatenate([[0], np.cumsum(partners)])
        self.left = np.repeat(entries, partners)
        self.right = np.arange(len(self.left)) - self.firsts[self.left] + self.left
        rows = keys % max(size, 1)
        upper, lower = rows[self.left], rows[self.right]
        # Rows of a column are neighbours of each other once it is gone.
        found = size + np.searchsorted(keys, upper * size + lower)
        self.targets = np.where(upper == lower, upper, found)


def _groups(ordered: Ints) -> tuple[Ints, Ints]:
    """Return the different numbers of a sorted array, and where each begins."""
    firsts = np.ones(len(ordered), np.bool_)
    np.not_equal(ordered[1:], ordered[:-1], out=firsts[1:])
    starts = np.flatnonzero(firsts)
    return ordered[starts], starts


def _blocks(together: Ints, counts: Ints) -> list[Ints]:
    """Return the columns of a round in blocks of like width that fit a cache.

    Columns of a round do not touch each other, so blocks may follow in any order.
    """
    order = together[np.argsort(counts[together], kind="stable")]
    widths: list[int] = np.maximum(counts[order], 1).tolist()
    blocks: list[Ints] = []
    first = 0

    def entries(last: int) -> int:
        width = widths[last]
        return (last + 1 - first) * width * width  # grows with `last`

    while first < len(order):
        others = range(first + 1, len(order))
        last = first + 1 + bisect_right(others, BLOCK, key=entries)
        blocks.append(order[first:last])
        first = last
    return blocks


def _multiply(inverse: Numbers, square: Ints, below: Numbers) -> Numbers:
    """Return Z[S, S] @ L[S] for each of m columns and K matrices."""
    if below.shape[-1] == 1:
        flat: Numbers = np.matmul(inverse[square][..., 0], below)
        return flat
    # Column by column: all of Z[S, S] at once would not fit a cache.
    product = np.zeros_like(below)
    for j in range(below.shape[1]):
        product += inverse[square[:, :, j]] * below[:, j, None]
    return product
