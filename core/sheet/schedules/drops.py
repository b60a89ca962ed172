"""The drop schedule: every drop once, in the order one works."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor

import numpy as np

from core.layout.climbs import climb_sentence
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Drop, Joist, Strip, ToStrip, TrackRun
from core.layout.queries import run_name
from core.materials.wires import wire
from core.sheet.schedules.benches import (
    PLACE_M,
    Bench,
    Measured,
    bench_at,
    benches_of,
)
from core.sheet.schedules.lengths import lead_of
from core.sheet.schedules.words import end_words, letters_of, soldered_words
from core.units.length import show_length

CLEAR_MM = 15.0
"""Least gap from a hole to a joist; needs N66. [mm]"""


@dataclass(frozen=True, slots=True)
class DropRow:
    """What one drop needs done.

    Attributes
    ----------
    drop : Drop
        The drop.
    track : str
        Name of its run.
    bench : Bench
        Where it lies.
    at : Measured
        Place from two edges. [m]
    x_mm, y_mm : float
        Place in plan: the middle of the track. [mm]
    wire : str
        Label of its wire.
    lead_m : float
        What to cut for each of its wires. [m]
    solder : str
        Which conductor to which rail.
    ends : str
        Where it ends.
    note : str
        What else to know; may be empty.
    place_m : float
        Width of a place to lie. [m]
    """

    drop: Drop
    track: str
    bench: Bench
    at: Measured
    x_mm: float
    y_mm: float
    wire: str
    lead_m: float
    solder: str
    ends: str
    note: str
    place_m: float

    @property
    def place(self) -> int:
        """Number of the place to lie, counted along the aisle from the end."""
        return floor(self.at.along / self.place_m + 1e-9)


def drop_rows(layout: Layout) -> tuple[DropRow, ...]:
    """Return every drop once: by board, by place along the aisle, near to far."""
    benches = benches_of(layout)
    order = {bench.title: i for i, bench in enumerate(benches)}
    joists = _Joists(layout)
    rows = [_row(layout, benches, joists, drop) for drop in layout.of_kind(Drop)]
    return tuple(
        sorted(
            rows,
            key=lambda r: (
                order[r.bench.title],
                r.place,
                round(r.at.inward, 3),
                round(r.at.along, 3),
                r.drop.id,
            ),
        )
    )


def _row(
    layout: Layout, benches: tuple[Bench, ...], joists: "_Joists", drop: Drop
) -> DropRow:
    run = layout.need(drop.on.run, TrackRun)
    pose = run_path(run).at(drop.on.position_m)
    bench = bench_at(benches, pose.x_mm, pose.y_mm)
    return DropRow(
        drop=drop,
        track=run_name(layout, run.id),
        bench=bench,
        at=bench.measure(pose.x_mm, pose.y_mm),
        x_mm=pose.x_mm,
        y_mm=pose.y_mm,
        wire=wire(drop.wire).label,
        lead_m=lead_of(layout, drop),
        solder=soldered_words(layout, drop),
        ends=end_words(layout, drop.to),
        note=" ".join(_notes(layout, drop, joists.nearest(pose.x_mm, pose.y_mm))),
        place_m=PLACE_M[layout.settings.lengths],
    )


def _notes(
    layout: Layout, drop: Drop, near: tuple[Joist, float] | None
) -> Iterable[str]:
    if drop.far_label and drop.far_label != drop.id:
        yield f"Its far label reads “{drop.far_label}”: put it right."
    if isinstance(drop.to, ToStrip):
        strip = layout.get(drop.to.part, Strip)
        if strip is not None and strip.flipped:
            a, b = letters_of(layout.settings)
            yield f"{strip.id} is drawn turned: {a} wires hang on its {b} bar."
    if climb := climb_sentence(layout, drop):
        yield climb
    if near is not None:
        joist, gap_mm = near
        gap = show_length(gap_mm / 1000.0, layout.settings.lengths)
        where = "in" if gap_mm <= 0.0 else f"{gap} from"
        yield f"The hole is {where} joist {joist.id}: shift it along the track."
    if drop.note:
        yield drop.note


class _Joists:
    """The joists of a layout, all asked at once."""

    def __init__(self, layout: Layout) -> None:
        self._joists = tuple(layout.of_kind(Joist))
        lines = [(j.x1_mm, j.y1_mm, j.x2_mm, j.y2_mm) for j in self._joists]
        table = np.array(lines, float).reshape(-1, 4)
        self._start, self._along = table[:, :2], table[:, 2:] - table[:, :2]
        self._square = np.maximum((self._along**2).sum(axis=1), 1e-12)
        self._half = np.array([j.width_mm / 2.0 for j in self._joists])

    def nearest(self, x_mm: float, y_mm: float) -> tuple[Joist, float] | None:
        """Return the joist that a hole comes too near to, and the gap. [mm]"""
        if not self._joists:
            return None
        to = np.array((x_mm, y_mm)) - self._start
        t = np.clip((to * self._along).sum(axis=1) / self._square, 0.0, 1.0)
        away = to - t[:, None] * self._along
        gaps = np.hypot(away[:, 0], away[:, 1]) - self._half
        i = int(gaps.argmin())
        if gaps[i] >= CLEAR_MM - 1e-6:
            return None
        return self._joists[i], float(gaps[i])
