"""The gap list: where to cut, what is between the ends, what lies on each side."""

from functools import partial
from itertools import groupby

from core.materials.growth import swing_k
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.pages.drops import measured_from
from core.sheet.schedules.proving.spots import board_bands
from core.sheet.schedules.track.gaps import CutRail, GapRow, gap_rows
from core.sheet.table import Column, Row, lay_table

TITLE = "Gaps"

_HOW = (
    "Cut square across the rail with a fine saw, one rail after the other, and glue "
    "plastic in at once, filed to the rail's profile: rail that grows can close a bare "
    "cut. Then the buzzer, power off, engines off the track: from side to side of a "
    "cut rail it must be silent where the sides are fed apart and nothing joins them."
)
_WHAT = (
    "“A back” is the rail of conductor {a} that lies nearer the back there; “{a}/{b}” "
    "changes from one to the other at the cut. “Grows” is what one piece of that rail "
    "grows over {swing:.0f} K: leave no less where pieces meet, and never let the ends "
    "of a cut touch."
)
_FILLINGS = {
    "air": "air: fill it",
    "plastic": "plastic",
    "metal": "▲ METAL: cut anew",
    "joiner": "insulated joiners",
    "fill": "plastic",
}
_MISSING = "▲ Not in the plan, but both sides have power: without it they are shorted."
_SIZE = 12.0


def gap_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the gap list, board by board; nothing where no rail is cut."""
    rows = gap_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    cuts = sum(len(row.rails) for row in rows)
    flow.text(f"{_count(len(rows), 'gap')}, {_count(cuts, 'cut')} in all.", 12.0,
              bold=True)  # fmt: skip
    flow.text(_HOW, 10.0, bold=True)
    flow.text(
        _WHAT.format(
            a=brief.strokes.a.letter,
            b=brief.strokes.b.letter,
            swing=swing_k(brief.settings.scale),
        ),
        9.5,
    )
    for _, group in groupby(rows, key=lambda r: measured_from(r.spot.bench)):
        flow.space(2.0)
        _set_table(brief, flow, tuple(group))
    return flow.leaves()


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _set_table(brief: Brief, flow: Flow, rows: tuple[GapRow, ...]) -> None:
    along, inward = measured_from(rows[0].spot.bench)
    columns = (
        Column("Gap", 13.0, bold=True),
        Column("rail", _SIZE, bold=True),
        Column("Track, and how far from which end", _SIZE, grow=1.0),
        Column(f"{along}, {inward}", _SIZE),
        Column("between", _SIZE),
        Column("label each side", _SIZE, grow=1.0),
        Column("grows", _SIZE),
        Column("cut", align="tick"),
        Column("filled", align="tick"),
        Column("labelled", align="tick"),
        Column("silent", align="tick"),
    )
    bands = board_bands(row.spot for row in rows)
    lay_table(flow, columns, map(partial(_row, brief), rows, bands))


def _row(brief: Brief, row: GapRow, band: str) -> Row:
    spot = row.spot
    cells = (
        row.name,
        rail_words(brief, row.rails),
        f"{spot.track}, {end_words(brief, row)}",
        f"{brief.place(spot.at.along)}\n{brief.place(spot.at.inward)}",
        _FILLINGS[row.filling],
        side_words(row),
        growth_words(brief, row.grows_m),
        "□",
        "" if row.filling == "joiner" else "□",
        "□",
        "□",
    )
    note = " ".join(t for t in (_MISSING if row.missing else "", row.note) if t)
    return Row(cells, note, band)


def end_words(brief: Brief, row: GapRow) -> str:
    """Return how far a cut is from the nearer end, or that it is right there."""
    if row.end_m < 5e-4:
        return f"at the {row.end}"
    return f"{brief.place(row.end_m)} from the {row.end}"


def rail_words(brief: Brief, rails: tuple[CutRail, ...]) -> str:
    """Return which rails are cut, such as "A back" and "B front", line by line."""
    return "\n".join(f"{_poles(brief, rail)} {rail.edge}".strip() for rail in rails)


def _poles(brief: Brief, rail: CutRail) -> str:
    letters = {"A": brief.strokes.a.letter, "B": brief.strokes.b.letter}
    known = [letters[p] for p in (rail.before, rail.after) if p is not None]
    return "/".join(dict.fromkeys(known))


def side_words(row: GapRow) -> str:
    """Return what to write on each side, such as "left: CB1" and "right: CB2"."""
    one, other = row.sides
    if one.feed == other.feed:
        return f"{one.feed or 'dead'} on both"
    return "\n".join(f"{side.way}: {side.feed or 'dead'}" for side in row.sides)


def growth_words(brief: Brief, grows_m: float) -> str:
    """Return a growth, in millimetres or thousandths of an inch."""
    if brief.system == "ft":
        return f"{grows_m / 0.0254:.3f} in"
    return f"{1000.0 * grows_m:.2f} mm"
