"""Places on the track as one walks round the layout from board to board."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, TrackRun
from core.layout.queries import run_name
from core.sheet.schedules.benches import Bench, Measured, bench_at, benches_of


@dataclass(frozen=True, slots=True)
class Spot:
    """A place where something is tried.

    Attributes
    ----------
    on : OnRun
        The place.
    track : str
        Name of its run.
    bench : Bench
        Where it lies.
    at : Measured
        Place from two edges. [m]
    turn : tuple of int and float
        What spots are sorted by: board, run, position.
    """

    on: OnRun
    track: str
    bench: Bench
    at: Measured
    turn: tuple[int, int, float]


def board_bands(spots: Iterable[Spot]) -> list[str]:
    """Return the title of each spot's board where another board begins, else ""."""
    titles = [spot.bench.title for spot in spots]
    return [
        title if title != before else "" for before, title in pairwise(("", *titles))
    ]


class Spots:
    """Tells of places on the runs of one layout where they lie."""

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._benches = benches_of(layout)
        self._turns = {run.id: i for i, run in enumerate(layout.of_kind(TrackRun))}

    def spot(self, run_id: PartId, position_m: float) -> Spot:
        """Return a place on a run."""
        run = self._layout.need(run_id, TrackRun)
        pose = run_path(run).at(position_m)
        bench = bench_at(self._benches, pose.x_mm, pose.y_mm)
        return Spot(
            on=OnRun(run=run.id, position_m=position_m),
            track=run_name(self._layout, run.id),
            bench=bench,
            at=bench.measure(pose.x_mm, pose.y_mm),
            turn=(self._benches.index(bench), self._turns[run.id], position_m),
        )
