"""The theme that is worn now, and the icons in its colours."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import QApplication

from app.session.icons import Icons
from app.session.theme import DARK, LIGHT, Theme, apply_theme, is_system_dark


class Looks(QObject):
    """Keeps the present theme; widgets that draw follow `changed`.

    Parameters
    ----------
    icons : Path
        The folder with the drawings.
    """

    changed = Signal()

    def __init__(self, icons: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._icons = Icons(icons)
        self.theme: Theme = LIGHT

    def choose(self, choice: str) -> None:
        """Wear "light", "dark" or what the "system" asks for."""
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        dark = choice == "dark" or (choice == "system" and is_system_dark(app))
        self.theme = DARK if dark else LIGHT
        apply_theme(app, self.theme)
        self.changed.emit()

    def colour(self, role: str) -> str:
        """Return a colour of the theme by its name."""
        colour = getattr(self.theme, role)
        assert isinstance(colour, str)
        return colour

    def icon(self, name: str, role: str = "ink") -> QIcon:
        """Return an icon in a colour of the theme."""
        return self._icons.icon(name, self.colour(role), faint=self.theme.dead)

    def pixmap(self, name: str, role: str, size: int, scale: float) -> QPixmap:
        """Return one drawing in a colour of the theme. [px]"""
        return self._icons.pixmap(name, self.colour(role), size, scale)
