"""Every conductor against what protects it: for good, and in a short."""

from itertools import groupby

from core.checks.holding import HoldRow, conductor_name, hold_rows, verdict_words
from core.checks.words import count_of
from core.layout.queries import part_name
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps, show_let_through, show_seconds

TITLE = "What each conductor stands"

_HOW = (
    "A device lets its trip current flow for good, and in a short I²·t: the amps of "
    "the short times themselves, times the seconds until it lets go. The short is "
    "that at the far end of the conductor, by resistance alone, or what the booster "
    "can push. Of all that are alike behind one device the weakest is told. ▲ marks "
    "what does not stand it: put a smaller or faster device before it, or take more "
    "copper."
)
_WHENCE = (
    "Copper in PVC stands I²·t = (115 × mm²)² (IEC 60364-4-43); ratings of wires stand "
    "in the wire table. No standard rates rails and their joints: a rail 40 °C warmer "
    "than the room, and 1 W in one joint, are house figures. For fixed wiring local "
    "codes and a licensed electrician have the word."
)
_SIZE = 10.5


def conductor_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the table of conductors; nothing where nothing is fed."""
    rows = hold_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(_HOW, 10.0)
    flow.text(_WHENCE, 10.0)
    flow.space(1.5)
    columns = (
        Column("Conductor", _SIZE, bold=True),
        Column("Size", _SIZE),
        Column("how many", _SIZE),
        Column("the weakest", _SIZE),
        Column("stands for good", _SIZE, bold=True),
        Column("a short of", _SIZE),
        Column("lets through", _SIZE),
        Column("it stands", _SIZE, bold=True),
        Column("Verdict", _SIZE, grow=1.0),
    )
    by_device = groupby(rows, key=lambda row: row.worst.by)
    listed = (
        _row(brief, row, _band(brief, row) if not i else "")
        for _, own in by_device
        for i, row in enumerate(own)
    )
    lay_table(flow, columns, listed)
    return flow.leaves()


def _band(brief: Brief, row: HoldRow) -> str:
    by = row.worst.by
    return (
        f"Behind {part_name(brief.layout, by.part)}: {show_amps(by.trip_a)} for good, "
        f"a short for {show_seconds(by.trip_s)}"
    )


def _row(brief: Brief, row: HoldRow, band: str) -> Row:
    own = row.worst
    passed = "does not trip" if own.short_a is not None else "–"
    cells = (
        own.kind,
        own.size,
        count_of(row.count, "track") if own.kind == "rail" else str(row.count),
        conductor_name(brief.layout, own),
        show_amps(own.amps_a),
        show_amps(own.short_a) if own.short_a is not None else "–",
        show_let_through(own.passed) if own.passed is not None else passed,
        show_let_through(own.squared),
        verdict_words(own),
    )
    return Row(cells, band=band)
