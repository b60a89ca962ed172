"""Speed of the plan: frames while it is dragged about and while the wheel turns."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import cycle
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from PySide6.QtCore import QEventLoop, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication

from app.build import make_examine
from app.canvas.canvas import Canvas
from app.session.session import Session
from app.session.theme import LIGHT
from core.layout.layout import Layout
from tests.bench.generate import club_layout
from tests.bench.table import Row
from tests.bench.window import REST_MS, SIZE, application

FRAMES = 40
"""So many are timed at each zoom; the figure is the median."""

STEP_PX, NOTCH = 24, 120
"""How far the plan is dragged from frame to frame, and one notch of the wheel."""

ZOOMS = (1.0, 4.0, 16.0)
"""Times the zoom at which the whole plan fits. [1]"""


@contextmanager
def open_plan(layout: Layout) -> Iterator[Canvas]:
    """Open a canvas alone, coloured by volts."""
    application()
    with TemporaryDirectory() as folder:
        session = Session(make_examine(), Path(folder))
        canvas = Canvas(session, LIGHT)
        canvas.resize(*SIZE)
        canvas.show()
        canvas.set_colouring("volts")
        loop = QEventLoop()
        canvas._heat.shown.connect(loop.quit)
        session.replace_layout(layout, None)
        loop.exec()
        settle(REST_MS)
        try:
            yield canvas
        finally:
            canvas.close()
            session.close()
            canvas.deleteLater()
            session.deleteLater()


def settle(ms: int) -> None:
    """Let all that is still to come happen. [ms]"""
    loop = QEventLoop()
    QTimer.singleShot(ms, loop.quit)
    loop.exec()


def frame_rows(
    pieces: int = 1710, frames: int = FRAMES, rest_ms: int = REST_MS
) -> list[Row]:
    """Time frames of dragging and of the wheel at some zooms; tell the slowest.

    While the wheel turns, large plans are drawn rough and without words; the last row
    tells how long that lasts.
    """
    rows: list[Row] = []
    with open_plan(club_layout(pieces)) as canvas:
        parts = len(canvas.plan.parts)
        for name, make in (("pan", _dragging), ("zoom", _turning)):
            slowest = max(
                (
                    _frames(canvas, make(canvas), times, frames, rest_ms)
                    for times in ZOOMS
                ),
                key=lambda found: median(wall for wall, _ in found),
            )
            wall, work = (1000.0 * median(side) for side in zip(*slowest, strict=True))
            worst = 1000.0 * max(wall for wall, _ in slowest)
            note = f"{parts} parts, {SIZE[0]} x {SIZE[1]}; CPU {work:.1f} ms, worst {worst:.0f} ms"
            rows.append(Row(f"{name}: a frame", wall, "≤ 16 ms", note, "ms"))
        found = [_smooth(canvas, times, rest_ms) for times in ZOOMS]
        wall, work = (1000.0 * max(side) for side in zip(*found, strict=True))
        note = f"{parts} parts, waiting for the wheel included; CPU {work:.0f} ms"
        rows.append(Row("zoom: till lines are smooth", wall, "", note, "ms"))
    return rows


def _smooth(canvas: Canvas, times: float, rest_ms: int) -> tuple[float, float]:
    """Return time and work from a notch's frame on till smooth lines stand. [s]"""
    _begin(canvas, times, rest_ms)
    _turning(canvas)()
    QApplication.processEvents()
    begun, worked = perf_counter(), process_time()
    while canvas.look.is_rough:
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    QApplication.processEvents()
    return perf_counter() - begun, process_time() - worked


def _begin(canvas: Canvas, times: float, rest_ms: int) -> None:
    """Show the middle of the plan, and wait till all is still."""
    canvas.fit()
    canvas.zoom_about(canvas.viewport().rect().center(), times)
    settle(rest_ms)
    while canvas._rest.isActive() or canvas._slice.isActive():
        settle(rest_ms)


def _frames(
    canvas: Canvas, move: Callable[[], None], times: float, count: int, rest_ms: int
) -> list[tuple[float, float]]:
    """Return time and work of frames at some zoom, begun when all is still. [s]"""
    _begin(canvas, times, rest_ms)
    found: list[tuple[float, float]] = []
    for _ in range(count):
        begun, worked = perf_counter(), process_time()
        move()
        QApplication.processEvents()
        found.append((perf_counter() - begun, process_time() - worked))
    return found


def _dragging(canvas: Canvas) -> Callable[[], None]:
    ways = cycle((*(STEP_PX,) * 8, *(-STEP_PX,) * 8))

    def drag() -> None:
        by = next(ways)
        for bar in (canvas.horizontalScrollBar(), canvas.verticalScrollBar()):
            bar.setValue(bar.value() + by)

    return drag


def _turning(canvas: Canvas) -> Callable[[], None]:
    notches = cycle((*(NOTCH,) * 5, *(-NOTCH,) * 5))

    def turn() -> None:
        viewport = canvas.viewport()
        at = QPointF(viewport.rect().center())
        event = QWheelEvent(
            at,
            viewport.mapToGlobal(at),
            QPoint(),
            QPoint(0, next(notches)),
            Qt.MouseButton.NoButton,
            Qt.KeyboardModifier.NoModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(viewport, event)

    return turn
