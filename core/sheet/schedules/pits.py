"""Which rail is which at each stall of a pit, of the stall and of the bridge there."""

from dataclasses import dataclass
from typing import Literal

from core.analysis.pits import Meeting, find_meetings
from core.analysis.study import Study
from core.layout.parts import Side, Turntable
from core.layout.queries import run_name
from core.layout.turntables import is_swapping, stall_deg, swap_line_deg, turns_round
from core.units.figures import show_both_ways

Fit = Literal["agrees", "reversed", "one way round reversed", "a reverser turns it", ""]


@dataclass(frozen=True, slots=True)
class StallRow:
    """One stall. Left and right are as seen from the middle of the pit, looking out.

    Attributes
    ----------
    number : int
        From 1.
    track : str
        Name of its track.
    angle_deg : float or None
        Its bearing; None at a traverser. [°]
    stall_a : "left", "right" or None
        The rail that is A in the stall; None without power.
    bridge_a : tuple of "left" or "right"
        The same of the bridge as it stands there: one, or two where that depends on
        which end of it comes; empty without power.
    fit : str
        Whether they agree.
    """

    number: int
    track: str
    angle_deg: float | None
    stall_a: Side | None
    bridge_a: tuple[Side, ...]
    fit: Fit


def stall_rows(study: Study, table: Turntable) -> tuple[StallRow, ...]:
    """Return the stalls of a pit by number."""
    ways: dict[int, list[Meeting]] = {}
    for meeting in find_meetings(study):
        if meeting.table.id == table.id:
            ways.setdefault(meeting.position.number, []).append(meeting)
    rows: list[StallRow] = []
    for number, end in enumerate(table.stalls, start=1):
        angle = stall_deg(study.layout, table, end)
        here = ways.get(number, [])
        rows.append(
            StallRow(
                number,
                run_name(study.layout, end.run),
                angle if table.form == "turntable" else None,
                _side(here[0], of_bridge=False) if here else None,
                tuple(dict.fromkeys(_side(m, of_bridge=True) for m in here)),
                _fit(here),
            )
        )
    return tuple(rows)


def pit_words(table: Turntable) -> str:
    """Return how a pit works, in words."""
    if table.form == "traverser":
        return "The bridge does not turn: its A rail must fit every road on each side."
    if not is_swapping(table):
        turned = (
            "nothing swaps the poles of the bridge but a reverser before it"
            if turns_round(table)
            else "stops keep it from turning end for end"
        )
        return f"The ring is whole: {turned}."
    line = swap_line_deg(table)
    stand = "across the bridge" if table.pickups == "sides" else "at its ends"
    cut = table.split_deg
    return (
        f"Ring cut at {show_both_ways(cut)}, pick-ups {stand}: the poles "
        f"change over as the bridge lies along {show_both_ways(line)}. "
        "Angles are counter-clockwise from the right of the plan."
    )


def _side(meeting: Meeting, *, of_bridge: bool) -> Side:
    """Return on which side A is, as seen from the middle of the pit."""
    edge = meeting.edge
    volts = edge.before_v if of_bridge else edge.after_v
    on_left = (volts > 0.0) == (meeting.position.by == "end")
    return "left" if on_left else "right"


def _fit(meetings: list[Meeting]) -> Fit:
    if not meetings:
        return ""
    if any(m.edge.reversers for m in meetings):
        return "a reverser turns it"
    bad = sum(m.opposes for m in meetings)
    if not bad:
        return "agrees"
    return "reversed" if bad == len(meetings) else "one way round reversed"
