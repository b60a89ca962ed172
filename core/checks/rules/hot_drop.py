"""W216: a drop or bus that a passing train loads beyond what it stands."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from core.analysis.carrying import Carried, heaviest, live_wires
from core.analysis.ordering import Ints
from core.analysis.study import Study
from core.checks.bearing import MOST_CONTACT_W, Bearing, bearings
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Bus, Drop
from core.layout.queries import place_name
from core.materials.wires import wire
from core.units.figures import show_amps, show_ohms, show_watts

SLACK_A = 1e-6
"""Rounding of solved currents. [A]"""


@dataclass(frozen=True, slots=True)
class _Over:
    """A wire that carries more than it, or its connector, stands."""

    carried: Carried
    bearing: Bearing


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for the drops and buses of one wire, and of one connector.

    No wire takes more of a train than the whole train: where that fits, nothing is
    worked out. Circuits of shorted boosters are left out. Wires too thin for their
    breaker are W203's, those that standing loads overload W204's.
    """
    wires: dict[str, list[_Over]] = {}
    contacts: dict[str, list[_Over]] = {}
    known = bearings(study)
    told = {
        duty.part
        for duty in study.wires
        if duty.amps_a > duty.rated_a
        or (duty.by is not None and duty.by.trip_a > duty.rated_a)
    }
    for part_id, carried in heaviest(study, _doubtful(study, known)).items():
        part, over = study.layout.parts[part_id], _Over(carried, known[part_id])
        assert isinstance(part, Bus | Drop)
        if carried.amps_a > over.bearing.wire_a + SLACK_A and part_id not in told:
            wires.setdefault(part.wire, []).append(over)
        if isinstance(part, Drop) and carried.amps_a > over.bearing.contact_a + SLACK_A:
            contacts.setdefault(part.contact, []).append(over)
    for found in wires.values():
        yield _thin_wire(study, found)
    for found in contacts.values():
        yield _hot_contact(study, found)


def _doubtful(study: Study, known: dict[PartId, Bearing]) -> Ints:
    """Return the wires that might carry too much, by branch number."""
    own = live_wires(study)
    most = np.abs(study.standing.amps[own]) + study.scan.train_a
    branches = study.circuit.branches
    stands = [known[branches[i].part].amps_a for i in own.tolist()]
    bears = np.array(stands, np.float64)
    return np.compress(most > bears + SLACK_A, own)


def _thin_wire(study: Study, found: list[_Over]) -> Finding:
    worst = max(found, key=lambda over: over.carried.amps_a)
    part = study.layout.parts[worst.carried.part]
    assert isinstance(part, Bus | Drop)
    spool = wire(part.wire)
    amps = worst.carried.amps_a
    return RULE.finding(
        f"{_said(study, found, worst)}; {spool.label} is good for "
        f"{show_amps(spool.amps_a)}.",
        f"{_sum(worst.carried)} > {show_amps(spool.amps_a)} ({spool.amps_source})",
        "Use thicker wire, or set another drop near by to share the current.",
        parts=tuple(over.carried.part for over in found),
        place=worst.carried.at,
        size=amps / spool.amps_a,
    )


def _hot_contact(study: Study, found: list[_Over]) -> Finding:
    worst = max(found, key=lambda over: over.carried.amps_a**2 * _ohm(over))
    amps, ohm = worst.carried.amps_a, _ohm(worst)
    heat = amps**2 * ohm
    return RULE.finding(
        f"{_said(study, found, worst)}; that makes {show_watts(heat)} in its "
        "connector.",
        f"I²·R = ({_sum(worst.carried)})² × {show_ohms(ohm)} = {show_watts(heat)} > "
        f"{show_watts(MOST_CONTACT_W)}",
        "Clean or renew the connector, solder it, or set another drop near by.",
        parts=tuple(over.carried.part for over in found),
        place=worst.carried.at,
        size=heat / MOST_CONTACT_W,
    )


def _ohm(over: _Over) -> float:
    return over.bearing.contact_ohm


def _said(study: Study, found: list[_Over], worst: _Over) -> str:
    """Return "D3 and D4 carry up to 2.10 A with a 2.00 A train at Main, 1.2 m"."""
    carried = worst.carried
    names = list_names([over.carried.part for over in found])
    one = len(found) == 1
    said = f"{names} {'carries' if one else 'carry'} up to {show_amps(carried.amps_a)}"
    if carried.at is None:
        return said
    train = show_amps(study.scan.train_a)
    return f"{said} with a {train} train at {place_name(study.layout, carried.at)}"


def _sum(carried: Carried) -> str:
    """Return the current, and how much of it the train brings."""
    brought = carried.amps_a - carried.standing_a
    if brought <= SLACK_A or carried.standing_a <= SLACK_A:
        return show_amps(carried.amps_a)
    return (
        f"{show_amps(carried.standing_a)} standing + {show_amps(brought)} of the train "
        f"= {show_amps(carried.amps_a)}"
    )


RULE = Rule(
    "W216",
    Severity.FAULT,
    "Drop overloaded by a train",
    source="The steady rating of each wire, with its own source in the wire table; "
    f"{show_watts(MOST_CONTACT_W)} in a connector: house choice.",
    check=check,
)
