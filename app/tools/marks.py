"""What a tool shows before it commits: marks in plan, outside the layout."""

from dataclasses import dataclass
from typing import Literal

from core.layout.change import Change

StrokeStyle = Literal["guide", "lead", "measure"]
FrameStyle = Literal["box", "touch"]
SpotStyle = Literal["snap", "plain", "refused"]


@dataclass(frozen=True, slots=True)
class Ghost:
    """The parts of a change, drawn as they would be."""

    change: Change


@dataclass(frozen=True, slots=True)
class Stroke:
    """A thin line through plan points. [mm]"""

    points: tuple[tuple[float, float], ...]
    style: StrokeStyle = "guide"


@dataclass(frozen=True, slots=True)
class Frame:
    """A rectangle between two corners. [mm]

    `style` "box" is a selection box that takes what lies inside, "touch" one
    that takes whatever it touches.
    """

    x0_mm: float
    y0_mm: float
    x1_mm: float
    y1_mm: float
    style: FrameStyle = "box"


@dataclass(frozen=True, slots=True)
class Spot:
    """A small ring at a plan point, with a word beside it. [mm]"""

    x_mm: float
    y_mm: float
    word: str = ""
    style: SpotStyle = "snap"


Mark = Ghost | Stroke | Frame | Spot
