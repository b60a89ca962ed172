"""A real window on an X server: started, drawn in with mouse and keys, closed."""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
WAIT_S = 30.0
START = "from app.build import run_window; raise SystemExit(run_window(None))"

pytestmark = pytest.mark.screen
Tool = Callable[[str], str]


@pytest.fixture
def display(tool: Tool) -> Iterator[str]:
    """Start an X server on a number of its own choice."""
    size = ("-screen", "0", "1366x768x24", "-nolisten", "tcp")
    out, into = os.pipe()
    command = [tool("Xvfb"), "-displayfd", str(into), *size]
    with subprocess.Popen(
        command, pass_fds=[into], stderr=subprocess.DEVNULL
    ) as server:
        os.close(into)
        with os.fdopen(out) as told:
            number = told.readline().strip()
        yield f":{number}"
        server.terminate()


class Hand:
    """Works one window by xdotool."""

    def __init__(self, xdotool: str, environment: dict[str, str]) -> None:
        self._xdotool, self._environment = xdotool, environment
        search = ("search", "--sync", "--onlyvisible", "--name", "Feederwright")
        self.window = self(*search).split()[-1]
        self("windowfocus", self.window)

    def __call__(self, *words: str) -> str:
        done = subprocess.run(
            [self._xdotool, *words],
            check=True,
            capture_output=True,
            text=True,
            timeout=WAIT_S,
            env=self._environment,
        )
        return done.stdout

    def wait_for(self, *, title: str) -> None:
        until = time.monotonic() + WAIT_S
        while (now := self("getwindowname", self.window).strip()) != title:
            assert time.monotonic() < until, f"the title is {now!r}, not {title!r}"
            time.sleep(0.05)


def test_a_booster_is_placed_and_taken_back_in_a_real_window(
    display: str, tool: Tool
) -> None:
    environment = {**os.environ, "DISPLAY": display, "QT_QPA_PLATFORM": "xcb"}
    xdotool = tool("xdotool")
    with subprocess.Popen(
        [sys.executable, "-c", START],
        cwd=ROOT,
        env=environment,
        stderr=subprocess.PIPE,
        text=True,
    ) as program:
        try:
            hand = Hand(xdotool, environment)
            hand("key", "ctrl+n")
            hand.wait_for(title="Untitled layout – Feederwright")
            hand("key", "p")
            hand("mousemove", "--window", hand.window, "500", "400", "click", "1")
            hand.wait_for(title="Untitled layout* – Feederwright")
            hand("key", "ctrl+z")
            hand.wait_for(title="Untitled layout – Feederwright")
            hand("key", "ctrl+q")
            assert (program.wait(WAIT_S), program.communicate()[1]) == (0, "")
        finally:
            program.kill()
