"""Try how a bus is fed: at its end, elsewhere along it, as a ring, as a star.

Every shape is worked out whole, with the same wire and the same loads, so that they
compare fairly; what each takes to buy stands beside it.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from core.analysis.examine import study_layout
from core.analysis.sound import sound_part
from core.analysis.study import Case
from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.feed import (
    LEAST_M,
    close_ring,
    fed_end,
    feed_along,
    make_star,
    move_feed,
)
from core.layout.geometry import bus_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus
from core.layout.queries import bus_length_m
from core.materials.copper import copper_kg
from core.materials.wires import wire
from core.proposals.outcome import Outcome

Kind = Literal["as it is", "moved", "feeder", "ring", "star"]

STEPS = 6
"""Places tried along the bus before the best is looked at more closely."""

FINER = 3
"""Times the search is halved about the best place."""

RING_NOTE = (
    "A ring hides one open joint: all looks well until a second one opens. Many makers "
    "of boosters ask for open ends, so read yours first."
)
"""What is said beside a ring (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Shape(Outcome):
    """What one way to feed the bus would make of the layout.

    Attributes
    ----------
    kind : Kind
        Which way.
    at_m : float or None
        Where along the bus it is fed, for a moved booster or a feeder. [m]
    change : Change or None
        What makes it so; None for what is drawn now.
    metres : float
        Single wire in all buses then, both conductors. [m]
    kg : float
        Copper in them. [kg]
    """

    kind: Kind
    at_m: float | None
    change: Change | None
    metres: float
    kg: float


def try_shapes(
    layout: Layout,
    bus_id: PartId,
    *,
    case: Case | None = None,
    go_on: Callable[[], bool] = lambda: True,
) -> Iterator[Shape]:
    """Yield the bus as it is, then every other way there is to feed it.

    Of moving the booster along the bus, and of a feeder along it, the best place is
    sought: by equal steps, then by halving about the best of them. That finds the
    best where the figure has one summit between two steps, as it has for loads spread
    along a bus; it need not where it has several.

    Parameters
    ----------
    go_on : callable
        Asked before each trial; False ends the series.
    """
    make: dict[Kind, Callable[[float], Change]] = {
        "moved": lambda at_m: move_feed(layout, bus_id, at_m),
        "feeder": lambda at_m: feed_along(layout, bus_id, at_m),
    }
    if not go_on():
        return
    yield _try(layout, "as it is", None, None, case)
    for kind, at in make.items():
        best = _best(layout, bus_id, kind, at, case, go_on)
        if best is not None:
            yield best
    whole: dict[Kind, Callable[[], Change]] = {
        "ring": lambda: close_ring(layout, bus_id),
        "star": lambda: make_star(layout, bus_id),
    }
    for kind, build in whole.items():
        if not go_on():
            return
        try:
            change = build()
        except EditError:
            continue  # this bus cannot be fed so; what cannot be is not offered
        yield _try(layout, kind, None, change, case)


def trials_of(layout: Layout, bus_id: PartId) -> int:
    """Return at most how many trials `try_shapes` makes."""
    return 3 + 2 * (STEPS + 2 * FINER) if _can_be_fed_elsewhere(layout, bus_id) else 0


def _can_be_fed_elsewhere(layout: Layout, bus_id: PartId) -> bool:
    bus = layout.get(bus_id, Bus)
    return bus is not None and fed_end(layout, bus) is not None


def _best(
    layout: Layout,
    bus_id: PartId,
    kind: Kind,
    make: Callable[[float], Change],
    case: Case | None,
    go_on: Callable[[], bool],
) -> Shape | None:
    bus = layout.need(bus_id, Bus)
    length = bus_path(bus).length_m
    is_from_start = fed_end(layout, bus) == "start"
    step = length / STEPS
    tried: dict[float, Shape] = {}

    def attempt(away_m: float) -> None:
        away = min(max(away_m, LEAST_M), length)
        place = round(away if is_from_start else length - away, 4)
        if place not in tried and go_on():
            tried[place] = _try(layout, kind, place, make(place), case)

    try:
        for number in range(1, STEPS + 1):
            attempt(number * step)
        for _ in range(FINER):
            step *= 0.5
            found = _better(tried)
            if found is None or found.at_m is None:
                break
            away = found.at_m if is_from_start else length - found.at_m
            attempt(away - step)
            attempt(away + step)
    except EditError:
        return None  # no booster of its own, so there is none to move
    return _better(tried)


def _better(tried: dict[float, Shape]) -> Shape | None:
    """Return the shape with the most volts; of like ones that with more margin."""
    return max(
        tried.values(),
        key=lambda s: (round(s.volts_v or 0.0, 3), s.margin or 0.0),
        default=None,
    )


def _try(
    layout: Layout,
    kind: Kind,
    at_m: float | None,
    change: Change | None,
    case: Case | None,
) -> Shape:
    work = layout
    if change is not None:
        work = layout.copy()
        work.apply(change)
    study = sound_part(study_layout(work, case))
    buses = list(work.of_kind(Bus))
    return Shape.of(
        study,
        kind=kind,
        at_m=at_m,
        change=change,
        metres=2.0 * sum(bus_length_m(bus) for bus in buses),
        kg=sum(
            copper_kg(wire(bus.wire).area_mm2, 2.0 * bus_length_m(bus)) for bus in buses
        ),
    )
