"""The window opens for real, on a screen kept in memory, and closes by its key."""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from app.bootstrap import repository
from tests.app.board import board, saved

pytestmark = pytest.mark.screen

WAIT_S = 30
"""How long a slow machine may take to show the window. [s]"""

OPEN = """
import sys
from app.commands.run import run_command
raise SystemExit(run_command(sys.argv[1:]))
"""


@pytest.fixture
def screen(tool: Callable[[str], str]) -> Iterator[dict[str, str]]:
    """Return the environment of a machine with a screen."""
    reader, writer = os.pipe()
    command = [tool("Xvfb"), "-displayfd", str(writer), "-screen", "0", "1366x768x24"]
    server = subprocess.Popen(
        [*command, "-nolisten", "tcp"],
        pass_fds=(writer,),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(writer)
    with os.fdopen(reader) as numbers:
        display = f":{numbers.readline().strip()}"
    environment = {**os.environ, "DISPLAY": display}
    environment.pop("QT_QPA_PLATFORM", None)
    environment.pop("WAYLAND_DISPLAY", None)
    yield environment
    server.terminate()
    server.wait()


class Hand:
    """Types and looks, as a person at that screen would."""

    def __init__(self, xdotool: str, environment: dict[str, str]) -> None:
        self._xdotool, self._environment = xdotool, environment

    def do(self, *words: str) -> str:
        done = subprocess.run(
            [self._xdotool, *words],
            check=False,
            env=self._environment,
            capture_output=True,
            text=True,
            timeout=WAIT_S,
        )
        return done.stdout.strip()

    def find(self, title: str, child: subprocess.Popen[str]) -> str:
        until = time.monotonic() + WAIT_S
        while time.monotonic() < until and child.poll() is None:
            found = self.do("search", "--onlyvisible", "--name", title)
            if found:
                return found.splitlines()[-1]
            time.sleep(0.1)
        return ""


def test_a_layout_opens_in_a_window_and_ctrl_q_ends_it(
    screen: dict[str, str], tool: Callable[[str], str], tmp_path: Path
) -> None:
    path = saved(board(), tmp_path)
    hand = Hand(tool("xdotool"), screen)
    with subprocess.Popen(
        [sys.executable, "-c", OPEN, str(path)],
        cwd=repository(),
        env=screen,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as child:
        try:
            window = hand.find("board.fwl", child)
            assert window
            hand.do("windowfocus", "--sync", window, "key", "ctrl+q")
            said, _ = child.communicate(timeout=WAIT_S)
        finally:
            child.kill()
    assert (child.returncode, said) == (0, "")
