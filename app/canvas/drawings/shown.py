"""A run as the rails' views show it: bold poles, or the bands of the districts."""

from math import cos, sin

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.canvas.drawings.drawing import octave_mm
from app.canvas.lines.districts import DistrictLines
from app.canvas.lines.poles import PoleLines
from app.canvas.lines.stations import Stations
from app.canvas.look import Look
from app.canvas.words.label import XY, Label, spot_beside
from app.canvas.words.lettering import SMALL_PX, Style
from app.session.hues import hue_of, ink_on
from core.analysis.districts import District, DistrictStretch

APART_PX, BOLD_LEAST_PX, BOLD_MOST_PX = 3.0, 2.6, 8.0
"""Least distance of bold rails from the middle; their width. [px]"""

BOLD_MM, DEAD_PX, TICK_PX = 3.2, 1.4, 1.6
DASH_PX, TICK_STEP_PX = 12.0, 8.0

BAND_PX, BAND_GAUGES, SLIT_SHARE, DEAD_BAND_PX = 6.0, 0.9, 0.34, 2.0
"""Least width of a district's band; its share of the gauge; its slit's of it."""

FAR_BELOW, FAR_BAND_PX = 0.09, 4.2
"""From afar bands are no broader, so that the tracks of a yard stay apart."""

FOCUS_PX = 7.0
"""How much broader the band below a district in focus is. [px]"""

STEP_PX = 14.0
TAG_FROM_PX, TAG_EACH_PX, NAMED_FROM = 26.0, 700.0, 0.12
"""A stretch has a tag from that length on, and one more for each such length; feeders
are named from that zoom on. [px, px/mm]"""

TAG_AT = (0.5, 0.38, 0.62, 0.25, 0.75)
"""Where along its share of a stretch a tag may stand, best first. [1]"""


def paint_bold_poles(
    painter: QPainter, look: Look, exposed: QRectF, lines: PoleLines
) -> None:
    """Paint both rails boldly, each in its pole; ticks across them where shorted."""
    theme, half = look.theme, 0.5 * look.gauge_mm
    if half * look.px_per_mm < APART_PX:
        half = octave_mm(0.5 * APART_PX, look.px_per_mm)
    width = look.clamp_px(BOLD_MM, BOLD_LEAST_PX, BOLD_MOST_PX)
    reach = half + 2.0 * width * look.mm_per_px
    bed_px = 2.0 * half * look.px_per_mm + 2.0 * width
    painter.setPen(look.line_pen(theme.tie, bed_px))
    lines.bed().draw(painter, exposed, reach)
    dash_mm = octave_mm(DASH_PX, look.px_per_mm)
    for pole, strokes in lines.lines(half, dash_mm).items():
        if pole is None:
            painter.setPen(look.pen(theme.dead, DEAD_PX))
        else:
            colour = theme.conductor_a if pole == "A" else theme.conductor_b
            painter.setPen(look.pen(colour, width))
        strokes.draw(painter, exposed, reach)
    ticks = lines.ticks(half, octave_mm(TICK_STEP_PX, look.px_per_mm))
    if ticks is not None:
        painter.setPen(look.pen(theme.hazard, TICK_PX))
        ticks.draw(painter, exposed, reach)


def band_width(look: Look) -> float:
    """Return how broad the band of a district is drawn. [px]"""
    far = look.px_per_mm < FAR_BELOW
    return max(BAND_GAUGES * look.gauge_px, FAR_BAND_PX if far else BAND_PX)


def paint_bands(
    painter: QPainter, look: Look, exposed: QRectF, lines: DistrictLines
) -> None:
    """Paint the band of each district; that in focus over a broader one."""
    theme, width = look.theme, band_width(look)
    reach = (width + FOCUS_PX) * look.mm_per_px
    for number, band in lines.bands(octave_mm(STEP_PX, look.px_per_mm)).items():
        if not number:
            painter.setPen(look.pen(theme.dead, DEAD_BAND_PX))
            band.base.draw(painter, exposed, reach)
            continue
        if number == look.focus:
            painter.setPen(look.line_pen(theme.ink, width + FOCUS_PX))
            band.base.draw(painter, exposed, reach)
        painter.setPen(look.line_pen(hue_of(theme.hues, number), width))
        band.base.draw(painter, exposed, reach)
        if band.ground is not None and not look.is_rough:
            painter.setPen(
                look.pen(theme.paper, width * (SLIT_SHARE if band.slit else 1))
            )
            band.ground.draw(painter, exposed, reach)


def district_labels(
    look: Look, stations: Stations, stretch: DistrictStretch, district: District
) -> tuple[Label, ...]:
    """Return the tags of one stretch of a district: its number, and who feeds it."""
    text = str(district.number)
    named = look.px_per_mm >= NAMED_FROM
    if district.is_joined:
        text = f"{text} {' + '.join(district.feeders)}, joined"
    elif named:
        text = f"{text} {district.feeders[0]}"
    theme = look.theme
    hue = hue_of(theme.hues, district.number)
    ground = theme.hazard if district.is_joined else hue
    light, dark = sorted((theme.paper, theme.ink), reverse=True)
    style = Style(ink_on(ground, light, dark), ground, SMALL_PX, bold=True)
    return _along(look, stations, stretch, text, style, must=district.is_joined)


def turning_labels(
    look: Look, stations: Stations, stretch: DistrictStretch, district: District
) -> tuple[Label, ...]:
    """Return a word for each stretch that a reverser turns."""
    text = f"{district.reverser} turns this"
    style = Style(look.theme.accent, look.theme.paper, SMALL_PX, bold=True)
    return _along(look, stations, stretch, text, style)


def _along(
    look: Look,
    stations: Stations,
    stretch: DistrictStretch,
    text: str,
    style: Style,
    *,
    must: bool = False,
) -> tuple[Label, ...]:
    length_px = 1000.0 * (stretch.end_m - stretch.start_m) * look.px_per_mm
    if length_px < TAG_FROM_PX:
        return ()
    count = 1 + int(length_px / TAG_EACH_PX)
    share = (stretch.end_m - stretch.start_m) / count
    found: list[Label] = []
    for i in range(count):
        ends = (stretch.start_m + i * share, share)
        at, spots = _spots(look, stations, ends, text, style)
        found.append(Label(text, style, at, spots, rank=1, must=must and i == 0))
    return tuple(found)


def _spots(
    look: Look,
    stations: Stations,
    part: tuple[float, float],
    text: str,
    style: Style,
) -> tuple[QPointF, tuple[XY, ...]]:
    """Return a plan point, and where a word may stand by the track from there."""
    start, length = part
    middles = stations.at(start + length * np.array(TAG_AT))
    at, gap = middles.at_point(0), 3.0 + max(look.gauge_px, 0.5 * BAND_PX)
    spots: list[XY] = []
    for i in range(len(TAG_AT)):
        heading = float(middles.heading[i])
        there = middles.at_point(i) - at
        side = -1.0 if look.underside else 1.0
        x, y = there.x() * side * look.px_per_mm, -there.y() * look.px_per_mm
        for sign in (1.0, -1.0):
            aside = (-sign * sin(heading), sign * cos(heading))
            dx, dy = spot_beside(look, text, style, aside, gap)
            spots.append((x + dx, y + dy))
    return at, tuple(spots)
