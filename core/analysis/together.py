"""What may flow for good through a wire that several districts have in common.

A breaker guards what comes through it. What goes back by a conductor that it does not
break may come from other breakers too, and each of them lets its trip current flow
for good: together up to the most that the devices above them let through.

Worked out with one ampere drawn at some places of each district: what of it runs in
each wire. The most of the sum is that of a linear program whose bounds are nested, one
a device, so taking the largest parts first is exact.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.analysis.breakdown import Point, unit_responses
from core.analysis.ordering import Ints
from core.analysis.sound import sound_segments
from core.analysis.study import Clearing, Floats, Study, WireDuty, trip_chain
from core.layout.ids import PartId
from core.layout.parts import Inline
from core.network.circuit import BranchKind

FELT = 0.05
"""A wire that takes less of a district's current than this takes none. [1]"""

TRIED = 3
"""Places tried in each district."""

AT_ONCE = 64
"""Places solved together."""


@dataclass(frozen=True, slots=True)
class Together:
    """What may flow for good through one conductor of a wire.

    Attributes
    ----------
    amps_a : float
        At the most. [A]
    guards : tuple of Clearing
        The devices that let it through, that which lets most of it first.
    """

    amps_a: float
    guards: tuple[Clearing, ...]


def flow_together(study: Study) -> dict[PartId, Together]:
    """Return the buses and drops through which more may flow than their device lets.

    Those whose current all comes through the device before them are left out.
    """
    districts = _districts(study)
    if len(districts) < 2:
        return {}
    edges = np.sort(
        np.concatenate(
            [study.circuit.by_kind[k] for k in (BranchKind.BUS, BranchKind.DROP)]
        )
    )
    asked = _unguarded(study, edges)
    found: dict[PartId, Together] = {}
    if not asked:
        return found
    shares = _shares(study, [own for _, own in districts], [edge for edge, _ in asked])
    chains = [_chain(study, guard) for guard, _ in districts]
    for row, (_, duty) in zip(shares, asked, strict=True):
        assert duty.by is not None, "asked only of what is protected"
        known = found.get(duty.part)
        sum_of = _most(row, chains, duty.by)
        if sum_of is not None and (known is None or sum_of.amps_a > known.amps_a):
            found[duty.part] = sum_of
    return found


def _districts(study: Study) -> list[tuple[Clearing, list[int]]]:
    """Return each device before sound track, and the segments behind it.

    Where several devices feed the same track that is the fault to mend (W127, W121),
    and no sum of theirs holds.
    """
    found: dict[PartId, tuple[Clearing, list[int]]] = {}
    for i in np.flatnonzero(sound_segments(study)).tolist():
        by = study.clearing[i]
        if by is not None and not study.sharers(i):
            found.setdefault(by.part, (by, []))[1].append(i)
    return list(found.values())


def _chain(study: Study, guard: Clearing) -> tuple[Clearing, ...]:
    """Return what bounds the current of a district: a lamp holds it, others trip."""
    above = trip_chain(study.layout, study.feeds, guard.part)
    return (guard, *above) if guard.holds else above


def _unguarded(study: Study, edges: Ints) -> list[tuple[int, WireDuty]]:
    """Return the stretches of wire that the device before them does not break."""
    duties = {duty.part: duty for duty in study.wires}
    found: list[tuple[int, WireDuty]] = []
    for edge in edges.tolist():
        branch = study.circuit.branches[edge]
        duty = duties.get(branch.part)
        if duty is None or duty.by is None:
            continue
        before = study.feeds.of_node.get(branch.tail)
        device = study.layout.get(duty.by.part, Inline)
        if device is not None and before != duty.by.part:
            found.append((edge, duty))
    return found


def _shares(
    study: Study, districts: Sequence[list[int]], edges: Sequence[int]
) -> Floats:
    """Return the most of each district's current that runs in each edge, (E, D)."""
    places: list[tuple[int, Point]] = []
    for number, own in enumerate(districts):
        picked = {own[round(k * (len(own) - 1) / (TRIED - 1))] for k in range(TRIED)}
        places += [(number, Point(i, 0.5)) for i in sorted(picked)]
    found = np.zeros((len(edges), len(districts)))
    for first in range(0, len(places), AT_ONCE):
        some = places[first : first + AT_ONCE]
        answers = unit_responses(study, [point for _, point in some])
        for (number, _), answer in zip(some, answers, strict=True):
            amps = np.abs(answer.amps[list(edges)])
            found[:, number] = np.maximum(found[:, number], amps)
    return found


def _most(
    shares: Floats, chains: Sequence[tuple[Clearing, ...]], by: Clearing
) -> Together | None:
    """Return the most that may flow where districts have such shares."""
    left = {guard.part: guard.trip_a for chain in chains for guard in chain}
    total, guards, others = 0.0, list[Clearing](), False
    for n in np.argsort(-shares, kind="stable").tolist():
        if shares[n] < FELT:
            break
        amps = min(left[guard.part] for guard in chains[n])
        for guard in chains[n]:
            left[guard.part] -= amps
        if amps > 0.0:
            total += float(shares[n]) * amps
            guards.append(chains[n][0])
            others = others or by.part not in [guard.part for guard in chains[n]]
    if not others or total <= by.trip_a * (1.0 + 1e-6):
        return None
    return Together(total, tuple(guards))
