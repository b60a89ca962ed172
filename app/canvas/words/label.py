"""A word that belongs to a drawing, and the places where it may stand."""

from dataclasses import dataclass
from math import ceil, hypot

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from app.canvas.look import Look
from app.canvas.words.lettering import PAD_PX, SMALL_PX, Style

XY = tuple[float, float]

REACH_STEP_PX = 32.0

MOST_LETTERS = 26
"""Longer names are cut short on the drawing."""


@dataclass(frozen=True, slots=True)
class Label:
    """A word by a plan point.

    Attributes
    ----------
    text, style
        What stands there, and how.
    at : QPointF
        The plan point. [mm]
    spots : tuple of (float, float)
        From the point to the middle of the word on screen, best first. [px]
    rank : int
        Lower ones choose first.
    must : bool
        Whether it is shown even where it covers something that is no word.
    foot : str
        A second, quieter line below; may be empty.
    instead : bool
        Whether it stands only where the label before it found no spot.
    """

    text: str
    style: Style
    at: QPointF
    spots: tuple[XY, ...]
    rank: int = 5
    must: bool = False
    foot: str = ""
    instead: bool = False

    def foot_style(self, look: Look) -> Style:
        """Return how the second line looks."""
        return Style(look.theme.faint, self.style.halo, SMALL_PX)

    def size(self, look: Look) -> XY:
        """Return width and height of all its lines. [px]"""
        width, height = look.words.size(self.text, self.style)
        if not self.foot:
            return width, height
        foot_width, foot_height = look.words.size(self.foot, self.foot_style(look))
        return max(width, foot_width), height + foot_height

    def area(self, look: Look, spot: XY) -> QRectF:
        """Return what it covers of the plan at a spot. [mm]"""
        width, height = (side * look.mm_per_px for side in self.size(look))
        pad = (PAD_PX + 1.0) * look.mm_per_px
        side = -1.0 if look.underside else 1.0
        x = self.at.x() + side * spot[0] * look.mm_per_px
        y = self.at.y() - spot[1] * look.mm_per_px
        word = QRectF(x - 0.5 * width, y - 0.5 * height, width, height)
        return word.adjusted(-pad, -pad, pad, pad)

    def paint(self, painter: QPainter, look: Look, spot: XY) -> None:
        """Write it at a spot."""
        if not self.foot:
            look.words.put(painter, self.at, self.text, self.style, shift_px=spot)
            return
        height = self.size(look)[1]
        style = self.foot_style(look)
        first, second = (
            look.words.size(self.text, self.style)[1],
            look.words.size(self.foot, style)[1],
        )
        x, top = spot[0], spot[1] - 0.5 * height
        head, foot = (x, top + 0.5 * first), (x, top + height - 0.5 * second)
        look.words.put(painter, self.at, self.text, self.style, shift_px=head)
        look.words.put(painter, self.at, self.foot, style, shift_px=foot)


def spot_beside(look: Look, text: str, style: Style, way: XY, gap_px: float) -> XY:
    """Return the spot of a word on one side of a point. [px]

    Parameters
    ----------
    way : (float, float)
        Which way it lies from the point, in plan.
    gap_px : float
        How far its edge stays from the point. [px]
    """
    x = -way[0] if look.underside else way[0]
    y = -way[1]
    length = hypot(x, y) or 1.0
    x, y = x / length, y / length
    width, height = look.words.size(text, style)
    return (
        gap_px * x + 0.5 * width * _softened(x),
        gap_px * y + 0.5 * height * _softened(y),
    )


def spots_around(
    look: Look, text: str, style: Style, *, way: XY, gap_px: float
) -> tuple[XY, ...]:
    """Return spots on one side, on the other, and askew to both. [px]"""
    across = (-way[1], way[0])
    ways = (
        way,
        (way[0] + across[0], way[1] + across[1]),
        (way[0] - across[0], way[1] - across[1]),
        (-way[0], -way[1]),
        (-way[0] + across[0], -way[1] + across[1]),
        (-way[0] - across[0], -way[1] - across[1]),
    )
    return tuple(spot_beside(look, text, style, w, gap_px) for w in ways)


def paint_labels(
    painter: QPainter,
    look: Look,
    labels: tuple[Label, ...],
    placed: tuple[XY | None, ...],
) -> None:
    """Write words where they were placed; those not placed yet at their best spot."""
    if len(placed) != len(labels):
        placed = best_spots(labels)
    for label, spot in zip(labels, placed, strict=True):
        if spot is not None:
            label.paint(painter, look, spot)


def best_spots(labels: tuple[Label, ...]) -> tuple[XY | None, ...]:
    """Return the best spot of each word, whatever it covers."""
    return tuple(None if label.instead else label.spots[0] for label in labels)


def reach_of(
    look: Look, labels: tuple[Label, ...], placed: tuple[XY | None, ...]
) -> XY:
    """Return how far placed words reach from their points, across and up. [px]

    Up to whole steps, so that it seldom changes.
    """
    across = up = 0.0
    for label, spot in zip(labels, placed, strict=True):
        if spot is not None:
            width, height = label.size(look)
            across = max(across, abs(spot[0]) + 0.5 * width + PAD_PX)
            up = max(up, abs(spot[1]) + 0.5 * height + PAD_PX)
    step = REACH_STEP_PX
    return step * ceil(across / step), step * ceil(up / step)


def cut_short(text: str) -> str:
    """Return a name, cut short where it is too long for the drawing."""
    return text if len(text) <= MOST_LETTERS else f"{text[: MOST_LETTERS - 1]}…"


def _softened(part: float) -> float:
    """Return how much of half a word's size lies in a direction: soon all of it."""
    return max(-1.0, min(1.6 * part, 1.0))
