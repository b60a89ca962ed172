"""Icons: single-stroke drawings that take a colour of the theme."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

SCALES = (1, 2, 3)
"""Device pixels per pixel that are made ready."""


class Icons:
    """Draws the icons of a folder, each once a colour and size.

    Parameters
    ----------
    folder : Path
        Holds NAME.svg, drawn in `currentColor`.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: dict[tuple[str, str, int], QIcon] = {}

    def icon(self, name: str, colour: str, *, faint: str = "", size: int = 20) -> QIcon:
        """Return an icon in a colour; `faint` is its colour when disabled."""
        key = (name, colour + faint, size)
        if key not in self._made:
            icon = QIcon()
            self._fill(icon, name, colour, size, QIcon.Mode.Normal)
            if faint:
                self._fill(icon, name, faint, size, QIcon.Mode.Disabled)
            self._made[key] = icon
        return self._made[key]

    def pixmap(self, name: str, colour: str, size: int, scale: float = 1.0) -> QPixmap:
        """Return one drawing, sharp at a scale of the screen. [px]"""
        text = (self._folder / f"{name}.svg").read_text(encoding="utf-8")
        drawing = QSvgRenderer(
            QByteArray(text.replace("currentColor", colour).encode())
        )
        side = round(size * scale)
        pixmap = QPixmap(side, side)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        drawing.render(painter, QRectF(0, 0, side, side))
        painter.end()
        pixmap.setDevicePixelRatio(scale)
        return pixmap

    def _fill(
        self, icon: QIcon, name: str, colour: str, size: int, mode: QIcon.Mode
    ) -> None:
        for scale in SCALES:
            icon.addPixmap(self.pixmap(name, colour, size, scale), mode)
