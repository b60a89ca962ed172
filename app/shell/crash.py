"""The last resort: a defect shows a window with what to report, never silence."""

import platform
import sys
import traceback
from collections.abc import Callable
from types import TracebackType

import PySide6
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QDialog, QPlainTextEdit, QWidget

from app.panels.bits import button, column, label, row

SAYS = (
    "Something in the program is broken. Your drawing is not lost: {where} "
    "You can go on, save under another name, and start the program again."
)


class CrashWindow(QDialog):
    """Says what happened, where the work is kept, and what to send in."""

    def __init__(self, report: str, where: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Feederwright: a defect")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(680, 420)
        box = column(self)
        box.addWidget(label("That should not have happened", "title"))
        box.addWidget(label(SAYS.format(where=where)))
        self.report = QPlainTextEdit(report)
        self.report.setReadOnly(True)
        self.report.setAccessibleName("Report of the defect")
        box.addWidget(self.report, 1)
        copy = button("Copy the report", self._on_copy)
        leave = button("Close the program", self._on_leave)
        go_on = button("Go on", self.accept, "main")
        box.addLayout(row(copy, None, leave, go_on))

    def _on_copy(self) -> None:
        QGuiApplication.clipboard().setText(self.report.toPlainText())

    def _on_leave(self) -> None:
        self.reject()
        QApplication.exit(1)


class CrashGuard:
    """Stands in `sys.excepthook`; shows one window at a time.

    Parameters
    ----------
    rescue : callable
        Keeps the work at once, and returns where it is kept, as a sentence.
    """

    def __init__(self, rescue: Callable[[], str]) -> None:
        self._rescue = rescue
        self._before = sys.excepthook
        self.window: CrashWindow | None = None

    def install(self) -> None:
        """Catch what nobody caught, from now on."""
        sys.excepthook = self.on_defect

    def remove(self) -> None:
        """Let Python handle it again."""
        sys.excepthook = self._before

    def on_defect(
        self,
        kind: type[BaseException],
        error: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Show a defect."""
        self._before(kind, error, trace)
        if issubclass(kind, KeyboardInterrupt):
            QApplication.exit(130)
            return
        if self.window is not None:
            return  # one is enough; the rest stands on the console
        report = describe(kind, error, trace)
        self.window = CrashWindow(report, self._keep(), QApplication.activeWindow())
        self.window.finished.connect(self._on_closed)
        self.window.open()

    def _keep(self) -> str:
        try:
            return self._rescue()
        except Exception as error:  # noqa: BLE001  a second defect must not hide the first
            return f"but it could not be kept just now ({error})."

    def _on_closed(self) -> None:
        self.window = None


def describe(
    kind: type[BaseException], error: BaseException, trace: TracebackType | None
) -> str:
    """Return a report that can be sent in; it holds nothing of the drawing."""
    lines = "".join(traceback.format_exception(kind, error, trace))
    return (
        f"Feederwright, Python {platform.python_version()}, "
        f"PySide {PySide6.__version__}, {platform.platform()}\n\n{lines}"
    )
