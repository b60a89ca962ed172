"""The ring-out table: what must beep and what must stay silent."""

from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.drops import DropRow
from core.sheet.schedules.words import soldered
from core.sheet.table import Column, Row, lay_table

TITLE = "Ring out"


def ring_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the expected answer of the buzzer for each drop."""
    rows = brief.drops
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(
        "Booster unplugged. Engines, lit coaches and lamps off the track: they beep "
        "too. One drop at a time, its far end still free: one probe on the free end, "
        "the other on the rail. Then join it, with the buzzer across the bus: a sound "
        "means that the last wire is on the wrong rail.",
        10.5,
    )
    flow.space(2.0)
    a, b = brief.strokes.a.letter, brief.strokes.b.letter
    columns = (
        Column("Drop", 15.0, bold=True),
        Column("Track", 12.0, grow=1.0),
        *_pair(a),
        *_pair(b),
        Column("then join to", 12.5),
        Column("silent", align="tick"),
    )
    lay_table(flow, columns, (_row(brief, row) for row in rows))
    return flow.leaves()


def _pair(letter: str) -> tuple[Column, ...]:
    heard = Column("heard", align="tick")
    beeps = Column(f"end {letter} on rail", 12.5, bold=True)
    return beeps, heard, Column(f"end {letter} on rail", 12.5), heard


def _row(brief: Brief, row: DropRow) -> Row:
    rails = dict(soldered(brief.layout, row.drop))
    opposite = {"back": "front", "front": "back", "left": "right", "right": "left"}
    cells: list[str] = []
    for letter in (brief.strokes.a.letter, brief.strokes.b.letter):
        edge = rails.get(letter)
        if edge is None:
            cells += ["no wire", "", "", ""]
        else:
            cells += [f"{edge}: beep", "□", f"{opposite[edge]}: silent", "□"]
    return Row((row.drop.id, row.track, *cells, row.ends, "□"))
