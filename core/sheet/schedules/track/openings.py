"""Each opening as a builder needs it: jumper, plug, dead approach, contact."""

from dataclasses import dataclass

from core.analysis.openings import APPROACH_M, LiveApproach, live_approaches
from core.analysis.study import Study
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import edges_of, longest_m, section_drops, side_of
from core.layout.parts import Drop, Opening
from core.layout.passing import Passing, plugs_needed
from core.layout.queries import run_name
from core.materials.joints import joint
from core.materials.wires import wire


@dataclass(frozen=True, slots=True)
class OpeningRow:
    """One opening.

    Attributes
    ----------
    opening : Opening
        It.
    tracks : tuple of str
        Names of the runs it carries.
    longest_m : float
        Its longest stretch of track. [m]
    drops : tuple of PartId
        Its drops: a pair of the jumper each.
    wires : tuple of str
        What their leads are made of.
    plug : str
        The kind of contact.
    plug_a : float
        What each plug must stand: the most that protects a drop of it lets through
        without tripping; 0 where nothing does. [A]
    sides : tuple of str
        The sides on which it has edges.
    live : tuple of LiveApproach
        Rail before its edges that stays live while it is open.
    buses : tuple of Passing
        Where buses must part for it to open.
    """

    opening: Opening
    tracks: tuple[str, ...]
    longest_m: float
    drops: tuple[PartId, ...]
    wires: tuple[str, ...]
    plug: str
    plug_a: float
    sides: tuple[str, ...]
    live: tuple[LiveApproach, ...]
    buses: tuple[Passing, ...]


def opening_rows(study: Study) -> tuple[OpeningRow, ...]:
    """Return the openings of a layout, in the order they were drawn."""
    return tuple(_row(study, o) for o in study.layout.of_kind(Opening))


def _row(study: Study, opening: Opening) -> OpeningRow:
    layout = study.layout
    drops = section_drops(layout, opening)
    runs = dict.fromkeys(carried.run for carried in opening.carries)
    swings = opening.use != "board joint"
    return OpeningRow(
        opening=opening,
        tracks=tuple(run_name(layout, run) for run in runs),
        longest_m=longest_m(opening),
        drops=tuple(drop.id for drop in drops),
        wires=tuple(dict.fromkeys(wire(drop.wire).label for drop in drops)),
        plug=joint(opening.plug).label,
        plug_a=max((_trip_a(study, drop) for drop in drops), default=0.0),
        sides=_sides(layout, opening),
        live=live_approaches(layout, opening) if swings else (),
        buses=plugs_needed(layout, opening),
    )


def _trip_a(study: Study, drop: Drop) -> float:
    duties = {duty.part: duty for duty in study.wires}
    duty = duties.get(drop.id)
    return duty.by.trip_a if duty is not None and duty.by is not None else 0.0


def _sides(layout: Layout, opening: Opening) -> tuple[str, ...]:
    found = (side_of(layout, opening, edge) for edge in edges_of(layout, opening))
    return tuple(dict.fromkeys(found))


DEAD_M = APPROACH_M
"""Track to be dead before each edge while it is open. [m]"""
