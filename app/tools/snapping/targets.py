"""What there is to snap to in a layout, as arrays that are quick to search."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.tools.pointer import SnapKind, Target
from app.tools.snapping.lines import Lines
from app.tools.symbols import symbol_size_mm
from core.layout.geometry import bus_path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Booster,
    Bus,
    Inline,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
    Turntable,
)
from core.layout.queries import free_ends, run_name

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PointTarget:
    """A point, or a small box round one, that pulls the pointer. [mm, rad]"""

    x_mm: float
    y_mm: float
    half_width_mm: float
    half_depth_mm: float
    kind: SnapKind
    on: Target
    owner: PartId
    word: str
    heading: float | None = None


class Targets:
    """Ends, ports, strips, runs and buses of one layout.

    They are gathered when first asked for after a change.
    """

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._stale = True
        self._points: tuple[PointTarget, ...] = ()
        self._boxes: Floats = np.zeros((0, 4))
        self.pits: tuple[Turntable, ...] = ()
        self.runs: Lines[TrackRun] = Lines(run_path)
        self.buses: Lines[Bus] = Lines(bus_path)

    def forget(self) -> None:
        """Gather anew when next asked."""
        self._stale = True

    def refresh(self) -> None:
        """Bring everything up to date with the layout."""
        if not self._stale:
            return
        self._stale = False
        self.runs.refresh(self._layout.of_kind(TrackRun))
        self.buses.refresh(self._layout.of_kind(Bus))
        self.pits = tuple(self._layout.of_kind(Turntable))
        self._points = tuple(self._gather())
        self._boxes = np.array(
            [(p.x_mm, p.y_mm, p.half_width_mm, p.half_depth_mm) for p in self._points],
            dtype=np.float64,
        ).reshape(-1, 4)

    def points_near(
        self, x_mm: float, y_mm: float, reach_mm: float
    ) -> list[tuple[float, PointTarget]]:
        """Return points within reach, nearest first, with their distance. [mm]"""
        if not self._points:
            return []
        dx = np.abs(self._boxes[:, 0] - x_mm) - self._boxes[:, 2]
        dy = np.abs(self._boxes[:, 1] - y_mm) - self._boxes[:, 3]
        distance = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0))
        near = np.flatnonzero(distance <= reach_mm)
        order = near[np.argsort(distance[near], kind="stable")]
        return [(float(distance[i]), self._points[i]) for i in order]

    def _gather(self) -> Iterable[PointTarget]:
        yield from self._run_ends()
        for bus in self._layout.of_kind(Bus):
            yield from _bus_ends(bus)
        for booster in self._layout.of_kind(Booster):
            on = ToPort(part=booster.id, port="out")
            yield _device(booster, on, "port", f"out of {booster.id}")
        for inline in self._layout.of_kind(Inline):
            into = ToPort(part=inline.id, port="in")
            yield _device(inline, into, "port", f"into {inline.id}")
            out = ToPort(part=inline.id, port="out")
            yield _device(inline, out, "port", f"out of {inline.id}")
        for strip in self._layout.of_kind(Strip):
            to = ToStrip(part=strip.id, way=1)
            yield _device(strip, to, "strip", f"on {strip.id}")

    def _run_ends(self) -> Iterable[PointTarget]:
        for on in free_ends(self._layout):
            path = run_path(self._layout.need(on.run, TrackRun))
            pose = path.end if on.end == "end" else path.start.reversed()
            word = f"{on.end} of {run_name(self._layout, on.run)}"
            yield PointTarget(
                pose.x_mm, pose.y_mm, 0, 0, "end", on, on.run, word, pose.heading
            )


def _device(
    part: Booster | Inline | Strip, on: ToPort | ToStrip, kind: SnapKind, word: str
) -> PointTarget:
    width, depth = symbol_size_mm(part)
    return PointTarget(
        part.x_mm, part.y_mm, 0.5 * width, 0.5 * depth, kind, on, part.id, word
    )


def _bus_ends(bus: Bus) -> Iterable[PointTarget]:
    path = bus_path(bus)
    for position, pose, word in (
        (0.0, path.start, "start"),
        (path.length_m, path.end, "end"),
    ):
        on = ToBus(part=bus.id, position_m=position)
        yield PointTarget(
            pose.x_mm, pose.y_mm, 0, 0, "bus end", on, bus.id, f"{word} of {bus.id}"
        )
