"""Starting -press-> Pressing -release-> Routing -click-> Routing -enter-> commit."""

from dataclasses import dataclass
from math import hypot

from app.tools.desk import Desk
from app.tools.marks import Ghost, Mark, Spot, Stroke
from app.tools.pointer import Key, Pointer
from app.tools.snapping.wish import POWER, Wish
from app.tools.state import State
from app.tools.steps import added
from app.tools.typed import read_length, retype
from app.tools.wiring.attach import attachment_at
from core.layout.change import Change
from core.layout.edits.add import add_bus
from core.layout.layout import Layout
from core.layout.parts import Attachment, Point
from core.units.length import show_length
from core.units.si import Metre

LEAST_MM = 1.0
"""Corners closer than this are one. [mm]"""

_XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Route:
    """A bus while it is being drawn. [mm]"""

    points: tuple[_XY, ...]
    start: Attachment | None = None
    end: Attachment | None = None

    def plus(self, point: _XY, end: Attachment | None = None) -> "Route | None":
        """Return the route with one more point; None if it would not get longer."""
        last = self.points[-1]
        if hypot(point[0] - last[0], point[1] - last[1]) < LEAST_MM:
            return None
        return Route((*self.points, point), self.start, end)

    @property
    def length_mm(self) -> float:
        """Length of what is drawn. [mm]"""
        pairs = zip(self.points, self.points[1:], strict=False)
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairs)


class Starting(State):
    """No bus is being drawn; a press begins one."""

    hint = (
        "Press where the bus begins: on a booster, breaker, strip or another bus, "
        "or anywhere."
    )
    is_idle = True
    wish_now = Wish(kinds=POWER, grid=True)

    @property
    def wish(self) -> Wish:
        """What a bus may begin at; power comes out of devices."""
        return self.wish_now

    def move(self, at: Pointer) -> State:
        """Show what it would begin at."""
        self.show(at)
        return self

    def press(self, at: Pointer) -> State:
        """Begin here."""
        start = attachment_at(at)
        return Pressing(self.desk, at, Route((at.place,), start))


class Pressing(State):
    """The button is down on the first point: a click, or a first leg by drag."""

    hint = "Let go, then click at each corner; or drag to the first corner."
    holds_button = True

    def __init__(self, desk: Desk, pressed: Pointer, route: Route) -> None:
        super().__init__(desk)
        self._pressed = pressed
        self._route = route

    @property
    def wish(self) -> Wish:
        """What the first leg may end at."""
        return Routing(self.desk, self._route).wish

    def idle(self) -> State:
        """Forget the first point."""
        return Starting(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the first leg once it is dragged."""
        if at.is_dragged_from(self._pressed):
            Routing(self.desk, self._route).move(at)
        return self

    def release(self, at: Pointer) -> State:
        """Go on drawing; a drag has drawn the first leg."""
        routing = Routing(self.desk, self._route)
        return routing.press(at) if at.is_dragged_from(self._pressed) else routing


class Routing(State):
    """Each click adds a corner; one on a device, strip or bus ends it there."""

    takes_text = True

    def __init__(self, desk: Desk, route: Route, typed: str = "") -> None:
        super().__init__(desk)
        self._route = route
        self._typed = typed
        self.hint = _HINT_TYPING if typed else _HINT

    @property
    def wish(self) -> Wish:
        """What the next leg may end at; power goes into devices."""
        return Wish(kinds=POWER, grid=True, anchor=self._route.points[-1], port="in")

    def idle(self) -> State:
        """Forget what was drawn."""
        return Starting(self.desk)

    def move(self, at: Pointer) -> State:
        """Show the bus with the leg that a click would add."""
        longer = self._next(at)
        route = longer or self._route
        marks: list[Mark] = []
        if len(route.points) > 1:
            marks.append(Ghost(lay_bus(self.desk.layout, route)))
        marks.extend(Spot(x, y, style="plain") for x, y in self._route.points[:1])
        if longer is None:
            marks.append(Stroke((self._route.points[-1], at.place)))
        else:
            self._measure(longer)
        self.show(at, *marks)
        return self

    def press(self, at: Pointer) -> State:
        """Add a corner; where it meets something the bus is finished."""
        longer = self._next(at)
        if longer is None:
            return self
        return self._finish(longer) if longer.end else self._go_on(at, longer)

    def double(self, at: Pointer) -> State:  # noqa: ARG002
        """Finish; the first press of the two has added the last corner."""
        return self._finish(self._route)

    def menu(self, at: Pointer) -> State:  # noqa: ARG002
        """Finish with what is there."""
        return self._finish(self._route)

    def key(self, key: Key, at: Pointer) -> State:
        """Type a length, take a corner back, or finish."""
        if key.name == "enter":
            if not self._typed:
                return self._finish(self._route)
            longer = self._next(at)
            return self if longer is None else self._go_on(at, longer)
        typed = retype(self._typed, key)
        if typed is not None:
            return self._go_on(at, self._route, typed)
        if key.name == "backspace":
            return self._take_back(at)
        return self

    def _take_back(self, at: Pointer) -> State:
        points = self._route.points[:-1]
        if not points:
            return self.cancel()
        return self._go_on(at, Route(points, self._route.start))

    def _next(self, at: Pointer) -> Route | None:
        if not self._typed:
            return self._route.plus(at.place, attachment_at(at))
        typed = read_length(self._typed, self.desk.layout.settings.lengths)
        x0, y0 = self._route.points[-1]
        dx, dy = at.place[0] - x0, at.place[1] - y0
        away = hypot(dx, dy)
        if typed is None or away < LEAST_MM:
            return None
        scale = typed.length_mm / away
        return self._route.plus((x0 + dx * scale, y0 + dy * scale))

    def _go_on(self, at: Pointer, route: Route, typed: str = "") -> State:
        routing = Routing(self.desk, route, typed)
        self.desk.typing(typed)
        return routing.move(at)

    def _finish(self, route: Route) -> State:
        after = self.cancel()
        if len(route.points) > 1:
            change = lay_bus(self.desk.layout, route)
            self.desk.commit(change)
            self.desk.select(added(change))
        return after

    def _measure(self, route: Route) -> None:
        lengths = self.desk.layout.settings.lengths
        (x0, y0), (x1, y1) = route.points[-2:]
        leg = show_length(Metre(hypot(x1 - x0, y1 - y0) / 1000.0), lengths)
        whole = show_length(Metre(route.length_mm / 1000.0), lengths)
        self.desk.measure(f"leg {leg} · whole bus {whole}")


def lay_bus(layout: Layout, route: Route) -> Change:
    """Return the change that adds a bus along a route."""
    points = tuple(Point(x_mm=x, y_mm=y) for x, y in route.points)
    return add_bus(layout, points, start=route.start, end=route.end)


_HINT = (
    "Click at each corner, or type a length. Shift: along or across. End it on a "
    "device, strip or bus, or with Enter. Esc: leave it."
)
_HINT_TYPING = "Enter: add this leg. Backspace: rub out. Esc: leave the bus."
