"""What every layer of a drawing draws with."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from core.layout.layout import Layout
from core.layout.parts import Part
from core.sheet.drawing.atlas import Atlas
from core.sheet.drawing.inkmap import HEAVY, InkMap, Words
from core.sheet.drawing.view import View
from core.sheet.frame import Box
from core.sheet.inks import Strokes
from core.sheet.marks import XY, Mark
from core.sheet.typeface import Typeface

P = TypeVar("P", bound=Part)

_RIM = 8.0
"""Parts this near to the window may still show in it. [mm of paper]"""


@dataclass
class Scene:
    """A drawing being made: marks below, marks above, and labels still to come.

    Layers put their marks in drawing order; labels are kept back and put in
    order of rank when all else is drawn, so that they avoid all of it. Labels
    of a rank beyond `most_rank` are left out. A `sketch` is a plan too small to
    work from: thin lines, dots for holes, few words. `room` is where labels may
    go, where that is more than the window that the drawing is cut to.
    """

    atlas: Atlas
    view: View
    typeface: Typeface
    strokes: Strokes
    most_rank: int = 9
    sketch: bool = False
    room: Box | None = None
    marks: list[Mark] = field(default_factory=list)
    _symbols: list[Mark] = field(default_factory=list)
    _labels: list[tuple[int, XY, tuple[Words, ...], float]] = field(
        default_factory=list
    )
    _ink: InkMap = field(init=False)
    _near: tuple[Part, ...] = field(init=False)

    def __post_init__(self) -> None:
        self._ink = InkMap(self.room or self.view.window, self.typeface)
        self._near = self.atlas.near(self.view.region(_RIM))

    @property
    def layout(self) -> Layout:
        """The layout that is drawn."""
        return self.atlas.layout

    def parts(self, kind: type[P]) -> Iterator[P]:
        """Yield the parts of a kind that the window may show something of."""
        for part in self._near:
            if isinstance(part, kind):
                yield part

    @property
    def system(self) -> Literal["m", "ft"]:
        """The person's units of length."""
        return self.layout.settings.lengths

    def line(
        self,
        points: tuple[XY, ...],
        width: float,
        ink: str,
        dash: tuple[float, ...] = (),
        weight: float = 0.0,
    ) -> None:
        """Draw a line given on paper; `weight` makes labels keep off. [mm]"""
        self.marks += self.view.lines(points, width, ink, dash)
        if weight:
            self._ink.mark_line(points, weight)

    def shape(self, points: tuple[XY, ...], fill: str) -> None:
        """Fill a shape given on paper. [mm]"""
        self.marks += self.view.shapes(points, fill)

    def symbol(self, marks: list[Mark], area: Box) -> None:
        """Put a symbol above all lines, if its middle lies in the window."""
        x, y = (area.left + area.right) / 2.0, (area.top + area.bottom) / 2.0
        w = self.view.window
        if w.left <= x <= w.right and w.top <= y <= w.bottom:
            self._symbols += marks
            self._ink.mark_box(area, HEAVY)

    def fixed(self, marks: list[Mark], area: Box) -> None:
        """Put marks that stand where they stand, in the window or beside it."""
        self._symbols += marks
        self._ink.mark_box(area, HEAVY)

    def label(
        self, rank: int, at: XY, lines: tuple[Words, ...], clear: float = 0.0
    ) -> None:
        """Ask for a label at a point on paper; low ranks are put first."""
        w = self.view.window
        inside = w.left <= at[0] <= w.right and w.top <= at[1] <= w.bottom
        if inside and rank <= self.most_rank:
            self._labels.append((rank, at, lines, clear))

    def finish(self) -> tuple[Mark, ...]:
        """Return all marks, labels put where there is room."""
        labels: list[Mark] = []
        for _, at, lines, clear in sorted(self._labels, key=lambda item: item[0]):
            labels += self._ink.place(at, lines, clear)
        return (*self.marks, *labels, *self._symbols)
