"""Moving -release-> commit -> Resting."""

from dataclasses import dataclass
from itertools import product
from math import atan2, cos, hypot, radians, sin

from app.tools.marks import Ghost, Spot
from app.tools.pointer import Pointer
from app.tools.selecting.held import Held
from app.tools.snapping.steps import round_step_mm, to_step
from app.tools.state import State
from app.tools.steps import Step, chain
from core.layout.change import Change
from core.layout.edits.join import do_meet, end_pose, join_run_ends
from core.layout.edits.move import move_parts
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Crossing, RunEnd, TrackJoint, Turnout
from core.layout.queries import free_ends, run_name
from core.units.length import show_length
from core.units.si import Metre

MEET_PX = 12.0
"""A free end of moved track is pulled to another from this far. [px]"""

IN_LINE = radians(2.0)
"""Ends that differ less in direction pull each other. [rad]"""


@dataclass(frozen=True, slots=True)
class _Meeting:
    """A moved run end, the end that it meets, and what is missing. [mm]"""

    moved: RunEnd
    other: RunEnd
    dx_mm: float
    dy_mm: float


class Moving(Held):
    """Parts follow the pointer; what is wired to them follows too."""

    hint = (
        "Let go to put it here. Shift: along or across. Ctrl: off the grid. Esc: back."
    )
    cursor = "move"

    def __init__(
        self, resting: State, pressed: Pointer, ids: frozenset[PartId]
    ) -> None:
        super().__init__(resting)
        self._pressed = pressed
        self._ids = ids
        self._pairs = tuple(_facing_ends(self.desk.layout, ids))

    def move(self, at: Pointer) -> State:
        """Show everything as it would be."""
        by, meeting = self._by(at)
        change = move_parts(self.desk.layout, self._ids, *by)
        marks = [Ghost(change)]
        lengths = self.desk.layout.settings.lengths
        moved = show_length(Metre(hypot(*by) / 1000.0), lengths)
        self.desk.measure(f"moved {moved}{_parted(change)}")
        if meeting is None:
            self.desk.preview(*marks)
        else:
            pose = end_pose(self.desk.layout, meeting.other)
            name = run_name(self.desk.layout, meeting.other.run)
            word = f"{meeting.other.end} of {name}"
            self.desk.preview(*marks, Spot(pose.x_mm, pose.y_mm, word))
        return self

    def release(self, at: Pointer) -> State:
        """Put it there; track ends that meet are joined."""
        layout = self.desk.layout
        by, meeting = self._by(at)
        moved = move_parts(layout, self._ids, *by)
        steps: list[Step] = [lambda _: moved]
        if meeting is not None:
            steps.append(lambda trial: _join(trial, meeting))
        change = chain(layout, moved.label, *steps)
        after = self.cancel()
        self.desk.commit(change)
        self.desk.select(self._ids)
        return after

    def _by(self, at: Pointer) -> tuple[tuple[float, float], _Meeting | None]:
        dx, dy = at.x_mm - self._pressed.x_mm, at.y_mm - self._pressed.y_mm
        reach = MEET_PX * at.mm_per_px
        near = min(
            self._pairs, key=lambda m: hypot(m.dx_mm - dx, m.dy_mm - dy), default=None
        )
        if near is not None and hypot(near.dx_mm - dx, near.dy_mm - dy) <= reach:
            return (near.dx_mm, near.dy_mm), near
        if at.held.shift:
            dx, dy = (dx, 0.0) if abs(dx) >= abs(dy) else (0.0, dy)
        if not at.loose:
            lengths = self.desk.layout.settings.lengths
            step = round_step_mm(at.mm_per_px, lengths)
            dx, dy = to_step(dx, step), to_step(dy, step)
        return (dx, dy), None


def _parted(change: Change) -> str:
    """Return a warning where track would be torn from track."""
    lost = [
        part
        for part_id, part in change.before.items()
        if isinstance(part, TrackJoint | Turnout) and change.after[part_id] is None
    ]
    crossings = sum(
        isinstance(part, Crossing) and change.after[part_id] is None
        for part_id, part in change.before.items()
    )
    words = ""
    if lost:
        words += f" · parts {len(lost)} {'joint' if len(lost) == 1 else 'joints'}"
    if crossings:
        crossing = "crossing" if crossings == 1 else "crossings"
        words += f" · takes {crossings} {crossing} away"
    return words


def _facing_ends(layout: Layout, ids: frozenset[PartId]) -> list[_Meeting]:
    """Return pairs of a moved and an unmoved free end that could be joined."""
    ends = free_ends(layout)
    moved = [e for e in ends if e.run in ids]
    others = [e for e in ends if e.run not in ids]
    poses = {end: end_pose(layout, end) for end in ends}
    found: list[_Meeting] = []
    for one, other in product(moved, others):
        a, b = poses[one], poses[other]
        turned = a.heading - b.heading
        if abs(atan2(-sin(turned), -cos(turned))) <= IN_LINE:
            found.append(_Meeting(one, other, b.x_mm - a.x_mm, b.y_mm - a.y_mm))
    return found


def _join(layout: Layout, meeting: _Meeting) -> Change:
    if do_meet(layout, meeting.moved, meeting.other):
        return join_run_ends(layout, meeting.moved, meeting.other)
    return Change("", {}, {})
