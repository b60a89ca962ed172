"""What a report tells beside the worst places: the same for text and for JSON."""

from dataclasses import dataclass

from core.analysis.districts import District, find_districts
from core.analysis.failure import (
    Opening,
    matters,
    rank_openings,
    worst_by_connection,
)
from core.analysis.legs import Leg, describe_legs
from core.analysis.limiters import Limiter, find_limiters
from core.analysis.returning import Return, Together, plan_together, returns
from core.analysis.sound import sound_part
from core.analysis.study import Study
from core.analysis.weak import WeakShort, weakest_shorts
from core.checks.bearing import LoadRow, load_rows
from core.checks.guards import GuardRow, guard_rows
from core.checks.holding import HoldRow, hold_rows

WEAKEST = 10
"""How many of the weakest shorts are told; needs N25."""

OPENINGS = 5
"""How many connections are told."""

CARRIERS = 8
"""How many drops and buses are told in the text."""


@dataclass(frozen=True, slots=True)
class Judged:
    """An open connection, and whether the layout is notably worse off with it."""

    opening: Opening
    matters: bool


@dataclass(frozen=True, slots=True)
class Answers:
    """What is told of a whole layout.

    Attributes
    ----------
    sound : Study
        The study without the tracks of boosters whose poles are joined: its
        places and figures mean something.
    weakest : tuple of WeakShort
        The weakest shorts, the weakest first.
    openings : tuple of Judged
        The connections that matter most, the worst first.
    connections : int
        How many connections were tried.
    restarts : tuple of Return
        In the order in which they come back.
    together : tuple of Together
        How what stands above others copes when all come back at once.
    legs : tuple of Leg
        The buses as the signal sees them.
    guards : tuple of GuardRow
        The devices that trip, and who is first.
    districts : tuple of District
        By number, with what their standing loads draw and what is left.
    holds : tuple of HoldRow
        The weakest conductors behind each device, and whether they stand what it
        lets through.
    carried : tuple of LoadRow
        What each drop and bus carries at most while a train moves by, against what
        it stands, the fullest first.
    lamps : tuple of Limiter
        What lamp limiters take in running and in a short.
    """

    sound: Study
    weakest: tuple[WeakShort, ...]
    openings: tuple[Judged, ...]
    connections: int
    restarts: tuple[Return, ...]
    together: tuple[Together, ...]
    legs: tuple[Leg, ...]
    guards: tuple[GuardRow, ...]
    districts: tuple[District, ...]
    holds: tuple[HoldRow, ...]
    carried: tuple[LoadRow, ...]
    lamps: tuple[Limiter, ...]


def answer(study: Study) -> Answers:
    """Return what is told of a layout."""
    sound = sound_part(study)
    every = worst_by_connection(rank_openings(sound))
    return Answers(
        sound=sound,
        weakest=weakest_shorts(sound, WEAKEST),
        openings=tuple(Judged(o, matters(sound, o)) for o in every[:OPENINGS]),
        connections=len(every),
        restarts=returns(study),
        together=plan_together(study),
        legs=describe_legs(study),
        guards=guard_rows(study),
        districts=find_districts(study).districts,
        holds=hold_rows(study),
        carried=tuple(sorted(load_rows(study), key=lambda row: -row.share)),
        lamps=find_limiters(study),
    )
