"""The windows of the Help menu: keys, how the figures come about, safety."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QGridLayout, QScrollArea, QWidget

from app.panels.bits import button, column, label, row
from app.shell.actions import COMMANDS
from app.tools.catalogue import TOOLS

FIGURES = """
Volts
Rails and wires are uniform resistances. At every point of track the program works
out the volts that are left with the trains you placed, and the test train on top of
them at just that point. The lowest is marked.

Loop
The resistance from the booster out to a point and back. One amp loses one volt for
each ohm of it. It is what a meter reads there with the booster replaced by a bridge.

Short
What a coin on the rails can draw there. Track power is a square wave that changes
sides every 58 or 100 µs, so a long loose pair holds the current back however thick it
is: inductance counts. It is set against the current that trips the breaker, as the
breaker senses it.

Poles
A rail is A where it hangs on the booster's A terminal by wire and rail, else B. Where
both hang on one piece of metal, a short, it counts to the pole whose volts are nearer:
that shows where a crossed pair turns the rails over, and where the two sides meet.

Feeds
A rail belongs to the last breaker, reverser or other device before the drops on it.
A device parts one conductor only, so the other rail may run on through several
districts. What is left is the least of all devices up to the booster: what each is
rated for, or trips at, less what the standing loads draw through it.

Where the volts went
The loss is split exactly over booster, breaker, bus, contacts, drop, joints and rail;
the rows add up to the whole.

How sure it is
Copper is known to a few per cent. Rail differs by a third between sources, joints by
more. Measure your own: 1 A through 1 m of rail; the millivolts across it are its
milliohms a metre.
"""
SAFETY = """
What it is for
This program plans low-voltage track wiring. It computes and explains; it does not
certify anything.

Mains side
Use bought, enclosed, approved supplies only. Local code and a licensed electrician
decide, also on earthing and on joining boosters' commons.

Heat
Low voltage is not low heat: 5 A at 15 V is 75 W. Where a coin on the rails does not
trip the breaker, run no trains.

Working below
Switch off and unplug first. Protect your eyes from solder and wire ends; keep your
face out of the fumes.
"""


class HelpWindow(QDialog):
    """A titled column of words."""

    def __init__(self, title: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(560, 520)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        inside = QWidget()
        inside.setProperty("ground", "panel")
        self.words = column(inside, margin=4)
        self.words.addWidget(label(title, "title"))
        area.setWidget(inside)
        box = column(self)
        box.addWidget(area)
        box.addLayout(row(None, button("Close", self.accept, "main")))


def keys_window(parent: QWidget) -> QDialog:
    """Return the list of all keys."""
    window = HelpWindow("Keys", parent)
    pairs = [
        (tool.shortcut, f"{tool.title} tool, on the plan") for tool in TOOLS.values()
    ]
    pairs += [(c.shortcut, c.text.replace("&", "")) for c in COMMANDS if c.shortcut]
    pairs += [
        ("Ctrl+Z, Ctrl+Y", "Undo, redo"),
        ("Wheel", "Zoom to the pointer"),
        ("Middle button, Space", "Drag the plan"),
        ("Esc", "Leave what you are drawing, or take a finding's way off the plan"),
    ]
    grid = QGridLayout()
    grid.setColumnStretch(1, 1)
    for i, (key, words) in enumerate(pairs):
        grid.addWidget(label(key, "heading", wraps=False), i, 0)
        grid.addWidget(label(words), i, 1)
    window.words.addLayout(grid)
    window.words.addStretch(1)
    return window


def figures_window(parent: QWidget) -> QDialog:
    """Return how the figures come about."""
    window = HelpWindow("How the figures come about", parent)
    _add(window, FIGURES)
    return window


def about_window(parent: QWidget, version: str) -> QDialog:
    """Return what this is, and the cautions."""
    window = HelpWindow(f"Feederwright {version}", parent)
    _add(window, SAFETY)
    return window


def _add(window: HelpWindow, text: str) -> None:
    """Put paragraphs into a window; the first line of each is its heading."""
    for paragraph in text.strip().split("\n\n"):
        heading, *lines = paragraph.split("\n")
        window.words.addWidget(label(heading, "heading"))
        window.words.addWidget(label(" ".join(lines)))
    window.words.addStretch(1)
