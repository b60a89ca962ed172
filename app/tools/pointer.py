"""What the hand does: where it points, over what, and with which keys held."""

from dataclasses import dataclass, field
from math import hypot
from typing import Literal

from core.layout.ids import PartId
from core.layout.parts import Attachment, OnRun, RunEnd

SnapKind = Literal[
    "free",
    "grid",
    "angle",
    "end",
    "pit",
    "joint",
    "run",
    "port",
    "strip",
    "bus end",
    "bus",
]


@dataclass(frozen=True, slots=True)
class OnPit:
    """The edge of a turntable's or traverser's pit."""

    table: PartId


Target = RunEnd | OnRun | OnPit | Attachment

DRAG_PX = 3.0
"""A press becomes a drag once the pointer is this far from where it began. [px]"""


@dataclass(frozen=True, slots=True)
class Held:
    """Which modifier keys are down."""

    shift: bool = False
    ctrl: bool = False
    alt: bool = False


@dataclass(frozen=True, slots=True)
class Snap:
    """The place that the pointer is pulled to.

    Attributes
    ----------
    x_mm, y_mm : float
        The place in plan. [mm]
    kind : str
        What pulls it; "free" where nothing does.
    on : RunEnd, OnRun, OnPit, Attachment or None
        The same as an address in the layout, where it is one.
    heading : float or None
        At a run end the direction out of the run, at a pit away from it; on a
        run or bus the direction along it. [rad]
    word : str
        What to call it, such as "end of Main" or "on B2".
    """

    x_mm: float
    y_mm: float
    kind: SnapKind = "free"
    on: Target | None = None
    heading: float | None = None
    word: str = ""


@dataclass(frozen=True, slots=True)
class Pointer:
    """One moment of the pointer, in plan, already snapped and hit-tested.

    Attributes
    ----------
    x_mm, y_mm : float
        Where it really is. [mm]
    snap : Snap
        Where it is pulled to.
    hit : PartId or None
        The topmost part under it.
    held : Held
        Modifier keys.
    mm_per_px : float
        How much plan one pixel covers. [mm]
    loose : bool
        Whether grid and angles are not to pull.
    mirrored : bool
        Whether the layout is seen from below, so that right is left.
    """

    x_mm: float
    y_mm: float
    snap: Snap
    hit: PartId | None = None
    held: Held = field(default_factory=Held)
    mm_per_px: float = 1.0
    loose: bool = False
    mirrored: bool = False

    @property
    def screen_x(self) -> float:
        """How far right it is as the person sees it. [mm]"""
        return -self.x_mm if self.mirrored else self.x_mm

    @property
    def place(self) -> tuple[float, float]:
        """The snapped place. [mm, mm]"""
        return self.snap.x_mm, self.snap.y_mm

    def is_dragged_from(self, start: "Pointer") -> bool:
        """Return whether it is far enough from a press to mean a drag."""
        moved = hypot(self.x_mm - start.x_mm, self.y_mm - start.y_mm)
        return moved >= DRAG_PX * self.mm_per_px

    def distance_to(self, x_mm: float, y_mm: float) -> float:
        """Return how far the real pointer is from a place. [mm]"""
        return hypot(self.x_mm - x_mm, self.y_mm - y_mm)


KeyName = Literal[
    "text",
    "enter",
    "escape",
    "backspace",
    "delete",
    "left",
    "right",
    "up",
    "down",
    "page up",
    "page down",
]


@dataclass(frozen=True, slots=True)
class Key:
    """A key: its name, and its text where it types something."""

    name: KeyName
    text: str = ""
    held: Held = field(default_factory=Held)
