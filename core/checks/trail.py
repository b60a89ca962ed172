"""The way by which a fault comes about, to be followed on the plan."""

from dataclasses import dataclass

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, TrackRun, Turnout
from core.network.reversing import ReversingPath
from core.network.settings import SettingShort
from core.network.ways import Step, Way
from core.proposals.gaps import middle_cut

Spot = tuple[PartId, float]
"""A part, and a place along it. [m]"""


@dataclass(frozen=True, slots=True)
class Trail:
    """A way from pole to pole, or round along track that turns back on itself.

    Attributes
    ----------
    steps : tuple of Step
        Rails, wires and turnouts, in the order in which they are passed.
    closed : bool
        Whether it ends where it begins.
    meets : Spot or None
        Where the poles meet, or where the faulty feeds do.
    word : str
        What meets there, in a few words.
    cuts : tuple of OnRun
        Where both rails would be cut to mend it.
    straight, thrown : tuple of PartId
        Turnouts on the way, by how they must lie for it.
    poles : bool
        Whether it leads from a booster's plus pole to its minus pole.
    """

    steps: tuple[Step, ...]
    closed: bool
    meets: Spot | None
    word: str
    cuts: tuple[OnRun, ...] = ()
    straight: tuple[PartId, ...] = ()
    thrown: tuple[PartId, ...] = ()
    poles: bool = False

    @property
    def hops(self) -> int:
        """Parts that it passes, one after the other."""
        return len(self.steps)

    def to_throw(self, thrown: frozenset[PartId]) -> tuple[PartId, ...]:
        """Return what must be thrown over so that everything lies as it has it."""
        return (
            *(i for i in self.thrown if i not in thrown),
            *(i for i in self.straight if i in thrown),
        )


def trail_of_short(way: Way) -> Trail:
    """Return the trail of a short, from a booster's plus pole to its minus pole."""
    return Trail(
        way.steps, closed=False, meets=way.middle, word="A meets B", poles=True
    )


def trail_of_setting(short: SettingShort, way: Way) -> Trail:
    """Return the trail of a short that there is only while turnouts lie so."""
    return Trail(
        way.steps,
        closed=False,
        meets=way.middle,
        word="A meets B",
        straight=short.straight,
        thrown=short.thrown,
        poles=True,
    )


def trail_of_joined(layout: Layout, way: Way) -> Trail:
    """Return the trail from one feed to another that nothing parts."""
    cut = middle_cut(layout, way.steps)
    meets = (cut.run, cut.position_m) if cut is not None else way.middle
    cuts = (cut,) if cut is not None else ()
    return Trail(way.steps, closed=False, meets=meets, word="two feeds meet", cuts=cuts)


def trail_of_path(
    layout: Layout, path: ReversingPath, cuts: tuple[OnRun, ...] = ()
) -> Trail:
    """Return the trail round a reversing path, with the turnouts it branches off at."""
    steps = tuple(Step(hop.run, "", hop.from_m, hop.to_m) for hop in path.hops)
    first = path.hops[0]
    return Trail(
        steps,
        closed=True,
        meets=(first.run, first.from_m),
        word="opposite poles" if path.gaps else "left meets right",
        cuts=cuts,
        thrown=tuple(i for i in path.links if layout.get(i, Turnout) is not None),
    )


def track_m(layout: Layout, trail: Trail) -> float:
    """Return how much track a trail goes along. [m]"""
    return sum(
        step.length_m
        for step in trail.steps
        if layout.get(step.part, TrackRun) is not None
    )
