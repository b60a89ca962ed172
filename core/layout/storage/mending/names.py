"""Names of wires, rails and joints that the tables do not have."""

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any, TypeVar

from msgspec.structs import fields, replace

from core.layout.parts import Bus, Drop, Part, Strip, TrackJoint, TrackRun, Turnout
from core.layout.storage.report import Notes
from core.materials.joints import JOINTS
from core.materials.rails import RAILS
from core.materials.wires import WIRES

P = TypeVar("P", bound=Part)

_NAMED: dict[type, Mapping[str, Mapping[str, Any]]] = {
    TrackRun: {"rail": RAILS, "joint": JOINTS},
    TrackJoint: {"joint": JOINTS},
    Turnout: {"joint": JOINTS},
    Bus: {"wire": WIRES},
    Strip: {"contact": JOINTS},
    Drop: {"wire": WIRES, "contact": JOINTS},
}
"""Which fields of which parts name a row of which table."""


def mend_names(part: P, notes: Notes) -> P:
    """Return a part whose materials are in the tables; unknown ones as usual.

    The usual one is what a part has when nothing is said.
    """
    usual = {f.name: f.default for f in fields(part)}
    for field, table in _NAMED.get(type(part), {}).items():
        name = getattr(part, field)
        if name in table:
            continue
        near = get_close_matches(name, table, n=1)
        guess = f" ({near[0]!r} comes near)" if near else ""
        notes.fix(
            f"{part.id}: there is no {field} called {name[:40]!r}{guess}; "
            f"it has {usual[field]!r} now."
        )
        part = replace(part, **{field: usual[field]})
    return part
