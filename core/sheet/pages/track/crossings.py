"""The wiring of diamonds and slips: cuts, leads, and the pole at each contact."""

from collections.abc import Iterable

from core.materials.wires import wire
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.track.crossings import (
    ContactRow,
    CrossingRow,
    crossing_rows,
)
from core.sheet.schedules.words import titled
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps

TITLE = "Diamonds and slips"

_HOW = (
    "A live crossing is cut out of both rails that meet in it and has one change-over "
    "contact: lead from the crossing to its common, the two poles to the others. Cut "
    "and lead first, contact last; power off, the buzzer must be silent from each cut "
    "out crossing to all rails. Then a wheelset pushed across on each way, set for "
    "it, must stop nothing."
)
_DEAD = (
    "Dead: wire nothing to its crossings. The buzzer must be silent from each to all "
    "rails."
)
_UNCUT = (
    "▲ All one metal: the rails that cross are joined. Two of its four crossings join "
    "A to B unless gaps part them; see the findings."
)
_JOINED = "Its obtuse crossings stay one metal with the rails: like poles only."
_APART = "Its obtuse crossings are dead: cut them out, and wire nothing to them."
_SQUARE = "All four are cut out: the tracks cross squarely."
_ROADS = (
    "On a slip road each crossing has the pole of the track that the train is on there."
)
_SIZE = 12.0


def crossing_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the schedule of diamonds and slips; nothing without any."""
    rows = crossing_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(total_words(rows), _SIZE, bold=True)
    flow.text(_HOW, 10.0)
    flow.space(2.0)
    columns = (
        Column("Crossing", 13.0, bold=True),
        Column("lies towards", _SIZE),
        Column("cuts", _SIZE),
        Column("first track set", _SIZE, bold=True),
        Column("second track set", _SIZE, bold=True),
        Column("lead", _SIZE, grow=1.0),
        Column("contact", _SIZE),
        Column("cut and filled", align="tick"),
        Column("lead on", align="tick"),
        Column("contact on", align="tick"),
        Column("tried each way", align="tick"),
    )
    lay_table(flow, columns, [line for row in rows for line in _lines(brief, row)])
    return flow.leaves()


def total_words(rows: tuple[CrossingRow, ...]) -> str:
    """Return the sums, such as "2 crossings: 4 cuts, 2 change-over contacts."."""
    contacts = sum(len(row.contacts) for row in rows)
    count = f"{len(rows)} {'crossing' if len(rows) == 1 else 'crossings'}"
    if not contacts:
        return f"{count}: nothing to wire."
    plural = "contact" if contacts == 1 else "contacts"
    cuts = sum(len(row.plan.cuts()) for row in rows)
    return f"{count}: {cuts} cuts, {contacts} leads, {contacts} change-over {plural}."


def _lines(brief: Brief, row: CrossingRow) -> Iterable[Row]:
    """Yield a line a contact under a band that says what it is and where."""
    crossing = row.plan.crossing
    band = (
        f"{titled(crossing.id, crossing.name)}: {crossing.shape} of {row.tracks[0]} "
        f"(first) and {row.tracks[1]} (second), {row.plan.lie.sharp_deg:.0f}°; "
        f"{row.spot.track}, {brief.place(row.end_m)} from the {row.end}"
    )
    note = _note(row)
    if not row.contacts:
        cells = (crossing.id, *[""] * 6, "", "", "", "□")
        yield Row(cells, note, band)
    for contact in row.contacts:
        last = contact is row.contacts[-1]
        yield Row(
            _cells(brief, row, contact),
            note if last else "",
            band if contact is row.contacts[0] else "",
        )


def _cells(brief: Brief, row: CrossingRow, contact: ContactRow) -> tuple[str, ...]:
    letters = {"A": brief.strokes.a.letter, "B": brief.strokes.b.letter}
    crossing = row.plan.crossing
    return (
        f"{crossing.id} contact {contact.number}",
        contact.way,
        f"{contact.cuts[0]} and {contact.cuts[1]}",
        letters.get(contact.first or "", "not fed"),
        letters.get(contact.second or "", "not fed"),
        wire(crossing.frog_wire).label,
        _rating(row),
        "□",
        "□",
        "□",
        "□",
    )


def _rating(row: CrossingRow) -> str:
    """Return what a contact is to be good for; marked where it is not."""
    said, needed = row.plan.crossing.contact_a, row.needed_a
    if needed is None:
        return show_amps(said) if said is not None else ""
    if said is None or said >= needed - 1e-9:
        return f"{show_amps(needed)} or more"
    return f"▲ {show_amps(said)}; needed: {show_amps(needed)}"


def _note(row: CrossingRow) -> str:
    plan = row.plan
    if plan.crossing.frog == "insulated":
        words = [_DEAD]
    elif plan.crossing.frog == "uncut":
        words = [_UNCUT]
    elif plan.lie.square:
        words = [_SQUARE]
    else:
        words = [_JOINED if plan.joined else _APART]
    if plan.roads and row.contacts:
        words.append(_ROADS)
    return " ".join(words)
