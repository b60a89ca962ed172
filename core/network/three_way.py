"""Two turnouts in each other, and the third crossing between their legs.

Legs to the left and to the right that leave before each other's crossing have inner
rails that cross: the left leg's right rail and the right leg's left one, a gauge apart
where the two legs' centre lines are. With the left turnout thrown that crossing must
have the right stock rail's pole, with the right one thrown the left stock rail's; with
both straight no wheel touches it. So one change-over contact on either turnout is
enough, and a crossing that is one metal with both turnouts' blades is a short: with
both straight these have unlike poles.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from core.layout.edits.clear import is_three_way
from core.layout.edits.join import beside
from core.layout.layout import Layout
from core.layout.parts import OnRun, TrackRun, Turnout
from core.materials.scales import gauge_m

_STEP_M = 0.001


@dataclass(frozen=True, slots=True)
class ThreeWay:
    """Two turnouts that share their blades.

    Attributes
    ----------
    first, second : Turnout
        The one whose toe comes first, and the other.
    apart_m : float
        How far the second toe lies behind the first. [m]
    third_m : float
        How far the third crossing is from the first toe. [m]
    """

    first: Turnout
    second: Turnout
    apart_m: float
    third_m: float

    @property
    def place(self) -> OnRun:
        """The third crossing, on the through run."""
        sign = 1.0 if self.first.opens == "forward" else -1.0
        position = self.first.on.position_m + sign * self.third_m
        return OnRun(run=self.first.on.run, position_m=max(position, 0.0))


def find_three_ways(layout: Layout) -> Iterator[ThreeWay]:
    """Yield each pair of turnouts with a third crossing between their legs."""
    turnouts = [
        t
        for t in layout.of_kind(Turnout)
        if layout.get(t.on.run, TrackRun) and layout.get(t.leg.run, TrackRun)
    ]
    for i, one in enumerate(turnouts):
        for other in turnouts[i + 1 :]:
            if is_three_way(one, other):
                found = _pair(layout, one, other)
                if found is not None:
                    yield found


def partner_of(layout: Layout, turnout: Turnout) -> ThreeWay | None:
    """Return the three-way that a turnout is one half of."""
    return next(
        (
            pair
            for other in layout.of_kind(Turnout)
            if is_three_way(turnout, other)
            and (pair := _pair(layout, turnout, other)) is not None
        ),
        None,
    )


def _pair(layout: Layout, one: Turnout, other: Turnout) -> ThreeWay | None:
    forward = one.opens == "forward"
    first, second = sorted(
        (one, other),
        key=lambda t: (t.on.position_m if forward else -t.on.position_m, t.id),
    )
    for turnout in (first, second):
        missing = not (
            layout.get(turnout.on.run, TrackRun)
            and layout.get(turnout.leg.run, TrackRun)
        )
        if missing:
            return None
    apart = abs(second.on.position_m - first.on.position_m)
    gauge = 1000.0 * gauge_m(layout.settings.scale)
    near, far = beside(layout, first), beside(layout, second)

    def between_mm(distance_m: float) -> float:
        return abs(near.aside_mm(distance_m) - far.aside_mm(distance_m - apart))

    low = apart
    most = min(near.leg.length_m, far.leg.length_m + apart)
    while low < most and between_mm(low + _STEP_M) < gauge:
        low += _STEP_M
    if low >= most:
        return None
    below = between_mm(low)
    share = (gauge - below) / max(between_mm(low + _STEP_M) - below, 1e-9)
    return ThreeWay(first, second, apart, low + min(max(share, 0.0), 1.0) * _STEP_M)
