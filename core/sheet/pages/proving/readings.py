"""Volts under load: what to expect where, and room for what was found."""

from functools import partial
from itertools import groupby

from core.layout.parts import Booster
from core.layout.queries import part_name
from core.materials.signal import METER_FACTOR
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.pages.drops import measured_from
from core.sheet.schedules.proving.readings import (
    ReadingRow,
    Resistor,
    choose_load,
    reading_rows,
)
from core.sheet.schedules.proving.spots import board_bands
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps, show_volts, show_watts

TITLE = "Loaded volts"

_HOW = (
    "All trains off. At each place put the resistor across the rails, read the meter "
    "across the same two rails, take the resistor off again. Found is the reading "
    "divided by the factor; the difference is found less expected. More than "
    "0.1 V below the band, look between here and the last place that was good: at 1 A "
    "a good joint shows 5 mV from one side to the other, 50 mV wants watching, 350 mV "
    "is bad."
)
_SIZE = 12.0


def reading_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the readings to take, board by board; nothing where no track is fed."""
    load = choose_load(brief.layout, brief.options.load_ohm)
    rows = reading_rows(brief.study, load, brief.pace.step)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(load_words(load), 11.0, bold=True)
    flow.text(_warning(load), 10.0, bold=True)
    flow.space(1.5)
    _set_factors(brief, flow)
    flow.space(1.5)
    flow.text(_HOW, 9.5)
    for _, group in groupby(rows, key=lambda r: measured_from(r.spot.bench)):
        flow.space(2.0)
        _set_readings(brief, flow, tuple(group))
    return flow.leaves()


def load_words(load: Resistor) -> str:
    """Return which resistor, and what it draws."""
    return (
        f"Load: one resistor of {load.ohm:g} Ω, {load.rating_w:.0f} W or more. At "
        f"{show_volts(load.volts_v)} it draws {show_amps(load.amps_a)} and turns "
        f"{show_watts(load.heat_w)} into heat."
    )


def _warning(load: Resistor) -> str:
    return (
        f"HOT: {show_watts(load.heat_w)} in a thing so small burns fingers, ties and "
        "scenery. Fix it to a piece of bare metal with a handle, ten seconds a "
        "reading, then let it cool. No car lamp instead: cold, it draws about ten "
        "times what it draws lit, and may trip the breaker."
    )


def _set_factors(brief: Brief, flow: Flow) -> None:
    high = 100.0 * (METER_FACTOR - 1.0)
    flow.text(
        "Meter factor first: set to AC volts, the meter across the booster's own "
        "terminals, nothing on the track. Many meters show a square wave too high "
        f"(by {high:.0f} %, if they average); the same meter is as wrong everywhere, "
        "so the factor takes it out.",
        9.5,
    )
    flow.space(1.0)
    columns = (
        Column("Supply", _SIZE, bold=True, grow=1.0),
        Column("gives", _SIZE),
        Column("the meter reads", align="write"),
        Column("factor: reads / gives", align="write"),
    )
    rows = (
        Row((part_name(brief.layout, b.id), show_volts(b.volts_v), "□", "□"))
        for b in brief.layout.of_kind(Booster)
    )
    lay_table(flow, columns, rows)


def _set_readings(brief: Brief, flow: Flow, rows: tuple[ReadingRow, ...]) -> None:
    along, inward = measured_from(rows[0].spot.bench)
    columns = (
        Column("At", _SIZE, bold=True),
        Column("Track", _SIZE, grow=1.0),
        Column("from its start", _SIZE),
        Column(along, _SIZE),
        Column(inward, _SIZE),
        Column("expected", _SIZE, bold=True),
        Column("band", _SIZE),
        Column("reading", align="write"),
        Column("found", align="write"),
        Column("difference", align="write"),
    )
    bands = board_bands(row.spot for row in rows)
    lay_table(flow, columns, map(partial(_row, brief), rows, bands))


def _row(brief: Brief, row: ReadingRow, band: str) -> Row:
    spot = row.spot
    cells = (
        row.drop or "farthest",
        spot.track,
        brief.place(spot.on.position_m),
        brief.place(spot.at.along),
        brief.place(spot.at.inward),
        show_volts(row.volts_v),
        f"{row.low_v:.2f} to {row.high_v:.2f}",
        "□",
        "□",
        "□",
    )
    return Row(cells, band=band)
