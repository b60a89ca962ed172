"""The paper, what stands on every page, and how content flows from page to page."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from core.sheet.marks import (
    INK,
    POINT_MM,
    SOFT,
    WHITE,
    Anchor,
    Line,
    Mark,
    Page,
    Shape,
    Text,
    box,
)
from core.sheet.typeface import CAP_HEIGHT, LEADING, Typeface

SCOPE = (
    "Low-voltage side only. Mains side: approved supplies and a licensed "
    "electrician; local code wins."
)
"""The one line on every page: what this sheet is about, and what it is not."""

PAPERS: dict[str, tuple[float, float]] = {
    "a4": (297.0, 210.0),
    "letter": (279.4, 215.9),
}
"""Width and height, lying: ISO 216 A4; US Letter (ANSI/ASME Y14.1 A). [mm]"""

MARGIN = 11.0
"""White edge at the sides; home printers leave 4 to 6 out. [mm]"""

_HEAD = 19.0
_FOOT = 15.0


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle of paper. [mm]"""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right. [mm]"""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom. [mm]"""
        return self.bottom - self.top

    def inset(self, by: float) -> "Box":
        """Return the box smaller by a rim. [mm]"""
        return Box(self.left + by, self.top + by, self.right - by, self.bottom - by)

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """Its corners, as marks want them."""
        return box(self.left, self.top, self.width, self.height)


@dataclass(frozen=True, slots=True)
class Leaf:
    """The content of a page, before it has a number.

    `flag` is shouted beside the title, such as "SEEN FROM BELOW". `foot` is how far
    down it is filled, where it is known and more may follow. [mm]
    """

    title: str
    marks: tuple[Mark, ...]
    flag: str = ""
    foot: float | None = None


@dataclass(frozen=True, slots=True)
class Imprint:
    """What names the sheet on every page."""

    title: str
    revision: str
    date: str

    @property
    def line(self) -> str:
        """Revision and date, as they stand after the title."""
        return " · ".join(t for t in (f"Rev {self.revision}", self.date) if t)


def body_of(paper: Literal["a4", "letter"]) -> Box:
    """Return the part of the paper that content may fill."""
    width, height = PAPERS[paper]
    return Box(MARGIN, _HEAD + 3.0, width - MARGIN, height - _FOOT)


def finish_pages(
    leaves: Iterable[Leaf],
    imprint: Imprint,
    paper: Literal["a4", "letter"],
    typeface: Typeface,
) -> tuple[Page, ...]:
    """Return leaves as pages: title, name, revision, scope, page x of y on each."""
    listed = tuple(leaves)
    width, height = PAPERS[paper]
    pages: list[Page] = []
    for number, leaf in enumerate(listed, start=1):
        marks = (
            *_head_marks(leaf, imprint, width, typeface),
            *leaf.marks,
            *_foot_marks(f"Page {number} of {len(listed)}", width, height),
        )
        pages.append(Page(leaf.title, width, height, marks))
    return tuple(pages)


def text_height(size: float, lines: int = 1) -> float:
    """Return the room that lines of text take. [mm]"""
    return lines * size * LEADING * POINT_MM


def baseline(top: float, size: float) -> float:
    """Return where the baseline lies of a line whose room begins at `top`. [mm]"""
    return top + (LEADING + CAP_HEIGHT) / 2.0 * size * POINT_MM


def _head_marks(
    leaf: Leaf, imprint: Imprint, width: float, typeface: Typeface
) -> Iterable[Mark]:
    line = 15.6
    yield Text(MARGIN, line, leaf.title, 17.0, bold=True)
    used = MARGIN + typeface.width(leaf.title, 17.0, bold=True)
    if leaf.flag:
        wide = typeface.width(leaf.flag, 13.0, bold=True) + 6.0
        yield Shape(box(used + 5.0, line - 6.0, wide, 7.6), INK)
        yield Text(used + 8.0, line - 0.5, leaf.flag, 13.0, bold=True, ink=WHITE)
        used += 5.0 + wide
    right = width - MARGIN
    tail = f" · {imprint.line}"
    room = max(right - used - 8.0 - typeface.width(tail, 10.0), 12.0)
    name = typeface.shorten(imprint.title, room, 10.0)
    yield Text(right, line, name + tail, 10.0, "end", ink=SOFT)
    yield Line(((MARGIN, _HEAD), (right, _HEAD)), 0.6)


def _foot_marks(number: str, width: float, height: float) -> Iterable[Mark]:
    line = height - 7.6
    yield Line(((MARGIN, line - 5.0), (width - MARGIN, line - 5.0)), 0.2, SOFT)
    yield Text(MARGIN, line, SCOPE, 8.5, ink=SOFT)
    yield Text(width - MARGIN, line, number, 11.0, "end", bold=True)


@dataclass
class Flow:
    """Content that runs down a box and goes on on a new leaf where it is full.

    Attributes
    ----------
    title : str
        Title of the leaves.
    box : Box
        The room on each leaf.
    typeface : Typeface
        What text is measured with.
    flag : str
        Flag of the leaves.
    y : float
        How far down the present leaf is filled. [mm]
    """

    title: str
    box: Box
    typeface: Typeface
    flag: str = ""
    y: float = field(init=False)
    _leaves: list[list[Mark]] = field(init=False)

    def __post_init__(self) -> None:
        self._leaves = [[]]
        self.y = self.box.top

    @property
    def room(self) -> float:
        """What is left of the present leaf. [mm]"""
        return self.box.bottom - self.y

    @property
    def is_fresh(self) -> bool:
        """Whether nothing stands on the present leaf yet."""
        return not self._leaves[-1]

    def turn(self) -> None:
        """Begin a new leaf, unless the present one is still empty."""
        if not self.is_fresh:
            self._leaves.append([])
            self.y = self.box.top

    def need(self, height: float) -> bool:
        """Begin a new leaf where less than `height` is left; return whether so."""
        if height <= self.room + 1e-6 or self.is_fresh:
            return False
        self.turn()
        return True

    def put(self, marks: Iterable[Mark], height: float = 0.0) -> None:
        """Put marks on the present leaf and move down."""
        self._leaves[-1].extend(marks)
        self.y += height

    def space(self, height: float) -> None:
        """Move down, but not at the top of a leaf."""
        if not self.is_fresh:
            self.y += height

    def text(  # noqa: PLR0913
        self,
        text: str,
        size: float = 11.0,
        *,
        bold: bool = False,
        ink: str = INK,
        indent: float = 0.0,
        width: float | None = None,
        anchor: Anchor = "start",
    ) -> None:
        """Put a paragraph, wrapped; it may run over to the next leaf."""
        room = (self.box.width if width is None else width) - indent
        place = {"start": 0.0, "middle": room / 2.0, "end": room}[anchor]
        for line in self.typeface.wrap(text, room, size, bold=bold):
            self.need(text_height(size))
            x = self.box.left + indent + place
            at = baseline(self.y, size)
            self.put(
                (Text(x, at, line, size, anchor, bold=bold, ink=ink),),
                text_height(size),
            )

    def heading(self, text: str, size: float = 13.0, *, keep: float = 25.0) -> None:
        """Put a heading, with at least `keep` of what follows on the same leaf."""
        self.space(4.0)
        self.need(text_height(size) + keep)
        self.text(text, size, bold=True)
        self.y += 1.0

    def leaves(self) -> tuple[Leaf, ...]:
        """Return what was put, leaf by leaf; an empty last leaf is left out."""
        filled = [marks for marks in self._leaves if marks]
        more = f"{self.title} (continued)"
        foot = None if self.is_fresh else self.y
        last = len(filled) - 1
        return tuple(
            Leaf(
                more if i else self.title,
                tuple(marks),
                self.flag,
                foot if i == last else None,
            )
            for i, marks in enumerate(filled)
        )
