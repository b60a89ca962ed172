"""The drop schedule: the page that lies beside the builder under the layout."""

from itertools import groupby

from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.benches import Bench
from core.sheet.schedules.drops import DropRow
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps

TITLE = "Drops"

TICKS = ("drilled", "soldered", "labelled", "rung out", "terminated", "photo")
"""What is ticked off for each drop."""

_SIZE = 14.0


def drop_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the drop schedule, a new page for each board."""
    rows = brief.drops
    leaves: list[Leaf] = []
    for title, group in groupby(rows, key=lambda r: r.bench.title):
        listed = tuple(group)
        name = brief.typeface.shorten(title, 100.0, 17.0, bold=True)
        flow = Flow(f"{TITLE}: {name}", brief.body, brief.typeface)
        _set_table(brief, flow, listed)
        leaves += flow.leaves()
    return tuple(leaves)


def _set_table(brief: Brief, flow: Flow, rows: tuple[DropRow, ...]) -> None:
    bench = rows[0].bench
    wires = {row.wire for row in rows}
    if len(wires) == 1:
        flow.text(f"Wire of all drops here: {wires.pop()}.", 12.0, bold=True)
    a, b = brief.strokes.a, brief.strokes.b
    loaded = any(row.drop.id in brief.carried for row in rows)
    most = [_on_amps(brief)] if loaded else []
    flow.text(" ".join([_how_to_read(bench, a.letter, b.letter), *most]), 9.5)
    flow.space(0.5)
    along, inward = measured_from(bench)
    columns = (
        Column("Drop", 15.0, bold=True),
        Column("Track", 12.5, grow=1.0),
        Column(along, _SIZE),
        Column(inward, _SIZE),
        *([Column("Wire", 12.5)] if wires else []),
        Column("Cut each to", _SIZE),
        Column("Solder", _SIZE, bold=True),
        Column("Ends at", _SIZE),
        *([Column("Most amps", 11.0), Column("one open", 11.0)] if loaded else []),
        *(Column(tick, align="tick") for tick in TICKS),
    )
    before: int | None = None
    set_rows: list[Row] = []
    for row in rows:
        band = "" if row.place == before else _band(brief, row)
        before = row.place
        set_rows.append(_row(brief, row, band, with_wire=bool(wires), loaded=loaded))
    lay_table(flow, columns, set_rows)


def measured_from(bench: Bench) -> tuple[str, str]:
    """Return the heads of the two distances of a bench."""
    if bench.board is None:
        return "right of zero", "behind zero"
    return f"from {bench.end} {bench.end_word}", "from aisle edge"


def _row(
    brief: Brief, row: DropRow, band: str, *, with_wire: bool, loaded: bool
) -> Row:
    cells = (
        row.drop.id,
        row.track,
        brief.place(row.at.along),
        brief.place(row.at.inward),
        *([row.wire] if with_wire else []),
        brief.length(row.lead_m),
        row.solder,
        row.ends,
        *(_amps(brief, row) if loaded else ()),
        *("□" for _ in TICKS),
    )
    return Row(cells, row.note, band)


def _amps(brief: Brief, row: DropRow) -> tuple[str, str]:
    """Return the most that a drop carries, and with another one open; ▲ is too much."""
    own = brief.carried.get(row.drop.id)
    if own is None:
        return "–", "–"
    opened = own.carried.open_a
    return (
        _marked(own.carried.amps_a, own.share),
        "–" if opened is None else _marked(opened, own.open_share),
    )


def _marked(amps: float, share: float) -> str:
    return f"▲ {show_amps(amps)}" if share > 1.0 + 1e-6 else show_amps(amps)


def _on_amps(brief: Brief) -> str:
    train = show_amps(brief.study.scan.train_a)
    return (
        f"“Most amps”: what it carries of all loads and a {train} train at the worst "
        "place for it; “one open”: the same with a wire of the worst other drop open; "
        "▲: more than its wire or its connector stands."
    )


def _band(brief: Brief, row: DropRow) -> str:
    ends = row.place * row.place_m, (row.place + 1) * row.place_m
    low, high = (brief.length(end) for end in ends)
    if row.bench.board is None:
        return f"{low} to {high} right of zero"
    return f"Lie here: {low} to {high} from the {row.bench.end} {row.bench.end_word}"


def _how_to_read(bench: Bench, a: str, b: str) -> str:
    places = (
        "Places are those of the middle of the track; drill beside the rail. "
        f"“{a} → back” means: {a} is soldered to the rail nearer the back, {b} to the "
        "other one. Front, back, left and right are those of the plan from above; the "
        "underside plan has the same names on its edges. "
        "Lengths are right for bus and deck at one height. "
    )
    order = "In order of work: along the aisle place by place, near before far."
    if bench.board is None:
        order = "No board is drawn here: measured from the zero point of the plan."
    return places + order
