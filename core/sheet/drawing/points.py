"""A turnout as the trade draws it in plan: rails by conductor, cuts, lead, contact.

Drawn from the blades: they are at the left, the way straight on runs level, the
branch bends off to its hand. Not to scale; millimetres of paper from the left end of
the stock rail on the side that the branch leaves to.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from core.analysis.poles import Pole
from core.sheet.inks import Stroke, Strokes
from core.sheet.marks import (
    FAINT,
    INK,
    SOFT,
    WHITE,
    XY,
    Circle,
    Line,
    Mark,
    Shape,
    Text,
)

Frog = Literal["insulated", "switched", "self-powered"]

WIDTH = 73.0
"""Room that a diagram takes across, letters in it. [mm]"""

_HALF = 4.5
_BLADE = 9.0
_FROG = 42.0
_END = 64.0
_FRONT, _BEHIND = _FROG - 9.0, _FROG + 8.5
_ABOVE, _BELOW, _CONTACT = 32.0, 11.0, 21.6
_BEND = 2.0 * _HALF / (_FROG - _BLADE) ** 2
_RAIL = 0.75


def height_of(frog: Frog) -> float:
    """Return the room that a diagram takes down, letters and contact in it. [mm]"""
    return _ABOVE + (_CONTACT if frog == "switched" else _BELOW)


@dataclass(frozen=True, slots=True)
class Points:
    """What is drawn of a turnout.

    Attributes
    ----------
    hand : "left" or "right"
        Where the branch goes, seen from the blades.
    frog : str
        Treatment of the crossing.
    near, far : "A", "B" or None
        Poles of the stock rails: that on the side of the hand, the other one.
    cut : bool
        Whether the rails behind a live crossing are cut.
    """

    hand: Literal["left", "right"]
    frog: Frog
    near: Pole | None
    far: Pole | None
    cut: bool


def draw_points(points: Points, strokes: Strokes, at: XY) -> tuple[Mark, ...]:
    """Return the diagram of a turnout; `at` is its top left corner. [mm]"""
    return tuple(_Diagram(points, strokes, at).marks())


class _Diagram:
    def __init__(self, points: Points, strokes: Strokes, at: XY) -> None:
        self._points, self._at = points, at
        self._inks: dict[Pole | None, Stroke] = {
            "A": strokes.a,
            "B": strokes.b,
            None: Stroke("–", "", SOFT, (), ""),
        }

    def marks(self) -> Iterable[Mark]:
        near, far = self._points.near, self._points.far
        # Stock rails, then what runs between them.
        yield self._rail(near, [(0.0, _HALF), (_BLADE, _HALF), *self._branch(_HALF)])
        yield self._rail(far, [(0.0, -_HALF), (_END, -_HALF)])
        yield from self._closure_rails()
        yield self._rail(near, [(_BEHIND, _HALF), (_END, _HALF)])
        yield self._rail(far, self._branch(-_HALF, _BEHIND))
        yield from self._crossing()
        yield from self._cuts()
        if self._points.frog == "switched":
            yield from self._contact()
        yield from self._letters()

    def _xy(self, x: float, y: float) -> XY:
        """Return a point on paper; y counts towards the branch, from the middle."""
        left, top = self._at
        if self._points.hand == "left":
            return left + 4.0 + x, top + _ABOVE - y
        return left + 4.0 + x, top + height_of(self._points.frog) - _ABOVE + y

    def _rail(self, pole: Pole | None, line: list[XY]) -> Line:
        stroke = self._inks[pole]
        return Line(tuple(self._xy(*p) for p in line), _RAIL, stroke.ink, stroke.dash)

    def _branch(
        self, aside: float, start: float = _BLADE, end: float = _END
    ) -> list[XY]:
        """Return a rail of the branch. [mm]"""
        steps = 24
        xs = [start + (end - start) * i / steps for i in range(steps + 1)]
        return [(x, _BEND * (x - _BLADE) ** 2 + aside) for x in xs]

    def _closure_rails(self) -> Iterable[Mark]:
        """Yield blades and closure rails: from the stock rails to the crossing."""
        live = self._points.frog == "self-powered"
        end = _FRONT
        straight = [(_BLADE + 1.0, _HALF - 0.9), (_BLADE + 8.0, _HALF), (end, _HALF)]
        curved = self._branch(-_HALF, _BLADE + 1.0, end)
        curved[0] = (curved[0][0], -_HALF + 0.9)
        if live:
            for line in (straight, curved):
                yield Line(tuple(self._xy(*p) for p in line), _RAIL, INK)
            bar = self._xy(_BLADE + 6.0, _HALF), self._xy(_BLADE + 6.0, -_HALF + 0.4)
            yield Line(bar, 0.4, INK)
            return
        yield self._rail(self._points.near, straight)
        yield self._rail(self._points.far, curved)

    def _crossing(self) -> Iterable[Mark]:
        """Yield the crossing: a V with its wings."""
        ink = FAINT if self._points.frog == "insulated" else INK
        tip, back, front = _FROG, _FROG + 7.0, _FRONT + 0.6
        for width, line in (
            (1.3, [(tip, _HALF), (back, _HALF)]),
            (1.3, [(tip, _HALF), (back, self._at_x(back))]),
            (0.75, [(front, _HALF), (tip, _HALF - 1.6), (back - 2.0, _HALF - 1.8)]),
            (
                0.75,
                [
                    (front, self._at_x(front)),
                    (tip - 0.5, _HALF + 1.4),
                    (back - 2.5, self._at_x(back - 2.5) + 1.9),
                ],
            ),
        ):
            yield Line(tuple(self._xy(*p) for p in line), width, ink)

    def _at_x(self, x: float) -> float:
        return _BEND * (x - _BLADE) ** 2 - _HALF

    def _cuts(self) -> Iterable[Mark]:
        """Yield the cuts behind a live crossing, numbered, and those before it."""
        if self._points.frog == "insulated":
            return
        if self._points.frog == "switched":
            for y in (_HALF, self._at_x(_FRONT)):
                yield from self._slot(_FRONT, y, small=True)
        if self._points.cut:
            for number, y in (("1", _HALF), ("2", self._at_x(_BEHIND))):
                yield from self._slot(_BEHIND, y, small=False)
                aside = -4.2 if number == "1" else 4.2
                x, at = self._xy(_BEHIND, y + aside)
                yield Circle(x, at, 2.1, INK, INK, 0.0)
                yield Text(x, at + 1.15, number, 9.0, "middle", bold=True, ink=WHITE)

    def _slot(self, x: float, y: float, *, small: bool) -> Iterable[Mark]:
        half = 0.55 if small else 0.8
        tall = 1.5 if small else 2.0
        corners = (
            self._xy(x - half, y - 1.0),
            self._xy(x + half, y - 1.0),
            self._xy(x + half, y + 1.0),
            self._xy(x - half, y + 1.0),
        )
        yield Shape(corners, WHITE)
        for side in (-half, half):
            ends = self._xy(x + side, y - tall), self._xy(x + side, y + tall)
            yield Line(ends, 0.3 if small else 0.5)

    def _contact(self) -> Iterable[Mark]:
        """Yield the lead of the crossing and its change-over contact."""
        common, low = (_FROG, -10.5), -17.0
        lead = self._xy(_FROG, _HALF - 2.0), self._xy(*common)
        yield Line(lead, 1.8, WHITE)
        yield Line(lead, 0.5, INK)
        poles = ((_FROG - 9.0, self._points.near), (_FROG + 9.0, self._points.far))
        blade = self._xy(*common), self._xy(_FROG - 8.2, low + 0.8)
        yield Line(blade, 0.7, INK)
        yield Circle(*self._xy(*common), 1.0, WHITE, INK, 0.5)
        for x, pole in poles:
            stroke = self._inks[pole]
            out = 14.0 if x > _FROG else -14.0
            wire = self._xy(x, low), self._xy(x + out, low)
            yield Line(wire, _RAIL, stroke.ink, stroke.dash)
            yield Circle(*self._xy(x, low), 1.0, WHITE, INK, 0.5)
            yield from stroke.badge(self._xy(x + out, low), 2.2)
        x, y = self._xy(_FROG + 2.4, -10.0)
        yield Text(x, y + 1.1, "common", 8.5, ink=SOFT)
        for x, words in ((_FROG - 16.0, "straight"), (_FROG + 16.0, "branch")):
            at, y = self._xy(x, low + 3.3)
            yield Text(at, y + 1.1, words, 8.5, "middle")

    def _letters(self) -> Iterable[Mark]:
        near, far = self._inks[self._points.near], self._inks[self._points.far]
        top = _BEND * (_END - 1.0 - _BLADE) ** 2
        for stroke, place in (
            (near, (0.0, _HALF)),
            (far, (0.0, -_HALF)),
            (far, (_END, -_HALF)),
            (near, (_END, _HALF)),
            (far, (_END - 1.0, top - _HALF)),
            (near, (_END - 1.0, top + _HALF)),
        ):
            yield from stroke.badge(self._xy(*place), 2.2)
        if self._points.frog == "insulated":
            x, y = self._xy(_FROG - 1.0, -_HALF - 4.2)
            yield Text(x, y + 1.1, "dead frog", 8.5, "middle", ink=SOFT)
        if self._points.frog == "self-powered":
            x, y = self._xy(_FROG - 10.0, -_HALF - 4.2)
            words = "blades, closure rails and frog: one metal"
            yield Text(x, y + 1.1, words, 8.5, "middle", ink=SOFT)
