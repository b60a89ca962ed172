"""The right side: the stage's panel or the selected part, and the probe below."""

from dataclasses import dataclass

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import (
    QFrame,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QTabBar,
    QVBoxLayout,
    QWidget,
)

from app.panels.bits import column
from app.panels.probe_card import ProbeCard
from app.panels.properties import Properties
from app.panels.stages.backdrop import BackdropPanel
from app.panels.stages.base import StagePanel
from app.panels.stages.drops import DropsPanel
from app.panels.stages.power import PowerPanel
from app.panels.stages.prove import ProvePanel
from app.panels.stages.sheet import SheetPanel
from app.panels.stages.track import TrackPanel
from app.session.session import Session
from app.session.stages import STAGES
from core.layout.ids import BACKDROP_ID

WIDTH = 340
"""Width of the right side. [px]"""

STAGE_TAB, PART_TAB = 0, 1
TITLES = {stage.id: stage.title for stage in STAGES}


@dataclass(frozen=True)
class StagePanels:
    """The panel of each stage."""

    backdrop: BackdropPanel
    track: TrackPanel
    power: PowerPanel
    drops: DropsPanel
    prove: ProvePanel
    sheet: SheetPanel

    def of(self, stage_id: str) -> StagePanel:
        """Return the panel of a stage."""
        panel: StagePanel = getattr(self, stage_id)
        return panel

    def all(self) -> tuple[StagePanel, ...]:
        """Return all panels, in the order of the job."""
        return tuple(self.of(stage.id) for stage in STAGES)


class Context(QFrame):
    """Two tabs, and the probe card pinned under them."""

    def __init__(
        self,
        session: Session,
        panels: StagePanels,
        properties: Properties,
        card: ProbeCard,
    ) -> None:
        super().__init__()
        self._session, self._panels = session, panels
        self._stage = STAGES[0].id
        self.setFixedWidth(WIDTH)
        self.tabs = QTabBar()
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.addTab(TITLES[self._stage])
        self.tabs.addTab("Selected")
        self.tabs.setAccessibleName("Right side")
        self.properties = properties
        self._pages = QStackedWidget()
        for panel in panels.all():
            self._pages.addWidget(panel)
        self._pages.addWidget(properties)
        self._probe = _Tray(card)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.tabs)
        box.addWidget(self._pages, 1)
        box.addWidget(self._probe)
        self.tabs.currentChanged.connect(lambda _: self._show())
        session.selection_changed.connect(self._on_selection)
        session.layout_replaced.connect(self._on_selection)
        session.probe_changed.connect(self._on_probe)
        self._on_selection()
        self._on_probe()

    @property
    def shows_part(self) -> bool:
        """Whether the selected part is shown, not the stage's panel."""
        return self.tabs.currentIndex() == PART_TAB

    def show_stage(self, stage_id: str) -> None:
        """Show the panel of a stage."""
        self._stage = stage_id
        self.tabs.setTabText(STAGE_TAB, TITLES[stage_id])
        self.tabs.setCurrentIndex(STAGE_TAB)
        self._show()

    def show_part(self) -> None:
        """Show the selected part."""
        self.tabs.setCurrentIndex(PART_TAB)

    def close_work(self) -> None:
        """End what the panels do in the background."""
        for panel in self._panels.all():
            panel.close_work()

    def _show(self) -> None:
        part = self.shows_part
        self._pages.setCurrentWidget(
            self.properties if part else self._panels.of(self._stage)
        )

    def _on_selection(self) -> None:
        """Follow what is selected; while proving, the findings stay in view."""
        chosen = sorted(self._session.selection - {BACKDROP_ID})
        self.tabs.setTabEnabled(PART_TAB, bool(chosen))
        word = chosen[0] if len(chosen) == 1 else f"{len(chosen)} parts"
        self.tabs.setTabText(PART_TAB, f"Selected: {word}" if chosen else "Selected")
        if not chosen:
            self.tabs.setCurrentIndex(STAGE_TAB)
        elif self._stage != "prove":
            self.tabs.setCurrentIndex(PART_TAB)

    def _on_probe(self) -> None:
        self._probe.setVisible(self._session.probe_place is not None)
        self._probe.updateGeometry()


class _Tray(QScrollArea):
    """Holds the probe card at the bottom; scrolls where the window is low."""

    def __init__(self, card: ProbeCard) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        holder = QWidget()
        holder.setProperty("ground", "panel")
        column(holder, margin=8).addWidget(card)
        self.setWidget(holder)
        self._holder = holder
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)

    def sizeHint(self) -> QSize:
        """Return as much height as the card wants."""
        height = self._holder.heightForWidth(WIDTH)
        return QSize(WIDTH, height if height > 0 else self._holder.sizeHint().height())
