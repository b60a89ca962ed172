"""All track in a few strokes of the painter, while the zoom is changing."""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar

import numpy as np
from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.canvas.drawings.run import RunDrawing, line_pen, line_width
from app.canvas.drawings.shown import DEAD_BAND_PX, FOCUS_PX, band_width
from app.canvas.lines.batch import by_place
from app.canvas.lines.chunks import Chunks, Floats
from app.canvas.look import Look
from app.session.hues import hue_of

Key = TypeVar("Key")


class Tracks:
    """Draws runs as lines from afar: by colour, or by district where that is shown."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._strips: dict[int | None, Chunks] = {}
        self._bands: dict[int, Chunks] = {}

    def show_runs(self, runs: Iterable[RunDrawing]) -> None:
        """Draw these runs as they are coloured now, and no others."""
        strips: dict[int | None, list[Floats]] = {}
        bands: dict[int, list[Floats]] = {}
        for run in runs:
            own = run.bands() if self._look.view == "districts" else None
            if own is None:
                _add(strips, run.strips())
            else:
                _add(bands, own)
        self._strips = _joined(strips)
        self._bands = _joined(bands)

    def prepare(self) -> Iterator[None]:
        """Make all lines ready, bit by bit."""
        for chunks in (*self._strips.values(), *self._bands.values()):
            yield from chunks.prepare()

    def paint(self, painter: QPainter, exposed: QRectF) -> None:
        """Paint them."""
        look, width = self._look, line_width(self._look)
        for number, lines in self._strips.items():
            painter.setPen(line_pen(look, number, width))
            lines.draw(painter, exposed, 2.0 * width * look.mm_per_px)
        for district, lines in self._bands.items():
            self._paint_band(painter, exposed, district, lines)

    def _paint_band(
        self, painter: QPainter, exposed: QRectF, number: int, lines: Chunks
    ) -> None:
        look, width = self._look, band_width(self._look)
        reach = (width + FOCUS_PX) * look.mm_per_px
        if not number:
            painter.setPen(look.pen(look.theme.dead, DEAD_BAND_PX, "dot"))
            lines.draw(painter, exposed, reach)
            return
        if number == look.focus:
            painter.setPen(look.line_pen(look.theme.ink, width + FOCUS_PX))
            lines.draw(painter, exposed, reach)
        painter.setPen(look.line_pen(hue_of(look.theme.hues, number), width))
        lines.draw(painter, exposed, reach)


def _add(found: dict[Key, list[Floats]], own: Mapping[Key, Floats]) -> None:
    for key, ends in own.items():
        found.setdefault(key, []).append(ends)


def _joined(found: Mapping[Key, list[Floats]]) -> dict[Key, Chunks]:
    return {key: Chunks(by_place(np.concatenate(ends))) for key, ends in found.items()}
