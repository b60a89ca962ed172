"""All track that hangs together with a run, and what holds it together."""

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import TrackJoint, Turnout


def joined_track(layout: Layout, run: PartId) -> frozenset[PartId]:
    """Return the runs joined to a run, however far, with it and their joints."""
    links = [
        *((j.id, {j.a.run, j.b.run}) for j in layout.of_kind(TrackJoint)),
        *((t.id, {t.on.run, t.leg.run}) for t in layout.of_kind(Turnout)),
    ]
    found = {run}
    held: set[PartId] = set()
    grew = True
    while grew:
        grew = False
        for link, runs in links:
            if link not in held and found & runs:
                held.add(link)
                found |= runs
                grew = True
    return frozenset(found | held)
