"""How power comes back: all districts at once, and one after the other.

When power returns every breaker closes at once, and what stands above them sees the
sum: each breaker passes its trip current while its stores charge, what stands still
draws as it does. Where that sum is more than the device above lets through, its own
trip is the limit: all stores behind it need C·V/(I_trip − I_idle) then (as in
`restart`), and a device that waits less trips again, for ever. One after the other,
half a second apart, only one charges at a time beside those that stand still.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import inf

from core.analysis.restart import Restart, charge_time, plan_restart
from core.analysis.study import Clearing, Study, trip_chain
from core.layout.ids import PartId
from core.layout.parts import Booster


@dataclass(frozen=True, slots=True)
class Return:
    """How one device comes back in its turn, and what its booster gives meanwhile.

    `peak_a` is its trip current while its stores charge, and what stands still
    behind those that came back before it, under one booster [A]; `lasts_s` how long
    the booster gives that; `holds` whether the booster stays on.
    """

    restart: Restart
    booster: Booster
    peak_a: float
    lasts_s: float

    @property
    def holds(self) -> bool:
        """Whether the booster stays on meanwhile."""
        return _stays_on(self.booster, self.peak_a, self.lasts_s)

    @property
    def order(self) -> tuple[float, str, str]:
        """What returns are sorted by."""
        return self.restart.close_after_s, self.booster.id, self.restart.part


@dataclass(frozen=True, slots=True)
class Together:
    """How a device that stands above others copes when all of them close at once.

    Attributes
    ----------
    part : PartId
        The booster or breaker above.
    below : tuple of PartId
        The devices right below it, in the order in which they come back in turn.
    stores : int
        Loads with a store behind it, however deep.
    farad, idle_a : float
        All their stores, and what everything there draws standing still. [F, A]
    asked_a : float
        What all behind it would take at once, ∞ where a store has no breaker. [A]
    trip_a, charge_s, trip_s : float
        Its trip, how long charging takes at that, and how long it waits. [A, s]
    holds : bool
        Whether it stays on.
    turns : tuple of Return
        How the devices under it come back one after the other.
    """

    part: PartId
    below: tuple[PartId, ...]
    stores: int
    farad: float
    idle_a: float
    asked_a: float
    trip_a: float
    charge_s: float
    trip_s: float
    holds: bool
    turns: tuple[Return, ...]

    @property
    def peak_a(self) -> float:
        """The most that its booster gives if they come back in turn. [A]"""
        return max((turn.peak_a for turn in self.turns), default=0.0)

    @property
    def is_news(self) -> bool:
        """Whether it is worth telling: one breaker that holds says nothing new."""
        return len(self.below) > 1 or not self.holds

    @property
    def holds_in_turn(self) -> bool:
        """Whether all stay on if they come back one after the other."""
        return all(
            turn.holds and turn.restart.charge_s <= turn.restart.trip_s
            for turn in self.turns
            if turn.restart.stores
        )


def returns(study: Study) -> tuple[Return, ...]:
    """Return how each device that has loads behind it comes back, in that order."""
    given: dict[PartId, float] = {}
    found: list[Return] = []
    for restart in sorted(plan_restart(study), key=lambda r: r.close_after_s):
        chain = study.feeds.chain(restart.part)
        booster = study.layout.need(chain[-1], Booster)
        device = study.clearing_of(restart.part)
        assert device is not None, "only devices that trip are asked"
        charging = device.trip_a if restart.stores else restart.idle_a
        before = given.get(booster.id, 0.0)
        # What the booster lets through, where that is less, charges it more slowly.
        pushed = min(device.trip_a, booster.trip_a - before)
        lasts = charge_time(restart.farad, booster.volts_v, pushed, restart.idle_a)
        lasts = lasts if restart.stores else 0.0
        found.append(Return(restart, booster, before + charging, lasts))
        given[booster.id] = before + restart.idle_a
    return tuple(sorted(found, key=lambda r: r.order))


def plan_together(study: Study) -> tuple[Together, ...]:
    """Return how each device above others copes when all close at once.

    Those without an energy store behind them are left out: nothing charges there.
    """
    own = returns(study)
    restarts = {turn.restart.part: turn.restart for turn in own}
    clearings: dict[PartId, Clearing] = {}
    children: dict[PartId, list[PartId]] = {}
    for part in restarts:
        chain = trip_chain(study.layout, study.feeds, part)
        clearings.update({device.part: device for device in chain})
        for lower, upper in pairwise(chain):
            known = children.setdefault(upper.part, [])
            if lower.part not in known:
                known.append(lower.part)
    tree = _Tree(restarts, clearings, children)
    found: list[Together] = []
    for part in children:
        inside = tree.inside(part)
        if any(restarts[p].stores for p in inside if p in restarts):
            turns = tuple(turn for turn in own if turn.restart.part in inside)
            found.append(_together(study, tree, clearings[part], turns))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Tree:
    """What stands below what, and how each copes by itself."""

    restarts: dict[PartId, Restart]
    clearings: dict[PartId, Clearing]
    children: dict[PartId, list[PartId]]

    def inside(self, part: PartId) -> tuple[PartId, ...]:
        """Return a device and all below it."""
        found = [part]
        for device in found:
            found += [p for p in self.children.get(device, []) if p not in found]
        return tuple(found)

    def asked(self, part: PartId) -> float:
        """Return what all behind a device would take at once. [A]"""
        own = self.restarts.get(part)
        amps = 0.0
        if own is not None:
            amps = inf if own.stores else own.idle_a
        return amps + sum(
            min(self.asked(p), self.clearings[p].trip_a)
            for p in self.children.get(part, [])
        )


def _together(
    study: Study, tree: _Tree, device: Clearing, turns: tuple[Return, ...]
) -> Together:
    behind = [turn.restart for turn in turns]
    booster = study.layout.need(study.feeds.chain(device.part)[-1], Booster)
    farad = sum(restart.farad for restart in behind)
    idle = sum(restart.idle_a for restart in behind)
    asked = tree.asked(device.part)
    charge_s = charge_time(farad, booster.volts_v, device.trip_a, idle)
    limited = device.limit_a is not None and device.limit_a < device.trip_a
    order = {turn.restart.part: n for n, turn in enumerate(turns)}
    below = tree.children[device.part]
    return Together(
        part=device.part,
        below=tuple(sorted(below, key=lambda p: order.get(p, len(order)))),
        stores=sum(restart.stores for restart in behind),
        farad=farad,
        idle_a=idle,
        asked_a=asked,
        trip_a=device.trip_a,
        charge_s=charge_s,
        trip_s=device.trip_s,
        holds=limited or asked <= device.trip_a or charge_s <= device.trip_s,
        turns=turns,
    )


def _stays_on(booster: Booster, peak_a: float, lasts_s: float) -> bool:
    """Return whether a booster stays on while it gives so much for so long."""
    if booster.limit_a is not None and booster.limit_a < booster.trip_a:
        return True
    return peak_a <= booster.trip_a or lasts_s <= booster.trip_s
