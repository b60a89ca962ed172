"""Turntables and traversers: which rail is which at each stall."""

from core.layout.parts import Turntable
from core.layout.queries import drops_on, kind_word
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.pits import StallRow, pit_words, stall_rows
from core.sheet.schedules.words import titled
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_degrees

TITLE = "Turntables"


def pit_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return a card for each pit; nothing where there is none."""
    tables = tuple(brief.layout.of_kind(Turntable))
    if not tables:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    a = brief.strokes.a.letter
    flow.text(
        f"Stand in thought in the middle of the pit and look out at the stall: {a} is "
        "on your left or right. Where one booster feeds both, prove it with the meter "
        "on AC volts, the bridge at the stall: from the bridge's rail to the stall's "
        "rail in line with it there is next to nothing; full track volts mean that "
        "they oppose each other.",
        10.5,
    )
    for table in tables:
        flow.space(3.0)
        _card(brief, flow, table)
    return flow.leaves()


def _card(brief: Brief, flow: Flow, table: Turntable) -> None:
    a = brief.strokes.a.letter
    size = brief.length(table.across_mm / 1000.0)
    name = titled(table.id, table.name or kind_word(table))
    feeds = ", ".join(d.id for d in drops_on(brief.layout, table.bridge))
    fed = f"Fed by {feeds}." if feeds else "No drop feeds its bridge."
    flow.text(f"{name}, {size} across. {pit_words(table)} {fed}", 11.0)
    flow.space(1.5)
    rows = stall_rows(brief.study, table)
    if not rows:
        flow.text("No track comes up to it yet.", 10.5)
        return
    columns = (
        Column("Stall", 14.0, bold=True),
        Column("Track", 12.0, grow=1.0),
        Column("Bearing", 12.0),
        Column(f"{a} of the stall", 12.0, bold=True, grow=0.6),
        Column(f"{a} of the bridge there", 12.0, bold=True, grow=0.8),
        Column("so it", 12.0, grow=0.8),
        Column("0 V in line", align="tick"),
    )
    lay_table(flow, columns, (_row(row) for row in rows))


def _row(row: StallRow) -> Row:
    bearing = "" if row.angle_deg is None else show_degrees(row.angle_deg)
    return Row(
        (
            str(row.number),
            row.track,
            bearing,
            row.stall_a or "no power",
            " or ".join(row.bridge_a) or "no power",
            row.fit,
            "□",
        )
    )
