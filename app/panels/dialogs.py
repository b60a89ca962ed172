"""Asking where to save, so that nothing is overwritten without a word."""

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget


def ask_where(parent: QWidget, title: str, first: Path, kinds: str) -> Path | None:
    """Ask for a file to write; the suffix is there before the dialog looks.

    Parameters
    ----------
    first : Path
        What is offered; its suffix is given to names without one.
    kinds : str
        The files shown, as Qt writes them.
    """
    folder = first.parent if first.is_absolute() else Path.home()
    dialog = QFileDialog(parent, title, str(folder), kinds)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix(first.suffix)
    dialog.selectFile(first.name)
    try:
        if not dialog.exec():
            return None
        chosen = dialog.selectedFiles()
        return Path(chosen[0]) if chosen else None
    finally:
        dialog.deleteLater()


def plain_name(title: str) -> str:
    """Return a title as a name that a file can have anywhere."""
    kept = "".join(c if c.isalnum() or c in " -_" else " " for c in title)
    return " ".join(kept.split())[:80] or "Layout"
