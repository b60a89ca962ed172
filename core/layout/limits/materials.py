"""Names of wires, rails and joints: every one must be in its table."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Any

from core.layout.parts import (
    Bus,
    Crossing,
    Drop,
    Opening,
    Part,
    Strip,
    TrackJoint,
    TrackRun,
    Turnout,
)
from core.materials.joints import JOINTS
from core.materials.rails import RAILS
from core.materials.wires import WIRES

_TABLES: dict[str, Mapping[str, Any]] = {
    "rail": RAILS,
    "joint": JOINTS,
    "contact": JOINTS,
    "plug": JOINTS,
    "wire": WIRES,
    "frog_wire": WIRES,
}

_NAMED: dict[type, tuple[str, ...]] = {
    TrackRun: ("rail", "joint"),
    TrackJoint: ("joint",),
    Turnout: ("joint", "frog_wire"),
    Crossing: ("joint", "frog_wire"),
    Bus: ("wire",),
    Strip: ("contact",),
    Drop: ("wire", "contact"),
    Opening: ("plug",),
}
"""Which fields of which parts name a row of a table."""

_LONGEST_NAME = 40
"""Names longer than this are not worth a guess. [1]"""


@dataclass(frozen=True, slots=True)
class StrangeName:
    """A field that names a material which no table has, and what comes near."""

    field: str
    name: str
    nearest: str | None


def strange_names(part: Part) -> Iterator[StrangeName]:
    """Yield the names in a part that are in no table."""
    for field in _NAMED.get(type(part), ()):
        name = getattr(part, field)
        if name not in _TABLES[field]:
            yield StrangeName(field, name[:_LONGEST_NAME], _nearest(field, name))


@lru_cache(maxsize=1000)
def _nearest(field: str, name: str) -> str | None:
    if len(name) > _LONGEST_NAME:
        return None
    return next(iter(get_close_matches(name, _TABLES[field], n=1)), None)
