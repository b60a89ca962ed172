"""Read a layout file."""

import os
import stat
from pathlib import Path

from core.errors import FileAccessError, FileFormatError
from core.layout.layout import Layout
from core.layout.storage.access import check_name, in_words
from core.layout.storage.format import MAX_BYTES
from core.layout.storage.report import LoadReport
from core.layout.storage.text import parse_layout


def read_layout(path: Path) -> tuple[Layout, LoadReport]:
    """Return the layout in a file, and what had to be mended in it.

    The file is only read; what was mended is in the layout alone until saved.

    Raises
    ------
    FileFormatError
        It is not a layout file, is of a newer version, or is out of all limits.
    FileAccessError
        It is not there, may not be read, or is not a file.
    """
    return parse_layout(read_bytes(path), str(path))


def read_bytes(path: Path) -> bytes:
    """Return what is in a file of at most `MAX_BYTES`; never waits at a pipe."""
    check_name(path)
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with in_words(path, "read"), os.fdopen(os.open(path, flags), "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise FileAccessError(
                str(path), "it is not a file.", "Give the name of a layout file."
            )
        data = file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise FileFormatError(
            str(path),
            f"it is larger than {MAX_BYTES // 1_000_000} MB.",
            "A layout file is smaller; check that it is one.",
        )
    return data
