"""Rails that live only through the contact of a live crossing."""

from core.analysis.study import Study
from core.layout.ids import PartId
from core.network.settings import fixed_metal


def hung_segments(study: Study) -> dict[int, tuple[PartId, ...]]:
    """Return the segments with such a rail, and the turnouts that they hang on.

    The rail has no way to a booster's pole but by a contact, whichever way that
    lies now.
    """
    circuit = study.circuit
    if not circuit.frogs:
        return {}
    metal = fixed_metal(circuit).tolist()
    poles = {metal[node] for s in circuit.sources for node in (s.plus, s.minus)}
    doors: dict[int, list[PartId]] = {}
    for frog in circuit.frogs:
        doors.setdefault(metal[frog.frog], []).append(frog.part)
    live = study.system.islands.live
    found: dict[int, tuple[PartId, ...]] = {}
    for i, segment in enumerate(circuit.segments):
        pieces = [
            metal[node]
            for node in (segment.left0, segment.right0)
            if live[node] and metal[node] not in poles
        ]
        names = dict.fromkeys(t for piece in pieces for t in doors.get(piece, ()))
        if names:
            found[i] = tuple(names)
    return found
