"""A desk without a window, and a hand that makes gestures at it."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from app.tools.catalogue import TOOLS
from app.tools.marks import Ghost, Mark, Spot
from app.tools.pointer import Held, Key, KeyName, Pointer
from app.tools.snapping.snapper import Snapper
from app.tools.state import Hand
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, Part


@dataclass
class FakeDesk:
    """Keeps all that a tool says, and makes its changes."""

    layout: Layout
    selection: frozenset[PartId] = frozenset()
    marks: tuple[Mark, ...] = ()
    changes: list[Change] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)
    measured: str = ""
    typed: str = ""
    refusals: list[str] = field(default_factory=list)
    probed: list[OnRun | None] = field(default_factory=list)
    thrown: list[PartId] = field(default_factory=list)
    boxed: frozenset[PartId] = frozenset()
    box: tuple[object, ...] = ()

    @property
    def probe_place(self) -> OnRun | None:
        return self.probed[-1] if self.probed else None

    def preview(self, *marks: Mark) -> None:
        self.marks = marks

    def commit(self, change: Change) -> None:
        self.changes.append(change)
        self.layout.apply(change)

    def select(self, ids: Iterable[PartId]) -> None:
        self.selection = frozenset(ids)

    def hint(self, text: str) -> None:
        self.hints.append(text)

    def measure(self, text: str) -> None:
        self.measured = text

    def typing(self, text: str) -> None:
        self.typed = text

    def refuse(self, sentence: str) -> None:
        self.refusals.append(sentence)

    def probe(self, place: OnRun | None) -> None:
        self.probed.append(place)

    def throw(self, turnout: PartId) -> None:
        self.thrown.append(turnout)

    def parts_in(
        self, corner: tuple[float, float], other: tuple[float, float], *, touch: bool
    ) -> frozenset[PartId]:
        self.box = (corner, other, touch)
        return self.boxed


class Gestures:
    """One tool in a hand, driven in plan millimetres at 1 mm a pixel."""

    def __init__(self, tool: str, *parts: Part, mm_per_px: float = 1.0) -> None:
        self.desk = FakeDesk(Layout({part.id: part for part in parts}))
        self.mm_per_px = mm_per_px
        self.hand = Hand(self.desk, TOOLS[tool].begin)
        self.at = (0.0, 0.0)
        self.hit: PartId | None = None
        self.held = Held()

    @property
    def layout(self) -> Layout:
        return self.desk.layout

    @property
    def state(self) -> str:
        return type(self.hand.state).__name__

    @property
    def ghosts(self) -> list[Part]:
        """The parts of the preview, as they would be."""
        return [
            part
            for mark in self.desk.marks
            if isinstance(mark, Ghost)
            for part in mark.change.after.values()
            if part is not None
        ]

    @property
    def words(self) -> list[str]:
        return [m.word for m in self.desk.marks if isinstance(m, Spot) and m.word]

    def over(self, part: str | None) -> "Gestures":
        self.hit = PartId(part) if part else None
        return self

    def holding(
        self, *, shift: bool = False, ctrl: bool = False, alt: bool = False
    ) -> "Gestures":
        self.held = Held(shift, ctrl, alt)
        return self

    def move(self, x: float, y: float) -> "Gestures":
        self.at = (x, y)
        self.hand.move(self._pointer())
        return self

    def press(self, x: float, y: float) -> "Gestures":
        self.at = (x, y)
        self.hand.press(self._pointer())
        return self

    def release(self, x: float, y: float) -> "Gestures":
        self.at = (x, y)
        self.hand.release(self._pointer())
        return self

    def click(self, x: float, y: float) -> "Gestures":
        return self.move(x, y).press(x, y).release(x, y)

    def double(self, x: float, y: float) -> "Gestures":
        self.click(x, y)
        self.hand.double(self._pointer())
        return self.release(x, y)

    def drag(self, *points: tuple[float, float]) -> "Gestures":
        self.move(*points[0]).press(*points[0])
        for x, y in points[1:]:
            self.move(x, y)
        return self.release(*points[-1])

    def menu(self) -> "Gestures":
        self.hand.menu(self._pointer())
        return self

    def key(self, name: KeyName) -> "Gestures":
        self.hand.key(Key(name, held=self.held), self._pointer())
        return self

    def type(self, text: str) -> "Gestures":
        for letter in text:
            self.hand.key(Key("text", letter, self.held), self._pointer())
        return self

    def _pointer(self) -> Pointer:
        snapper = Snapper(self.layout)
        snap = snapper.snap(
            self.at,
            self.hand.state.wish,
            self.mm_per_px,
            loose=self.held.ctrl,
            square=self.held.shift,
        )
        return Pointer(
            *self.at,
            snap,
            self.hit,
            self.held,
            self.mm_per_px,
            loose=self.held.ctrl,
        )
