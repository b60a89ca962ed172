"""An order of elimination carried over to a circuit of which little has changed.

An edit adds a few nodes to thousands. The old order stays good, and nearly all
of its entries stay as they are: new nodes are eliminated last, so they turn up
only in the columns that are eliminated after one of their neighbours, along its
way up the elimination tree. What is gone leaves its neighbours tied to each
other, which is more than there need be and never too little: the numbers worked
out are the same, some of them zeros.
"""

from collections.abc import Iterable
from heapq import heapify, heappop, heappush

import numpy as np

from core.analysis.ordering import Ints, Ordering

MOST_NEW = 40
"""With more new nodes than this a new order is the better one (house choice)."""


def carry_over(old: Ordering, new_of: Ints, size: int, pairs: Ints) -> Ordering | None:
    """Return an order of elimination for a pattern that grew out of another.

    Parameters
    ----------
    old : Ordering
        The order of the pattern as it was, of n nodes.
    new_of : int array, shape (n,)
        The new number of each old node; −1 where it is gone.
    size : int
        Number of unknowns now.
    pairs : int array, shape (E, 2)
        Pattern of the matrix off the diagonal, as for `find_ordering`.

    Returns
    -------
    Ordering or None
        It holds all pairs, and more of them than a new order would; None where
        too much has changed, or nodes of one round have become neighbours.

    Notes
    -----
    The entries are closed under elimination: the rows of a column but its first
    one, its parent, are rows of the parent too. Entries of nodes that are gone can
    be left out of a closed set: their parents hold the rest.
    """
    rounds = [r[r >= 0] for r in (new_of[nodes] for nodes in old.rounds)]
    known = np.zeros(size, np.bool_)
    known[new_of[new_of >= 0]] = True
    late = np.flatnonzero(~known)
    if len(late) > MOST_NEW:
        return None
    rounds = [r for r in rounds if len(r)] + [late[i : i + 1] for i in range(len(late))]
    round_of, place = _places(rounds, size)
    columns, rows = new_of[old.columns], new_of[old.rows]
    kept = (columns >= 0) & (rows >= 0)
    grown = _Growing(place, columns[kept], rows[kept])
    grown.add(pairs[pairs[:, 0] != pairs[:, 1]])
    columns, rows = grown.entries()
    if np.any(round_of[columns] == round_of[rows]):
        return None
    return Ordering(tuple(rounds), columns, rows)


def _places(rounds: Iterable[Ints], size: int) -> tuple[Ints, Ints]:
    """Return the round and the place of each node."""
    round_of, place = np.zeros(size, np.int64), np.zeros(size, np.int64)
    count = 0
    for number, nodes in enumerate(rounds):
        round_of[nodes] = number
        place[nodes] = np.arange(count, count + len(nodes))
        count += len(nodes)
    return round_of, place


class _Growing:
    """Entries of a factor, closed again whenever some are added."""

    def __init__(self, place: Ints, columns: Ints, rows: Ints) -> None:
        order = np.argsort(place[columns], kind="stable")
        self._place = place
        self._node = np.argsort(place)
        self._columns, self._rows = columns[order], rows[order]
        firsts = np.searchsorted(place[self._columns], np.arange(len(place) + 1))
        self._firsts: list[int] = firsts.tolist()
        self._more: dict[int, set[int]] = {}
        self._known: dict[int, set[int]] = {}

    def add(self, pairs: Ints) -> None:
        """Add entries, and what elimination makes of them."""
        size = len(self._place)
        ends = self._place[pairs]
        wanted = np.unique(ends.min(axis=1) * size + ends.max(axis=1))
        keys = np.sort(self._place[self._columns] * size + self._place[self._rows])
        found = np.searchsorted(keys, wanted)
        known = np.append(keys, -1)[found] == wanted
        # From here on by place: what is eliminated first has the lowest.
        for column, row in zip(*np.divmod(wanted[~known], size), strict=True):
            self._more.setdefault(int(column), set()).add(int(row))
        self._close()

    def entries(self) -> tuple[Ints, Ints]:
        """Return columns and rows of all entries, by node."""
        counts = [len(rows) for rows in self._more.values()]
        columns = np.repeat(np.array(list(self._more), np.int64), counts)
        rows = np.array([r for rows in self._more.values() for r in rows], np.int64)
        return (
            np.concatenate([self._columns, self._node[columns]]),
            np.concatenate([self._rows, self._node[rows]]),
        )

    def _close(self) -> None:
        """Hand the rows of each column that grew on to its parent, in order."""
        waiting = list(self._more)
        heapify(waiting)
        done = -1
        while waiting:
            column = heappop(waiting)
            if column == done:
                continue
            done = column
            rows = self._rows_of(column) | self._more[column]
            parent = min(rows)
            rows.discard(parent)
            rows -= self._rows_of(parent)
            more = self._more.get(parent, set())
            if rows - more:
                self._more[parent] = more | rows
                heappush(waiting, parent)

    def _rows_of(self, column: int) -> set[int]:
        """Return the rows that a column had to begin with."""
        known = self._known.get(column)
        if known is None:
            own = self._rows[self._firsts[column] : self._firsts[column + 1]]
            known = self._known[column] = set(self._place[own].tolist())
        return known
