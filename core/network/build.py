"""Build the circuit of a layout."""

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.network.assembly import Assembly
from core.network.circuit import Circuit
from core.network.memory import PartMemory
from core.network.power import Power
from core.network.tracks import Tracks


def build_circuit(
    layout: Layout,
    *,
    loads: bool = True,
    thrown: frozenset[PartId] = frozenset(),
    opened: frozenset[PartId] = frozenset(),
    memory: PartMemory | None = None,
) -> Circuit:
    """Return what electricity sees of a layout.

    Parameters
    ----------
    layout : Layout
        Read, never changed. References to parts that are not there are ignored.
    loads : bool
        Whether the active trains and standing loads draw.
    thrown : set of PartId
        Turnouts set to their leg; the others lie straight. Diamonds and slips set
        for their second track, or a slip's road; see `core.layout.roads`. Matters
        where the crossing is live.
    opened : set of PartId
        Lift-outs taken out and gates that stand open: their sections hang on
        nothing, and the contacts that open with them are open.
    memory : PartMemory, optional
        Of the circuit built before with it: what has not changed is taken over.
        The circuit is the same as without it.

    Returns
    -------
    Circuit
        A node exists only where something happens: an end, a joint, a gap, a
        drop, a load, a turnout, a terminal, a tap.

    Notes
    -----
    Wire has the resistance of its table at the temperature of the settings.
    Rail is taken as it is: nickel silver changes by 0.03 % a kelvin [from
    memory], less than its band by far. Half of a pair's loop inductance stands
    on each conductor, which is exact where out and back run together.
    """
    bench = Assembly(memory or PartMemory())
    power = Power(layout, bench, opened)
    tracks = Tracks(layout, bench, thrown)
    power.place_devices()
    power.place_buses()
    tracks.place_runs()
    power.link_buses()
    power.link_feeds()
    tracks.link_joints()
    tracks.link_turnouts()
    tracks.link_crossings()
    power.link_drops(tracks.place_at)
    if loads:
        tracks.hang_loads()
    return bench.finish()
