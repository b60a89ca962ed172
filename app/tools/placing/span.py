"""Waiting -press-> Spanning -release or second click-> commit -> Waiting."""

from collections.abc import Callable
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, sin

from app.tools.desk import Desk
from app.tools.marks import Frame, Ghost, Mark, Stroke
from app.tools.placing.recipes import point_of
from app.tools.pointer import Key, Pointer, SnapKind
from app.tools.snapping.wish import GRID, Wish
from app.tools.state import State
from app.tools.steps import added
from app.tools.typed import Lengths, read_length, read_size, retype
from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import add_board, add_joist
from core.layout.edits.opening import add_opening
from core.layout.edits.turn import LEAST_ACROSS_MM, add_turntable
from core.layout.layout import Layout
from core.layout.parts import Point
from core.units.length import show_length
from core.units.si import Metre

LEAST_MM = 10.0
"""Boards and joists are no smaller than this. [mm]"""

_XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Plank:
    """Something that is drawn from one point to another.

    Attributes
    ----------
    make : callable
        The change for the two points, or None where they are too close.
    size : callable
        Second point from a first one, the pointer and a typed text, or None.
    hint, hint_open : str
        What to say before, and after the first point.
    round_angles : bool
        Whether the line between the points is pulled to round angles.
    measure : callable or None
        What to say of its size; None: how wide and how deep it is.
    to_ends : bool
        Whether its other point is pulled to free ends of track.
    """

    make: Callable[[Layout, Point, Point], Change | None]
    size: Callable[[Point, _XY, str, Lengths], Point | None]
    hint: str
    hint_open: str
    round_angles: bool
    measure: Callable[[Point, Point, Lengths], str] | None = None
    to_ends: bool = False


class Waiting(State):
    """Nothing is drawn yet."""

    is_idle = True

    def __init__(self, desk: Desk, plank: Plank) -> None:
        super().__init__(desk)
        self._plank = plank
        self.hint = plank.hint

    @property
    def wish(self) -> Wish:
        """Benchwork begins on the grid."""
        return GRID

    def move(self, at: Pointer) -> State:
        """Show nothing yet."""
        self.show(at)
        return self

    def press(self, at: Pointer) -> State:
        """Begin here."""
        return Spanning(self.desk, self._plank, at)


class Spanning(State):
    """It reaches from the first point to the pointer."""

    takes_text = True

    def __init__(
        self, desk: Desk, plank: Plank, pressed: Pointer, typed: str = ""
    ) -> None:
        super().__init__(desk)
        self._plank = plank
        self._pressed = pressed
        self._typed = typed
        self.hint = plank.hint_open

    @property
    def wish(self) -> Wish:
        """The other end is on the grid too, and in line where that matters."""
        anchor = self._pressed.place if self._plank.round_angles else None
        kinds: frozenset[SnapKind] = frozenset(("end",) if self._plank.to_ends else ())
        return Wish(kinds=kinds, grid=True, anchor=anchor)

    def idle(self) -> State:
        """Forget the first point."""
        return Waiting(self.desk, self._plank)

    def move(self, at: Pointer) -> State:
        """Show it."""
        start, end = point_of(self._pressed), self._end(at)
        marks: list[Mark] = []
        change = self._plank.make(self.desk.layout, start, end) if end else None
        if change is not None and end is not None:
            marks.append(Ghost(change))
            self._measure(start, end)
        elif self._plank.round_angles:
            marks.append(Stroke((self._pressed.place, at.place)))
        else:
            marks.append(Frame(*self._pressed.place, *at.place))
        self.show(at, *marks)
        return self

    def press(self, at: Pointer) -> State:
        """Take the second click as the other end."""
        return self._finish(self._end(at))

    def release(self, at: Pointer) -> State:
        """Take the end of a drag as the other end."""
        if at.is_dragged_from(self._pressed):
            return self._finish(self._end(at))
        return self

    def menu(self, at: Pointer) -> State:  # noqa: ARG002
        """Leave it."""
        return self.cancel()

    def key(self, key: Key, at: Pointer) -> State:
        """Type its size."""
        if key.name == "enter":
            return self._finish(self._end(at))
        typed = retype(self._typed, key)
        if typed is None:
            return self
        spanning = Spanning(self.desk, self._plank, self._pressed, typed)
        self.desk.typing(typed)
        return spanning.move(at)

    def _end(self, at: Pointer) -> Point | None:
        if not self._typed:
            return point_of(at)
        lengths = self.desk.layout.settings.lengths
        start = point_of(self._pressed)
        return self._plank.size(start, at.place, self._typed, lengths)

    def _finish(self, end: Point | None) -> State:
        start = point_of(self._pressed)
        change = self._plank.make(self.desk.layout, start, end) if end else None
        if change is None:
            return self
        after = self.cancel()
        self.desk.commit(change)
        self.desk.select(added(change))
        return after

    def _measure(self, start: Point, end: Point) -> None:
        lengths = self.desk.layout.settings.lengths
        if self._plank.measure is not None:
            self.desk.measure(self._plank.measure(start, end, lengths))
            return
        across = show_length(Metre(abs(end.x_mm - start.x_mm) / 1000.0), lengths)
        deep = show_length(Metre(abs(end.y_mm - start.y_mm) / 1000.0), lengths)
        self.desk.measure(f"{across} wide · {deep} deep")


def _board(layout: Layout, start: Point, end: Point) -> Change | None:
    width, depth = abs(end.x_mm - start.x_mm), abs(end.y_mm - start.y_mm)
    if width < LEAST_MM or depth < LEAST_MM:
        return None
    corner = Point(x_mm=min(start.x_mm, end.x_mm), y_mm=min(start.y_mm, end.y_mm))
    return add_board(layout, corner, width, depth)


def _board_size(start: Point, to: _XY, typed: str, lengths: Lengths) -> Point | None:
    size = read_size(typed, lengths)
    if size is None:
        return None
    right = 1.0 if to[0] >= start.x_mm else -1.0
    back = 1.0 if to[1] >= start.y_mm else -1.0
    return Point(x_mm=start.x_mm + right * size[0], y_mm=start.y_mm + back * size[1])


def _joist(layout: Layout, start: Point, end: Point) -> Change | None:
    if abs(end.x_mm - start.x_mm) + abs(end.y_mm - start.y_mm) < LEAST_MM:
        return None
    return add_joist(layout, start, end)


def _joist_size(start: Point, to: _XY, typed: str, lengths: Lengths) -> Point | None:
    length = read_length(typed, lengths)
    dx, dy = to[0] - start.x_mm, to[1] - start.y_mm
    away = (dx * dx + dy * dy) ** 0.5
    if length is None or away == 0.0:
        return None
    scale = length.length_mm / away
    return Point(x_mm=start.x_mm + dx * scale, y_mm=start.y_mm + dy * scale)


def _opening(layout: Layout, start: Point, end: Point) -> Change | None:
    if abs(end.x_mm - start.x_mm) + abs(end.y_mm - start.y_mm) < LEAST_MM:
        return None
    try:
        return add_opening(layout, start, end)
    except EditError:
        return None  # no track under it yet


def _pit(layout: Layout, start: Point, end: Point) -> Change | None:
    dx, dy = end.x_mm - start.x_mm, end.y_mm - start.y_mm
    across = 2.0 * hypot(dx, dy)
    if across < LEAST_ACROSS_MM:
        return None
    return add_turntable(layout, start, across, degrees(atan2(dy, dx)))


def _pit_size(start: Point, to: _XY, typed: str, lengths: Lengths) -> Point | None:
    diameter = read_length(typed, lengths)
    if diameter is None:
        return None
    turn = atan2(to[1] - start.y_mm, to[0] - start.x_mm)
    half = 0.5 * diameter.length_mm
    return Point(x_mm=start.x_mm + half * cos(turn), y_mm=start.y_mm + half * sin(turn))


def _pit_measure(start: Point, end: Point, lengths: Lengths) -> str:
    across = 2.0 * hypot(end.x_mm - start.x_mm, end.y_mm - start.y_mm)
    return f"{show_length(Metre(across / 1000.0), lengths)} across"


BOARD = Plank(
    _board,
    _board_size,
    "Drag from one corner of the board to the opposite one.",
    "Drag to the opposite corner, or type width x depth (2400 x 600) and Enter. "
    "Esc: leave it.",
    round_angles=False,
)
JOIST = Plank(
    _joist,
    _joist_size,
    "Drag along the middle of a joist, from end to end.",
    "Drag to the other end, or type its length and Enter. Esc: leave it.",
    round_angles=True,
)
OPENING = Plank(
    _opening,
    lambda *_: None,
    "Drag a box over the tracks that swing or lift away. A line across the tracks: "
    "the joint of a removable board.",
    "Let go where the section ends; its rails are cut at the edges. Esc: leave it.",
    round_angles=False,
)
PIT = Plank(
    _pit,
    _pit_size,
    "Drag from the middle of the pit to its edge, the way the bridge lies.",
    "Drag to the edge of the pit, or onto the end of a track that comes up to it. Or "
    "type its diameter (300) and Enter. Esc: leave it.",
    round_angles=True,
    measure=_pit_measure,
    to_ends=True,
)
