"""What each turnout needs done: cuts, the lead of its crossing, its contact."""

from dataclasses import dataclass

from core.analysis.poles import Pole, PolePlan, find_poles
from core.analysis.study import Study
from core.checks.rules.weak_contact import live_contacts
from core.layout.edits.sides import other_side
from core.layout.geometry import run_path
from core.layout.parts import Side, TrackRun, Turnout
from core.network.heels import find_fed_heels
from core.sheet.schedules.proving.spots import Spot, Spots
from core.sheet.schedules.track.ends import Ends


@dataclass(frozen=True, slots=True)
class TurnoutRow:
    """What one turnout needs.

    Attributes
    ----------
    turnout : Turnout
        The turnout.
    spot : Spot
        Where the tips of its blades are.
    end_m : float
        How far they are from the nearer end of the run. [m]
    end : str
        What that end is.
    branch : str
        Name of the track that branches off.
    near, far : "A", "B" or None
        Poles of the two stock rails: that on the side of the hand, and the other
        one. None where nothing feeds it.
    fed_behind : bool
        Whether the rails behind an uncut live crossing have power of their own.
    needed_a : float or None
        What its contact should carry. None without a contact, or where nothing that
        trips stands before it. [A]
    """

    turnout: Turnout
    spot: Spot
    end_m: float
    end: str
    branch: str
    near: Pole | None
    far: Pole | None
    fed_behind: bool
    needed_a: float | None

    @property
    def gaps(self) -> int:
        """How many rails are to be cut behind its crossing. [1]"""
        live = self.turnout.frog != "insulated"
        return 2 if live and (self.turnout.heel_gaps or self.fed_behind) else 0


@dataclass(frozen=True, slots=True)
class Totals:
    """What all turnouts need together. [1]"""

    dead: int
    live: int
    gaps: int
    leads: int


def turnout_rows(study: Study) -> tuple[TurnoutRow, ...]:
    """Return every turnout, in the order one walks."""
    layout = study.layout
    poles, spots, ends = find_poles(study), Spots(layout), Ends(layout)
    bare = {turnout for turnout, _ in find_fed_heels(layout)}
    lives = {live.part.id: live for live in live_contacts(study)}
    found: list[TurnoutRow] = []
    for turnout in layout.of_kind(Turnout):
        run = layout.get(turnout.on.run, TrackRun)
        leg = layout.get(turnout.leg.run, TrackRun)
        if run is None or leg is None:
            continue
        near = turnout.hand if turnout.opens == "forward" else other_side(turnout.hand)
        live = lives.get(turnout.id)
        end_m, end = ends.nearest(turnout.on)
        found.append(
            TurnoutRow(
                turnout=turnout,
                spot=spots.spot(run.id, min(turnout.on.position_m, _length(run))),
                end_m=end_m,
                end=end,
                branch=leg.name or leg.id,
                near=_pole(poles, turnout, near),
                far=_pole(poles, turnout, other_side(near)),
                fed_behind=turnout.id in bare,
                needed_a=live.needed if live is not None else None,
            )
        )
    return tuple(sorted(found, key=lambda r: (r.spot.turn, r.turnout.id)))


def totals_of(rows: tuple[TurnoutRow, ...]) -> Totals:
    """Return what all turnouts need together."""
    live = [row for row in rows if row.turnout.frog != "insulated"]
    return Totals(
        dead=len(rows) - len(live),
        live=len(live),
        gaps=sum(row.gaps for row in live),
        leads=sum(row.turnout.frog == "switched" for row in live),
    )


def _length(run: TrackRun) -> float:
    return run_path(run).length_m


def _pole(poles: PolePlan | None, turnout: Turnout, side: Side) -> Pole | None:
    """Return the pole of a stock rail just before the blades."""
    rails = poles.runs.get(turnout.on.run) if poles is not None else None
    if rails is None:
        return None
    ahead = turnout.opens == "forward"
    place = turnout.on.position_m + (-1e-6 if ahead else 1e-6)
    stretches = [s for s in rails.of(side) if s.start_m <= place <= s.end_m]
    if not stretches:
        stretches = list(rails.of(side)[:1] if place < 0.0 else rails.of(side)[-1:])
    return stretches[0].pole if stretches else None
