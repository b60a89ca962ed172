"""The cut list: what to cut and what to buy."""

from typing import Literal

from core.checks.words import list_names
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.schedules.cuts import CutRow, cut_rows
from core.sheet.table import Column, Row, lay_table
from core.units.length import show_length

TITLE = "Cut list"


def cut_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the cut list by wire and colour."""
    rows = cut_rows(brief.layout)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(
        "Cut, strip and tin at the bench, not under the layout. A bus is listed as its "
        "two single wires; bought as a pair, take one of its two lines. Never make up "
        "one colour with another: label both ends.",
        9.5,
    )
    flow.space(1.5)
    spare = f"{100.0 * brief.settings.spare:g} %"
    columns = (
        Column("Wire", 14.0, bold=True),
        Column("Colour", 14.0, bold=True),
        Column("Pieces", 12.5, grow=1.0),
        Column("together", 14.0),
        Column(f"with {spare} spare", 14.0, bold=True),
        Column("Buy", 13.0),
        Column("bought", align="tick"),
        Column("cut", align="tick"),
    )
    lay_table(flow, columns, (_row(brief, row) for row in rows))
    return flow.leaves()


def reel_words(system: Literal["m", "ft"], row: CutRow) -> str:
    """Return what to buy, such as "one 25 m reel" or "2 × 100 m + 1 × 10 m"."""
    unit = 1.0 if system == "m" else 0.3048
    sizes = [(count, f"{size / unit:.0f} {system}") for count, size in row.reels]
    if len(sizes) == 1 and sizes[0][0] == 1:
        return f"one {sizes[0][1]} reel"
    return " + ".join(f"{count} × {size}" for count, size in sizes)


def _row(brief: Brief, row: CutRow) -> Row:
    uses: dict[str, list[str]] = {}
    for cut in row.cuts:
        times = f"{cut.count} × " if cut.count > 1 else ""
        uses.setdefault(cut.use, []).append(f"{times}{brief.length(cut.length_m)}")
    pieces = "\n".join(f"{use}: {', '.join(cuts)}" for use, cuts in uses.items())
    return Row(
        (
            row.wire,
            f"{row.letter} {row.colour}",
            pieces,
            brief.length(row.total_m),
            brief.length(row.with_spare_m),
            reel_words(brief.system, row),
            "□",
            "□",
        ),
        raised_words(brief.system, row),
    )


def raised_words(system: Literal["m", "ft"], row: CutRow) -> str:
    """Return which drops stand above the foot of climbing track; "" for none."""
    if not row.raised:
        return ""
    drops = list_names(list(row.raised))
    stand = "stands" if len(row.raised) == 1 else "stand up to"
    up = show_length(round(row.raised_m, 3), system)
    return (
        f"{drops} {stand} {up} above the foot of climbing track: where the bus lies at "
        "the foot, add what the drops page says of each. It is in no sum here."
    )
