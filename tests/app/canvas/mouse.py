"""A mouse and keyboard on a canvas, told in millimetres of plan."""

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas

LEFT, MIDDLE, RIGHT = (
    Qt.MouseButton.LeftButton,
    Qt.MouseButton.MiddleButton,
    Qt.MouseButton.RightButton,
)
NONE, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier


class Mouse:
    """Sends real events to the canvas."""

    def __init__(self, qtbot: QtBot, canvas: Canvas) -> None:
        self._qtbot = qtbot
        self._canvas = canvas
        self._port = canvas.viewport()

    def pixel(self, x_mm: float, y_mm: float) -> QPoint:
        return self._canvas.mapFromScene(QPointF(x_mm, y_mm))

    def move(self, x_mm: float, y_mm: float) -> "Mouse":
        QTest.mouseMove(self._port, self.pixel(x_mm, y_mm))
        return self

    def press(self, x_mm: float, y_mm: float, button: Qt.MouseButton = LEFT) -> "Mouse":
        QTest.mousePress(self._port, button, NONE, self.pixel(x_mm, y_mm))
        return self

    def release(
        self, x_mm: float, y_mm: float, button: Qt.MouseButton = LEFT
    ) -> "Mouse":
        QTest.mouseRelease(self._port, button, NONE, self.pixel(x_mm, y_mm))
        return self

    def click(
        self,
        x_mm: float,
        y_mm: float,
        button: Qt.MouseButton = LEFT,
        held: Qt.KeyboardModifier = NONE,
    ) -> "Mouse":
        self.move(x_mm, y_mm)
        QTest.mouseClick(self._port, button, held, self.pixel(x_mm, y_mm))
        return self

    def double(self, x_mm: float, y_mm: float) -> "Mouse":
        place = self.pixel(x_mm, y_mm)
        QTest.mouseClick(self._port, LEFT, NONE, place)
        QTest.mouseDClick(self._port, LEFT, NONE, place)
        return self

    def drag(
        self, *points: tuple[float, float], button: Qt.MouseButton = LEFT
    ) -> "Mouse":
        self.move(*points[0]).press(*points[0], button)
        for point in points[1:]:
            self.move(*point)
        return self.release(*points[-1], button)

    def wheel(self, x_mm: float, y_mm: float, notches: int) -> "Mouse":
        place = QPointF(self.pixel(x_mm, y_mm))
        event = QWheelEvent(
            place,
            self._port.mapToGlobal(place),
            QPoint(),
            QPoint(0, 120 * notches),
            Qt.MouseButton.NoButton,
            NONE,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(self._port, event)
        return self

    def key(self, key: Qt.Key, held: Qt.KeyboardModifier = NONE) -> "Mouse":
        QTest.keyClick(self._canvas, key, held)
        return self

    def type(self, text: str) -> "Mouse":
        QTest.keyClicks(self._canvas, text)
        return self
