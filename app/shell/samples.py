"""The layouts that come with the program."""

from collections.abc import Iterator
from pathlib import Path

from app.shell.start_page import Sample
from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, TrackRun
from core.layout.storage.read import read_layout
from core.units.length import show_length
from core.units.si import Metre


def read_samples(folder: Path) -> Iterator[Sample]:
    """Yield the samples of a folder, the smallest first.

    Raises
    ------
    CoreError
        One of them cannot be read.
    """
    read = [(path, read_layout(path)[0]) for path in sorted(folder.glob("*.fwl"))]
    for path, layout in sorted(read, key=_order):
        yield Sample(path, layout, about(layout))


def about(layout: Layout) -> str:
    """Return what a layout holds, and the first line of its notes."""
    length = show_length(Metre(_track_m(layout)), layout.settings.lengths)
    drops = sum(1 for _ in layout.of_kind(Drop))
    boosters = sum(1 for _ in layout.of_kind(Booster))
    holds = (
        f"{layout.settings.scale}, {length} of track, "
        f"{drops} drop{'' if drops == 1 else 's'}, "
        f"{boosters} booster{'' if boosters == 1 else 's'}."
    )
    lines = layout.settings.notes.strip().splitlines()
    return f"{holds} {lines[0]}" if lines else holds


def _track_m(layout: Layout) -> float:
    return sum(run_path(run).length_m for run in layout.of_kind(TrackRun))


def _order(pair: tuple[Path, Layout]) -> tuple[int, str]:
    """Return what samples are sorted by: whole metres of track, then the name."""
    path, layout = pair
    return round(_track_m(layout)), path.name
