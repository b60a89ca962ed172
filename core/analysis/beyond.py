"""What boosters and devices cannot give with the test train somewhere on the track.

Volts are worked out as if every booster could give whatever is drawn. Where the loads
and the test train draw more than one is rated for, trips at or gives at most, that
must be said beside the volts.

One ampere drawn from rail to rail at a place runs through a branch of conductance g
from tail to head as −g·(y[left] − y[right]), y = Z·(e(tail) − e(head)): one solve a
device answers for every place (the adjoint, as in `carrying`), and of a segment only
the two ends count. Where no booster is near its limits none is needed: none gives
more of a train than the whole train.
"""

from dataclasses import dataclass

import numpy as np

from core.analysis.breakdown import Point, amps_with_train, unit_response
from core.analysis.flows import device_flows
from core.analysis.ordering import Ints
from core.analysis.sound import sound_segments
from core.analysis.study import Beyond, Bound, Floats, Flow, Study, place_in
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Inline, OnRun
from core.network.circuit import BranchKind
from core.units.figures import show_amps

SLACK_A = 1e-6
"""Rounding of solved currents. [A]"""

SAME_A = 1e-3
"""Currents that differ by less from place to place are the same. [A]"""


@dataclass(frozen=True, slots=True)
class Given:
    """The most that a booster or device gives, and where the test train then stands.

    `standing_a` is what it gives to the loads alone. [A] `at` is None where it gives
    the same wherever the train stands behind it.
    """

    part: PartId
    amps_a: float
    standing_a: float
    at: OnRun | None


def beyond_bounds(layout: Layout, part: PartId, amps_a: float) -> Beyond | None:
    """Return what a booster or device cannot give; None where it can."""
    device = layout.parts.get(part)
    if not isinstance(device, Booster | Inline):
        return None
    limit_a = device.limit_a if isinstance(device, Booster) else None
    bounds: tuple[tuple[Bound, float | None], ...] = (
        ("trip", device.trip_a),
        ("limit", limit_a),
    )
    passed = [
        (value, kind)
        for kind, value in bounds
        if value is not None and amps_a > value + SLACK_A
    ]
    if passed:
        value, kind = min(passed)
        return Beyond(part, amps_a, kind, value)
    if amps_a > device.rated_a + SLACK_A:
        return Beyond(part, amps_a, "rated", device.rated_a)
    return None


def beyond_flows(layout: Layout, flows: tuple[Flow, ...]) -> tuple[Beyond, ...]:
    """Return which of the devices before a place cannot give what they carry.

    Those that cut off or give way come first, the nearest to its bound at the head.
    """
    every = (beyond_bounds(layout, flow.part, flow.amps_a) for flow in flows)
    found = [one for one in every if one is not None]
    return tuple(sorted(found, key=lambda b: (not b.stops, -b.amps_a / b.bound_a)))


def say_beyond(beyond: Beyond) -> str:
    """Return "PB1 would have to give 4.50 A and trips at 3.00 A"."""
    words = {
        "trip": "and trips at",
        "limit": "and gives no more than",
        "rated": "and is made for",
    }
    return (
        f"{beyond.part} would have to give {show_amps(beyond.amps_a)} "
        f"{words[beyond.bound]} {show_amps(beyond.bound_a)}"
    )


def beyond_at(study: Study, point: Point) -> tuple[Beyond, ...]:
    """Return which devices before a point cannot give what they carry then."""
    if not study.scan.fed[point.segment] or not len(_doubtful(study)):
        return ()
    response = unit_response(study, point)
    return beyond_flows(study.layout, device_flows(study, point, response))


def worst_beyond(study: Study) -> Beyond | None:
    """Return the device furthest beyond what it gives, with the train somewhere."""
    given = most_given(study).values()
    flows = tuple(Flow(one.part, one.amps_a, 0.0) for one in given)
    return next(iter(beyond_flows(study.layout, flows)), None)


def most_given(study: Study) -> dict[PartId, Given]:
    """Return what boosters and devices give at most, if any may be beyond its bounds.

    The test train is tried at every place that no shorted booster feeds. Those that
    cannot come near a bound, and those that carry no train at all, are left out.
    """
    edges = _doubtful(study)
    segments = np.flatnonzero(sound_segments(study))
    if not len(edges) or not len(segments):
        return {}
    flows = _flows(study, edges, segments)
    found: dict[PartId, Given] = {}
    for column, edge in enumerate(edges.tolist()):
        own = flows[:, column]
        where = int(np.abs(own).argmax())
        standing = abs(float(study.standing.amps[edge]))
        if abs(float(own[where])) <= standing + SLACK_A:
            continue
        point = Point(int(segments[where // 2]), float(where % 2))
        most = abs(float(own[where]))
        if study.scan.hungry is not None:
            response = unit_response(study, point)
            most = abs(float(amps_with_train(study, point, response)[edge]))
        place: OnRun | None = place_in(study.circuit, point.segment, point.t)
        carrying = np.abs(own)[np.abs(own) > standing + SLACK_A]
        if np.ptp(carrying) < SAME_A and study.scan.hungry is None:
            place = None
        part = _part(study, edge)
        if part not in found or most > found[part].amps_a:
            found[part] = Given(part, most, standing, place)
    return found


def _part(study: Study, edge: int) -> PartId:
    count = len(study.circuit.branches)
    if edge < count:
        return study.circuit.branches[edge].part
    return study.circuit.sources[edge - count].part


def _doubtful(study: Study) -> Ints:
    """Return the live boosters and devices that might be beyond a bound, by edge."""
    count = len(study.circuit.branches)
    sources = count + np.arange(len(study.circuit.sources))
    every = np.concatenate([study.circuit.by_kind[BranchKind.DEVICE], sources])
    found = [
        edge
        for edge in every.tolist()
        if study.system.active[edge]
        and (
            study.scan.hungry is not None
            or beyond_bounds(
                study.layout,
                _part(study, edge),
                abs(float(study.standing.amps[edge])) + study.scan.train_a,
            )
        )
    ]
    return np.array(found, np.int64)


def _flows(study: Study, edges: Ints, segments: Ints) -> Floats:
    """Return the amps of edges with the train at the ends of segments, (2S, E). [A].

    From tail to head, in boosters from plus to minus: against what they give.
    """
    system = study.system
    columns = np.arange(len(edges))
    unit = np.zeros((system.size + 1, len(edges)))
    unit[system.tail[edges], columns] += 1.0
    unit[system.head[edges], columns] -= 1.0
    y = np.vstack([study.factor.solve(unit[:-1]), np.zeros((1, len(edges)))])
    ends = study.circuit.ends[segments]
    rows = system.row[ends]
    volts = study.source.volts
    lower = volts[ends[:, 0]] < volts[ends[:, 1]]
    sign = np.repeat(np.where(lower, -1.0, 1.0), 2)[:, None]
    left, right = rows[:, [0, 2]].reshape(-1), rows[:, [1, 3]].reshape(-1)
    share = -sign * (y[left] - y[right]) / system.ohm[edges]
    standing = study.standing.amps[edges].copy()
    standing[edges >= len(study.circuit.branches)] *= -1.0
    share += _answers(study, edges, segments)
    return np.asarray(standing + study.scan.train_a * share, np.float64)


def _answers(study: Study, edges: Ints, segments: Ints) -> Floats:
    """Return what loads of constant watts add to each ampere, to first order. [1].

    That names the place, not the amps: at it they are worked out in full.
    """
    hungry, system = study.scan.hungry, study.system
    if hungry is None:
        return np.zeros((2 * len(segments), len(edges)))
    small = hungry.small
    columns = np.vstack([small.columns, np.zeros((1, len(small.watts)))])
    drops = columns[system.tail[edges]] - columns[system.head[edges]]
    both = np.stack([hungry.toward0[segments], hungry.toward1[segments]], axis=1)
    more = both.reshape(-1, len(small.watts)) @ small.reaction
    return np.asarray(more @ (drops / system.ohm[edges][:, None]).T, np.float64)
