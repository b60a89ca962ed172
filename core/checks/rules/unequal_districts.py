"""W122: two districts of unequal volts meet at a gap."""

from collections.abc import Iterator
from dataclasses import dataclass

from core.analysis.boundaries import Boundary
from core.analysis.pits import find_crossings
from core.analysis.study import Study
from core.checks.finding import Finding, Severity
from core.checks.rule import Rule
from core.checks.words import list_names
from core.layout.ids import PartId
from core.layout.parts import Booster, Inline
from core.layout.queries import part_name
from core.units.figures import show_amps, show_ohms, show_volts

MOST_V = 0.5
"""Between the two sides of a gap. [V] House choice (needs 3.5: 0.2 good, 0.5 most)."""

GOOD_V = 0.2
"""Up to here nobody notices. [V] House choice."""


@dataclass(frozen=True, slots=True)
class _Side:
    """What drives one side of a gap, and what diodes on the way hold back. [V]"""

    booster: PartId
    volts: float
    held_v: float


def check(study: Study) -> Iterator[Finding]:
    """Yield one finding for each pair of boosters whose volts differ too much.

    Of several gaps between them the one with the most current is told. Detectors'
    diodes lower one side too, but let nothing even itself out: only what the
    boosters differ by beyond them counts.
    """
    worst: dict[tuple[PartId, PartId], list[tuple[float, Boundary]]] = {}
    for edge in find_crossings(study):
        sides = [_side(study, feed) for feed in edge.feeds]
        one, other = sides
        if one is None or other is None or one.booster == other.booster:
            continue
        differ = abs(one.volts - other.volts) - one.held_v - other.held_v
        opposed = edge.opposite and not edge.reversers
        if opposed or differ <= GOOD_V + 1e-9:
            continue
        first, second = sorted((one.booster, other.booster))
        worst.setdefault((first, second), []).append((differ, edge))
    for found in worst.values():
        found.sort(key=lambda pair: -pair[0] / pair[1].loop_ohm)
        yield _finding(study, found)


def _side(study: Study, feed: PartId | None) -> _Side | None:
    if feed is None:
        return None
    chain = study.feeds.chain(feed)
    booster = study.layout.get(chain[-1], Booster)
    if booster is None:
        return None
    devices = (study.layout.get(part, Inline) for part in chain)
    held = sum(device.drop_v for device in devices if device is not None)
    return _Side(booster.id, booster.volts_v, held)


def _finding(study: Study, found: list[tuple[float, Boundary]]) -> Finding:
    differ, edge = found[0]
    tops = [study.feeds.chain(feed)[-1] for feed in edge.feeds if feed is not None]
    one, other = tops
    amps = differ / edge.loop_ohm
    rest = list(dict.fromkeys(e.part for _, e in found[1:] if e.part != edge.part))
    also = f" So it is at {list_names(rest)}." if rest else ""
    return RULE.finding(
        f"At {part_name(study.layout, edge.part)} the sides of {one} and {other} "
        f"differ by {show_volts(differ)}: a train across it carries "
        f"{show_amps(amps)} through its wheels.{also}",
        f"{show_volts(differ)} / {show_ohms(edge.loop_ohm)} = {show_amps(amps)}; "
        f"{show_volts(MOST_V)} at most, {show_volts(GOOD_V)} is good",
        "Set both boosters to the same track volts, measured with one meter.",
        parts=(edge.part, one, other, *rest),
        place=edge.place,
        severity=RULE.severity if differ > MOST_V + 1e-9 else Severity.ADVICE,
        size=differ / MOST_V,
    )


RULE = Rule(
    "W122",
    Severity.FAULT,
    "Unequal volts across a gap",
    source="House choice: 0.2 V good, 0.5 V at most, from the current it drives.",
    check=check,
)
