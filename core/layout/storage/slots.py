"""Locks in a folder that end with the program that holds them, however it ends."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from itertools import count
from pathlib import Path

from core.layout.storage.format import SUFFIX

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl


@cache
def own_slot(folder: Path) -> Path:
    """Return where this program keeps its unsaved work in a folder.

    Taken once, and held until the program ends: the system lets go of the lock
    even after kill -9. Names of slots are used again when they are free, so
    lock files are never deleted and few. A slot with work of a dead program in
    it is passed over.
    """
    for number in count(1):
        path = folder / f"unsaved-{number}{SUFFIX}"
        handle = _try_lock(_lock_path(path))
        if handle is None:
            continue
        if not path.exists():
            return path  # the handle stays open on purpose
        os.close(handle)
    raise AssertionError


def slots(folder: Path) -> tuple[Path, ...]:
    """Return the files of unsaved work in a folder, live and dead."""
    return tuple(sorted(folder.glob(f"unsaved-*{SUFFIX}")))


@contextmanager
def if_dead(path: Path) -> Iterator[bool]:
    """Tell whether no program holds a slot; inside, none can take it."""
    handle = _try_lock(_lock_path(path))
    try:
        yield handle is not None
    finally:
        if handle is not None:
            os.close(handle)


def _lock_path(path: Path) -> Path:
    return path.with_suffix(".lock")


def _try_lock(path: Path) -> int | None:
    """Return the handle of a lock, or None where another program holds it."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if sys.platform == "win32":
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        os.close(handle)
        return None
    except OSError:
        os.close(handle)
        raise
    return handle
