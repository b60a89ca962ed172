"""`probe`: what one place of one track gets, and where the volts went."""

from difflib import get_close_matches
from pathlib import Path
from typing import Any

from app.commands.figures import tidy, write_rows, write_text
from app.commands.reading import open_layout
from app.commands.say import say, say_json
from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.study import Probe
from core.errors import EditError, UnknownNameError
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import OnRun, TrackRun
from core.layout.queries import place_name, run_name
from core.units.figures import (
    show_amps,
    show_henry,
    show_ohms,
    show_share,
    show_volts,
)
from core.units.length import parse_length, show_length

SLACK_M = 0.0005
"""How far beyond the end a typed position still means the end: rounding. [m]"""

COLUMN = 12
"""Where the texts of the rows begin."""

FIGURES = (
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
    "lazy_w",
    "notch_s",
)
"""Figures of a probe that the JSON object holds, under the same names."""


def print_probe(path: Path, track: str, position: str, *, as_json: bool) -> int:
    """Print what a place gets; return 0, or 1 where no booster reaches it."""
    layout = open_layout(path)
    run = find_run(layout, track)
    place = OnRun(run=run.id, position_m=find_position(layout, run, position))
    found = probe_place(study_layout(layout), place)
    if as_json:
        say_json({"file": str(path), **describe_probe(found)})
    else:
        say(write_probe(layout, found))
    return 0 if found.fed else 1


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
        raise UnknownNameError(track, "run", names[near[0]] if near else None)
    return found[0]


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
    return {
        "format": "feederwright-probe",
        "version": 1,
        "run": found.run,
        "track": found.track,
        "position_m": tidy(found.position_m),
        "fed": found.fed,
        **{name: tidy(getattr(found, name)) for name in FIGURES},
        "limited_by": found.limited_by,
        "cleared_by": found.cleared_by,
        "race": [
            {
                "part": racer.part,
                "sensed_a": tidy(racer.sensed_a),
                "trip_a": tidy(racer.trip_a),
                "trip_s": tidy(racer.trip_s),
                "trips": racer.trips,
            }
            for racer in found.race
        ],
        "drop_verdict": found.drop_verdict,
        "short_verdict": found.short_verdict,
        "breakdown": [
            {"kind": loss.kind, "volts_v": tidy(loss.volts_v), "parts": [*loss.parts]}
            for loss in found.breakdown
        ],
        "sentence": found.sentence,
    }


def write_probe(layout: Layout, found: Probe) -> str:
    """Return a probe as text."""
    place = place_name(layout, OnRun(run=found.run, position_m=found.position_m))
    if not found.fed:
        return f"{place}\n{found.sentence}"
    least, most = show_volts(found.volts_low_v), show_volts(found.volts_high_v)
    low, high = show_ohms(found.loop_low_ohm), show_ohms(found.loop_high_ohm)
    train = show_amps(found.test_train_a)
    rows = [
        ("At load", f"{show_volts(found.volts_v)} ({least} to {most}) with {train}"),
        ("Standing", show_volts(found.standing_v)),
        ("No load", show_volts(found.source_v)),
        ("Loop", f"{show_ohms(found.loop_ohm)} ({low} to {high})"),
        ("", f"{show_henry(found.loop_henry)}"),
        ("Short", f"{show_amps(found.short_dc_a)} by resistance alone"),
        ("", _write_short(found)),
        ("Lost", _write_loss(found)),
    ]
    rows += [(f"  {x.kind}", _write_share(found, x.volts_v)) for x in found.breakdown]
    return "\n".join([place, write_text(found.sentence), "", write_rows(rows, COLUMN)])


def _write_short(found: Probe) -> str:
    known = [
        f"{show_amps(amps)} {kind}"
        for kind, amps in (
            ("average on ones", found.short_mean_ones_a),
            ("on zeros", found.short_mean_zeros_a),
            ("peak", found.short_peak_a),
        )
        if amps is not None
    ]
    trips = ""
    if found.cleared_by is not None and found.trip_a is not None:
        trips = f"; {found.cleared_by} trips at {show_amps(found.trip_a)}"
    return ", ".join(known) + trips


def _write_loss(found: Probe) -> str:
    lost_v = found.source_v - found.volts_v
    return f"{show_volts(lost_v)}, {show_share(found.drop_share)}: {found.drop_verdict}"


def _write_share(found: Probe, volts_v: float) -> str:
    lost_v = found.source_v - found.volts_v
    share = volts_v / lost_v if lost_v > 0.0 else 0.0
    return f"{show_volts(volts_v):>8}  {show_share(share)} of it"
