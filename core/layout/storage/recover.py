"""The journal: unsaved work that survives the end of the program.

Each running program has one file of its own in a folder given by the caller.
The file is a whole layout file with a note in its head, put in place in one
step, so at any moment it is one whole state. A lock that the system drops with
the program tells the work of a dead program from that of a living one.

To take work up again: `read_layout(recovery.path)`, open that as unsaved changes
of `recovery.original`, `write_recovery` it as this program's own, and only then
`discard` the recovery. After a save: `clear_recovery`.
"""

from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from time import time

import msgspec
from msgspec import Struct

from core.errors import FileAccessError, FileFormatError
from core.layout.layout import Layout
from core.layout.storage.access import in_words
from core.layout.storage.format import RECOVERY_KEY
from core.layout.storage.read import read_bytes
from core.layout.storage.slots import if_dead, own_slot, slots
from core.layout.storage.text import dump_layout
from core.layout.storage.write import FRESH, replace_file

LEFT_OVER_S = 86_400.0
"""A file that is not whole after so long was left by a program that is gone. [s]"""


@dataclass(frozen=True, slots=True)
class Recovery:
    """Unsaved work that a program left behind.

    Attributes
    ----------
    path : Path
        Its file; `read_layout` reads it.
    original : Path or None
        The file it was opened from or saved to last; None: never saved.
    saved_at : datetime or None
        When it was written, in UTC; None where that cannot be read.
    title : str
        The layout's title.
    """

    path: Path
    original: Path | None
    saved_at: datetime | None
    title: str


class _Note(Struct, frozen=True, kw_only=True):
    original: str | None = None
    saved_at: datetime | None = None
    title: str = ""


class _Head(Struct, frozen=True, kw_only=True):
    recovery: _Note = _Note()


def write_recovery(layout: Layout, original: Path | None, folder: Path) -> Path:
    """Keep unsaved work in this program's own file, and return where that is.

    Raises
    ------
    FileAccessError
        It cannot be written; what was kept before is whole.
    """
    with in_words(folder, "written"):
        folder.mkdir(parents=True, exist_ok=True)
        path = own_slot(folder.resolve())
    note = _Note(
        original=None if original is None else str(original.absolute()),
        saved_at=datetime.now(UTC),
        title=layout.settings.title,
    )
    also = {RECOVERY_KEY: msgspec.to_builtins(note)}
    replace_file(path, dump_layout(layout, also), backup=False)
    return path


def clear_recovery(folder: Path) -> None:
    """Let go of this program's own unsaved work: it is saved, or not wanted.

    Raises
    ------
    FileAccessError
        It cannot be deleted.
    """
    if folder.is_dir():
        with in_words(folder, "written"):
            own_slot(folder.resolve()).unlink(missing_ok=True)


def find_recoveries(folder: Path) -> tuple[Recovery, ...]:
    """Return the unsaved work of programs that run no more, newest first.

    A file that cannot be read is listed too, under its own name: opening it
    says what is wrong.
    """
    _sweep(folder)
    found: list[Recovery] = []
    for path in slots(folder):
        with in_words(path, "read"), if_dead(path) as is_dead:
            if is_dead and path.exists():
                found.append(_recovery_of(path))
    return tuple(sorted(found, key=_age_key, reverse=True))


def discard(recovery: Recovery) -> None:
    """Delete unsaved work, unless its place was taken by a newer one.

    Raises
    ------
    FileAccessError
        It cannot be deleted.
    """
    path = recovery.path
    with in_words(path, "written"), if_dead(path) as is_dead:
        if is_dead and path.exists() and _recovery_of(path) == recovery:
            path.unlink()


def _recovery_of(path: Path) -> Recovery:
    try:
        note = msgspec.json.decode(read_bytes(path), type=_Head).recovery
    except (
        FileAccessError,
        FileFormatError,
        msgspec.DecodeError,
        UnicodeDecodeError,
        RecursionError,
    ):
        note = _Note(title=path.name)  # opening it tells the person what is wrong
    original = None if note.original is None else Path(note.original)
    return Recovery(path, original, note.saved_at, note.title or path.name)


def _age_key(recovery: Recovery) -> float:
    saved_at = recovery.saved_at
    if saved_at is None:
        return 0.0
    return (saved_at if saved_at.tzinfo else saved_at.replace(tzinfo=UTC)).timestamp()


def _sweep(folder: Path) -> None:
    """Delete what programs killed long ago had not written to the end."""
    for path in folder.glob(f"{FRESH}*"):
        with in_words(path, "written"), suppress(FileNotFoundError):
            if time() - path.stat().st_mtime > LEFT_OVER_S:
                path.unlink()
