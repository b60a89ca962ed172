"""The world's errors in plain words: what, where, what to do."""

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from core.errors import FileAccessError

Doing = Literal["read", "written"]

_CAUSES: dict[int, tuple[str, str]] = {
    errno.ENOENT: ("it is not there", "Check the name and the folder."),
    errno.ENOTDIR: ("it is not in a folder", "Check the name and the folder."),
    errno.EISDIR: ("it is a folder", "Give the name of a file."),
    errno.EACCES: ("you may not", "Ask for the right to, or use another folder."),
    errno.EPERM: ("you may not", "Ask for the right to, or use another folder."),
    errno.EROFS: ("the disk takes no writing", "Use another folder."),
    errno.ENOSPC: ("the disk is full", "Make room, or use another disk."),
    errno.EFBIG: ("the disk takes no file that large", "Use another disk."),
    errno.ENAMETOOLONG: ("its name is too long", "Give it a shorter name."),
    errno.EIO: ("the disk fails", "Use another disk, and make copies now."),
    errno.ELOOP: ("it is a link to itself", "Check the name and the folder."),
}
if hasattr(errno, "EDQUOT"):
    _CAUSES[errno.EDQUOT] = ("your share of the disk is full", "Make room.")


@contextmanager
def in_words(path: Path, doing: Doing) -> Iterator[None]:
    """Turn an OSError inside into a FileAccessError about `path`."""
    try:
        yield
    except FileAccessError:
        raise
    except OSError as error:
        cause, hint = _CAUSES.get(error.errno or 0, (error.strerror or "", ""))
        because = f"it cannot be {doing}" + (f": {cause}." if cause else ".")
        if doing == "written":
            hint = f"{hint} What was there before is untouched.".strip()
        raise FileAccessError(str(path), because, hint) from error


def check_name(path: Path) -> None:
    """Refuse a name that no disk takes.

    Raises
    ------
    FileAccessError
        It holds a zero character, or something that is no character at all.
    """
    name = str(path)
    if "\0" in name:
        shown = name.replace("\0", "?")
        raise FileAccessError(
            shown, "this is not the name of a file.", "Check the name."
        )
