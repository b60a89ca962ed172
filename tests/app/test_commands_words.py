"""The command line says what it takes, and refuses the rest in one sentence."""

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from app import VERSION
from app.bootstrap import repository
from app.commands.parser import TEXTS
from app.commands.run import run_command

HEAVY = ("numpy", "scipy", "networkx", "reportlab", "PySide6", "pypdfium2")


@pytest.fixture(autouse=True)
def called_as_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", ["/usr/bin/feederwright"])


def test_help_teaches_with_an_example(capsys: pytest.CaptureFixture[str]) -> None:
    assert run_command(["-h"]) == 0
    said = capsys.readouterr().out
    assert all(command in said for command in TEXTS)
    assert "For example" in said
    assert "Exit codes" in said


@pytest.mark.parametrize("command", TEXTS)
def test_each_command_explains_itself(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command([command, "-h"]) == 0
    assert f"feederwright {command} " in capsys.readouterr().out


def test_help_names_the_command_that_was_typed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["/home/ada/fw/app/__main__.py"])
    monkeypatch.setattr(sys, "platform", "linux")
    run_command(["report", "-h"])
    assert "python3 -m app report club.fwl" in capsys.readouterr().out


def test_version_is_that_of_the_package(capsys: pytest.CaptureFixture[str]) -> None:
    project = tomllib.loads(Path(repository(), "pyproject.toml").read_text())
    assert run_command(["--version"]) == 0
    assert capsys.readouterr().out == f"feederwright {VERSION}\n"
    assert project["project"]["version"] == VERSION


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        (["report"], "The following arguments are required: FILE."),
        (["probe", "x.fwl"], "The following arguments are required: TRACK, POSITION."),
        (["report", "x.fwl", "--jsno"], "Unrecognized arguments: --jsno."),
        (["reprot", "x.fwl"], "There is no command 'reprot'. Did you mean 'report'?"),
        (["--frobnicate"], "Unrecognized arguments: --frobnicate."),
    ],
)
def test_a_wrong_line_gets_one_sentence_and_code_2(
    line: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(line) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"feederwright: {sentence}")
    assert said.err.count("\n") == 1


def test_no_screen_is_said_in_one_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    assert run_command(["x.fwl"]) == 2
    assert "no screen here" in capsys.readouterr().err


@pytest.mark.parametrize("line", [["-h"], ["schema"], ["report"]])
def test_words_and_schema_start_without_the_heavy_packages(line: list[str]) -> None:
    script = (
        "import sys\nfrom app.commands.run import run_command\n"
        f"run_command({line})\n"
        f"print([name for name in {HEAVY} if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        check=False,
        cwd=repository(),
        capture_output=True,
        text=True,
    )
    assert done.stderr.splitlines()[-1] == "[]"
