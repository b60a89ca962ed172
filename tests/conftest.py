"""What holds for every test: no screen, fresh settings, nothing left behind."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before anything knows Qt

import shutil
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import settings as hypothesis_settings
from PySide6.QtCore import QSettings, QStandardPaths

from tests.guards import LogWatch, find_left_overs

TOOLS = ("ngspice", "Xvfb", "xdotool")
"""Programs that some tests ask a second opinion; no other test may skip."""

hypothesis_settings.register_profile("house", deadline=None, print_blob=True)
hypothesis_settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis_settings.load_profile("ci" if "CI" in os.environ else "house")


@pytest.fixture(autouse=True)
def fresh_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep settings, recent files and recovery out of the person's own folders."""
    for kind in ("CONFIG", "DATA", "CACHE", "STATE"):
        monkeypatch.setenv(f"XDG_{kind}_HOME", str(tmp_path / f"xdg-{kind.lower()}"))
    if sys.platform != "linux":
        QStandardPaths.setTestModeEnabled(True)
    for form in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
        QSettings.setPath(form, QSettings.Scope.UserScope, str(tmp_path / "settings"))


@pytest.fixture(autouse=True)
def nothing_logged(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail on a logged warning, except in tests that look at the log themselves."""
    watch = LogWatch()
    with watch:
        yield
    if "caplog" not in request.fixturenames:
        assert not watch.lines, f"logged: {watch.lines}"


@pytest.fixture(autouse=True)
def nothing_left(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail where a test leaves a window, a running timer or a thread behind."""
    uses_qt = bool({"qtbot", "qapp"} & set(request.fixturenames))
    yield
    left = find_left_overs(with_qt=uses_qt)
    assert not left, f"left behind: {', '.join(left)}"


@pytest.fixture
def tool() -> Callable[[str], str]:
    """Return what finds a program of TOOLS, or skips the test with a reason."""

    def find(name: str) -> str:
        assert name in TOOLS
        found = shutil.which(name)
        if found is None:
            pytest.skip(f"{name} is not installed (apt-get install {name.lower()})")
        return found

    return find


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say loudly what was not tested, and why."""
    reasons = Counter(_reason(r) for r in terminalreporter.getreports("skipped"))
    for reason, count in reasons.items():
        terminalreporter.write_line(
            f"NOT TESTED: {count} test(s), because: {reason}", yellow=True, bold=True
        )


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Where everything could be installed, count a skipped test as failed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None or "FEEDERWRIGHT_SKIP_NOTHING" not in os.environ:
        return
    if reporter.getreports("skipped") and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def _reason(report: pytest.TestReport) -> str:
    if isinstance(report.longrepr, tuple):
        return str(report.longrepr[2]).removeprefix("Skipped: ")
    return str(report.longrepr)
