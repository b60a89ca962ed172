"""The desk that tools work at: the session, the scene, and words for the window."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF

from app.canvas.drawings.drawing import Drawing
from app.canvas.drawings.make import make_drawing
from app.canvas.over.preview import Preview
from app.canvas.scene import PlanScene
from app.session.session import Session
from app.tools.marks import Ghost, Mark
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun


@dataclass(frozen=True, slots=True)
class Sayings:
    """Where a tool's words go."""

    hint: Callable[[str], None]
    measure: Callable[[str], None]
    typing: Callable[[str], None]


class CanvasDesk:
    """What a tool sees of the program."""

    def __init__(
        self, session: Session, scene: PlanScene, preview: Preview, say: Sayings
    ) -> None:
        self._session = session
        self._scene = scene
        self._preview = preview
        self._say = say
        self.is_committing = False
        self.typed = ""

    @property
    def layout(self) -> Layout:
        """The layout, to read only."""
        return self._session.layout

    @property
    def selection(self) -> frozenset[PartId]:
        """The parts that are selected."""
        return self._session.selection

    @property
    def probe_place(self) -> OnRun | None:
        """Where the probe is."""
        return self._session.probe_place

    def preview(self, *marks: Mark) -> None:
        """Show these marks and no others."""
        if marks or self._preview.marks:
            ghosts = [d for m in marks if isinstance(m, Ghost) for d in self._draw(m)]
            self._preview.show_marks(marks, tuple(ghosts))

    def commit(self, change: Change) -> None:
        """Make a change as one undo step."""
        self.is_committing = True
        try:
            self._session.commit(change)
        finally:
            self.is_committing = False

    def select(self, ids: Iterable[PartId]) -> None:
        """Select these parts and no others."""
        self._session.select(ids)

    def hint(self, text: str) -> None:
        """Say in one line what can be done now."""
        self._say.hint(text)

    def measure(self, text: str) -> None:
        """Show lengths and angles of what is being drawn."""
        self._say.measure(text)

    def typing(self, text: str) -> None:
        """Show what has been typed so far."""
        if text != self.typed:
            self.typed = text
            self._say.typing(text)

    def refuse(self, sentence: str) -> None:
        """Say why something that was asked for cannot be done."""
        self._session.refusal.emit(sentence)

    def probe(self, place: OnRun | None) -> None:
        """Put the probe on a place of track, or take it off."""
        self._session.set_probe(place)

    def throw(self, turnout: PartId) -> None:
        """Set a turnout the other way."""
        self._session.throw((turnout,))

    def parts_in(
        self, corner: tuple[float, float], other: tuple[float, float], *, touch: bool
    ) -> frozenset[PartId]:
        """Return the parts inside a box, or touched by it. [mm]"""
        area = QRectF(QPointF(*corner), QPointF(*other)).normalized()
        return self._scene.parts_in(area, touch=touch)

    def _draw(self, ghost: Ghost) -> list[Drawing]:
        trial = self._session.layout.copy()
        trial.apply(ghost.change)
        ids = {*ghost.change.after, *self._scene.users_of(ghost.change.after)}
        parts = (trial.parts[part_id] for part_id in ids if part_id in trial.parts)
        drawings = (make_drawing(trial, part, self._scene.around) for part in parts)
        return [drawing for drawing in drawings if drawing is not None]
