"""Measure every speed of the design in one run: `python3 -m tests.bench`."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # before anything knows Qt
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the program does

from PySide6.QtCore import QStandardPaths

from tests.bench.every import every_row
from tests.bench.table import markdown

if __name__ == "__main__":
    QStandardPaths.setTestModeEnabled(True)  # nothing of the person's is touched
    print(markdown(every_row()))
