"""The PySide6 in use does not lose references to None.

PySide6 6.12.0 on Python 3.11 takes one reference from None at every void call and
aborts the process after some thousand of them (measured; DEVELOPERS.md, "Traps").
"""

import sys

from PySide6.QtCore import QRectF

CALLS = 1000
NOISE = 50
"""References that other code may drop meanwhile."""


def test_void_calls_leave_the_count_of_none_alone() -> None:
    rect = QRectF(0, 0, 1, 1)
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        rect.setWidth(2)
    assert sys.getrefcount(None) > before - NOISE
