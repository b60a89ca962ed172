"""What a state of a tool wants the pointer to be pulled to."""

from dataclasses import dataclass
from typing import Literal

from app.tools.pointer import SnapKind
from core.layout.ids import PartId


@dataclass(frozen=True, slots=True)
class Wish:
    """What may pull the pointer.

    Attributes
    ----------
    kinds : frozenset of str
        Kinds of things of the layout that pull.
    skip : frozenset of PartId
        Parts that do not pull, since they are being moved or drawn.
    grid : bool
        Whether the grid pulls where nothing else does.
    anchor : (float, float) or None
        Where the line being drawn begins: round angles seen from there pull. [mm]
    step_deg : float
        Which angles are round. [°]
    port : "in" or "out"
        Which side of an in-line device is meant.
    """

    kinds: frozenset[SnapKind] = frozenset()
    skip: frozenset[PartId] = frozenset()
    grid: bool = False
    anchor: tuple[float, float] | None = None
    step_deg: float = 45.0
    port: Literal["in", "out"] = "out"


NOTHING = Wish()
"""Nothing pulls."""

GRID = Wish(grid=True)
"""Only the grid pulls."""

TRACK: frozenset[SnapKind] = frozenset(("run",))
"""Places on track."""

POWER: frozenset[SnapKind] = frozenset(("port", "strip", "bus end", "bus"))
"""All that a wire can be joined to."""
