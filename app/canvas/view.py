"""The view: pan, zoom, fit and the ground, in real millimetres with y upwards."""

from collections.abc import Iterator
from itertools import chain
from time import monotonic
from typing import Any, Literal

from PySide6.QtCore import QEvent, QPoint, QPointF, QRect, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QRegion,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QFrame, QGraphicsView, QStyleOptionGraphicsItem

from app.canvas.ground import paint_ground
from app.canvas.look import Look
from app.canvas.over.markers import Marker
from app.canvas.scene import PlanScene

LEAST_PX_PER_MM, MOST_PX_PER_MM = 0.02, 24.0
"""The zoom stays between these: 50 m and 50 mm on a screen. [px/mm]"""

WHEEL_TIMES = 1.0015
"""Zoom for one unit of the wheel; a notch has 120. [1]"""

STEP_TIMES = 1.4
"""Zoom of one step of the buttons. [1]"""

FIT_SHARE = 0.86
"""How much of the view the whole layout fills. [1]"""

EMPTY = QRectF(-400.0, -300.0, 4800.0, 2600.0)
"""What is shown of an empty layout. [mm]"""

ROAM_MM = 500_000.0
"""How far from the origin one can go. [mm]"""

REST_MS = 120
"""Once the zoom has been still for so long, lines are smooth and words placed. [ms]"""

WAIT_MS, MOST_WAITS = 30, 27
"""How long at a time, and how often, words give way to what is worked out. [ms, 1]"""

SLICE_S = 0.006
"""Words are placed for so long at a time. [s]"""

MOST_RECTANGLES, MOST_SHARE = 8, 0.5
"""More of them than this, or so near to all of the box round them, are painted as one.
[1]"""


class PlanView(QGraphicsView):
    """Shows the scene, from above or from below.

    Signals
    -------
    zoom_changed(float)
        The zoom. [px/mm]
    underside_changed(bool)
        Whether the layout is seen from below.
    painted()
        What was to be painted is.
    """

    zoom_changed = Signal(float)
    underside_changed = Signal(bool)
    painted = Signal()

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.look = look
        self.plan = PlanScene(look)
        self.is_grid_shown = True
        self.lengths: Literal["m", "ft"] = "m"
        self._panned_from: QPoint | None = None
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._on_rest)
        self._wait = QTimer(self, singleShot=True, interval=WAIT_MS)
        self._wait.timeout.connect(self._place_in_turn)
        self._waits = 0
        self._placing: Iterator[None] = iter(())
        self._slice = QTimer(self, singleShot=True, interval=0)
        self._slice.timeout.connect(self._place_some)
        self._clip = QRect()
        self.markers: tuple[Marker, ...] = ()
        self.setScene(self.plan)
        self.setSceneRect(-ROAM_MM, -ROAM_MM, 2 * ROAM_MM, 2 * ROAM_MM)
        # Every drawing leaves the painter as it was but for pen and font, so that
        # what `drawBackground` clips stays clipped.
        self.setOptimizationFlag(QGraphicsView.OptimizationFlag.DontSavePainterState)
        # Only what scrolling uncovers is painted: see the traps in DEVELOPERS.md.
        self.setViewportUpdateMode(
            QGraphicsView.ViewportUpdateMode.MinimalViewportUpdate
        )
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.NoAnchor)
        self.setResizeAnchor(QGraphicsView.ViewportAnchor.AnchorViewCenter)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.viewport().setMouseTracking(True)
        # Files dropped here are the window's business.
        self.setAcceptDrops(False)
        self.viewport().setAcceptDrops(False)
        self._apply_zoom(look.px_per_mm)

    @property
    def is_panning(self) -> bool:
        """Whether the plan is being dragged about."""
        return self._panned_from is not None

    def fit(self) -> None:
        """Show the whole layout."""
        area = self.plan.content()
        self.show_area(EMPTY if area.isEmpty() else area)

    def show_area(self, area: QRectF, most_px_per_mm: float = MOST_PX_PER_MM) -> None:
        """Show an area of the plan as large as it fits. [mm]"""
        across = self.viewport().width() / max(area.width(), 1.0)
        deep = self.viewport().height() / max(area.height(), 1.0)
        self._apply_zoom(min(FIT_SHARE * min(across, deep), most_px_per_mm))
        self.centerOn(area.center())

    def show_at(self, x_mm: float, y_mm: float, px_per_mm: float) -> None:
        """Show a place in the middle, at a zoom. [mm, px/mm]"""
        self._apply_zoom(px_per_mm)
        self.centerOn(QPointF(x_mm, y_mm))

    def zoom_in(self) -> None:
        """Show things larger, about the middle."""
        self.zoom_about(self.viewport().rect().center(), STEP_TIMES)

    def zoom_out(self) -> None:
        """Show things smaller, about the middle."""
        self.zoom_about(self.viewport().rect().center(), 1.0 / STEP_TIMES)

    def zoom_about(self, place: QPoint, times: float) -> None:
        """Zoom so that what lies under a place of the view stays there."""
        kept = self.mapToScene(place)
        self._apply_zoom(self.look.px_per_mm * times)
        # All is painted anew: what there is need not be moved for that.
        mode = self.viewportUpdateMode()
        self.setViewportUpdateMode(QGraphicsView.ViewportUpdateMode.FullViewportUpdate)
        self._scroll(self.mapFromScene(kept) - place)
        self.setViewportUpdateMode(mode)

    def set_underside(self, underside: bool) -> None:  # noqa: FBT001
        """Look from below, mirrored left to right, or from above."""
        if underside == self.look.underside:
            return
        middle = self.mapToScene(self.viewport().rect().center())
        self.look.set_underside(underside=underside)
        self._apply_zoom(self.look.px_per_mm)
        self.centerOn(middle)
        self.plan.relayer()
        self.viewport().update()
        self.underside_changed.emit(underside)

    def set_grid_shown(self, shown: bool) -> None:  # noqa: FBT001
        """Show the grid or hide it."""
        self.is_grid_shown = shown
        self.viewport().update()

    def place_labels_soon(self) -> None:
        """Find the words their places once all is still."""
        self._rest.start()

    def keep_markers_in(self) -> None:
        """Turn the words of the markers to where they can be read."""
        seen = self.mapToScene(self.viewport().rect()).boundingRect()
        for marker in self.markers:
            marker.keep_in(seen)

    def gives_way(self) -> bool:
        """Return whether words are to wait a little for something else."""
        return False

    def begin_pan(self, place: QPoint) -> None:
        """Take hold of the plan."""
        self._panned_from = place
        self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)

    def end_pan(self) -> None:
        """Let go of the plan."""
        self._panned_from = None

    # Qt overrides

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the plan about while it is held."""
        if self._panned_from is not None:
            place = event.position().toPoint()
            self._scroll(self._panned_from - place)
            self._panned_from = place

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom to the pointer."""
        turned = event.angleDelta().y()
        if turned and not self.is_panning:
            if self.plan.is_large:
                self._set_rough(rough=True)
            self.zoom_about(event.position().toPoint(), WHEEL_TIMES**turned)
        event.accept()

    def viewportEvent(self, event: QEvent) -> bool:
        """Zoom where two fingers are spread on a touch pad."""
        if isinstance(event, QNativeGestureEvent) and (
            event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        ):
            self.zoom_about(event.position().toPoint(), 1.0 + event.value())
            return True
        return super().viewportEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what is to be painted, rectangle by rectangle where they are few.

        Scrolling askew uncovers two strips. Items are told of the box round both, and
        that is all the view.
        """
        if self.plan.is_sketched:
            self._clip = QRect()
            super().paintEvent(QPaintEvent(QRegion()))  # it notes that all is painted
            self._paint_sketch(event.region().boundingRect())
        else:
            for part in _parts(event.region()):
                self._clip = part.boundingRect()
                super().paintEvent(QPaintEvent(part))
        self.painted.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Find the words in a view of another size their places."""
        super().resizeEvent(event)
        self._rest.start()

    def scrollContentsBy(self, dx: int, dy: int) -> None:  # noqa: N802
        """Find the words in the new view their places, once it stands still."""
        super().scrollContentsBy(dx, dy)
        self._slice.stop()  # frames come first
        self._wait.stop()
        self._rest.start()

    def drawBackground(self, painter: QPainter, rect: Any) -> None:  # noqa: ARG002
        """Paint the ground and the grid, and let nothing be painted beyond them."""
        if self._clip.isEmpty():
            return
        world = painter.worldTransform()
        painter.setWorldTransform(QTransform())
        painter.setClipRect(self._clip)
        painter.setWorldTransform(world)
        self._paint_ground(painter, self._clip)

    def _paint_sketch(self, clip: QRect) -> None:
        """Paint the plan in few strokes, and what lies over it as ever."""
        painter = QPainter(self.viewport())
        painter.setWorldTransform(self.viewportTransform())
        self._paint_ground(painter, clip)
        area = self.mapToScene(clip.adjusted(-1, -1, 1, 1)).boundingRect()
        self.plan.sketch(painter, area)
        option: Any = QStyleOptionGraphicsItem()
        for overlay in sorted(self.plan.overlays, key=lambda item: item.zValue()):
            option.exposedRect = area & overlay.boundingRect()
            if overlay.isVisible() and not option.exposedRect.isEmpty():
                overlay.paint(painter, option)
        painter.end()

    def _paint_ground(self, painter: QPainter, clip: QRect) -> None:
        lengths = self.lengths if self.is_grid_shown else None
        paint_ground(painter, self.look, clip, self.plan.boards(), lengths)

    def _apply_zoom(self, px_per_mm: float) -> None:
        zoom = min(max(px_per_mm, LEAST_PX_PER_MM), MOST_PX_PER_MM)
        self.look.px_per_mm = zoom
        across = -zoom if self.look.underside else zoom
        self.setTransform(QTransform.fromScale(across, -zoom))
        self._slice.stop()  # places at the zoom before are of no use
        self._wait.stop()
        self.plan.set_zoom()
        self._rest.start()
        self.zoom_changed.emit(zoom)

    def _scroll(self, by: QPoint | QPointF) -> None:
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        across.setValue(across.value() + round(by.x()))
        down.setValue(down.value() + round(by.y()))

    def _on_rest(self) -> None:
        """Draw smooth lines again, and find the words their places."""
        self._set_rough(rough=False)
        self.keep_markers_in()
        self._waits = 0
        self._place_in_turn()

    def _place_in_turn(self) -> None:
        """Find the words their places, after others that want Python more."""
        if self.gives_way() and self._waits < MOST_WAITS:
            self._waits += 1
            self._wait.start()
            return
        self._wait.stop()
        seen = self.mapToScene(self.viewport().rect()).boundingRect()
        across, deep = 0.5 * seen.width(), 0.5 * seen.height()
        self.plan.settle(self.viewport().size())
        area = seen.adjusted(-across, -deep, across, deep)
        self._placing = self.plan.place_labels(area)
        if self.plan.is_large:
            self._placing = chain(self._placing, self.plan.prepare_sketch())
        self._slice.start()

    def _place_some(self) -> None:
        """Place words for a moment, then let the window breathe."""
        until = monotonic() + SLICE_S
        for _ in self._placing:
            if monotonic() >= until:
                self._slice.start()
                return

    def _set_rough(self, *, rough: bool) -> None:
        if rough != self.look.is_rough:
            self.look.is_rough = rough
            self.plan.set_zoom()
            hint = QPainter.RenderHint.Antialiasing
            self.setRenderHint(hint, not rough)
            self.viewport().update()


def _parts(region: QRegion) -> list[QRegion]:
    """Return the rectangles of a region, or all of it where that is as well."""
    count = region.rectCount()
    if 1 < count <= MOST_RECTANGLES:
        found: Any = region  # can be gone through, though its stub lacks it
        rects: list[QRect] = list(found)
        box = region.boundingRect()
        whole = box.width() * box.height()
        if sum(r.width() * r.height() for r in rects) < MOST_SHARE * whole:
            return [QRegion(rect) for rect in rects]
    return [region]
