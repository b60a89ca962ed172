"""Staying at one place of a list while its cards come and go."""

from PySide6.QtCore import QPoint, QTimer
from PySide6.QtWidgets import QScrollArea, QWidget


def area_of(widget: QWidget) -> QScrollArea | None:
    """Return what a widget is scrolled in."""
    above = widget.parentWidget()
    while above is not None and not isinstance(above, QScrollArea):
        above = above.parentWidget()
    return above


def top_in(area: QScrollArea, card: QWidget) -> int:
    """Return how far below the upper edge of what is seen a card begins. [px]"""
    return card.mapTo(area.viewport(), QPoint(0, 0)).y()


def keep_at(area: QScrollArea, card: QWidget, top: int) -> None:
    """Scroll so that a card begins there, once everything has found its place."""

    def scroll() -> None:
        bar = area.verticalScrollBar()
        bar.setValue(bar.value() + top_in(area, card) - top)

    QTimer.singleShot(0, card, scroll)
