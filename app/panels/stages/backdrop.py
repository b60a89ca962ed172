"""The Backdrop panel: a picture under the paper, its scale, units and benchwork."""

from pathlib import Path
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QFileDialog, QSlider

from app.panels.bits import Card, button, label, row
from app.panels.fields.codecs import LENGTH
from app.panels.fields.field import Field
from app.panels.fields.form import Form
from app.panels.fields.settings import BENCH, WORLD
from app.panels.intake import SUFFIXES, Intake, Taken
from app.panels.stages.base import Hands, StagePanel, key_of
from app.session.looks import Looks
from app.session.session import Session
from core.layout.change import Change
from core.layout.edits.add import set_backdrop
from core.layout.edits.set import set_fields
from core.layout.ids import BACKDROP_ID, PartId
from core.layout.layout import Layout

EMPTY = (
    "Have you a drawing or a photo of the benchwork? Drop the file here, paste it, or "
    "choose it: PNG, JPEG, PDF, SVG or DXF. You can also draw on the bare grid."
)
NO_SCALE = (
    "Tell how large it is: click two points a known distance apart, or type its width."
)


def _set_width(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    backdrop = layout.backdrop
    assert backdrop is not None
    return set_fields(layout, ids, mm_per_px=value * 1000.0 / backdrop.width_px)


WIDTH = Field(
    "mm_per_px",
    "Picture is wide",
    LENGTH,
    tip="What the whole width of the picture is in truth.",
    read=lambda part: part.mm_per_px * part.width_px / 1000.0,
    build=_set_width,
)


class BackdropPanel(StagePanel):
    """Takes the picture in and sets its scale and strength."""

    def __init__(self, session: Session, looks: Looks, hands: Hands) -> None:
        super().__init__(session, looks, hands, "Backdrop")
        self.intake = Intake(self)
        self.intake.taken.connect(self._on_taken)
        self.intake.refused.connect(session.notice)
        self.intake.busy.connect(self._on_busy)
        self._source: Taken | None = None
        card = Card("Picture")
        self.words = label(EMPTY, "faint")
        card.box.addWidget(self.words)
        self.choose = button("Choose a file…", self._on_choose, "main")
        self.remove = button("Take away", self._on_remove)
        card.box.addLayout(row(self.choose, self.remove, None))
        self._back = button("Page before", lambda: self._turn(-1))
        self._on = button("Next page", lambda: self._turn(1))
        card.box.addLayout(row(self._back, self._on, None))
        self._scale = button("Two points…", lambda: hands.set_tool("scale"))
        self._scale.setToolTip(
            f"Click two points, type how far apart they are ({key_of('scale')})"
        )
        self.form = Form(session)
        card.box.addWidget(self.form)
        card.box.addLayout(row(self._scale, None))
        self._strength_words = label("Strength", "faint")
        self.strength = QSlider(Qt.Orientation.Horizontal)
        self.strength.setRange(5, 100)
        self.strength.setAccessibleName("Strength of the picture")
        self.strength.valueChanged.connect(self._on_strength)
        card.box.addLayout(row(self._strength_words, self.strength))
        self.add(
            card,
            self.settings_card("Scale and units", WORLD),
            self.settings_card("Benchwork", BENCH),
        )
        self.close_up()
        self.refresh()

    def refresh(self) -> None:
        """Show the picture's state."""
        backdrop = self.session.layout.backdrop
        there = backdrop is not None
        for widget in (self.remove, self.form, self._scale, self.strength):
            widget.setVisible(there)
        self._strength_words.setVisible(there)
        several = there and self._source is not None and self._source.pages > 1
        self._back.setVisible(several)
        self._on.setVisible(several)
        self.choose.setText("Another file…" if there else "Choose a file…")
        if backdrop is None:
            self._source = None
            self.words.setText(EMPTY)
            return
        self.form.show_parts((BACKDROP_ID,), (WIDTH,))
        unset = backdrop.mm_per_px == 1.0
        size = f"{backdrop.name}, {backdrop.width_px} × {backdrop.height_px} pixels."
        self.words.setText(f"{size} {NO_SCALE}" if unset else size)
        self.strength.blockSignals(True)  # noqa: FBT003  shown, not chosen
        self.strength.setValue(round(backdrop.opacity * 100))
        self.strength.blockSignals(False)  # noqa: FBT003

    def take(self, mime: QMimeData) -> bool:
        """Take in what was dropped or pasted; return whether it is a picture."""
        files = [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]
        if files:
            self.intake.read(files[0])
            return True
        image = mime.imageData() if mime.hasImage() else None
        if isinstance(image, QImage) and not image.isNull():
            self.intake.read_image(image, "Pasted picture")
            return True
        return False

    def paste(self) -> bool:
        """Take in what lies on the clipboard, if it is a picture."""
        return self.take(QGuiApplication.clipboard().mimeData())

    def close_work(self) -> None:
        """Give up what is being read."""
        self.intake.stop()

    def _on_choose(self) -> None:
        path, _ = QFileDialog.getOpenFileName(
            self, "Choose a picture", "", f"Pictures and drawings ({SUFFIXES})"
        )
        if path:
            self.intake.read(Path(path))

    def _on_taken(self, taken: Taken) -> None:
        self._source = taken
        new, old = taken.backdrop, self.session.layout.backdrop
        if old is not None:
            new = replace(new, x_mm=old.x_mm, y_mm=old.y_mm, opacity=old.opacity)
        self.session.commit(set_backdrop(self.session.layout, new))
        self.hands.show_all()
        self.refresh()

    def _on_remove(self) -> None:
        self.session.commit(set_backdrop(self.session.layout, None))

    def _on_busy(self, busy: bool) -> None:  # noqa: FBT001
        self.choose.setEnabled(not busy)
        if busy:
            self.words.setText("Reading the picture…")
        else:
            self.refresh()

    def _on_strength(self, value: int) -> None:
        if self.session.layout.backdrop is not None:
            ids = frozenset({BACKDROP_ID})
            change = set_fields(self.session.layout, ids, opacity=value / 100)
            self.session.commit(change)

    def _turn(self, by: int) -> None:
        taken = self._source
        if taken is not None:
            page = (taken.page + by) % taken.pages
            self.intake.read(taken.source, page)
