"""Words on the drawing: always upright, the same size at every zoom."""

from collections import OrderedDict
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QStaticText,
    QTransform,
)
from PySide6.QtWidgets import QApplication

Align = Literal["left", "centre", "right"]

SMALL_PX, TEXT_PX, LARGE_PX = 10, 12, 14
"""The three sizes of lettering. [px]"""

HALO_ALPHA = 215
PAD_PX = 2.0
KEPT = 4000
"""How many words are kept ready."""


@dataclass(frozen=True, slots=True)
class Style:
    """How a word looks."""

    colour: str
    halo: str | None = None
    size_px: int = TEXT_PX
    bold: bool = False


@dataclass(frozen=True, slots=True)
class _Word:
    text: QStaticText
    font: QFont
    width: float
    height: float


class Lettering:
    """Writes words, and keeps the ones it has laid out."""

    def __init__(self) -> None:
        self._words: OrderedDict[tuple[str, int, bool], _Word] = OrderedDict()

    def size(self, text: str, style: Style) -> tuple[float, float]:
        """Return width and height of a word. [px]"""
        word = self._word(text, style)
        return word.width, word.height

    def put(
        self,
        painter: QPainter,
        at: QPointF,
        text: str,
        style: Style,
        *,
        shift_px: tuple[float, float] = (0.0, 0.0),
        align: Align = "centre",
    ) -> None:
        """Write a word by a plan point, moved by pixels on the screen.

        Parameters
        ----------
        painter : QPainter
            Set up for plan coordinates.
        at : QPointF
            The plan point. [mm]
        text, style
            What to write, and how.
        shift_px : (float, float)
            From the point to the middle of that side of the word which `align`
            names: right and down are positive. [px]
        align : str
            Whether that is its left side, its centre or its right side.
        """
        world = painter.worldTransform()
        there = world.map(at)
        word = self._word(text, style)
        back = {"left": 0.0, "centre": 0.5, "right": 1.0}[align] * word.width
        # Whole pixels: sharper, and steady while the drawing is scrolled.
        x = float(round(there.x() + shift_px[0] - back))
        y = float(round(there.y() + shift_px[1] - 0.5 * word.height))
        painter.setWorldTransform(QTransform())
        if style.halo is not None:
            halo = QColor(style.halo)
            halo.setAlpha(HALO_ALPHA)
            box = QRectF(x - PAD_PX, y, word.width + 2 * PAD_PX, word.height)
            painter.fillRect(box, halo)
        painter.setPen(QColor(style.colour))
        painter.setFont(word.font)
        painter.drawStaticText(QPointF(x, y), word.text)
        painter.setWorldTransform(world)

    def _word(self, text: str, style: Style) -> _Word:
        key = (text, style.size_px, style.bold)
        word = self._words.get(key)
        if word is None:
            word = self._words[key] = _lay_out(text, style)
            if len(self._words) > KEPT:
                self._words.popitem(last=False)
        return word


def _lay_out(text: str, style: Style) -> _Word:
    font = QFont(QApplication.font())
    font.setPixelSize(style.size_px)
    font.setBold(style.bold)
    static = QStaticText(text)
    static.setTextFormat(Qt.TextFormat.PlainText)
    static.prepare(QTransform(), font)
    metrics = QFontMetricsF(font)
    return _Word(static, font, metrics.horizontalAdvance(text), metrics.height())
