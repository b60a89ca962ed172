"""The list of lift-outs and gates: jumper, plug, contact, dead approach."""

from collections.abc import Iterable

from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.track.openings import DEAD_M, OpeningRow, opening_rows
from core.sheet.schedules.words import titled
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps

TITLE = "Lift-outs and gates"

_WARN = (
    "A gate with a live approach drops trains on the floor. Before a train runs, with "
    "power on and no train near: open it, and try with a lamp that both rails are dark "
    "for {dead} before every edge."
)
_HOW = (
    "Both rails end at each edge. Wires cross on the hinge's side alone: a loose loop "
    "beside the hinge, held at both ends, or a plug that cannot be turned round. Cut "
    "both rails {dead} back from each edge, and feed the track between through the "
    "switch that opens with the section. No mains lead crosses a gate."
)
_SIZE = 12.0


def opening_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the list of openings; nothing where there is none."""
    rows = opening_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    dead = brief.length(DEAD_M)
    flow.text(_WARN.format(dead=dead), _SIZE, bold=True)
    flow.text(_HOW.format(dead=dead), 10.0)
    flow.space(2.0)
    columns = (
        Column("Opening", 13.0, bold=True),
        Column("Carries", _SIZE, grow=1.0),
        Column("Jumper", _SIZE, grow=1.0),
        Column("Switch, dead track", _SIZE, grow=1.0),
        Column("wired", align="tick"),
        Column("open: dark", align="tick"),
        Column("shut: runs", align="tick"),
    )
    lay_table(flow, columns, (_row(brief, row) for row in rows))
    return flow.leaves()


def _row(brief: Brief, row: OpeningRow) -> Row:
    opening = row.opening
    return Row(
        (
            f"{titled(opening.id, opening.name)}\n{opening.use}",
            _carries(brief, row),
            "\n".join((_jumper(row), *_buses(brief, row))),
            _approach(brief, row),
            "□",
            "□",
            "□",
        )
    )


def _carries(brief: Brief, row: OpeningRow) -> str:
    tracks = ", ".join(row.tracks)
    if row.opening.use == "board joint":
        return tracks
    return f"{tracks}\n{brief.length(row.longest_m)} long"


def _jumper(row: OpeningRow) -> str:
    if row.opening.use == "board joint":
        return "a plug in each bus that crosses"
    if not row.drops:
        return "▲ NO DROP: dead"
    pairs = f"{len(row.drops)} pair" + ("s" if len(row.drops) > 1 else "")
    named = f"{pairs}, {row.opening.hinge} side: {', '.join(row.drops)}"
    words = f"{named}\n{', '.join(row.wires)}\n{row.plug}"
    return f"{words}, {show_amps(row.plug_a)} or more" if row.plug_a else words


def _buses(brief: Brief, row: OpeningRow) -> Iterable[str]:
    """Yield how each bus gets over an edge, and where along it that is."""
    for passing in row.buses:
        where = f"{passing.bus}, {brief.place(passing.position_m)} along"
        match row.opening.buses:
            case "plugs":
                yield f"plug in {where}, {passing.side} side"
            case "clear":
                yield f"clear of it: {where}"
            case "whole":
                yield f"▲ IN ONE PIECE: {where}"


def _approach(brief: Brief, row: OpeningRow) -> str:
    if row.opening.use == "board joint":
        return "no train runs while boards are apart"
    contact = row.opening.contact
    told = [f"{contact} opens with it" if contact else "▲ NO SWITCH opens with it"]
    if row.live:
        told += [
            f"▲ LIVE {bit.side} side, {brief.length(bit.near_m)} to "
            f"{brief.length(bit.far_m)}"
            for bit in row.live
        ]
    else:
        sides = " and ".join(row.sides)
        told.append(f"dead for {brief.length(DEAD_M)} on the {sides} side")
    return "\n".join(told)
