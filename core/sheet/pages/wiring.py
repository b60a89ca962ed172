"""Bus schedule and terminal-strip maps."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from core.analysis.legs import LEAST_A, SNUBBER_FARAD, SNUBBER_OHM, Leg, describe_legs
from core.materials.signal import HALF_BIT_ONE_S
from core.sheet.brief import Brief
from core.sheet.frame import Flow, Leaf, baseline, text_height
from core.sheet.marks import FAINT, INK, SOFT, WHITE, Circle, Line, Mark, Text, box
from core.sheet.schedules.power import BusRow, StripMap, Way, strip_maps
from core.sheet.schedules.words import titled
from core.sheet.table import Column, Row, lay_table
from core.units.figures import show_amps, show_henry, show_share, show_watts

BUS_TITLE = "Buses"
STRIP_TITLE = "Terminal strips"

_LAYS = {
    "twisted": "twisted pair",
    "side by side": "side by side, tied",
    "apart": "run apart",
}


def bus_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return each bus: what to buy, where it runs, and its taps from its start."""
    rows = brief.buses
    if not rows:
        return ()
    flow = Flow(BUS_TITLE, brief.body, brief.typeface)
    a, b = brief.strokes.a.letter, brief.strokes.b.letter
    often = "300 mm" if brief.system == "m" else "foot"
    flow.text(
        f"Fix the bus first, mark {a} and {b} every {often}, stagger bared places so "
        "that bare never faces bare. Positions run along the drawn path from its "
        "start.",
        9.5,
    )
    legs = {leg.bus: leg for leg in describe_legs(brief.study)}
    for row in rows:
        _set_bus(brief, flow, row, legs.get(row.bus.id))
    return flow.leaves()


def strip_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return a map of each strip, screw by screw, two beside each other."""
    maps = strip_maps(brief.layout)
    if not maps:
        return ()
    return _Cards(brief).set_strips(maps)


def _set_bus(brief: Brief, flow: Flow, row: BusRow, leg: Leg | None) -> None:
    # A short bus stays on one page; a long one begins wherever there is room.
    whole = 44.0 + 8.1 * len(row.taps)
    keep = whole if whole < flow.box.height else 60.0
    flow.heading(titled(row.bus.id, row.bus.name), 15.0, keep=keep)
    lay = _LAYS[row.bus.lay]
    if row.bus.lay == "apart":
        lay += f" by {brief.length(row.bus.spacing_mm / 1000.0)}"
    flow.text(f"{row.wire}, {lay}. From {row.starts} to {row.ends}.", 12.0)
    pair, single = brief.length(row.length_m), brief.length(2.0 * row.length_m)
    extra = f" + {brief.length(row.bus.extra_m)} legs" if row.bus.extra_m else ""
    flow.text(
        f"Buy {pair} of pair, or {single} of single wire: "
        f"drawn {brief.length(row.path_m)}{extra} + {100.0 * row.bus.slack:g} % slack.",
        12.0,
    )
    if leg is not None:
        flow.text(" ".join([leg_words(leg), *_most_amps(brief, row)]), 12.0)
    for words in _wrong_labels(row):
        flow.text(words, 12.0, bold=True)
    flow.space(1.5)
    columns = (
        Column("from start", 14.0, bold=True),
        Column("on from the last", 12.0),
        Column("What is there", 13.0, grow=1.0),
        Column("marked", align="tick"),
        Column("joined", align="tick"),
        Column("checked", align="tick"),
    )
    lay_table(flow, columns, (_tap_row(brief, row, i) for i in range(len(row.taps))))


def _most_amps(brief: Brief, row: BusRow) -> list[str]:
    """Return what a bus carries at most while a train moves by, and what it stands."""
    own = brief.carried.get(row.bus.id)
    if own is None:
        return []
    most, stands = show_amps(own.carried.amps_a), show_amps(own.bearing.amps_a)
    train = show_amps(brief.study.scan.train_a)
    return [f"Carries {most} at most with a {train} train; good for {stands}."]


def leg_words(leg: Leg) -> str:
    """Return what the signal sees of a bus, and what goes on its open end."""
    said = f"Loop {show_henry(leg.henry)}."
    if leg.amps_a >= LEAST_A:
        share = show_share(leg.notch_s / HALF_BIT_ONE_S)
        said += (
            f" Its standing loads, {show_amps(leg.amps_a)}, leave a notch of "
            f"{leg.notch_s * 1e6:.1f} µs in each half-bit, {share} of a one."
        )
    if leg.snubber_w is None:
        return said
    if leg.snubber_fitted:
        return (
            f"{said} On its open end a snubber: {SNUBBER_OHM:.0f} Ω of "
            f"{leg.resistor_w:g} W or more and {SNUBBER_FARAD * 1e6:.1f} µF in series, "
            f"across {leg.bus}'s two wires; it gets {show_watts(leg.snubber_w)}: keep "
            "it clear of wood and insulation."
        )
    if leg.behind is not None:
        return f"{said} No snubber on its open end: {leg.behind} would see it."
    return (
        f"{said} On its open end a snubber, where the signal needs one: "
        f"{SNUBBER_OHM:.0f} Ω and {SNUBBER_FARAD * 1e6:.1f} µF in series; the resistor "
        f"gets {show_watts(leg.snubber_w)} at worst, take one of {leg.resistor_w:g} W "
        "or more."
    )


def _wrong_labels(row: BusRow) -> Iterable[str]:
    """Yield what to put right where an end of a bus is labelled as something else."""
    bus = row.bus
    for end, label in (("start", bus.start_label), ("end", bus.end_label)):
        if label.strip() not in ("", bus.id):
            yield f"▲ Its {end} is labelled “{label.strip()}”: ring out, put it right."


def _tap_row(brief: Brief, row: BusRow, i: int) -> Row:
    tap = row.taps[i]
    words = {
        "start": f"START: {tap.what}",
        "end": f"END: {tap.what}",
        "bend": f"bend; {tap.what}",
    }.get(tap.kind, tap.what)
    joined = "" if tap.kind == "bend" else "□"
    step = f"+ {brief.length(tap.step_m)}"
    if tap.step_m < 5e-4:
        step = "same place" if i else ""
    return Row((brief.place(tap.position_m), step, words, "□", joined, joined))


def number_ranges(numbers: Sequence[int]) -> str:
    """Return rising numbers in short, such as "2, 5–7, 11"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run))
        for run in runs
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """One way of a strip as it will be set."""

    way: Way
    lines: tuple[str, ...]
    height: float


class _Cards:
    """Sets strips as cards in two columns, going on where a column is full."""

    _GUTTER = 10.0
    _SIZE = 12.5
    _HEAD = 15.0
    _LEAST = 8.2

    def __init__(self, brief: Brief) -> None:
        self._brief = brief
        self._flow = Flow(STRIP_TITLE, brief.body, brief.typeface)
        self._width = (brief.body.width - self._GUTTER) / 2.0
        self._column = 0
        self._y = brief.body.top

    def set_strips(self, maps: tuple[StripMap, ...]) -> tuple[Leaf, ...]:
        for strip_map in maps:
            rest = self._measure(strip_map)
            whole = self._HEAD + sum(line.height for line in rest)
            if whole > self._room and whole <= self._brief.body.height:
                self._next_column()
            first = True
            while rest:
                rest = self._set_piece(strip_map, rest, first=first)
                first = False
        return self._flow.leaves()

    @property
    def _left(self) -> float:
        return self._brief.body.left + self._column * (self._width + self._GUTTER)

    @property
    def _room(self) -> float:
        return self._brief.body.bottom - self._y

    def _next_column(self) -> None:
        if self._y == self._brief.body.top:
            return
        self._column += 1
        if self._column == 2:
            self._column = 0
            self._flow.turn()
        self._y = self._brief.body.top

    def _measure(self, strip_map: StripMap) -> list[_Line]:
        room = self._width - 41.0
        found: list[_Line] = []
        for way in strip_map.ways:
            text = "\n".join(way.lands) or "free"
            lines = self._brief.typeface.wrap(text, room, self._SIZE)
            height = max(text_height(self._SIZE, len(lines)) + 2.2, self._LEAST)
            found.append(_Line(way, lines, height))
        return found

    def _set_piece(
        self, strip_map: StripMap, lines: list[_Line], *, first: bool
    ) -> list[_Line]:
        """Put as many ways as fit the column; return those left."""
        if self._HEAD + lines[0].height > self._room:
            self._next_column()
        fits, height = 0, self._HEAD
        while fits < len(lines) and height + lines[fits].height <= self._room:
            height += lines[fits].height
            fits += 1
        fits = max(fits, 1)
        self._flow.put(self._card(strip_map, lines[:fits], first=first))
        self._y += height + 7.0
        if fits < len(lines):
            self._next_column()
        return lines[fits:]

    def _card(
        self, strip_map: StripMap, lines: list[_Line], *, first: bool
    ) -> Iterable[Mark]:
        brief, x, y = self._brief, self._left, self._y
        strip = strip_map.strip
        more = "" if first else " (continued)"
        name = titled(strip.id, strip.name)
        room = self._width - brief.typeface.width(more, 15.0, bold=True)
        title = brief.typeface.shorten(name, room, 15.0, bold=True) + more
        yield Text(x, baseline(y, 15.0), title, 15.0, bold=True)
        free = number_ranges(strip_map.free) or "none"
        words = brief.typeface.shorten(
            f"{strip.ways} ways; free: {free}", self._width - 40.0, 9.5
        )
        yield Text(x + 36.0, baseline(y + 8.2, 9.5), words, 9.5, ink=SOFT)
        top = y + self._HEAD
        bottom = top + sum(line.height for line in lines)
        for stroke, at in ((brief.strokes.a, x + 16.0), (brief.strokes.b, x + 27.0)):
            yield Line(((at, top), (at, bottom)), 1.1, stroke.ink, stroke.dash)
            yield from stroke.badge((at, y + 11.4), 2.4)
        for line in lines:
            yield from self._way(line, top)
            top += line.height
        rim = box(x, y + self._HEAD, self._width, bottom - y - self._HEAD)
        yield Line(rim, 0.5, closed=True)

    def _way(self, line: _Line, top: float) -> Iterable[Mark]:
        x, size = self._left, self._SIZE
        middle = top + line.height / 2.0
        across = (x, top), (x + self._width, top)
        yield Line(across, 0.2, FAINT)
        number = baseline(middle - text_height(14.0) / 2.0, 14.0)
        yield Text(x + 9.5, number, str(line.way.number), 14.0, "end", bold=True)
        for at in (x + 16.0, x + 27.0):
            yield Circle(at, middle, 2.3, WHITE, INK, 0.45)
            yield Line(((at - 1.5, middle + 1.0), (at + 1.5, middle - 1.0)), 0.45)
        start = middle - text_height(size, len(line.lines)) / 2.0
        taken = bool(line.way.lands)
        for n, words in enumerate(line.lines):
            at_y = baseline(start + n * text_height(size), size)
            yield Text(x + 33.0, at_y, words, size, ink=INK if taken else FAINT)
        if taken:
            tick = box(x + self._width - 7.6, middle - 2.9, 5.8, 5.8)
            yield Line(tick, 0.35, closed=True)
