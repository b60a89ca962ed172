"""What stands for a thing from afar: lines, strokes along an edge, or a stamp."""

from dataclasses import dataclass

import numpy as np
from PySide6.QtGui import QPainter

from app.canvas.lines.chunks import Floats
from app.canvas.lines.stamps import Stamp
from app.canvas.look import Look, mix

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Strand:
    """How the lines of many things look.

    Attributes
    ----------
    colour : str
        A name of the theme.
    width_px : float
        Least width. [px]
    paper : float
        How much paper is mixed into the colour. [1]
    width_mm, less_px : float
        Width in plan, where that is more; how much narrower than all that it is.
        [mm, px]
    over : int
        Strands of higher numbers are drawn over lower ones.
    runs_on : bool
        Whether its lines go on from each other, or are dots.
    is_fine : bool
        Whether it is left out where things are a crowd.
    below : (str, float) or None
        Colour and least width as seen from below, where they are others.
    """

    colour: str
    width_px: float
    paper: float = 0.0
    width_mm: float = 0.0
    less_px: float = 0.0
    over: int = 0
    runs_on: bool = False
    is_fine: bool = False
    below: tuple[str, float] | None = None

    def width(self, look: Look) -> float:
        """Return its width at the present zoom. [px]"""
        least = self.width_px
        if self.below is not None and look.underside:
            least = self.below[1]
        return max(least, self.width_mm * look.px_per_mm) - self.less_px

    def take_up(self, painter: QPainter, look: Look) -> None:
        """Give the painter its pen."""
        name = self.colour
        if self.below is not None and look.underside:
            name = self.below[0]
        colour: str = getattr(look.theme, name)
        if self.paper:
            colour = mix(colour, look.theme.paper, self.paper)
        pen = look.line_pen if self.runs_on else look.pen
        painter.setPen(pen(colour, self.width(look)))


@dataclass(frozen=True, slots=True, eq=False)
class Afar:
    """What stands for one thing from afar.

    Attributes
    ----------
    lines : tuple of (Strand, float64 array, shape (N, 4))
        x0, y0, x1, y1 of each. [mm]
    edge : (Strand, float64 array, shape (6,)) or None
        Slanting strokes stand along it: x0, y0, x1, y1, and which way they point. [mm]
    stamp : (Stamp, XY) or None
        What is stamped, and where. [mm]
    box : float64 array, shape (4,), or None
        A device's box: x and y of its middle, width and depth. [mm]
    """

    lines: tuple[tuple[Strand, Floats], ...] = ()
    edge: tuple[Strand, Floats] | None = None
    stamp: tuple[Stamp, XY] | None = None
    box: Floats | None = None


def dot(at: XY) -> Floats:
    """Return a line so short that its pen's square end is all that shows. [mm]"""
    return np.array([[*at, at[0] + 1e-3, at[1]]])
