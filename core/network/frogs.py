"""Turnouts as they are wired: which rails the crossing parts, and its two contacts.

Seen from the toe, the through rail on the side of the hand and the leg's rail on
the other side are the inner rails; they meet at the crossing (the frog). The two
stock rails go on unbroken: as the through run's outer rail, and as the leg's.

* insulated: the crossing is dead and small; all rails go on from their own side.
* switched: blades and closure rails hang on their stock rails, the crossing is cut
  out on both sides and gets its pole from a change-over contact.
* self-powered: blades, closure rails and crossing are one piece of metal, fed by
  whichever blade touches its stock rail.

Beyond a live crossing the inner rails are cut by the heel gaps, where there are.
"""

from dataclasses import dataclass
from enum import StrEnum

from core.layout.edits.sides import other_side
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Side, TrackRun, Turnout


class Cut(StrEnum):
    """Where an inner rail is parted."""

    TOE = "toe"
    FROG = "frog"


@dataclass(frozen=True, slots=True)
class FrogPlan:
    """One live turnout, in the terms of its two runs.

    Attributes
    ----------
    turnout : Turnout
        The turnout.
    toe_m, frog_m : float
        Blade tips and crossing on the through run. [m]
    inner : Side
        The through run's inner rail, as seen on that run.
    leg_frog_m : float
        The crossing on the leg's run. [m]
    leg_inner : Side
        The leg's inner rail, as seen on the leg's run.
    """

    turnout: Turnout
    toe_m: float
    frog_m: float
    inner: Side
    leg_frog_m: float
    leg_inner: Side

    @property
    def ahead(self) -> bool:
        """Whether the turnout opens towards the through run's end."""
        return self.turnout.opens == "forward"

    @property
    def leg_ahead(self) -> bool:
        """Whether the leg's run leads away from the toe."""
        return self.turnout.leg.end == "start"

    def cuts(self) -> tuple[tuple[PartId, float, Side], ...]:
        """Return where a rail must be parted: run, place, side."""
        run, leg = self.turnout.on.run, self.turnout.leg.run
        frog = (run, self.frog_m, self.inner)
        leg_frog = (leg, self.leg_frog_m, self.leg_inner)
        if self.turnout.frog == "switched":
            return frog, leg_frog
        toe = (run, self.toe_m, self.inner)
        return (toe, frog, leg_frog) if self.turnout.heel_gaps else (toe,)


def plan_frogs(layout: Layout) -> tuple[FrogPlan, ...]:
    """Return the plan of every turnout whose crossing is live."""
    found: list[FrogPlan] = []
    for turnout in layout.of_kind(Turnout):
        run = layout.get(turnout.on.run, TrackRun)
        leg = layout.get(turnout.leg.run, TrackRun)
        if turnout.frog != "insulated" and run is not None and leg is not None:
            found.append(_plan(turnout, run, leg))
    return tuple(found)


def _plan(turnout: Turnout, run: TrackRun, leg: TrackRun) -> FrogPlan:
    length, leg_length = run_path(run).length_m, run_path(leg).length_m
    toe = min(turnout.on.position_m, length)
    ahead = turnout.opens == "forward"
    frog = min(toe + turnout.lead_m, length) if ahead else max(toe - turnout.lead_m, 0)
    lead = min(turnout.lead_m, leg_length)
    leg_ahead = turnout.leg.end == "start"
    return FrogPlan(
        turnout=turnout,
        toe_m=toe,
        frog_m=frog,
        inner=turnout.hand if ahead else other_side(turnout.hand),
        leg_frog_m=lead if leg_ahead else leg_length - lead,
        leg_inner=other_side(turnout.hand) if leg_ahead else turnout.hand,
    )


def frog_sentence(turnout: Turnout) -> str:
    """Return what to cut and wire at a turnout's frog, for its builder."""
    hand, other = turnout.hand, other_side(turnout.hand)
    behind = (
        "behind it too"
        if turnout.heel_gaps
        else "not behind it, so nothing may feed the inner rails there"
    )
    match turnout.frog:
        case "insulated":
            return (
                "The frog stays dead: cut it out of both inner rails, before and "
                "behind; there is nothing to wire."
            )
        case "switched":
            return (
                f"Cut both inner rails before the frog and {behind}; lead a wire "
                "from it to a change-over contact that moves with the blades: to the "
                f"{hand} stock rail when straight, to the {other} one when thrown."
            )
        case "self-powered":
            return (
                "Blades and frog are one metal, live from whichever blade "
                f"touches: cut the inner rails {_heels(turnout)}; there is no wire."
            )


def _heels(turnout: Turnout) -> str:
    if turnout.heel_gaps:
        return "behind the frog"
    return "nowhere, so nothing may feed them behind the frog"
