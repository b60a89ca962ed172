"""The schedules as comma-separated values, units in the heads of the columns."""

import csv
from io import StringIO
from pathlib import Path
from typing import Literal

from core.errors import FileAccessError
from core.layout.layout import Layout
from core.sheet.schedules.cuts import cut_rows
from core.sheet.schedules.drops import drop_rows
from core.sheet.schedules.power import bus_rows, strip_maps

Schedule = Literal["drops", "buses", "strips", "cuts"]

SCHEDULES: tuple[Schedule, ...] = ("drops", "buses", "strips", "cuts")
"""The schedules there are, in the order of the sheet."""

_Table = list[list[str]]


def schedule_rows(layout: Layout, schedule: Schedule) -> _Table:
    """Return a schedule as rows of text, the heads first; lengths in metres."""
    match schedule:
        case "drops":
            return _drops(layout)
        case "buses":
            return _buses(layout)
        case "strips":
            return _strips(layout)
        case "cuts":
            return _cuts(layout)


def schedule_text(layout: Layout, schedule: Schedule) -> str:
    """Return a schedule as CSV text (RFC 4180: comma, CR LF, doubled quotes).

    Text that a spreadsheet would take for a formula is led by an apostrophe.
    """
    file = StringIO()
    writer = csv.writer(file)
    for row in schedule_rows(layout, schedule):
        writer.writerow([_harmless(cell) for cell in row])
    return file.getvalue()


def write_csv(layout: Layout, schedule: Schedule, path: Path) -> None:
    """Write a schedule to a CSV file, in UTF-8 with a mark that spreadsheets know.

    Raises
    ------
    FileAccessError
        The file cannot be written.
    """
    try:
        data = schedule_text(layout, schedule).encode("utf-8-sig")
        path.write_bytes(data)
    except OSError as error:
        raise FileAccessError(
            str(path),
            f"the schedule cannot be written ({error.strerror}).",
            "Close it in other programs, or choose another folder.",
        ) from error


def _drops(layout: Layout) -> _Table:
    rows: _Table = [
        [
            "drop",
            "track",
            "board",
            "along aisle (m)",
            "measured from",
            "from aisle edge (m)",
            "wire",
            "cut each to (m)",
            "solder",
            "ends at",
            "note",
        ]
    ]
    for row in drop_rows(layout):
        bench = row.bench
        zero = f"{bench.end} {bench.end_word}" if bench.board else "zero of the plan"
        rows.append(
            [
                row.drop.id,
                row.track,
                bench.title,
                _metres(row.at.along),
                zero,
                _metres(row.at.inward),
                row.wire,
                _metres(row.lead_m),
                row.solder,
                row.ends,
                row.note,
            ]
        )
    return rows


def _buses(layout: Layout) -> _Table:
    rows: _Table = [
        [
            "bus",
            "name",
            "wire",
            "lay",
            "pair to buy (m)",
            "single wire to buy (m)",
            "from start (m)",
            "kind",
            "what is there",
        ]
    ]
    for row in bus_rows(layout):
        for tap in row.taps:
            rows.append(
                [
                    row.bus.id,
                    row.bus.name,
                    row.wire,
                    row.bus.lay,
                    _metres(row.length_m),
                    _metres(2.0 * row.length_m),
                    _metres(tap.position_m),
                    tap.kind,
                    tap.what,
                ]
            )
    return rows


def _strips(layout: Layout) -> _Table:
    rows: _Table = [["strip", "name", "way", "what is there"]]
    for strip_map in strip_maps(layout):
        strip = strip_map.strip
        for way in strip_map.ways:
            lands = "; ".join(way.lands)
            rows.append([strip.id, strip.name, str(way.number), lands])
    return rows


def _cuts(layout: Layout) -> _Table:
    rows: _Table = [
        [
            "wire",
            "conductor",
            "colour",
            "use",
            "pieces",
            "length of each (m)",
            "together (m)",
            "all of this wire and colour (m)",
            "with spare (m)",
            "reels (m)",
        ]
    ]
    for row in cut_rows(layout):
        reels = " + ".join(f"{n} x {size:g}" for n, size in row.reels)
        for cut in row.cuts:
            rows.append(
                [
                    row.wire,
                    row.letter,
                    row.colour,
                    cut.use,
                    str(cut.count),
                    _metres(cut.length_m),
                    _metres(cut.total_m),
                    _metres(row.total_m),
                    _metres(row.with_spare_m),
                    reels,
                ]
            )
    return rows


def _metres(length: float) -> str:
    return f"{length:.3f}"


def _harmless(cell: str) -> str:
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t")) else cell
