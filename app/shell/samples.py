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
    """Yield the samples of a folder, by file name.

    Raises
    ------
    CoreError
        One of them cannot be read.
    """
    for path in sorted(folder.glob("*.fwl")):
        layout, _ = read_layout(path)
        yield Sample(path, layout, about(layout))


def about(layout: Layout) -> str:
    """Return a line about a layout: its own first line, or what it holds."""
    lines = layout.settings.notes.strip().splitlines()
    if lines:
        return lines[0]
    track = sum(run_path(run).length_m for run in layout.of_kind(TrackRun))
    length = show_length(Metre(track), layout.settings.lengths)
    drops = sum(1 for _ in layout.of_kind(Drop))
    boosters = sum(1 for _ in layout.of_kind(Booster))
    return (
        f"{length} of track, {drops} drop{'' if drops == 1 else 's'}, "
        f"{boosters} booster{'' if boosters == 1 else 's'}."
    )
