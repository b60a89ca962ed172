"""The start page: begin anew, open a sample, go on with what was open last."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.panels.bits import Card, button, column, empty, label, row
from app.panels.thumbnail import draw_thumbnail
from app.session.looks import Looks
from core.layout.layout import Layout

PREVIEW = QSize(330, 150)
"""Size of a sample's picture. [px]"""

SAYS = (
    "Draw the track and the wires under it. See at every point what volts a train gets "
    "and whether a short would trip the breaker. Print the sheet you take under the "
    "layout."
)
CARE = (
    "Low-voltage track wiring only. For anything on the mains side, local code and a "
    "licensed electrician decide."
)


@dataclass(frozen=True, slots=True)
class Sample:
    """A layout that comes with the program: its file, and a line about it."""

    path: Path
    layout: Layout
    about: str

    @property
    def title(self) -> str:
        """What it is called."""
        return self.layout.settings.title


@dataclass(frozen=True, slots=True)
class Rescued:
    """Work that was not saved when the program last ended."""

    title: str
    when: str
    open: Callable[[], None]
    forget: Callable[[], None]


@dataclass(frozen=True)
class Starts:
    """What the page can begin."""

    new: Callable[[], None]
    choose: Callable[[], None]
    open: Callable[[Path], object]
    open_sample: Callable[[Path], object]


class StartPage(QScrollArea):
    """What an empty start shows."""

    def __init__(self, looks: Looks, starts: Starts) -> None:
        super().__init__()
        self._looks, self._starts = looks, starts
        self._samples: tuple[Sample, ...] = ()
        self._pictures: list[tuple[QPushButton, Sample]] = []
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName("Start")
        inside = QWidget()
        inside.setProperty("ground", "panel")
        outer = QHBoxLayout(inside)
        middle = QWidget()
        middle.setMaximumWidth(1080)
        outer.addWidget(middle, 1, Qt.AlignmentFlag.AlignTop)
        box = column(middle, margin=28)
        box.setSpacing(18)
        box.addLayout(self._head())
        self._rescues = QVBoxLayout()
        box.addLayout(self._rescues)
        box.addLayout(self._lower())
        box.addWidget(label(CARE, "faint"))
        self.setWidget(inside)
        looks.changed.connect(self._draw_pictures)

    def show_samples(self, samples: Sequence[Sample]) -> None:
        """Offer these samples."""
        self._samples = tuple(samples)
        empty(self._grid)
        self._pictures = []
        for i, sample in enumerate(self._samples):
            self._grid.addWidget(self._sample_card(sample), i // 2, i % 2)
        self._draw_pictures()

    def show_recent(self, paths: Sequence[Path]) -> None:
        """Offer these files."""
        empty(self._recent)
        self._recent_title.setVisible(bool(paths))
        for path in paths:
            made = button(path.stem, self._opener(path), "link", str(path))
            self._recent.addWidget(made)
            where = label(str(path.parent), "faint", wraps=False)
            where.setIndent(5)
            self._recent.addWidget(where)
            self._recent.addSpacing(6)

    def show_rescues(self, rescues: Sequence[Rescued]) -> None:
        """Offer work that was not saved."""
        empty(self._rescues)
        for rescued in rescues:
            card = Card(f"Unsaved work was kept: {rescued.title}")
            card.box.addWidget(
                label(
                    f"The program ended without saving it. Last kept {rescued.when}.",
                    "faint",
                )
            )
            back = button("Bring it back", rescued.open, "main")
            drop = button("Throw it away", rescued.forget)
            card.box.addLayout(row(back, drop, None))
            self._rescues.addWidget(card)

    def _lower(self) -> QHBoxLayout:
        lower = QHBoxLayout()
        lower.setSpacing(28)
        left = QVBoxLayout()
        left.addWidget(label("Look at a sample", "title", wraps=False))
        self._grid = QGridLayout()
        self._grid.setSpacing(14)
        left.addSpacing(4)
        left.addLayout(self._grid)
        left.addStretch(1)
        lower.addLayout(left, 3)
        right = QVBoxLayout()
        self._recent_title = label("Go on with", "title", wraps=False)
        right.addWidget(self._recent_title)
        right.addSpacing(4)
        self._recent = QVBoxLayout()
        self._recent.setSpacing(0)
        right.addLayout(self._recent)
        right.addStretch(1)
        lower.addLayout(right, 1)
        return lower

    def _head(self) -> QHBoxLayout:
        mark = QLabel()
        mark.setPixmap(
            self._looks.pixmap("feederwright", "ink", 64, self.devicePixelRatioF())
        )
        words = QVBoxLayout()
        name = label("Feederwright", "figure")
        words.addWidget(name)
        says = label(SAYS)
        says.setMaximumWidth(600)
        words.addWidget(says)
        self.new = button("New layout", self._starts.new, "main")
        self.choose = button("Open a file…", self._starts.choose)
        words.addSpacing(6)
        words.addLayout(row(self.new, self.choose, None))
        head = QHBoxLayout()
        head.setSpacing(20)
        head.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
        head.addLayout(words, 1)
        return head

    def _sample_card(self, sample: Sample) -> Card:
        card = Card()
        picture = QPushButton()
        picture.setProperty("kind", "picture")
        picture.setIconSize(PREVIEW)
        picture.setCursor(Qt.CursorShape.PointingHandCursor)
        picture.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # its title takes the keys
        picture.setAccessibleName(f"Plan of {sample.title}")
        picture.clicked.connect(lambda *_: self._starts.open_sample(sample.path))
        self._pictures.append((picture, sample))
        card.box.addWidget(picture)
        open_it = button(sample.title, self._sampler(sample.path), "link")
        card.box.addWidget(open_it)
        about = label(sample.about, "faint")
        about.setIndent(5)
        card.box.addWidget(about)
        card.box.addStretch(1)
        return card

    def _draw_pictures(self) -> None:
        for picture, sample in self._pictures:
            plan = draw_thumbnail(
                sample.layout, self._looks.theme, PREVIEW, self.devicePixelRatioF()
            )
            picture.setIcon(QIcon(plan))

    def _opener(self, path: Path) -> Callable[[], object]:
        return lambda: self._starts.open(path)

    def _sampler(self, path: Path) -> Callable[[], object]:
        return lambda: self._starts.open_sample(path)
