"""The plan in few strokes of the painter: what is shown while the zoom is changing.

It is drawn past the scene: to find, clip and paint thousands of items one by one takes
longer than a frame may, however little each of them paints.
"""

from collections.abc import Iterable, Iterator

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from app.canvas.drawings.bench import BoardDrawing, JoistDrawing
from app.canvas.drawings.bus import BusDrawing
from app.canvas.drawings.crossing import CrossingDrawing
from app.canvas.drawings.device import BoosterDrawing, InlineDrawing
from app.canvas.drawings.drawing import Small
from app.canvas.drawings.drop import DropDrawing
from app.canvas.drawings.load import LoadDrawing
from app.canvas.drawings.run import RunDrawing
from app.canvas.drawings.strip import StripDrawing
from app.canvas.drawings.trackside import GapDrawing, JointDrawing
from app.canvas.drawings.turnout import TurnoutDrawing
from app.canvas.item import PartItem
from app.canvas.lines.batch import Batch
from app.canvas.look import Look
from app.canvas.tracks import Tracks

Kinds = tuple[type[Small], ...]

ON_TRACK: Kinds = (
    DropDrawing,
    GapDrawing,
    JointDrawing,
    TurnoutDrawing,
    CrossingDrawing,
)
"""Drawings of the small things on track."""

GROUND: Kinds = (JoistDrawing, BoardDrawing)
LOADS: Kinds = (LoadDrawing,)
WIRES: Kinds = (BusDrawing,)
SYMBOLS: Kinds = (StripDrawing, InlineDrawing, BoosterDrawing)
ALL = (GROUND, WIRES, ON_TRACK, LOADS, SYMBOLS)

CROWD_Z = 29.0
"""How high small things lie that are a crowd: below the track."""


class Sketch:
    """Draws parts without their items, which it only asks what they are."""

    def __init__(self, look: Look) -> None:
        self._look = look
        self._batches = {kinds: Batch(look) for kinds in ALL}
        self._heights: dict[Kinds, float] = {}
        self._tracks = Tracks(look)
        self._track_z = 0.0
        self._alone: list[PartItem] = []
        self._symbols: list[PartItem] = []

    def show_parts(self, items: Iterable[PartItem]) -> None:
        """Draw these parts as they are now, and no others."""
        many: dict[tuple[type[Small], ...], list[Small]] = {
            k: [] for k in self._batches
        }
        runs: list[RunDrawing] = []
        self._alone, self._symbols = [], []
        self._heights = {}
        for item in items:
            drawing = item.drawing
            if isinstance(drawing, RunDrawing):
                runs.append(drawing)
                self._track_z = item.zValue()
                continue
            kinds = _KINDS.get(type(drawing))
            if kinds is None:
                self._alone.append(item)
            else:
                many[kinds].append(item.small)
                if kinds is SYMBOLS:
                    self._symbols.append(item)
                height = item.zValue()
                self._heights[kinds] = max(self._heights.get(kinds, height), height)
        for kinds, drawings in many.items():
            self._batches[kinds].show_drawings(drawings)
        self._tracks.show_runs(runs)

    def learn(self, items: Iterable[PartItem]) -> Iterator[None]:
        """Ask ahead of time what parts look like from afar, bit by bit."""
        for item in items:
            drawing = item.drawing
            kinds = _KINDS.get(type(drawing))
            if kinds is not None:
                self._batches[kinds].learn(item.small)
            elif isinstance(drawing, RunDrawing):
                drawing.strips()
            yield

    def prepare(self) -> Iterator[None]:
        """Make all lines ready, bit by bit."""
        for batch in self._batches.values():
            yield from batch.prepare()
        yield from self._tracks.prepare()

    def paint(
        self,
        painter: QPainter,
        exposed: QRectF,
        lit: Iterable[PartItem],
        *,
        crowded: bool,
    ) -> None:
        """Paint all of it, with a painter for plan coordinates.

        Parameters
        ----------
        lit : PartItems
            Those that are selected or pointed at.
        crowded : bool
            Whether the zoom is such that small things are a crowd.
        """
        heights, alone = dict(self._heights), self._alone
        if not crowded:  # few in view, and their signs can be seen
            heights.pop(SYMBOLS, None)
            alone = [*alone, *self._symbols]
        elif ON_TRACK in heights:
            heights[ON_TRACK] = CROWD_Z
        layers: list[tuple[float, Batch | Tracks | PartItem]] = [
            *((z, self._batches[kinds]) for kinds, z in heights.items()),
            *((item.zValue(), item) for item in alone if item.meets(exposed)),
            (self._track_z, self._tracks),
        ]
        layers.sort(key=lambda layer: layer[0])
        for _, layer in layers:
            match layer:
                case Batch():
                    layer.paint(painter, exposed, fine=not crowded)
                case Tracks():
                    for item in lit:
                        item.paint_glow(painter)
                    layer.paint(painter, exposed)
                case PartItem():
                    layer.drawing.paint(painter, self._look, exposed)


_KINDS: dict[type[object], Kinds] = {kind: kinds for kinds in ALL for kind in kinds}
