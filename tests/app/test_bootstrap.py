"""The set-up decides rightly; the set-up itself is tried in a bare Debian by hand."""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace

import pytest

from app import bootstrap
from app.bootstrap import Bootstrap, Wanted, check_python, check_system, install_line

LIBRARY = Wanted("libnowhere.so.9", "libnowhere9")
TOOL = Wanted("nowhere-tool", "nowhere", kind="command", needed=False)

on_linux = pytest.mark.skipif(sys.platform != "linux", reason="about Linux only")


class Commands:
    """Stands in for subprocess.run: notes what is run, answers with codes."""

    def __init__(self, *codes: int) -> None:
        self.lines: list[str] = []
        self.codes = list(codes)

    def __call__(self, command: Sequence[str], **_: object) -> SimpleNamespace:
        self.lines.append(" ".join(command))
        return SimpleNamespace(returncode=self.codes.pop(0) if self.codes else 0)


@pytest.fixture
def commands(monkeypatch: pytest.MonkeyPatch) -> Commands:
    commands = Commands()
    monkeypatch.setattr(subprocess, "run", commands)
    return commands


@pytest.fixture
def debian(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        shutil, "which", lambda name: "/usr/bin/apt-get" if name == "apt-get" else None
    )


def become(monkeypatch: pytest.MonkeyPatch, uid: int) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: uid)


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    (tmp_path / "pyproject.toml").touch()
    (tmp_path / ".ci").mkdir()
    (tmp_path / ".ci" / "requirements.txt").write_text("a==1\n")
    return tmp_path


def finish(checkout: Path) -> Bootstrap:
    setup = Bootstrap(checkout)
    setup.python.parent.mkdir(parents=True)
    setup.python.touch()
    (checkout / ".venv" / "stamp").write_text(setup.wanted_stamp())
    return setup


def test_a_finished_set_up_is_not_done_again(
    checkout: Path, commands: Commands
) -> None:
    finish(checkout).set_up()
    assert commands.lines == []


def test_a_changed_list_is_set_up_anew(checkout: Path) -> None:
    setup = finish(checkout)
    (checkout / ".ci" / "requirements.txt").write_text("a==2\n")
    assert not setup.is_ready()


def test_another_python_is_set_up_anew(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup = finish(checkout)
    monkeypatch.setattr(sys, "version", "3.99.0")
    assert not setup.is_ready()


def test_a_python_that_went_away_is_set_up_anew(checkout: Path) -> None:
    setup = finish(checkout)
    setup.python.unlink()
    assert not setup.is_ready()


def test_set_up_clears_the_folder_and_checks_every_hash(
    checkout: Path, commands: Commands
) -> None:
    (checkout / ".venv").mkdir()
    Bootstrap(checkout).set_up()
    make, fill = commands.lines
    assert make.endswith(f"-m venv --clear {checkout / '.venv'}")
    assert "--require-hashes" in fill
    assert (checkout / ".venv" / "stamp").is_file()


def test_a_set_up_that_failed_leaves_no_stamp(
    checkout: Path, commands: Commands, capsys: pytest.CaptureFixture[str]
) -> None:
    (checkout / ".venv").mkdir()
    commands.codes = [0, 1]
    with pytest.raises(SystemExit, match="1"):
        Bootstrap(checkout).set_up()
    assert not (checkout / ".venv" / "stamp").exists()
    assert "Is the network there?" in capsys.readouterr().err


def test_outside_a_checkout_nothing_is_done(tmp_path: Path, commands: Commands) -> None:
    Bootstrap(tmp_path).enter("app", (LIBRARY,))
    assert commands.lines == []


def test_inside_the_set_up_folder_nothing_is_done(
    checkout: Path, commands: Commands, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "prefix", str(checkout / ".venv"))
    Bootstrap(checkout).enter("app", ())
    assert commands.lines == []


def test_an_old_python_gets_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "version_info", (3, 9, 2, "final", 0))
    with pytest.raises(SystemExit, match="1"):
        check_python()
    said = capsys.readouterr().err
    assert said == "This needs Python 3.11 or newer; this is Python 3.9.2.\n"


def test_the_line_to_type_names_each_package_once() -> None:
    line = install_line((LIBRARY, TOOL, LIBRARY))
    assert line == "apt-get install -y --no-install-recommends libnowhere9 nowhere"


@on_linux
def test_a_user_is_told_the_line_and_nothing_is_run(
    debian: None,
    commands: Commands,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    become(monkeypatch, 1000)
    with pytest.raises(SystemExit, match="1"):
        check_system((LIBRARY, TOOL))
    assert "    sudo apt-get install -y" in capsys.readouterr().err
    assert commands.lines == []


@on_linux
def test_a_user_can_do_without_what_is_not_needed(
    debian: None, commands: Commands, monkeypatch: pytest.MonkeyPatch
) -> None:
    become(monkeypatch, 1000)
    check_system((TOOL,))
    assert commands.lines == []


@on_linux
def test_root_gets_it_installed(
    debian: None, commands: Commands, monkeypatch: pytest.MonkeyPatch
) -> None:
    become(monkeypatch, 0)
    check_system((LIBRARY, TOOL))
    update, install = commands.lines
    assert update.startswith("apt-get update")
    assert "libnowhere9 nowhere" in install


@on_linux
def test_root_gets_what_is_needed_where_the_rest_cannot_be_had(
    debian: None, commands: Commands, monkeypatch: pytest.MonkeyPatch
) -> None:
    become(monkeypatch, 0)
    commands.codes = [0, 100, 0, 0]
    check_system((LIBRARY, TOOL))
    assert "nowhere " not in commands.lines[-1].replace("libnowhere9", "")


@on_linux
def test_without_apt_the_missing_libraries_are_named(
    commands: Commands,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(SystemExit, match="1"):
        check_system((LIBRARY,))
    said = capsys.readouterr().err
    assert said.startswith("The system lacks libnowhere.so.9.")
    assert commands.lines == []


@on_linux
@pytest.mark.parametrize(
    ("screen", "wants"),
    [
        ({}, ["ensurepip"]),
        ({"DISPLAY": ":0"}, ["libGL.so.1", "libxcb-cursor.so.0"]),
        ({"WAYLAND_DISPLAY": "wayland-0"}, ["libGL.so.1", "libwayland-egl.so.1"]),
    ],
)
def test_a_machine_without_a_screen_is_asked_for_no_libraries(
    screen: dict[str, str], wants: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    for name, value in screen.items():
        monkeypatch.setenv(name, value)
    names = [w.name for w in bootstrap.wanted_by_app()]
    assert set(wants) <= set(names)
    assert ("libGL.so.1" in names) == bool(screen)


def test_the_list_is_hashed_and_holds_no_address() -> None:
    text = (bootstrap.repository() / ".ci" / "requirements.txt").read_text()
    assert text.count("==") <= text.count("--hash=sha256:")
    assert "://" not in text
