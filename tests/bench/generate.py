"""Make club layouts of any size: two mains, yards, districts, a drop a piece."""

from collections import defaultdict
from dataclasses import dataclass, field
from random import Random

from core.layout.geometry import Path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Part, Settings, Side, TrackRun
from core.network.frogs import plan_frogs
from tests.bench.power import lay_power
from tests.bench.serpentine import SPACING_MM, Serpentine, path_of, row_length_mm
from tests.bench.tracks import PIECE_M, District, lay_benchwork, lay_district

PIECES_A_DISTRICT = 36
"""About what one 4 A breaker looks after."""

MAIN_SHARE = 0.65
"""Share of the pieces that lie in the two mains, about."""


@dataclass(slots=True)
class Site:
    """The layout while it is being made, and what it is made along.

    Attributes
    ----------
    chance : Random
        The one source of chance; seeded, so that a layout can be made again.
    mains : tuple of Serpentine
        The two mains.
    paths : tuple of Path
        Their centre lines, longer than needed.
    """

    chance: Random
    mains: tuple[Serpentine, Serpentine]
    paths: tuple[Path, Path]
    parts: dict[PartId, Part] = field(default_factory=dict)
    _issued: defaultdict[str, int] = field(default_factory=lambda: defaultdict(int))

    def new_id(self, prefix: str) -> PartId:
        """Return the next id of a kind."""
        self._issued[prefix] += 1
        return PartId(f"{prefix}{self._issued[prefix]}")

    def add(self, *parts: Part) -> None:
        """Put parts on the layout."""
        self.parts.update((part.id, part) for part in parts)

    def frog_cuts(self) -> tuple[tuple[PartId, float, Side], ...]:
        """Return where live crossings part a rail: run, place [m], side."""
        plans = plan_frogs(Layout(self.parts))
        return tuple(cut for plan in plans for cut in plan.cuts())


def club_layout(pieces: int = 400, seed: int = 0) -> Layout:
    """Return a club layout, the same one for the same arguments.

    Parameters
    ----------
    pieces : int
        Pieces of rail, 40 to 10,000: exactly so many.
    seed : int
        Which of the layouts of that size.

    Notes
    -----
    HO, code 83, 0.914 m pieces. Two mains wind to and fro on a bench of rows;
    about every second district has a yard off the first main. Each district of
    about 36 pieces has insulated joints at its ends, a 4 A breaker and a bus of
    two legs under the mains; three districts share a 5 A booster. Turnouts have
    live crossings with change-over contacts. Every length of metal has a drop: a
    piece, or its parts where a live crossing cuts it; those of yards end on
    terminal strips. In each district a train runs and one waits, on each yard track
    one stands, all with lit coaches. It is wired soundly: no rule about structure
    or polarity may find anything in it.

    Of 400 pieces: about 3,200 nodes on rails, 1,800 more in the wiring, and 1,200
    segments of track.
    """
    assert 40 <= pieces <= 10_000, "a club layout has 40 to 10,000 pieces"
    site = _survey(pieces, seed)
    count = max(1, round(pieces / PIECES_A_DISTRICT))
    ends = (0.0, 0.0)
    districts: list[District] = []
    for number in range(count):
        share = pieces * (number + 1) // count - pieces * number // count
        district = lay_district(site, number + 1, share, ends)
        ends = district.ends_m
        districts.append(district)
    lay_benchwork(site, districts)
    lay_power(site, districts)
    title = f"Club of {pieces} pieces, no. {seed}"
    site.add(Settings(title=title, scale="HO", test_train_a=1.0))
    return Layout(site.parts)


def count_pieces(layout: Layout) -> int:
    """Return how many pieces of rail a layout has."""
    lengths = [run_path(run).length_m for run in layout.of_kind(TrackRun)]
    return sum(max(1, round(length / PIECE_M)) for length in lengths)


def _survey(pieces: int, seed: int) -> Site:
    main_m = pieces * PIECE_M * MAIN_SHARE / 2.0
    row_mm = row_length_mm(main_m)
    mains = (Serpentine(row_mm), Serpentine(row_mm, SPACING_MM))
    reach = pieces * PIECE_M
    paths = (path_of(mains[0], reach), path_of(mains[1], reach))
    return Site(Random(seed), mains, paths)
