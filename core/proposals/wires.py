"""Try every size of wire on a bus: the smallest that passes, and the metres of it."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from core.analysis.examine import study_layout
from core.analysis.sound import sound_part
from core.analysis.study import Case
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus
from core.layout.queries import bus_length_m
from core.materials.copper import copper_kg
from core.materials.wires import Wire, wires_of
from core.proposals.outcome import Outcome

HARDLY = 1.2
"""The thickest wire lets through less than this times the thinnest's short current:
then thickness is not what holds it down (house choice). [1]"""


@dataclass(frozen=True, slots=True)
class Trial(Outcome):
    """What one wire would make of the layout.

    Attributes
    ----------
    wire : Wire
        The wire tried on all the buses.
    metres : float
        Single wire to buy, both conductors. [m]
    is_present : bool
        Whether it is the wire drawn now (of the first bus).
    """

    wire: Wire
    metres: float
    is_present: bool

    @property
    def copper_kg(self) -> float:
        """Copper in it, which is most of what wire costs. [kg]"""
        return copper_kg(self.wire.area_mm2, self.metres)


def try_wires(
    layout: Layout,
    buses: frozenset[PartId],
    *,
    case: Case | None = None,
    lay: str | None = None,
    go_on: Callable[[], bool] = lambda: True,
) -> Iterator[Trial]:
    """Yield a trial for each flexible wire of the person's system, thinnest first.

    Parameters
    ----------
    buses : set of PartId
        The buses that would get the wire.
    lay : str, optional
        Try this lay too ("twisted", "side by side", "apart").
    go_on : callable
        Asked before each trial; False ends the series.
    """
    drawn = [layout.need(i, Bus) for i in sorted(buses)]
    metres = 2.0 * sum(bus_length_m(bus) for bus in drawn)
    present = drawn[0].wire if drawn else ""
    for spool in sizes_to_try(layout):
        if not go_on():
            return
        fields = {"wire": spool.id} | ({"lay": lay} if lay is not None else {})
        work = layout.copy()
        work.apply(set_fields(work, buses, **fields))
        study = study_layout(work, case)
        yield Trial.of(
            sound_part(study),
            wire=spool,
            metres=metres,
            is_present=spool.id == present,
        )


def sizes_to_try(layout: Layout) -> tuple[Wire, ...]:
    """Return the wires of a series, thinnest first: the person's own system."""
    return tuple(filter(_is_bus_size, wires_of(layout.settings.wires)))


def thickness_hardly_helps(trials: Sequence[Trial]) -> bool:
    """Return whether the weakest short is about the same with any of these wires."""
    margins = [trial.margin for trial in trials if trial.margin is not None]
    return len(margins) > 1 and margins[-1] < HARDLY * margins[0]


def _is_bus_size(spool: Wire) -> bool:
    """Return whether buses are made of a wire: 0.5 to 6 mm², flexible.

    One series each: even gauges, stranded; class 5 of IEC 60228.
    """
    if spool.awg is not None:
        return spool.stranded and spool.awg in range(10, 21, 2)
    return spool.id.endswith("-c5") and spool.area_mm2 <= 6.5
