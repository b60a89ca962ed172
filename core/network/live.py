"""Which nodes a booster's pole reaches by metal, also through a live crossing."""

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from core.layout.ids import PartId
from core.network.circuit import Circuit
from core.network.settings import fixed_metal


def live_nodes(
    circuit: Circuit, boosters: Collection[PartId] | None = None
) -> NDArray[np.bool_]:
    """Return whether a pole reaches each node, whichever way turnouts lie.

    Parameters
    ----------
    boosters : collection of PartId, optional
        Those that count; all unless said.

    Notes
    -----
    A crossing that either stock rail can feed counts as live; one that other metal
    feeds passes that on to both stock rails.
    """
    metal = fixed_metal(circuit)
    counted = [s for s in circuit.sources if boosters is None or s.part in boosters]
    own = {int(metal[node]) for s in counted for node in (s.plus, s.minus)}
    live = set(own)
    before = -1
    while len(live) != before:
        before = len(live)
        for frog in circuit.frogs:
            inner, outer, own_metal = (
                int(metal[node]) for node in (frog.inner, frog.outer, frog.frog)
            )
            if inner in live or outer in live:
                live.add(own_metal)
            if own_metal in own:
                live.update((inner, outer))
    return np.isin(metal, list(live))
