"""`report` says how a layout stands, to people and to programs."""

import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from app.bootstrap import repository
from app.commands.run import run_command
from core.layout.layout import Layout
from tests.app.board import board, faulty_board, saved

PLACE_KEYS = {"run", "track", "position_m"}
WORST_KEYS = PLACE_KEYS | {
    "volts_v",
    "volts_low_v",
    "volts_high_v",
    "drop_share",
    "loop_ohm",
    "loop_low_ohm",
    "loop_high_ohm",
    "margin",
    "beyond",
    "margin_low",
    "margin_high",
}
REPORT_KEYS = {
    "file",
    "format",
    "version",
    "title",
    "revision",
    "test_train_a",
    "counts",
    "poles_joined",
    "shorts",
    "opposed",
    "lowest_volts",
    "highest_loop",
    "weakest_short",
    "weakest_shorts",
    "openings",
    "restarts",
    "together",
    "legs",
    "guards",
    "districts",
    "conductors",
    "lamps",
    "carried",
    "measured_rails",
    "boosters",
    "unfed",
    "findings",
}
FINDING_KEYS = {
    "code",
    "severity",
    "title",
    "sentence",
    "figures",
    "remedy",
    "parts",
    "place",
    "source",
}


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    return saved(board(), tmp_path)


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    return saved(faulty_board(), tmp_path)


def read_json(line: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    run_command([*line, "--json"])
    said = capsys.readouterr()
    assert said.err == ""
    found: dict[str, Any] = json.loads(said.out)
    return found


def test_a_sound_layout_ends_with_0(
    sound: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["report", str(sound)]) == 0
    assert capsys.readouterr().out.startswith("Test board, revision A\n")


def test_a_fault_ends_with_1_and_is_told(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["report", str(faulty)]) == 1
    said = capsys.readouterr().out
    assert "No feed        Siding" in said
    assert "\nFAULT W" in said


def test_text_fits_a_narrow_terminal(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run_command(["report", str(faulty)])
    assert max(map(len, capsys.readouterr().out.splitlines())) <= 80


def test_json_holds_exactly_these_keys(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = read_json(["report", str(faulty)], capsys)
    assert found.keys() == REPORT_KEYS
    assert found["lowest_volts"].keys() == WORST_KEYS
    assert found["highest_loop"].keys() == WORST_KEYS
    assert found["weakest_short"].keys() == WORST_KEYS
    assert found["boosters"][0].keys() == {
        "part",
        "volts_v",
        "amps_a",
        "rated_a",
        "shorted",
    }
    assert found["unfed"][0].keys() == {"run", "track", "start_m", "end_m", "sides"}
    assert {key for f in found["findings"] for key in f} == FINDING_KEYS


def test_json_is_in_si_units(faulty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = read_json(["report", str(faulty)], capsys)
    # The siding is 1000 mm long and nothing reaches it.
    assert found["unfed"] == [
        {"run": "R2", "track": "Siding", "start_m": 0.0, "end_m": 1.0, "sides": "both"}
    ]
    # A dead end sees half a metre and one drop; the middle sees a metre to either
    # side, so half of that, and both drops beside each other: less. Of the two dead
    # ends the one at 3 m has a joiner in it (3 · 0.914 m = 2.742 m), the other none.
    assert found["highest_loop"]["position_m"] == 3.0
    assert found["title"] == "Test board"


def test_an_empty_layout_has_no_worst_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = read_json(["report", str(saved(Layout(), tmp_path))], capsys)
    assert found["lowest_volts"] is None
    assert found["weakest_short"] is None


def test_an_empty_layout_can_be_told_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run_command(["report", str(saved(Layout(), tmp_path))])
    assert "no booster reaches any track" in capsys.readouterr().out


@pytest.mark.parametrize("text", ["", "{", '{"format": "other"}', "\x00\x01", "[1]"])
def test_what_is_no_layout_gets_a_sentence_and_code_2(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "broken.fwl"
    path.write_text(text, encoding="utf-8")
    assert run_command(["report", str(path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "broken.fwl" in said.err
    assert "Traceback" not in said.err
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize("name", ["none.fwl", "."])
def test_what_cannot_be_opened_gets_a_sentence_and_code_2(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["report", str(tmp_path / name), "--json"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1


def test_a_reader_that_leaves_early_hears_no_complaint(faulty: Path) -> None:
    script = (
        "import sys; from app.commands.run import run_command; "
        f"sys.exit(run_command(['report', {str(faulty)!r}, '--json']))"
    )
    command = [sys.executable, "-c", script]
    with subprocess.Popen(
        command, cwd=repository(), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.close()
        assert child.stderr.read() == b""
        assert child.wait() == 1


def test_names_beyond_the_terminal_s_alphabet_are_printed_all_the_same(
    tmp_path: Path,
) -> None:
    path = saved(board(title="Bahnhof Ω 駅"), tmp_path)
    script = (
        "import sys; from app.commands.run import run_command; "
        f"sys.exit(run_command(['report', {str(path)!r}]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        check=False,
        cwd=repository(),
        capture_output=True,
        env={"PYTHONIOENCODING": "ascii", "PYTHONPATH": "."},
    )
    assert done.returncode == 0
    assert done.stdout.startswith(b"Bahnhof ? ?, revision A")
    assert done.stderr == b""


def test_figures_that_are_not_finite_become_null(
    faulty: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = read_json(["probe", str(faulty), "Siding", "500"], capsys)
    assert found["loop_ohm"] is None
    assert found["fed"] is False
    assert math.isclose(found["position_m"], 0.5)
