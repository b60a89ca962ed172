"""Diamonds and slips as they are wired: what they join, cut, and switch.

Where two tracks cross, four pairs of rails do: each rail of one crosses both of the
other. Two of the four pairs have unlike poles, whichever way the tracks are fed.

* insulated: the four small crossings are dead, and the rails of both tracks go on
  under them. A plain diamond then ties nothing to nothing.
* switched: the two acute crossings, where on tracks fed alike A crosses B, are cut
  out of both their rails and get their pole from a change-over contact, from the
  track that the road is set for. The obtuse ones are left one metal ("joined"): on
  tracks fed alike A crosses A there. So they tie the two tracks together, like rail
  to like rail; on tracks that are not fed alike, such as a figure of eight, they must
  be made dead instead. Near a right angle no pair is the blunter one: then all four
  are cut out and switched, and nothing is tied.
* uncut: all one metal, as laid by hand. Rails that cross are joined where they
  cross: A meets B, unless gaps part the pieces between.

The roads of a slip join like rails of both tracks inside the acute crossings, as a
turnout's blades do.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.lie import Lie, Meeting, lie_of, slip_roads
from core.layout.parts import Crossing, OnRun, Side

LEADS_A_CONTACT = 3
"""A change-over contact has one wire to its crossing and one to each pole. [1]"""


@dataclass(frozen=True, slots=True)
class CrossingPlan:
    """One diamond or slip, and what becomes of its four small crossings.

    Attributes
    ----------
    crossing : Crossing
        The part.
    lie : Lie
        How its tracks lie.
    joined : tuple of Meeting
        Where a rail of one track is one metal with a rail of the other.
    switched : tuple of Meeting
        Crossings that are cut out of both rails and have a contact each.
    dead : tuple of Meeting
        Crossings that are dead; the rails go on under them.
    roads : tuple of Side
        Slip roads, by the side of run `a` that they lie on.
    """

    crossing: Crossing
    lie: Lie
    joined: tuple[Meeting, ...]
    switched: tuple[Meeting, ...]
    dead: tuple[Meeting, ...]
    roads: tuple[Side, ...]

    def on_a(self, meeting: Meeting) -> OnRun:
        """Return where a meeting lies on the first track."""
        return OnRun(run=self.crossing.a.run, position_m=meeting.a_m)

    def on_b(self, meeting: Meeting) -> OnRun:
        """Return where a meeting lies on the second track."""
        return OnRun(run=self.crossing.b.run, position_m=meeting.b_m)

    def cuts(self) -> tuple[tuple[PartId, float, Side], ...]:
        """Return where a rail must be parted: run, place, side."""
        found: list[tuple[PartId, float, Side]] = []
        for meeting in self.switched:
            found.append((self.crossing.a.run, meeting.a_m, meeting.a_side))
            found.append((self.crossing.b.run, meeting.b_m, meeting.b_side))
        return tuple(found)

    def places(self) -> Iterator[OnRun]:
        """Yield the places on both tracks that something is joined to."""
        for meeting in self.joined:
            yield self.on_a(meeting)
            yield self.on_b(meeting)
        if self.roads:
            yield self.crossing.a
            yield self.crossing.b

    @property
    def contacts(self) -> int:
        """How many change-over contacts it needs."""
        return len(self.switched)

    @property
    def leads(self) -> int:
        """How many wires run from those contacts."""
        return LEADS_A_CONTACT * self.contacts


def plan_crossing(layout: Layout, crossing: Crossing) -> CrossingPlan | None:
    """Return how a diamond or slip is wired; None where a track is not there."""
    lie = lie_of(layout, crossing)
    if lie is None:
        return None
    joined: list[Meeting] = []
    switched: list[Meeting] = []
    dead: list[Meeting] = []
    for meeting in lie.meetings:
        if crossing.frog == "uncut":
            joined.append(meeting)
        elif crossing.frog == "insulated":
            dead.append(meeting)
        elif meeting.acute or lie.square:
            switched.append(meeting)
        elif crossing.obtuse == "joined":
            joined.append(meeting)
        else:
            dead.append(meeting)
    return CrossingPlan(
        crossing,
        lie,
        tuple(joined),
        tuple(switched),
        tuple(dead),
        slip_roads(crossing, lie),
    )


def plan_crossings(layout: Layout) -> tuple[CrossingPlan, ...]:
    """Return the plan of every diamond and slip."""
    plans = (plan_crossing(layout, crossing) for crossing in layout.of_kind(Crossing))
    return tuple(plan for plan in plans if plan is not None)
