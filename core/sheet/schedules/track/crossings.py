"""What each diamond and slip needs done: cuts, leads, contacts and their poles."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import atan2, degrees

from core.analysis.poles import Pole, PolePlan, find_poles
from core.analysis.study import Study
from core.checks.rules.weak_contact import live_contacts
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.lie import Meeting
from core.layout.parts import Edge, OnRun, Side, TrackRun
from core.layout.queries import place_xy, run_name
from core.network.crossings import CrossingPlan, plan_crossings
from core.sheet.schedules.proving.spots import Spot, Spots
from core.sheet.schedules.track.ends import Ends

_INSIDE_M = 1e-5
"""Poles are read off this much nearer to the middle than the cut. [m]"""


@dataclass(frozen=True, slots=True)
class ContactRow:
    """One small crossing that has a change-over contact.

    Attributes
    ----------
    number : int
        Which contact of its diamond or slip, from 1.
    way : Edge
        Towards which edge it lies from the middle.
    cuts : tuple of int
        Numbers of the cuts that part it from its two rails, as in the gap list.
    first, second : "A", "B" or None
        Its pole when the first track is set, and when the second is. None where
        nothing feeds that rail.
    """

    number: int
    way: Edge
    cuts: tuple[int, int]
    first: Pole | None
    second: Pole | None


@dataclass(frozen=True, slots=True)
class CrossingRow:
    """What one diamond or slip needs.

    Attributes
    ----------
    plan : CrossingPlan
        How it is wired.
    spot : Spot
        Where its middle is, on its first track.
    end_m : float
        How far that is from the nearer end of the run. [m]
    end : str
        What that end is.
    tracks : tuple of str
        Names of its first and second track.
    contacts : tuple of ContactRow
        Its contacts.
    needed_a : float or None
        What each contact should carry, as for turnouts. [A]
    """

    plan: CrossingPlan
    spot: Spot
    end_m: float
    end: str
    tracks: tuple[str, str]
    contacts: tuple[ContactRow, ...]
    needed_a: float | None


def crossing_rows(study: Study) -> tuple[CrossingRow, ...]:
    """Return every diamond and slip, in the order one walks."""
    layout = study.layout
    poles, spots, ends = find_poles(study), Spots(layout), Ends(layout)
    lives = {live.part.id: live for live in live_contacts(study)}
    found: list[CrossingRow] = []
    for plan in plan_crossings(layout):
        crossing = plan.crossing
        live = lives.get(crossing.id)
        end_m, end = ends.nearest(crossing.a)
        found.append(
            CrossingRow(
                plan=plan,
                spot=spots.spot(crossing.a.run, _held(layout, crossing.a)),
                end_m=end_m,
                end=end,
                tracks=(
                    run_name(layout, crossing.a.run),
                    run_name(layout, crossing.b.run),
                ),
                contacts=tuple(_contacts(layout, poles, plan)),
                needed_a=live.needed if live is not None else None,
            )
        )
    return tuple(sorted(found, key=lambda r: (r.spot.turn, r.plan.crossing.id)))


def _held(layout: Layout, on: OnRun) -> float:
    run = layout.need(on.run, TrackRun)
    return min(on.position_m, run_path(run).length_m)


def _contacts(
    layout: Layout, poles: PolePlan | None, plan: CrossingPlan
) -> Iterator[ContactRow]:
    for number, meeting in enumerate(plan.switched, start=1):
        yield ContactRow(
            number=number,
            way=_way(layout, plan, meeting),
            cuts=(2 * number - 1, 2 * number),
            first=_pole(
                poles, plan.on_a(meeting), meeting.a_side, ahead=meeting.a_ahead
            ),
            second=_pole(
                poles, plan.on_b(meeting), meeting.b_side, ahead=meeting.b_ahead
            ),
        )


def _pole(poles: PolePlan | None, on: OnRun, side: Side, *, ahead: bool) -> Pole | None:
    """Return the pole of a rail just inside its cut."""
    rails = poles.runs.get(on.run) if poles is not None else None
    if rails is None:
        return None
    place = on.position_m + (-_INSIDE_M if ahead else _INSIDE_M)
    stretch = rails.at(side, place)
    return stretch.pole if stretch is not None else None


def _way(layout: Layout, plan: CrossingPlan, meeting: Meeting) -> Edge:
    """Return towards which edge a small crossing lies from the middle."""
    here, there = (
        place_xy(layout, plan.crossing.a),
        place_xy(layout, plan.on_a(meeting)),
    )
    assert here is not None, "the tracks of a plan are there"
    assert there is not None, "the tracks of a plan are there"
    angle = degrees(atan2(there[1] - here[1], there[0] - here[0]))
    if abs(angle) <= 45.0:
        return "right"
    if abs(angle) >= 135.0:
        return "left"
    return "back" if angle > 0.0 else "front"
