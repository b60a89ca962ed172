"""Resting -press-> a Pressing state; arrows nudge, Delete removes."""

from app.tools.pointer import Key, Pointer
from app.tools.selecting.handles import handle_at, toggle_corner
from app.tools.selecting.joined import joined_track
from app.tools.selecting.pressing import PressingGround, PressingHandle, PressingPart
from app.tools.selecting.turning import turn_there
from app.tools.state import State
from core.layout.edits.move import nudge_parts
from core.layout.edits.remove import remove_parts
from core.layout.ids import BACKDROP_ID
from core.layout.parts import Bus, TrackRun
from core.layout.queries import can_be_thrown

_ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, 1), "down": (0, -1)}

NUDGE_MM = {"m": 10.0, "ft": 12.7}
"""How far an arrow key moves things. [mm]"""

COARSE, FINE = 10.0, 0.1
"""How many times that far with Shift, and with Ctrl. [1]"""


class Resting(State):
    """Nothing is held; a press decides what will be."""

    hint = (
        "Click to select, Shift: more; drag to move, or for a box. Arrows nudge, "
        "Delete removes. Double-click: joined track; throw, turn or open it."
    )
    cursor = "arrow"
    is_idle = True

    def press(self, at: Pointer) -> State:
        """Take hold of a handle, a part, or the ground."""
        handle = handle_at(self.desk.layout, self.desk.selection, at)
        if handle is not None:
            return PressingHandle(self, at, handle)
        if at.hit is not None:
            return PressingPart(self, at, at.hit)
        return PressingGround(self, at)

    def double(self, at: Pointer) -> State:
        """Bend a bus, throw, turn, select joined track or the picture."""
        layout = self.desk.layout
        chosen = self.desk.selection
        bus = next((i for i in chosen if layout.get(i, Bus)), None)
        if bus is not None and len(chosen) == 1 and at.hit in (bus, None):
            change = toggle_corner(layout, bus, at)
            if change is not None:
                self.desk.commit(change)
                return self
        if at.hit is None and layout.backdrop is not None:
            self.desk.select((BACKDROP_ID,))
            return self
        if at.hit is not None and can_be_thrown(layout, at.hit):
            self.desk.throw(at.hit)
            return self
        turned = turn_there(layout, at)
        if turned is not None:
            self.desk.commit(turned)
            return self
        if at.hit is not None and layout.get(at.hit, TrackRun) is not None:
            self.desk.select(joined_track(layout, at.hit))
            return self
        return self.press(at)

    def key(self, key: Key, at: Pointer) -> State:
        """Nudge or remove what is selected."""
        chosen = self.desk.selection
        if not chosen:
            return self
        if key.name in ("delete", "backspace"):
            self.desk.commit(remove_parts(self.desk.layout, chosen))
        elif key.name in _ARROWS:
            across, away = _ARROWS[key.name]
            if at.mirrored:
                across = -across
            step = self._nudge_mm(key)
            self.desk.commit(
                nudge_parts(self.desk.layout, chosen, across * step, away * step)
            )
        return self

    def cancel(self) -> State:
        """Select nothing."""
        self.desk.select(())
        return super().cancel()

    def _nudge_mm(self, key: Key) -> float:
        step = NUDGE_MM[self.desk.layout.settings.lengths]
        if key.held.shift:
            step *= COARSE
        if key.held.ctrl:
            step *= FINE
        return step
