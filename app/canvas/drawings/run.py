"""A track run: one coloured line from afar, two rails on ties from near."""

from dataclasses import dataclass
from math import cos, pi, sin
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPen

from app.canvas.colouring import DEAD, POOR_FROM, Colours
from app.canvas.drawings.drawing import HIT_PX, WIDE, octave_mm, polyline, widen
from app.canvas.drawings.shown import (
    district_labels,
    paint_bands,
    paint_bold_poles,
    turning_labels,
)
from app.canvas.lines.chunks import Chunks
from app.canvas.lines.districts import DistrictLines, clipped
from app.canvas.lines.poles import Lettering, PoleLines, fitted, planned_poles
from app.canvas.lines.ribbon import Ribbon
from app.canvas.lines.stations import (
    Floats,
    across,
    stations_of,
)
from app.canvas.look import Look
from app.canvas.words.label import Label, cut_short, spot_beside
from app.canvas.words.lettering import SMALL_PX, Style
from app.canvas.words.placer import Footprint
from core.analysis.districts import District, DistrictPlan
from core.analysis.poles import RunPoles
from core.layout.geometry import piece_length_mm
from core.layout.parts import Arc, Side, TrackRun
from core.layout.queries import joint_positions, turns_of
from core.units.length import show_length
from core.units.si import Metre

RAILS_FROM_PX = 5.0
"""Two rails are drawn once they are this far apart. [px]"""

FINE_MM, COARSE_MM = 0.15, 3.0
"""How far lines may stray from arcs, from near and from afar. [mm]"""

COARSE_BELOW_PX_PER_MM = 0.12
"""Below this zoom the coarse lines do. [px/mm]"""

TIES_FROM_PX = 4.5
TIE_STEP, TIE_LENGTH, TIE_WIDTH = 0.52, 1.85, 0.2
"""Spacing, length and width of ties. [gauges]"""

BAND_WIDTH, DEAD_WIDTH = 0.6, 0.12
"""Width of the coloured band between the rails, fed and not fed. [gauges]"""

JOINTS_FROM_PX = 16.0
"""Rail joints are drawn once they are this far apart. [px]"""

POOR_EXTRA_PX = 1.5
"""Track past the tolerable limit is drawn this much thicker: a second sign. [px]"""

NAME_AT = (0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9)
"""Where along a run its name may stand, best first. [1]"""

HELIX_SPOTS = tuple((0.0, 22.0 * n) for n in (0, -1, 1, -2, 2, -3, 3, -4, 4))
"""Where the words of a helix may stand, from its middle. [px]"""

LETTERS_FROM_PX = 9.0
LETTER_STEP_PX = 260.0
LETTER_ROOM = 0.08
"""Stretches shorter than this share of a step between letters have none. [1]"""

NAME_FROM_PX, HELIX_FROM_PX = 110.0, 130.0
DASH_PX, DEAD_PX = 11.0, 1.2


Lengths = Literal["m", "ft"]


@dataclass(frozen=True, slots=True)
class RunFacts:
    """What a run's drawing needs to know of its surroundings."""

    gauge_mm: float
    a_rail: Side = "left"
    free_start: bool = True
    free_end: bool = True
    lengths: Lengths = "m"


class RunDrawing:
    """The drawing of one run."""

    def __init__(self, run: TrackRun, facts: RunFacts) -> None:
        self.girth_mm = facts.gauge_mm * TIE_LENGTH
        self.room = WIDE
        self._run = run
        self._facts = facts
        self._fine = stations_of(run, FINE_MM)
        self._long = float(self._fine.s_m[-1])
        self._ribbon = Ribbon(self._fine)
        self._coarse: Ribbon | None = None
        self._is_coarse_old = True
        self._poles = PoleLines(self._fine, planned_poles(self._long, facts.a_rail))
        self._districts: DistrictLines | None = None
        self._told: dict[int, District] = {}
        self._ties: Chunks | None = None
        self._ticks: tuple[float, Chunks] | None = None
        self._colours: Colours | None = None
        self._joints = np.array(joint_positions(run))
        self._is_again = _going_round_again(run, self._fine.s_m)

    @property
    def length_mm(self) -> float:
        """Length of the run. [mm]"""
        return self._long * 1000.0

    @property
    def bins(self) -> NDArray[np.int64] | None:
        """The colour bin of each step; None where nothing is coloured."""
        return self._ribbon.bins

    def colour(self, colours: Colours | None) -> list[QRectF]:
        """Take new colours; return boxes round what looks different."""
        if colours is not None and colours.are_like(self._colours):
            return []
        self._colours = colours
        self._is_coarse_old = True
        return self._ribbon.colour(colours)

    @property
    def poles(self) -> RunPoles:
        """The poles of its two rails as they are drawn."""
        return self._poles.poles

    def show_poles(self, poles: RunPoles | None) -> list[QRectF]:
        """Draw the rails as they truly are; None: as the drops are meant.

        Returns
        -------
        list of QRectF
            Boxes round what looks different now. [mm]
        """
        if poles is None:
            poles = planned_poles(self._long, self._facts.a_rail)
        poles = fitted(poles, self._long)
        if poles == self.poles:
            return []
        self._poles = PoleLines(self._fine, poles)
        return self.areas()

    def show_districts(self, plan: DistrictPlan | None) -> bool:
        """Take over what feeds it; return whether it looks different now."""
        own = plan.runs.get(self._run.id, ()) if plan is not None else ()
        after = clipped(own, self._long) if own else ()
        told = {
            stretch.number: district
            for stretch in after
            if plan is not None and (district := plan.get(stretch.number)) is not None
        }
        before = self._districts.stretches if self._districts is not None else ()
        changed = after != before or _tags(told) != _tags(self._told)
        self._told = told
        if after != before:
            self._districts = DistrictLines(self._fine, after) if after else None
        return changed

    def strips(self) -> dict[int | None, Floats]:
        """Return coarse lines along it by colour bin, each of shape (N, 4). [mm]"""
        return {n: lines.ends for n, lines in self._coarsely().lines.items()}

    def bands(self) -> dict[int, Floats] | None:
        """Return lines along it by district, each of shape (N, 4); None: unknown."""
        return None if self._districts is None else self._districts.whole_lines()

    def bounds(self) -> QRectF:
        """Return the box around the centre line. [mm]"""
        x, y = self._fine.x_mm, self._fine.y_mm
        x0, y0 = float(x.min()), float(y.min())
        return QRectF(x0, y0, float(x.max()) - x0, float(y.max()) - y0)

    def box_between(self, start_m: float, end_m: float) -> QRectF:
        """Return the box around a stretch of the centre line. [mm]"""
        inner = self._fine.s_m[(self._fine.s_m > start_m) & (self._fine.s_m < end_m)]
        points = self._fine.at(np.array((start_m, *inner, end_m))).aside(0.0)
        (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
        # A level or upright line has no area, and a path takes no box without one.
        return QRectF(x0, y0, x1 - x0, y1 - y0).adjusted(-1.0, -1.0, 1.0, 1.0)

    def areas(self) -> list[QRectF]:
        """Return boxes around stretches of the centre line. [mm]"""
        return self._ribbon.areas()

    def outline(self) -> QPainterPath:
        """Return the centre line."""
        points = self._fine.aside(0.0)
        return polyline([(x, y) for x, y in points.tolist()])

    def shape(self, mm_per_px: float) -> QPainterPath:
        """Return the track bed, or a little more from afar."""
        width = max(self._facts.gauge_mm * TIE_LENGTH, 2.0 * HIT_PX * mm_per_px)
        return widen(self.outline(), width)

    def paint(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        """Paint it as suits the zoom and the view."""
        if look.view == "districts" and self._districts is not None:
            paint_bands(painter, look, exposed, self._districts)
            if look.gauge_px >= RAILS_FROM_PX:
                self._paint_poles(painter, look, exposed, 0.5 * self._facts.gauge_mm)
        elif look.view == "poles" and not look.is_rough:
            paint_bold_poles(painter, look, exposed, self._poles)
            self._paint_letters(painter, look, exposed)
        elif look.gauge_px < RAILS_FROM_PX:
            self._paint_line(painter, look, exposed)
        else:
            self._paint_rails(painter, look, exposed)
        if not look.is_rough:
            self._paint_ends(painter, look)

    def labels(self, look: Look) -> tuple[Label, ...]:
        """Return its name, where there is room, and what the view tells of it."""
        return (*self._name(look), *self._helix(look), *self._tags(look))

    def _helix(self, look: Look) -> tuple[Label, ...]:
        """Return how often it goes round and how far that is, in the middle of it."""
        turns = turns_of(self._run)
        box = self.bounds()
        if not turns or box.width() * look.px_per_mm < HELIX_FROM_PX:
            return ()
        lengths = self._facts.lengths
        text = f"{turns:.3g} turns, {show_length(Metre(self._long), lengths)}"
        top = self._run.level_end_mm
        if top is not None and top != self._run.level_mm:
            rise = Metre(abs(top - self._run.level_mm) / 1000.0)
            up = "up" if top > self._run.level_mm else "down"
            text += f" · {up} {show_length(rise, lengths)}, {_way_round(self._run)}"
        style = Style(look.theme.ink, look.theme.paper, bold=True)
        return (Label(text, style, box.center(), HELIX_SPOTS, rank=5),)

    def _tags(self, look: Look) -> tuple[Label, ...]:
        """Return who feeds its stretches, or what turns them, as the view is."""
        if self._districts is None:
            return ()
        found: list[Label] = []
        for stretch in self._districts.stretches:
            district = self._told.get(stretch.number)
            if district is None:
                continue
            if look.view == "districts":
                found += district_labels(look, self._fine, stretch, district)
            elif look.view == "poles" and district.reverser is not None:
                found += turning_labels(look, self._fine, stretch, district)
        return tuple(found)

    def _name(self, look: Look) -> tuple[Label, ...]:
        name = cut_short(self._run.name)
        if not name or self.length_mm * look.px_per_mm < NAME_FROM_PX:
            return ()
        style = Style(look.theme.faint, look.theme.paper)
        width, _ = look.words.size(name, style)
        if self.length_mm * look.px_per_mm < 1.2 * width:
            return ()
        middles = self._fine.at(np.array(NAME_AT) * self._fine.s_m[-1])
        gap = 4.0 + max(0.5 * look.gauge_px * TIE_LENGTH, 3.0)
        at = middles.at_point(0)
        spots: list[tuple[float, float]] = []
        for i in range(len(NAME_AT)):
            heading = float(middles.heading[i])
            way = (-sin(heading), cos(heading))
            there = middles.at_point(i) - at
            side = -1.0 if look.underside else 1.0
            x, y = there.x() * side * look.px_per_mm, -there.y() * look.px_per_mm
            for sign in (1.0, -1.0):
                aside = (sign * way[0], sign * way[1])
                dx, dy = spot_beside(look, name, style, aside, gap)
                spots.append((x + dx, y + dy))
        return (Label(name, style, at, tuple(spots), rank=6),)

    def footprint(self, look: Look, step_mm: float) -> Footprint:
        """Return the track, both rails where they are drawn."""
        places = self._fine.at(np.arange(0.0, self._fine.s_m[-1], step_mm / 1000.0))
        if look.gauge_px < RAILS_FROM_PX:
            return Footprint(places.aside(0.0))
        half = 0.5 * look.gauge_mm * TIE_LENGTH
        rows = np.arange(-half, half + step_mm, step_mm)
        bed = [places.aside(float(r)) for r in rows]
        return Footprint(np.concatenate([*bed, self._letters(look, step_mm)]))

    def _letters(self, look: Look, step_mm: float) -> Floats:
        """Return points that the letters of the rails cover, shape (N, 2)."""
        found = self._letters_at(look)
        if found is None:
            return np.zeros((0, 2))
        reach = look.gauge_mm + 16.0 * look.mm_per_px
        rows = np.arange(-reach, reach + step_mm, step_mm)
        lines = [found.places.aside(float(r)) for r in rows]
        across = (np.array((x, 0.0)) for x in (-step_mm, 0.0, step_mm))
        return np.concatenate([line + x for x in across for line in lines])

    def _paint_line(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        ribbon = self._ribbon_at(look)
        width = line_width(look)
        reach = 2.0 * width * look.mm_per_px
        seen = exposed.adjusted(-reach, -reach, reach, reach)
        for number, lines in ribbon.lines.items():
            if not lines.is_seen(seen):
                continue
            painter.setPen(line_pen(look, number, width))
            if number == DEAD and not look.is_rough:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawPath(self._dead_line())
                continue
            lines.draw(painter, exposed, width * look.mm_per_px)
        if not look.is_rough:
            self._paint_joints(painter, look, exposed, 4.5 * look.mm_per_px)

    def make_ready(self, look: Look) -> None:
        """Put its lines together as they will be painted in the view by colours."""
        if look.view not in ("districts", "poles"):
            _ = self._ribbon_at(look).lines

    def _ribbon_at(self, look: Look) -> Ribbon:
        is_far = look.px_per_mm < COARSE_BELOW_PX_PER_MM
        is_line = look.gauge_px < RAILS_FROM_PX
        return (
            self._coarsely() if is_line and (look.is_rough or is_far) else self._ribbon
        )

    def _coarsely(self) -> Ribbon:
        if self._coarse is None:
            self._coarse = Ribbon(stations_of(self._run, COARSE_MM))
        if self._is_coarse_old:
            self._is_coarse_old = False
            self._coarse.colour(self._colours)
        return self._coarse

    def _dead_line(self) -> QPainterPath:
        """Return the unfed stretches: dots run on from step to step.

        Of turns that lie on each other only the first: the dots of the others would
        fill its gaps.
        """
        bins, points = self._ribbon.bins, self._fine.aside(0.0)
        path = QPainterPath()
        if bins is None:
            return path
        shown = (bins == DEAD) & ~self._is_again
        for i in np.flatnonzero(shown).tolist():
            if i == 0 or not shown[i - 1]:
                path.moveTo(*points[i])
            path.lineTo(*points[i + 1])
        return path

    def _paint_rails(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        gauge, theme = look.gauge_mm, look.theme
        if gauge * TIE_STEP * look.px_per_mm >= TIES_FROM_PX:
            painter.setPen(look.plan_pen(theme.tie, gauge * TIE_WIDTH))
            self._tie_lines().draw(painter, exposed, gauge * TIE_LENGTH)
        if self._ribbon.bins is not None:
            for number, lines in self._ribbon.lines.items():
                painter.setPen(_band_pen(look, number))
                lines.draw(painter, exposed, gauge)
        self._paint_poles(painter, look, exposed, 0.5 * self._facts.gauge_mm)
        self._paint_joints(painter, look, exposed, 0.5 * gauge * TIE_LENGTH)
        self._paint_letters(painter, look, exposed)

    def _paint_joints(
        self, painter: QPainter, look: Look, exposed: QRectF, half_mm: float
    ) -> None:
        step = self._run.piece_length_m * 1000.0 * look.px_per_mm
        if not len(self._joints) or step < JOINTS_FROM_PX:
            return
        painter.setPen(look.pen(look.theme.rail, 1.0))
        if self._ticks is None or self._ticks[0] != half_mm:
            ends = across(self._fine.at(self._joints), half_mm, -half_mm)
            self._ticks = (half_mm, Chunks(ends))
        self._ticks[1].draw(painter, exposed, half_mm)

    def _paint_ends(self, painter: QPainter, look: Look) -> None:
        free = [
            place
            for place, is_free in (
                (0.0, self._facts.free_start),
                (float(self._fine.s_m[-1]), self._facts.free_end),
            )
            if is_free
        ]
        if free:
            half = max(0.5 * look.gauge_mm * TIE_LENGTH, 5.0 * look.mm_per_px)
            painter.setPen(look.pen(look.theme.rail, 2.0))
            for row in across(self._fine.at(np.array(free)), half, -half).tolist():
                painter.drawLine(QLineF(*row))

    def _paint_poles(
        self, painter: QPainter, look: Look, exposed: QRectF, half_mm: float
    ) -> None:
        """Paint both rails, each as its pole is."""
        theme, width = look.theme, look.clamp_px(1.2, 1.5, 5.0)
        dash_mm = octave_mm(DASH_PX, look.px_per_mm)
        for pole, lines in self._poles.lines(half_mm, dash_mm).items():
            if pole is None:
                painter.setPen(look.pen(theme.dead, DEAD_PX))
            else:
                colour = theme.conductor_a if pole == "A" else theme.conductor_b
                painter.setPen(look.pen(colour, width))
            lines.draw(painter, exposed, look.gauge_mm)

    def _paint_letters(self, painter: QPainter, look: Look, exposed: QRectF) -> None:
        found = self._letters_at(look)
        if found is None:
            return
        seen = exposed.adjusted(-60, -60, 60, 60)
        theme, gap = look.theme, 3.0 + 0.92 * look.gauge_px
        places = found.places
        for letters, out in ((found.left, 1.0), (found.right, -1.0)):
            for i, letter in enumerate(letters):
                at = places.at_point(i)
                if letter is None or not seen.contains(at):
                    continue
                colour = theme.conductor_a if letter == "A" else theme.conductor_b
                style = Style(colour, theme.paper, SMALL_PX, bold=True)
                heading = float(places.heading[i])
                way = (-sin(heading) * out, cos(heading) * out)
                spot = spot_beside(look, letter, style, way, gap)
                look.words.put(painter, at, letter, style, shift_px=spot)

    def _letters_at(self, look: Look) -> Lettering | None:
        """Return the letters of the rails, where they have any at this zoom."""
        if look.gauge_px < LETTERS_FROM_PX:
            return None
        step_mm = octave_mm(LETTER_STEP_PX, look.px_per_mm)
        least_mm = LETTER_ROOM * step_mm
        return self._poles.letters(step_mm / 1000.0, least_mm / 1000.0)

    def _tie_lines(self) -> Chunks:
        if self._ties is None:
            gauge = self._facts.gauge_mm
            step = gauge * TIE_STEP / 1000.0
            places = self._fine.at(np.arange(0.5 * step, self._fine.s_m[-1], step))
            half = 0.5 * gauge * TIE_LENGTH
            self._ties = Chunks(across(places, half, -half))
        return self._ties


def _way_round(run: TrackRun) -> str:
    """Return which way a helix turns as it is walked, seen from above."""
    turned = sum(p.sweep_deg for p in run.pieces if isinstance(p, Arc))
    return "counter-clockwise" if turned > 0 else "clockwise"


def _tags(told: dict[int, District]) -> list[object]:
    return [(i, d.feeders, d.reverser) for i, d in told.items()]


def _going_round_again(run: TrackRun, s_m: Floats) -> NDArray[np.bool_]:
    """Return which steps lie on an earlier turn of the same arc, shape (N - 1,)."""
    middles = 500.0 * (s_m[1:] + s_m[:-1])
    again = np.zeros(len(middles), bool)
    begin = 0.0
    for piece in run.pieces:
        length = piece_length_mm(piece)
        if isinstance(piece, Arc):
            round_once = begin + 2.0 * pi * piece.radius_mm
            again |= (middles > round_once) & (middles < begin + length)
        begin += length
    return again


def _band_pen(look: Look, number: int | None) -> QPen:
    if number is None or number == DEAD:
        return look.band_pen(look.theme.dead, look.gauge_mm * DEAD_WIDTH)
    return look.band_pen(look.theme.ramp[number], look.gauge_mm * BAND_WIDTH)


def line_width(look: Look) -> float:
    """Return how wide track is drawn that is one line. [px]"""
    return look.clamp_px(look.gauge_mm, 2.6, 4.0)


def line_pen(look: Look, number: int | None, width: float) -> QPen:
    """Return the pen for such a line, by its colour bin; None: not coloured."""
    if number is None:
        return look.line_pen(look.theme.rail, width)
    if number == DEAD:
        return look.pen(look.theme.dead, width, "dot")
    extra = POOR_EXTRA_PX if number >= POOR_FROM else 0.0
    return look.line_pen(look.theme.ramp[number], width + extra)
