"""The set-up that `python3 -m app` and `python3 -m tests` do by themselves.

Standard library only, and plain enough for an old Python to read, so that it can
say what is missing instead of failing. It makes `.venv` beside `app/` from the
hashed list `.ci/requirements.txt`, looks for the system's libraries, and starts
the same command again inside. Installed commands never come here.
"""

from __future__ import annotations

import ctypes
import hashlib
import importlib.util
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

if os.name == "posix":
    import fcntl

OLDEST = (3, 11)
"""The oldest Python that the program runs on."""


def repository() -> Path:
    """Return the folder that holds this checkout."""
    return Path(__file__).resolve().parent.parent


@dataclass(frozen=True)
class Wanted:
    """Something of the system, and the Debian package that brings it.

    `kind` is "library" (a soname), "command" or "module"; what is not `needed`
    is installed where that is possible and done without elsewhere.
    """

    name: str
    package: str
    kind: str = "library"
    needed: bool = True

    def is_there(self) -> bool:
        """Tell whether this machine has it."""
        if self.kind == "command":
            return shutil.which(self.name) is not None
        if self.kind == "module":
            return importlib.util.find_spec(self.name) is not None
        try:
            ctypes.CDLL(self.name)
        except OSError:
            return False
        return True


MAKE_VENV = (
    Wanted("ensurepip", f"python3.{sys.version_info.minor}-venv", kind="module"),
)
DRAWING = (
    Wanted("libglib-2.0.so.0", "libglib2.0-0"),
    Wanted("libGL.so.1", "libgl1"),
    Wanted("libEGL.so.1", "libegl1"),
    Wanted("libdbus-1.so.3", "libdbus-1-3"),
    Wanted("libfontconfig.so.1", "libfontconfig1"),
    Wanted("libxkbcommon.so.0", "libxkbcommon0"),
)
X_WINDOW = (
    Wanted("libxcb-cursor.so.0", "libxcb-cursor0"),
    Wanted("libxcb-icccm.so.4", "libxcb-icccm4"),
    Wanted("libxcb-keysyms.so.1", "libxcb-keysyms1"),
    Wanted("libxcb-shape.so.0", "libxcb-shape0"),
    Wanted("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
)
WAYLAND_WINDOW = (
    Wanted("libwayland-client.so.0", "libwayland-client0"),
    Wanted("libwayland-cursor.so.0", "libwayland-cursor0"),
    Wanted("libwayland-egl.so.1", "libwayland-egl1"),
)
SECOND_OPINION = (
    Wanted("ngspice", "ngspice", kind="command", needed=False),
    Wanted("Xvfb", "xvfb", kind="command", needed=False),
    Wanted("xdotool", "xdotool", kind="command", needed=False),
)


def has_screen() -> bool:
    """Tell whether a window could open here."""
    if not sys.platform.startswith("linux"):
        return True
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in names)


def wanted_by_window() -> tuple[Wanted, ...]:
    """Return the libraries that a window needs here."""
    if not sys.platform.startswith("linux"):
        return ()
    if os.environ.get("QT_QPA_PLATFORM"):
        return DRAWING
    if os.environ.get("WAYLAND_DISPLAY") and not os.environ.get("DISPLAY"):
        return DRAWING + WAYLAND_WINDOW
    return DRAWING + X_WINDOW


def wanted_by_app() -> tuple[Wanted, ...]:
    """Return what the program needs here; without a screen, no libraries."""
    return MAKE_VENV + (wanted_by_window() if has_screen() else ())


def wanted_by_tests() -> tuple[Wanted, ...]:
    """Return what the tests need, the circuit simulator and the screen included."""
    window = tuple(Wanted(w.name, w.package, needed=False) for w in X_WINDOW)
    return MAKE_VENV + DRAWING + window + SECOND_OPINION


class Bootstrap:
    """Sets up one checkout and starts a module of it inside.

    Parameters
    ----------
    root : Path
        The folder that holds `pyproject.toml`, `app` and `core`.
    """

    def __init__(self, root: Path) -> None:
        self._root = root
        self._venv = root / ".venv"
        self._lock = root / ".ci" / "requirements.txt"
        self._stamp = self._venv / "stamp"

    @property
    def python(self) -> Path:
        """The Python of the set-up folder."""
        if os.name == "nt":
            return self._venv / "Scripts" / "python.exe"
        return self._venv / "bin" / "python"

    def enter(self, module: str, wanted: Sequence[Wanted]) -> None:
        """Return only inside the set-up folder, with everything there."""
        if not (self._root / "pyproject.toml").is_file():
            return
        check_python()
        check_system(wanted)
        if Path(sys.prefix).resolve() == self._venv.resolve():
            return
        try:
            self.set_up()
        except OSError as error:
            _stop(f"The folder {self._venv} could not be made: {error}.")
        self._restart(module)

    def set_up(self) -> None:
        """Make the folder unless it is whole and of today's list and Python."""
        if self.is_ready():
            return
        with _alone(self._lock) as held:
            if self.is_ready():
                return
            _say(f"Setting up in {self._venv}: once, a minute or so.")
            self._run(
                [sys.executable, "-m", "venv", "--clear", str(self._venv)],
                "The folder for the program's packages could not be made.",
                held,
            )
            self._run(
                [
                    *(str(self.python), "-m", "pip", "install"),
                    *("--disable-pip-version-check", "--no-input"),
                    *([] if sys.stderr.isatty() else ["--quiet"]),
                    *("--only-binary", ":all:", "--require-hashes"),
                    *("-r", str(self._lock)),
                ],
                "The packages could not be installed. Is the network there? On Linux "
                "they need glibc 2.34 (Debian 12, Ubuntu 22.04) or newer, on ARM 2.39.",
                held,
            )
            self._stamp.write_text(self.wanted_stamp(), encoding="ascii")

    def is_ready(self) -> bool:
        """Tell whether the last set-up was finished and is still the right one."""
        if not (self._stamp.is_file() and self.python.exists()):
            return False
        return self._stamp.read_text(encoding="ascii") == self.wanted_stamp()

    def wanted_stamp(self) -> str:
        """Return what marks a set-up from this list by this Python."""
        text = self._lock.read_bytes() + sys.version.encode()
        return hashlib.sha256(text).hexdigest()

    def _run(self, command: Sequence[str], trouble: str, held: Sequence[int]) -> None:
        done = subprocess.run(command, cwd=self._root, check=False, pass_fds=held)
        if done.returncode != 0:
            _stop(f"{trouble} Nothing else was changed; start again to retry.")

    def _restart(self, module: str) -> NoReturn:
        command = [str(self.python), "-m", module, *sys.argv[1:]]
        if os.name == "posix":
            os.execv(command[0], command)
        raise SystemExit(subprocess.run(command, check=False).returncode)


def check_python() -> None:
    """Stop with a sentence where this Python is too old."""
    if sys.version_info[:2] < OLDEST:
        has = ".".join(str(n) for n in sys.version_info[:3])
        needs = ".".join(str(n) for n in OLDEST)
        _stop(f"This needs Python {needs} or newer; this is Python {has}.")


def check_system(wanted: Sequence[Wanted]) -> None:
    """Install what Linux lacks where root can; else print the line to type."""
    if not sys.platform.startswith("linux"):
        return
    missing = [w for w in wanted if not w.is_there()]
    needed = [w for w in missing if w.needed]
    if not missing:
        return
    has_apt = shutil.which("apt-get") is not None
    if has_apt and os.geteuid() == 0:
        if _install(missing) or not needed:
            return
        if len(needed) < len(missing) and _install(needed):
            return
    if needed:
        _stop(what_to_type(missing, has_apt=has_apt))


def _install(missing: Sequence[Wanted]) -> bool:
    line = install_line(missing)
    _say(f"Installing what the system lacks: {line}")
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    subprocess.run(["apt-get", "update", "-qq"], check=False, env=quiet)
    command = [*shlex.split(line), "-qq"]
    return subprocess.run(command, check=False, env=quiet).returncode == 0


def what_to_type(missing: Sequence[Wanted], *, has_apt: bool) -> str:
    """Return the sentence for a person who has to install things by hand."""
    line = install_line(missing)
    if has_apt:
        return (
            "The system lacks some packages. Type this, then start again:\n\n"
            f"    sudo {line}\n"
        )
    names = " ".join(w.name for w in missing if w.needed)
    return (
        f"The system lacks {names}. Install the packages that hold them, then "
        f"start again. (On Debian and Ubuntu: sudo {line})"
    )


def install_line(missing: Sequence[Wanted]) -> str:
    """Return the one line that installs what is missing on Debian."""
    packages = " ".join(dict.fromkeys(w.package for w in missing))
    return f"apt-get install -y --no-install-recommends {packages}"


@contextmanager
def _alone(path: Path) -> Iterator[tuple[int, ...]]:
    """Let one set-up at a time go on; yield what its children must hold too.

    The system frees it when the last of them has ended, killed or not.
    """
    with path.open("rb") as held:
        if os.name != "posix":
            yield ()
            return
        fcntl.flock(held, fcntl.LOCK_EX)
        yield (held.fileno(),)


def _say(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


def _stop(text: str) -> NoReturn:
    _say(text)
    raise SystemExit(1)
