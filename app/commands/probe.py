"""`probe`: what one place of one track gets, and where the volts went."""

from difflib import get_close_matches
from pathlib import Path
from typing import Any

from app.commands.figures import describe_beyond, tidy
from app.commands.probe_text import say_shorted, write_probe
from app.commands.reading import open_layout
from app.commands.say import say, say_json
from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.study import Flow, Probe, Racer
from core.errors import EditError, UnknownNameError
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import OnRun, TrackRun
from core.layout.queries import run_name
from core.units.length import parse_length, show_length

SLACK_M = 0.0005
"""How far beyond the end a typed position still means the end: rounding. [m]"""

LISTED = 12
"""So many runs are named where a name is not known."""

FIGURES = (
    "test_train_a",
    "volts_v",
    "volts_low_v",
    "volts_high_v",
    "standing_v",
    "source_v",
    "drop_share",
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
    "short_low_a",
    "short_high_a",
    "trip_a",
    "margin",
    "margin_low",
    "margin_high",
    "lazy_w",
    "notch_s",
    "held_a",
    "held_w",
    "surge_a",
)
"""Figures of a probe that the JSON object holds, under the same names; all but the
first are null where a booster that feeds the place has its poles joined."""


def print_probe(path: Path, track: str, position: str, *, as_json: bool) -> int:
    """Print what a place gets; return 1 where it is dead or shorted, else 0."""
    layout = open_layout(path)
    run = find_run(layout, track)
    place = OnRun(run=run.id, position_m=find_position(layout, run, position))
    study = study_layout(layout)
    found = probe_place(study, place)
    if as_json:
        say_json({"file": str(path), **describe_probe(found)})
    else:
        say(write_probe(layout, found))
    return int(not found.fed or found.shorted_by is not None)


def find_run(layout: Layout, track: str) -> TrackRun:
    """Return the run with that id or name, in any case of letters.

    Raises
    ------
    UnknownNameError
        No run is called that.
    EditError
        Several are.
    """
    runs = tuple(layout.of_kind(TrackRun))
    wanted = track.strip().casefold()
    by_id = [run for run in runs if run.id.casefold() == wanted]
    found = by_id or [run for run in runs if run.name.casefold() == wanted]
    if len(found) > 1:
        ids = ", ".join(run.id for run in found)
        raise EditError(
            f"{len(found)} runs are called {track!r}.", f"Say which: {ids}."
        )
    if not found:
        names = {n.casefold(): n for run in runs for n in (run.name, run.id) if n}
        near = get_close_matches(wanted, names, n=1)
        error = UnknownNameError(track, "run", names[near[0]] if near else None)
        error.hint = f"{error.hint} {_listed(runs)}".strip()
        raise error
    return found[0]


def _listed(runs: tuple[TrackRun, ...]) -> str:
    """Return the runs that there are, in words; the first of them if many."""
    names = [run.name or run.id for run in runs]
    more = f" and {len(names) - LISTED} more" if len(names) > LISTED else ""
    listed = ", ".join(names[:LISTED])
    return f"Runs are: {listed}{more}." if names else "It has no track."


def find_position(layout: Layout, run: TrackRun, text: str) -> float:
    """Return a typed position along a run, from its start. [m]

    Raises
    ------
    UnitParseError
        The text is no length.
    EditError
        It lies beyond the run's end.
    """
    length_m = run_path(run).length_m
    ends = {"start": 0.0, "end": length_m}
    if text.strip().casefold() in ends:
        return ends[text.strip().casefold()]
    system = layout.settings.lengths
    position_m = parse_length(text, system)
    if not -SLACK_M <= position_m <= length_m + SLACK_M:
        name = run_name(layout, run.id)
        raise EditError(
            f"{name} is {show_length(length_m, system)} long; "
            f"{show_length(position_m, system)} is not on it.",
            'Give a length from its start, or "end".',
        )
    return min(max(position_m, 0.0), length_m)


def describe_probe(found: Probe) -> dict[str, Any]:
    """Return a probe as one JSON object: SI units, named in the keys."""
    is_shorted = found.shorted_by is not None
    figures = {name: tidy(getattr(found, name)) for name in FIGURES}
    if is_shorted:
        figures.update(dict.fromkeys(FIGURES[1:]))
    return {
        "format": "feederwright-probe",
        "version": 1,
        "run": found.run,
        "track": found.track,
        "position_m": tidy(found.position_m),
        "fed": found.fed,
        "shorted_by": found.shorted_by,
        **figures,
        "limited_by": None if is_shorted else found.limited_by,
        "helps": None if is_shorted else found.helps,
        "cleared_by": found.cleared_by,
        "held_by": None if is_shorted else found.held_by,
        "race": [] if is_shorted else [_describe_racer(r) for r in found.race],
        "drops": [] if is_shorted else [_describe_flow(f) for f in found.drops],
        "devices": [] if is_shorted else [_describe_flow(f) for f in found.devices],
        "starves": [] if is_shorted else [one.part for one in found.starves],
        "beyond": [describe_beyond(one) for one in found.beyond],
        "drop_verdict": found.drop_verdict,
        "short_verdict": found.short_verdict,
        "breakdown": []
        if is_shorted
        else [
            {"kind": loss.kind, "volts_v": tidy(loss.volts_v), "parts": [*loss.parts]}
            for loss in found.breakdown
        ],
        "sentence": say_shorted(found) or found.sentence,
    }


def _describe_flow(flow: Flow) -> dict[str, Any]:
    return {
        "part": flow.part,
        "amps_a": tidy(flow.amps_a),
        "rated_a": tidy(flow.rated_a),
    }


def _describe_racer(racer: Racer) -> dict[str, Any]:
    return {
        "part": racer.part,
        "sensed_a": tidy(racer.sensed_a),
        "trip_a": tidy(racer.trip_a),
        "trip_s": tidy(racer.trip_s),
        "trips": racer.trips,
        "opens_s": tidy(racer.opens_s),
        "then_a": tidy(racer.then_a),
    }
