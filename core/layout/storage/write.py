"""Write a layout file: the whole of it, or nothing."""

import errno
import os
import secrets
import shutil
from pathlib import Path

from core.errors import FileAccessError, FileFormatError
from core.layout.layout import Layout
from core.layout.storage.access import check_name, in_words
from core.layout.storage.format import MAX_BYTES, MAX_PARTS
from core.layout.storage.text import dump_layout

FRESH = ".fwl-"
"""What the name of a file begins with until it is whole."""


def write_layout(layout: Layout, path: Path) -> None:
    """Save a layout; the state saved before stays beside it as NAME.fwl~.

    At any moment, also with the power cut, the name leads to the whole of the
    old file or the whole of the new one.

    Raises
    ------
    FileAccessError
        It cannot be written there; the old file is whole.
    FileFormatError
        The layout is larger than a file may be; the old file is whole.
    """
    data = dump_layout(layout)
    if len(data) > MAX_BYTES or len(layout.parts) > MAX_PARTS:
        raise FileFormatError(
            str(path),
            f"the layout is too large for a file: {len(data) / 1e6:.0f} MB and "
            f"{len(layout.parts):,} parts; {MAX_BYTES // 1_000_000} MB and "
            f"{MAX_PARTS:,} parts are the most.",
            "Take a smaller backdrop, or split the layout. The old file is untouched.",
        )
    replace_file(path, data, backup=True)


def backup_path(path: Path) -> Path:
    """Return where the state saved before is kept."""
    return path.with_name(f"{path.name}~")


def replace_file(path: Path, data: bytes, *, backup: bool) -> None:
    """Put new bytes in place of a file in one step.

    Raises
    ------
    FileAccessError
        It cannot be written; the old file is whole.
    """
    check_name(path)
    with in_words(path, "written"):
        real = _led_to(path)
        fresh = _beside(real)
        try:
            _check_right(real)
            _write_new(fresh, data, like=real)
            if backup and real.exists() and real.read_bytes() != data:
                _keep(real)
            fresh.replace(real)
        finally:
            fresh.unlink(missing_ok=True)
        _settle_folder(real.parent)


def _led_to(path: Path) -> Path:
    """Return the file that a link leads to: the link stays a link."""
    try:
        return path.resolve()
    except RuntimeError as error:  # before Python 3.13: a link to itself
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from error


def _check_right(path: Path) -> None:
    """Refuse what is no file, and a file marked as not to be written.

    The folder would let us put another file in its place.
    """
    if not path.exists():
        return
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    if not path.is_file():
        raise FileAccessError(
            str(path), "it is not a file.", "Give the name of a layout file."
        )
    if not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))


def _beside(path: Path) -> Path:
    """Return a name in the same folder that nobody else uses."""
    return path.with_name(f"{FRESH}{secrets.token_hex(8)}")


def _write_new(fresh: Path, data: bytes, *, like: Path) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    with os.fdopen(os.open(fresh, flags, 0o666), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if like.exists():
        shutil.copymode(like, fresh)


def _keep(path: Path) -> None:
    """Let the backup's name lead to what is in the file now."""
    spare = _beside(path)
    try:
        try:
            os.link(path, spare)
        except OSError:  # a disk without hard links
            shutil.copy2(path, spare)
        spare.replace(backup_path(path))
    finally:
        spare.unlink(missing_ok=True)


def _settle_folder(folder: Path) -> None:
    """Wait until the folder's new entries are on the disk (Windows does so itself)."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
