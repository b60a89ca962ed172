"""`python3 -m app` with nothing else shows the sample, in text where no screen is."""

import subprocess
import sys
from pathlib import Path

import pytest

from app.bootstrap import Wanted, repository
from app.commands.run import run_command
from app.commands.window import FIRST_SAMPLE
from app.data import data_dir


@pytest.fixture
def no_screen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[Path | None]:
    opened: list[Path | None] = []
    monkeypatch.setenv("DISPLAY", ":0")

    def note(path: Path | None) -> int:
        opened.append(path)
        return 0

    monkeypatch.setattr("app.build.run_window", note)
    monkeypatch.setattr("app.commands.window.wanted_by_window", tuple)
    return opened


def test_without_a_screen_it_prints_the_report_and_writes_the_sheet(
    no_screen: None, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["--sample"]) == 0
    said = capsys.readouterr().out
    sheet = Path.cwd() / "first-board.pdf"
    assert "Lowest volts" in said
    assert said.endswith(f"The sheet is in {sheet}\n")
    assert sheet.read_bytes().startswith(b"%PDF-")


def test_its_exit_code_is_that_of_the_report(
    no_screen: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "app.commands.window.FIRST_SAMPLE", "dapplecombe-sidings-faults.fwl"
    )
    assert run_command(["--sample"]) == 1


def test_with_a_screen_it_opens_the_sample(opened: list[Path | None]) -> None:
    assert run_command(["--sample"]) == 0
    assert opened == [data_dir("sample_layouts") / FIRST_SAMPLE]


def test_the_installed_command_opens_an_empty_window(
    opened: list[Path | None],
) -> None:
    assert run_command([]) == 0
    assert opened == [None]


def test_a_file_is_opened_in_the_window(opened: list[Path | None]) -> None:
    run_command(["club.fwl"])
    assert opened == [Path("club.fwl")]


def test_a_missing_library_is_named_instead_of_an_abort(
    opened: list[Path | None],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lacking = (Wanted("libnowhere.so.9", "libnowhere9"),)
    monkeypatch.setattr("app.commands.window.wanted_by_window", lambda: lacking)
    assert run_command([]) == 2
    assert "libnowhere" in capsys.readouterr().err
    assert opened == []


@pytest.mark.parametrize("line", ["report", "probe", "sheet"])
def test_the_examples_in_the_help_work_as_printed(line: str, tmp_path: Path) -> None:
    def run(*words: str) -> subprocess.CompletedProcess[str]:
        script = "from app.__main__ import main; raise SystemExit(main())"
        return subprocess.run(
            [sys.executable, "-c", script, *words],
            check=False,
            cwd=repository(),
            capture_output=True,
            text=True,
        )

    examples = [x.split() for x in run("-h").stdout.splitlines() if ".fwl" in x]
    words = next(x[x.index(line) :] for x in examples if line in x)
    text = " ".join(words).replace('"0.6 m"', "0.6m").replace("-o ", f"-o {tmp_path}/")
    assert run(*text.split()).returncode == 0
