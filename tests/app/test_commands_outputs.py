"""`sheet`, `netlist` and `schema` write what they say, and never over a layout."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from app.commands.run import run_command
from tests.app.board import board, saved


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return saved(board(), tmp_path)


def test_the_sheet_is_a_pdf_where_it_was_asked_for(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["sheet", str(path), "-o", "out.pdf"]) == 0
    assert Path("out.pdf").read_bytes().startswith(b"%PDF-")
    assert "out.pdf" in capsys.readouterr().out


def test_without_a_place_it_takes_the_name_of_the_layout(path: Path) -> None:
    assert run_command(["sheet", str(path)]) == 0
    assert Path("board.pdf").is_file()


def test_the_netlist_runs_in_a_simulator(
    path: Path, tool: Callable[[str], str], capsys: pytest.CaptureFixture[str]
) -> None:
    ngspice = tool("ngspice")
    assert run_command(["netlist", str(path), "-o", "out.cir"]) == 0
    done = subprocess.run(
        [ngspice, "-b", "out.cir"], check=False, capture_output=True, text=True
    )
    assert done.returncode == 0
    assert "error" not in (done.stdout + done.stderr).lower()


@pytest.mark.parametrize("command", ["sheet", "netlist"])
@pytest.mark.parametrize("out", ["board.fwl", "./board.fwl", "other.fwl"])
def test_a_layout_is_never_written_over(
    command: str, out: str, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = path.read_bytes()
    assert run_command([command, str(path), "-o", out]) == 2
    assert "that is a layout" in capsys.readouterr().err
    assert path.read_bytes() == before
    assert not Path("other.fwl").exists()


@pytest.mark.parametrize(
    ("command", "suffix"), [("sheet", ".pdf"), ("netlist", ".cir")]
)
def test_a_folder_that_is_not_there_gets_a_sentence_and_code_2(
    command: str, suffix: str, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command([command, str(path), "-o", f"nowhere/out{suffix}"]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "nowhere" in said
    assert said.count(". ") == 1, "the hint is a sentence of its own"


def test_the_schema_describes_the_file_format(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run_command(["schema"]) == 0
    text = capsys.readouterr().out
    assert json.loads(text)["$schema"].startswith("https://json-schema.org/draft/2020")
    assert all(f'"{key}"' in text for key in ("format", "version", "parts", "drop"))
