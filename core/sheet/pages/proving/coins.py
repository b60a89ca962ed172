"""The coin test: what must trip at every length of rail, and boxes for the answer."""

from functools import partial
from itertools import groupby

from core.checks.words import list_names
from core.layout.queries import run_name
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf
from core.sheet.pages.drops import measured_from
from core.sheet.schedules.proving.coins import WEAKEST, CoinRow, coin_rows
from core.sheet.schedules.proving.spots import board_bands
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps, show_seconds, show_watts

TITLE = "Coin test"

_HOW = (
    "All trains off, booster on, somebody at the switch. Press a coin across both "
    "rails for a second at most: the device named must trip, and no other. If "
    "nothing trips, take the coin off at once, since it is heating the leads. Then run "
    "no trains there. Wait until the power is back before the next place."
)
_WHAT = (
    "One place for each length of rail between joints and gaps, the weakest of that "
    "length. “Draws” is the current as the device senses it, all of it where several "
    "share it, resistance and inductance counted; the weakest "
    f"{WEAKEST} are numbered, begin with those."
)
_NEVER = "Not expected to trip: mend the plan before you try a coin here."
_HARDLY = "Little to spare: it may be slow, or fail with one joint worn."
_HELD = (
    "{lamp} should light and hold the current at {amps}, with {watts} in the lamp: it "
    "gets hot enough to burn. Take the coin off at once."
)
_SIZE = 12.0


def coin_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the coin test, board by board; nothing where no track is fed."""
    rows = coin_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(_HOW, 10.0, bold=True)
    flow.text(_WHAT, 9.5)
    for line in _left_out(brief):
        flow.text(line, 9.5)
    for _, group in groupby(rows, key=lambda r: measured_from(r.spot.bench)):
        flow.space(2.0)
        _set_table(brief, flow, tuple(group))
    return flow.leaves()


def _left_out(brief: Brief) -> list[str]:
    """Say which tracks have no rows, and why."""
    study = brief.study
    found: list[str] = []
    if study.shorted:
        names = ", ".join(study.shorted)
        found.append(
            f"Left out: the tracks of {names}, shorted. Cure that, and print this page "
            "again."
        )
    # Where a short leaves hardly a volt, rails seem to hang on one pole.
    unfed = [u for u in study.unfed if not study.shorted or u.sides != "same"]
    if unfed:
        runs = dict.fromkeys(run_name(brief.layout, u.run) for u in unfed)
        found.append(f"Left out, since no booster reaches it: part of {listed(runs)}.")
    return found


def listed(names: dict[str, None]) -> str:
    """Return up to six names, and how many more there are."""
    first = ", ".join(list(names)[:6])
    return first if len(names) <= 6 else f"{first} and {len(names) - 6} more"


def _set_table(brief: Brief, flow: Flow, rows: tuple[CoinRow, ...]) -> None:
    along, inward = measured_from(rows[0].spot.bench)
    columns = (
        Column("Track", _SIZE, bold=True, grow=1.0),
        Column("from its start", _SIZE),
        Column(along, _SIZE),
        Column(inward, _SIZE),
        Column("draws", _SIZE),
        Column("trips", _SIZE, bold=True),
        Column("within", _SIZE),
        Column("over its trip", _SIZE),
        Column("weakest", _SIZE, bold=True),
        Column("pass", align="tick"),
        Column("fail", align="tick"),
    )
    bands = board_bands(row.spot for row in rows)
    lay_table(flow, columns, map(partial(_row, brief), rows, bands))


def _row(brief: Brief, row: CoinRow, band: str) -> Row:
    spot, device = row.spot, row.device
    trips, within = "nothing", "–"
    if device is not None and row.trips:
        trips = f"{device.part} at {show_amps(device.trip_a)}"
        within = show_seconds(max([s for _, s in row.opened] + [device.trip_s]))
    elif row.held is not None:
        trips = f"nothing: {row.held.lamp} lights"
    elif device is not None:
        trips = f"not {device.part} at {show_amps(device.trip_a)}"
    cells = (
        spot.track,
        brief.place(spot.on.position_m),
        brief.place(spot.at.along),
        brief.place(spot.at.inward),
        show_amps(row.sensed_a if row.whole_a is None else row.whole_a),
        trips,
        within,
        _times(row.margin) if device is not None else "–",
        f"No. {row.rank}" if row.rank else "",
        "□",
        "□",
    )
    return Row(cells, _note(brief, row), band)


def _times(margin: float) -> str:
    return f"{margin:.1f} ×" if margin >= 2.0 else f"{margin:.2f} ×"


def _note(brief: Brief, row: CoinRow) -> str:
    if row.held is not None and row.held.first is None:
        amps, watts = show_amps(row.held.amps_a), show_watts(row.held.watts_w)
        return _HELD.format(lamp=row.held.lamp, amps=amps, watts=watts)
    limits = brief.settings.limits
    if row.band is not None:
        low, high = row.band
        sure = [f"As rail, joints and wire vary {low:.2f} to {high:.2f} ×."]
    else:
        sure = []
    said = [_NEVER] if not row.trips else []
    if row.trips and row.margin < limits.short_least:
        said.append(_HARDLY)
    if row.device is not None and row.whole_a is not None:
        said.append(f"{row.device.part} senses {show_amps(row.sensed_a)} of it.")
    if len(row.opened) > 1 or (row.opened and not row.trips):
        turns = [f"{part} after {show_seconds(s)}" for part, s in row.opened]
        said.append(f"One after the other: {list_names(turns)}.")
    if row.plain_a is not None and row.margin < limits.short_good:
        said.append(
            f"Inductance holds it down: by resistance alone {show_amps(row.plain_a)}."
        )
    return " ".join([*said, *sure])
