"""`probe` finds the place that is meant, and says what it gets."""

import json
from math import isclose
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from app.commands.run import run_command
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, Load, OnRun, Straight, TrackRun
from tests.app.board import BOOSTER, board, faulty_board, saved

PROBE_KEYS = {
    "file",
    "format",
    "version",
    "run",
    "track",
    "position_m",
    "fed",
    "shorted_by",
    "volts_v",
    "volts_low_v",
    "volts_high_v",
    "standing_v",
    "source_v",
    "drop_share",
    "test_train_a",
    "loop_ohm",
    "loop_low_ohm",
    "loop_high_ohm",
    "loop_henry",
    "short_dc_a",
    "short_rms_ones_a",
    "short_rms_zeros_a",
    "short_mean_ones_a",
    "short_mean_zeros_a",
    "short_peak_a",
    "trip_a",
    "margin",
    "margin_low",
    "margin_high",
    "short_low_a",
    "short_high_a",
    "lazy_w",
    "notch_s",
    "held_a",
    "held_w",
    "surge_a",
    "held_by",
    "limited_by",
    "helps",
    "cleared_by",
    "race",
    "drops",
    "devices",
    "starves",
    "beyond",
    "drop_verdict",
    "short_verdict",
    "breakdown",
    "sentence",
}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return saved(faulty_board(), tmp_path)


def probe(
    path: Path, track: str, position: str, capsys: pytest.CaptureFixture[str]
) -> dict[str, Any]:
    run_command(["probe", str(path), track, position, "--json"])
    said = capsys.readouterr()
    assert said.err == ""
    found: dict[str, Any] = json.loads(said.out)
    return found


def test_json_holds_exactly_these_keys(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = probe(path, "Main", "1200", capsys)
    assert found.keys() == PROBE_KEYS
    assert found["breakdown"][0].keys() == {"kind", "volts_v", "parts"}
    assert found["race"][0].keys() == {
        "part",
        "sensed_a",
        "trip_a",
        "trip_s",
        "trips",
        "opens_s",
        "then_a",
    }


def test_figures_obey_ohm_and_add_up(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = probe(path, "Main", "1200", capsys)
    lost = found["source_v"] - found["volts_v"]
    # No load stands on the board: what is lost is the test train through the loop.
    assert isclose(lost, found["test_train_a"] * found["loop_ohm"], rel_tol=1e-9)
    assert isclose(found["short_dc_a"], found["source_v"] / found["loop_ohm"])
    total = sum(row["volts_v"] for row in found["breakdown"])
    assert isclose(total, lost, rel_tol=1e-9)


@pytest.mark.parametrize("track", ["R1", "r1", "Main", "MAIN", " main "])
def test_a_track_is_found_by_id_or_name(
    track: str, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert probe(path, track, "0", capsys)["run"] == "R1"


@pytest.mark.parametrize(
    ("text", "position_m"),
    [
        ("1200", 1.2),
        ("1.2 m", 1.2),
        ("1200mm", 1.2),
        # 7 ft 10 1/2 in = 94.5 in = 94.5 · 0.0254 m (an inch is 25.4 mm by definition)
        ("7' 10 1/2\"", 2.4003),
        ("start", 0.0),
        ("End", 3.0),
    ],
)
def test_a_position_is_read_as_people_write_it(
    text: str, position_m: float, path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert isclose(probe(path, "Main", text, capsys)["position_m"], position_m)


def test_a_bare_number_is_inches_where_the_layout_is_in_feet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = saved(board(lengths="ft"), tmp_path)
    # 10 · 25.4 mm
    assert isclose(probe(path, "Main", "10", capsys)["position_m"], 0.254)


def test_text_tells_where_the_volts_went(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["probe", str(path), "Main", "1.2 m"]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Main, ")
    assert all(word in said for word in ("At load", "Short", "Lost", "rail", " V"))


def shorted(folder: Path) -> Path:
    """Return the file of the board with D2 wired the wrong way round."""
    layout = board()
    turned = replace(layout.need(PartId("D2"), Drop), a_rail="right")
    return saved(Layout({**layout.parts, turned.id: turned}), folder, "shorted.fwl")


def test_text_tells_bands_race_limit_heat_and_notch(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run_command(["probe", str(path), "Main", "1.2 m"])
    said = capsys.readouterr().out
    found = probe(path, "Main", "1.2 m", capsys)
    low, high = found["volts_low_v"], found["volts_high_v"]
    assert f"({low:.2f} V to {high:.2f} V)" in said
    # The one device there is: 3 A in 0.1 s.
    assert "Trips        PB1 in 100 ms: " in said
    assert f"limited by {found['limited_by']}" in said
    assert f"Bad contact  {found['lazy_w']:.0f} W in it, and PB1 would not" in said
    assert f"Notch        {found['notch_s'] * 1e6:.1f} µs" in said


def test_a_device_that_stays_closed_is_told_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    weak = Booster(id=BOOSTER, x_mm=1500, y_mm=-200, rated_a=3, trip_a=3, limit_a=2.0)
    path = saved(Layout({**board().parts, BOOSTER: weak}), tmp_path)
    run_command(["probe", str(path), "Main", "1.2 m"])
    assert "Trips        not PB1: " in capsys.readouterr().out


def test_text_of_a_probe_fits_a_narrow_terminal(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run_command(["probe", str(path), "Main", "1.2 m"])
    assert max(map(len, capsys.readouterr().out.splitlines())) <= 80


def test_a_shorted_place_says_so_and_tells_no_figure(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["probe", str(shorted(tmp_path)), "Main", "1.2 m"]) == 1
    place, first, *rest = capsys.readouterr().out.splitlines()
    assert place == "Main, 1.20 m"
    assert first.startswith("SHORTED: PB1 feeds this place")
    assert not any(" V" in line for line in rest)


def test_json_of_a_shorted_place_has_null_for_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = probe(shorted(tmp_path), "Main", "1.2 m", capsys)
    assert found.keys() == PROBE_KEYS
    assert found["shorted_by"] == "PB1"
    assert found["test_train_a"] == 1.0
    figures = [
        key
        for key in PROBE_KEYS
        if key.endswith(("_v", "_a", "_ohm", "_henry", "_w", "_s"))
    ]
    assert {key for key in figures if found[key] is not None} == {"test_train_a"}
    assert found["race"] == found["breakdown"] == []
    assert found["drops"] == found["devices"] == []


def test_what_drops_and_booster_carry_adds_up_to_the_train(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # The board's only drops share the 1 A train; at D1's own place D1 has more of it.
    found = probe(saved(board(), tmp_path), "Main", "0.5 m", capsys)
    amps = {drop["part"]: drop["amps_a"] for drop in found["drops"]}
    assert list(amps) == ["D1", "D2"]
    assert sum(amps.values()) == pytest.approx(1.0, rel=1e-6)
    assert found["devices"] == [
        {"part": "PB1", "amps_a": pytest.approx(1.0, rel=1e-6), "rated_a": 3.0}
    ]


def test_text_tells_what_drops_and_booster_carry(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run_command(["probe", str(saved(board(), tmp_path)), "Main", "1.5 m"])
    out = capsys.readouterr().out
    assert "PB1 1.00 A of 3.00 A" in out
    assert "D1 0.50 A, D2 0.50 A" in out  # halfway between two like drops


def test_a_place_that_nothing_feeds_ends_with_1(
    path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_command(["probe", str(path), "Siding", "0.5 m"]) == 1
    assert "No booster reaches" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("track", "position", "says"),
    [
        ("Mian", "1 m", "There is no run called 'Mian'. Did you mean 'Main'?"),
        ("R9", "1 m", "There is no run called 'R9'. Runs are: Main, "),
        ("Main", "one metre", "Cannot read 'one metre' as a length."),
        ("Main", "3.5 m", "Main is 3"),
        ("Main", "nan", "Cannot read 'nan' as a length."),
    ],
)
def test_what_is_not_there_gets_a_sentence_and_code_2(
    track: str,
    position: str,
    says: str,
    path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run_command(["probe", str(path), track, position]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert f"feederwright: {says}" in said.err.replace("python3 -m app", "feederwright")


def test_a_name_that_two_tracks_share_must_be_told_apart(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    twin = TrackRun(
        id=PartId("R7"),
        name="Main",
        x_mm=0,
        y_mm=900,
        heading_deg=0,
        pieces=(Straight(length_mm=500.0),),
    )
    path = saved(Layout({**board().parts, twin.id: twin}), tmp_path)
    assert run_command(["probe", str(path), "Main", "0"]) == 2
    assert "Say which: R1, R7." in capsys.readouterr().err


def test_a_train_that_starves_a_load_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # Behind 5 Ω 15 V give 11.25 W at most (V²/4R); with 1 A drawn 10²/20 = 5 W.
    layout = board(test_train_a=1.0)
    at = OnRun(run=PartId("R1"), position_m=1.2)
    lamp = Load(id=PartId("L1"), on=at, watts_w=8.0)
    weak = replace(layout.need(PartId("PB1"), Booster), inner_ohm=5.0)
    parts = {**layout.parts, weak.id: weak, lamp.id: lamp}
    path = saved(Layout(parts), tmp_path)
    found = probe(path, "Main", "1200", capsys)
    assert found["starves"] == ["L1"]
    assert (found["volts_v"], found["breakdown"]) == (0.0, [])
    run_command(["probe", str(path), "Main", "1200"])
    said = capsys.readouterr().out
    assert "A 1.00 A train here starves L1: of 8.0 W it can have" in said
    assert "nothing is left with 1.00 A" in said
    run_command(["report", str(path)])
    said = " ".join(capsys.readouterr().out.split())
    assert "Lowest volts none left at Main" in said
    assert "starves L1" in said


def test_a_booster_that_trips_on_the_train_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    layout = board(test_train_a=4.0)
    weak = replace(layout.need(PartId("PB1"), Booster), rated_a=3.0, trip_a=3.0)
    path = saved(Layout({**layout.parts, weak.id: weak}), tmp_path)
    found = probe(path, "Main", "1200", capsys)
    assert found["drop_verdict"] == "poor"
    assert found["beyond"] == [
        {"part": "PB1", "amps_a": pytest.approx(4.0), "bound": "trip", "bound_a": 3.0}
    ]
    run_command(["report", str(path)])
    said = " ".join(capsys.readouterr().out.split())
    lowest = said.split("Lowest volts")[1].split("Highest loop")[0]
    assert "But PB1 would have to give 4.00 A and trips at 3.00 A" in lowest
    run_command(["report", str(path), "--json"])
    lowest = json.loads(capsys.readouterr().out)["lowest_volts"]
    assert [one["bound"] for one in lowest["beyond"]] == ["trip"]
