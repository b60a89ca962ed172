"""The connections that the layout hangs on: what happens when one of them opens."""

from collections.abc import Callable

from core.analysis.failure import (
    Opening,
    connection_name,
    matters,
    open_side,
    rank_openings,
    worst_by_connection,
)
from core.analysis.sound import shorted_boosters, sound_part
from core.checks.words import left_out
from core.layout.queries import place_name
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_volts

TITLE = "If one connection opens"

MOST = 20
"""So many connections are listed; the rest are counted."""

_HOW = (
    "Each drop and each joint was tried with one of its two sides open. Make these "
    "with most care, tug each of them, and look here first when a train stalls."
)
_NONE = (
    "Each drop and each joint was tried with one of its two sides open: no track goes "
    "dead, and the lowest volts with the test train are still {volts}."
)


def weak_link_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return what to make with most care; nothing where nothing could open."""
    study = sound_part(brief.study)
    every = worst_by_connection(rank_openings(study, go_on=_stepping(brief.pace.step)))
    if not every:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    bad = [opening for opening in every if matters(study, opening)]
    if said := left_out(shorted_boosters(study)):
        flow.text(said, 11.0, bold=True)
    if not bad:
        lowest = show_volts(min(opening.volts_v for opening in every))
        flow.text(_NONE.format(volts=lowest), 11.0)
        return flow.leaves()
    flow.text(_HOW, 11.0)
    flow.space(2.0)
    columns = (
        Column("Connection", 12.0, bold=True, grow=1.0),
        Column("Open side", 12.0),
        Column("What then happens", 12.0, grow=1.0),
        Column("tugged", align="tick"),
    )
    lay_table(flow, columns, (_row(brief, opening) for opening in bad[:MOST]))
    flow.space(2.0)
    flow.text(_on_the_rest(len(bad), len(every)), 11.0)
    return flow.leaves()


def _stepping(step: Callable[[float], None]) -> Callable[[], bool]:
    def go_on() -> bool:
        step(0.0)  # stops by an exception
        return True

    return go_on


def _row(brief: Brief, opening: Opening) -> Row:
    layout = brief.layout
    name = connection_name(layout, opening)
    if opening.dead_m > 0.0:
        then = f"{brief.length(opening.dead_m)} of track dead: nothing else feeds it"
    else:
        volts = show_volts(max(opening.volts_v, 0.0))
        then = f"{volts} at {place_name(layout, opening.worst)}"
    return Row((name, open_side(opening), then, "□"))


def _on_the_rest(bad: int, every: int) -> str:
    more = f"{bad - MOST} more matter. " if bad > MOST else ""
    return f"{more}Of {every} drops and joints {every - bad} may open unnoticed."
