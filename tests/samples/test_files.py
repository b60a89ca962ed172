"""The committed samples: what builds them, what they hold, what they must give."""

import json
from math import cos, hypot
from pathlib import Path
from typing import Any

import pytest

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.study import Study
from core.checks.run import run_checks
from core.layout.edits.join import make_turnout
from core.layout.edits.sides import is_swapped
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Board, Drop, Joist, TrackJoint, TrackRun, Turnout
from core.layout.queries import board_of, place_xy
from core.layout.storage.read import read_layout
from core.layout.storage.text import dump_layout
from tests.samples.build import FOLDER, SAMPLES, build_sample

NAMES = sorted(SAMPLES)


def expected(name: str) -> dict[str, Any]:
    """Return what is written beside a sample."""
    text = (FOLDER / f"{name}.expected.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def figures(study: Study) -> dict[str, float]:
    """Return the key figures that may stand beside a sample."""
    first_booster = len(study.circuit.branches)
    found = {
        "standing_a": sum(duty.amps_a for duty in study.boosters),
        "prospective_a": float(abs(study.source.amps[first_booster:]).max()),
    }
    if study.worst_volts is not None and study.worst_loop is not None:
        worst = probe_place(study, study.worst_volts.place)
        found["worst_loss_v"] = worst.source_v - worst.volts_v
        found["highest_loop_ohm"] = study.worst_loop.value
        found["weakest_short_dc_a"] = probe_place(
            study, study.worst_loop.place
        ).short_dc_a
    if study.weakest_short is not None:
        weakest = probe_place(study, study.weakest_short.place)
        assert weakest.short_rms_ones_a is not None
        found["weakest_short_rms_ones_a"] = weakest.short_rms_ones_a
    return found


def test_every_file_has_its_builder_and_its_expectations() -> None:
    names = {path.name for path in FOLDER.iterdir()}
    wanted = {f"{n}.fwl" for n in NAMES} | {f"{n}.expected.json" for n in NAMES}
    assert names == wanted


@pytest.mark.parametrize("name", NAMES)
def test_the_file_is_what_its_builder_makes(name: str) -> None:
    assert (FOLDER / f"{name}.fwl").read_bytes() == dump_layout(build_sample(name))


@pytest.mark.parametrize("name", NAMES)
def test_it_opens_clean_and_comes_back_byte_for_byte(name: str) -> None:
    path = FOLDER / f"{name}.fwl"
    layout, report = read_layout(path)
    assert not report.fixed
    assert not report.unfixed
    assert dump_layout(layout) == path.read_bytes()


@pytest.mark.parametrize("name", NAMES)
def test_it_gives_the_findings_beside_it_and_no_others(name: str) -> None:
    layout, _ = read_layout(FOLDER / f"{name}.fwl")
    found = run_checks(study_layout(layout))
    given = [(f.code, f.severity.value, f.parts[0]) for f in found]
    wanted = [(w["code"], w["severity"], w["part"]) for w in expected(name)["findings"]]
    assert given == wanted


@pytest.mark.parametrize("name", NAMES)
def test_it_gives_the_figures_beside_it(name: str) -> None:
    layout, _ = read_layout(FOLDER / f"{name}.fwl")
    given = figures(study_layout(layout))
    wanted = expected(name)["figures"]
    assert wanted
    for key, figure in wanted.items():
        assert given[key] == pytest.approx(figure["is"], rel=figure["within"]), key


@pytest.mark.parametrize("name", NAMES)
def test_its_track_closes_and_its_turnouts_leave_tangentially(name: str) -> None:
    layout = build_sample(name)
    for joint in layout.of_kind(TrackJoint):
        a, b = (run_path(layout.need(e.run, TrackRun)) for e in (joint.a, joint.b))
        end = a.end if joint.a.end == "end" else a.start
        start = b.start if joint.b.end == "start" else b.end
        assert hypot(end.x_mm - start.x_mm, end.y_mm - start.y_mm) < 1e-6
        ahead = -1.0 if is_swapped(joint) else 1.0
        assert cos(end.heading - start.heading) == pytest.approx(ahead)
    for turnout in layout.of_kind(Turnout):
        toe = run_path(layout.need(turnout.on.run, TrackRun)).at(turnout.on.position_m)
        leg = run_path(layout.need(turnout.leg.run, TrackRun))
        first = leg.start if turnout.leg.end == "start" else leg.end
        assert hypot(toe.x_mm - first.x_mm, toe.y_mm - first.y_mm) < 1e-6
        ahead = -1.0 if is_swapped(turnout) else 1.0
        assert cos(toe.heading - first.heading) == pytest.approx(ahead)


@pytest.mark.parametrize("name", NAMES)
def test_its_turnouts_have_the_hand_that_the_drawing_gives(name: str) -> None:
    layout = build_sample(name)
    for turnout in layout.of_kind(Turnout):
        bare = Layout({i: p for i, p in layout.parts.items() if i != turnout.id})
        change = make_turnout(bare, turnout.on, turnout.leg)
        made = next(p for p in change.after.values() if isinstance(p, Turnout))
        assert (made.hand, made.opens) == (turnout.hand, turnout.opens)


@pytest.mark.parametrize("name", NAMES)
def test_all_of_it_lies_on_its_boards(name: str) -> None:
    layout = build_sample(name)
    assert any(True for _ in layout.of_kind(Board))
    for run in layout.of_kind(TrackRun):
        for aside_mm in (-15.0, 15.0):
            for x, y in run_path(run).line(offset_mm=aside_mm):
                assert board_of(layout, float(x), float(y)) is not None, run.id
    for drop in layout.of_kind(Drop):
        hole = place_xy(layout, drop.on)
        assert hole is not None
        assert board_of(layout, *hole) is not None
    assert any(True for _ in layout.of_kind(Joist))


def test_nothing_in_the_folder_is_a_backup() -> None:
    assert not list(Path(FOLDER).glob("*~"))
