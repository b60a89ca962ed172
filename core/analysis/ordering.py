"""The order in which nodes are eliminated: rounds of independent nodes.

A round takes nodes that are not neighbours of each other and have few
neighbours, so all of them can be eliminated in one vector operation. Long
chains (rails, buses) lose a constant share of their nodes a round, so a
layout of N nodes takes some log N rounds (cyclic reduction), where a plain
minimum-degree order would walk a chain from its ends, one node after another.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

DEGREE_SLACK = 5
"""A round also takes nodes with this many neighbours more than the fewest."""


@dataclass(frozen=True, slots=True)
class Ordering:
    """Rounds of eliminated nodes and the neighbours each had at that moment.

    Attributes
    ----------
    rounds : tuple of int arrays
        Nodes eliminated together.
    columns, rows : int arrays, shape (E,)
        Each node that is eliminated, with each neighbour that it has then: the
        entries below the diagonals of the factor. Those of a node in any order.
    """

    rounds: tuple[Ints, ...]
    columns: Ints
    rows: Ints


def find_ordering(size: int, pairs: Ints) -> Ordering:
    """Return an elimination order for a symmetric pattern.

    Parameters
    ----------
    size : int
        Number of unknowns, n.
    pairs : int array, shape (E, 2)
        Pattern of the matrix off the diagonal; repeats and either order allowed.

    Notes
    -----
    Cost is near n·d² for n nodes of d neighbours at elimination; d stays
    small (about 4 to 8) on track and bus networks.
    """
    near: list[set[int]] = [set() for _ in range(size)]
    for a, b in pairs.tolist():
        if a != b:
            near[a].add(b)
            near[b].add(a)
    left = list(range(size))
    rounds: list[Ints] = []
    columns: list[int] = []
    rows: list[int] = []
    while left:
        chosen = _choose(left, near)
        for node in chosen:
            around = near[node]
            columns += [node] * len(around)
            rows += around
            for other in around:
                friends = near[other]
                friends |= around
                friends.discard(other)
                friends.discard(node)
        rounds.append(np.array(chosen, np.int64))
        gone = set(chosen)
        left = [node for node in left if node not in gone]
    return Ordering(
        tuple(rounds), np.array(columns, np.int64), np.array(rows, np.int64)
    )


def _choose(left: list[int], near: list[set[int]]) -> list[int]:
    """Return independent nodes of few neighbours, fewest first."""
    fewest = min(len(near[node]) for node in left)
    limit = fewest + DEGREE_SLACK
    few = [node for node in left if len(near[node]) <= limit]
    few.sort(key=lambda node: len(near[node]))
    blocked: set[int] = set()
    chosen: list[int] = []
    for node in few:
        if node not in blocked:
            chosen.append(node)
            blocked |= near[node]
    return chosen
