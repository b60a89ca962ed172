"""What drops and devices carry while the test train stands at one place.

What one ampere drawn there does to every branch (`unit_response`) is known from the
probe; times the train, on top of the standing loads, it is what each carries.
"""

import numpy as np

from core.analysis.breakdown import Point, Response, amps_with_train
from core.analysis.study import Floats, Flow, Study
from core.layout.ids import PartId
from core.layout.parts import Booster, Drop, Inline
from core.layout.queries import rated_amps
from core.materials.wires import wire
from core.network.circuit import BranchKind

LEAST_A = 0.005
"""What a drop carries at less is nothing. [A]"""


def drop_flows(study: Study, point: Point, response: Response) -> tuple[Flow, ...]:
    """Return what each drop carries, the most loaded first; idle ones are left out."""
    found: list[Flow] = []
    most = _most_by_part(study, BranchKind.DROP, _amps(study, point, response))
    for part, amps in most.items():
        if amps >= LEAST_A:
            rated = wire(study.layout.need(part, Drop).wire).amps_a
            found.append(Flow(part, amps, rated))
    return tuple(sorted(found, key=lambda flow: -flow.amps_a))


def device_flows(study: Study, point: Point, response: Response) -> tuple[Flow, ...]:
    """Return what each device before a place carries, the booster first."""
    amps = _amps(study, point, response)
    most = _most_by_part(study, BranchKind.DEVICE, amps)
    for i, source in enumerate(study.circuit.sources):
        most[source.part] = abs(float(amps[len(study.circuit.branches) + i]))
    segment = study.circuit.segments[point.segment]
    last = study.feeds.of_pair(segment.left0, segment.right0)
    chain = study.feeds.chain(last) if last is not None else ()
    found: list[Flow] = []
    for part in reversed(chain):
        device = study.layout.parts.get(part)
        if part in most and isinstance(device, Booster):
            found.append(Flow(part, most[part], device.rated_a))
        elif part in most and isinstance(device, Inline):
            found.append(Flow(part, most[part], rated_amps(device)))
    return tuple(found)


def _amps(study: Study, point: Point, response: Response) -> Floats:
    """Return the current of every branch, then of every booster, signs aside. [A]"""
    return np.abs(amps_with_train(study, point, response))


def _most_by_part(study: Study, kind: BranchKind, amps: Floats) -> dict[PartId, float]:
    branches, found = study.circuit.branches, dict[PartId, float]()
    own = study.circuit.by_kind[kind]
    for i, value in zip(own.tolist(), amps[own].tolist(), strict=True):
        part = branches[i].part
        found[part] = max(found.get(part, 0.0), value)
    return found
