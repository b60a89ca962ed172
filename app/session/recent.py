"""What the program remembers between starts: recent files and choices."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings

MOST_RECENT = 8
"""How many recent files are kept."""

ThemeChoice = str
"""One of "system", "light", "dark"."""


class Memory:
    """Recent files, the window's place and a few choices, in the person's settings."""

    def __init__(self) -> None:
        self._store = QSettings(
            QSettings.Format.IniFormat,
            QSettings.Scope.UserScope,
            "Feederwright",
            "Feederwright",
        )

    @property
    def recent(self) -> tuple[Path, ...]:
        """The files opened last that are still there, newest first."""
        return tuple(path for path in self._listed() if path.is_file())

    def note_file(self, path: Path) -> None:
        """Put a file at the head of the recent ones."""
        kept = [path.resolve(), *(p for p in self._listed() if p != path.resolve())]
        self._store.setValue("recent", [str(p) for p in kept[:MOST_RECENT]])

    @property
    def folder(self) -> str:
        """The folder that a file was last opened from or saved in."""
        listed = self._listed()
        return str(listed[0].parent) if listed else ""

    @property
    def theme(self) -> ThemeChoice:
        """Which theme was asked for."""
        return str(self._store.value("theme", "system"))

    @theme.setter
    def theme(self, choice: ThemeChoice) -> None:
        self._store.setValue("theme", choice)

    @property
    def window(self) -> QByteArray | None:
        """Where the window stood, as Qt wrote it."""
        value = self._store.value("window")
        return value if isinstance(value, QByteArray) else None

    @window.setter
    def window(self, geometry: QByteArray) -> None:
        self._store.setValue("window", geometry)

    def _listed(self) -> tuple[Path, ...]:
        value = self._store.value("recent")
        if isinstance(value, str):
            return (Path(value),)
        return tuple(Path(str(name)) for name in value) if value else ()
