"""The probe card: what a train gets at one point of track, and why."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.panels.bits import Card, IconButton, label, row, rule
from app.panels.loss_bars import LossBars
from app.panels.losses import sum_of
from app.panels.probe_words import (
    beyond_in_words,
    chain_in_words,
    cut_off_in_words,
    devices_in_words,
    drops_in_words,
    every_drop_in_words,
    lazy_in_words,
    limit_in_words,
    loop_in_words,
    rails_in_words,
    short_in_words,
    volts_in_words,
)
from app.panels.verdicts import DROP_WORDS, HELD_WORDS, SHORT_WORDS, Tag
from app.session.looks import Looks
from app.session.session import Session
from core.analysis.railmap import RailMap
from core.analysis.study import Probe
from core.layout.ids import PartId
from core.layout.parts import OnRun
from core.layout.queries import place_name
from core.units.figures import show_ohms, show_volts


class ProbeCard(Card):
    """Shows the pinned probe; while the layout changes, before → after."""

    def __init__(
        self,
        session: Session,
        looks: Looks,
        *,
        show_place: Callable[[OnRun], None],
        show_parts: Callable[[Sequence[PartId]], None],
    ) -> None:
        super().__init__()
        self.box.setSpacing(5)
        self._session, self._looks, self._show_place = session, looks, show_place
        self._map: RailMap | None = None
        self.setAccessibleName("Probe")
        self.heading.show()
        go_to = IconButton(looks, "goto", "Show on the plan", self._on_go_to)
        anew = IconButton(looks, "pin", "Compare from here on", self._on_anew)
        close = IconButton(looks, "close", "Take the probe away", self._on_close)
        self.box.addLayout(row(self.heading, go_to, anew, close, spacing=2))
        self.shorted = label("", "error")
        self.box.addWidget(self.shorted)
        self.before = label("", "before", wraps=False)
        self.volts = label("", "figure", wraps=False)
        self.verdict = Tag(looks)
        self.box.addLayout(row(self.before, self.volts, None, self.verdict))
        self.lost, self.rails = label("", "faint"), label("")
        self.beyond = label("", "error")
        for told in (self.lost, self.beyond, self.rails):
            self.box.addWidget(told)
        self._add_rows()
        self._rule = rule()
        self.box.addWidget(self._rule)
        self.bars = LossBars(looks)
        self.bars.chosen.connect(show_parts)
        self.box.addWidget(self.bars)
        self.sum = label("", "faint")
        self.box.addWidget(self.sum)
        session.probe_changed.connect(self.refresh)
        self.refresh()

    def _add_rows(self) -> None:
        self._rows = QGridLayout()
        self._rows.setVerticalSpacing(2)
        self._rows.setColumnStretch(1, 1)
        self.loop = self._line("Loop", wide=True)
        self.short = self._line("Short here")
        self.short_verdict = Tag(self._looks)
        self._rows.addWidget(self.short_verdict, 1, 2)
        self.limit = label("", "faint")
        self._rows.addWidget(self.limit, 2, 1, 1, 2)
        self.clears = self._line("Cut off by", wide=True)
        self.lazy = self._line("Bad contact", wide=True)
        self.devices = self._line("Load", wide=True)
        self.drops = self._line("By drops", wide=True)
        self.box.addLayout(self._rows)

    def show_rails(self, rails: RailMap | None) -> None:
        """Take over what the rails are now."""
        self._map = rails
        self._show_map()

    def refresh(self) -> None:
        """Show the probe as it stands."""
        place, probe = self._session.probe_place, self._session.probe
        self.setVisible(place is not None)
        self._show_map()
        if place is None:
            return
        self.heading.setText(place_name(self._session.layout, place))
        if probe is None:
            self._say_nothing()
        else:
            self._show(probe, self._session.probe_before)

    def _show(self, probe: Probe, before: Probe | None) -> None:
        moved = before is not None and _differ(before, probe)
        self.before.setVisible(moved)
        if before is not None:
            self.before.setText(f"{_volts(before)} →")
        self.volts.setText(_volts(probe))
        self.verdict.show_verdict(probe.drop_verdict, DROP_WORDS)
        shorted = probe.shorted_by is not None
        self.shorted.setVisible(shorted)
        self.shorted.setText(probe.sentence if shorted else "")
        self.beyond.setVisible(bool(probe.beyond))
        self.beyond.setText(beyond_in_words(probe))
        self.lost.setVisible(not shorted)
        for widget in (*self._lines(), self._rule, self.bars, self.sum):
            widget.setVisible(probe.fed and not shorted)
        if shorted or not probe.fed:
            self.lost.setText(probe.sentence)
            return
        for widget in (self._rule, self.bars, self.sum):
            widget.setVisible(not probe.starves)
        self.lost.setText(volts_in_words(probe))
        was = f"{show_ohms(before.loop_ohm)} → " if moved and before else ""
        self.loop.setText(was + loop_in_words(probe))
        self._show_short(probe)
        self.devices.setText(devices_in_words(probe.devices))
        self.drops.setText(drops_in_words(probe.drops))
        self.drops.setToolTip(every_drop_in_words(probe.drops))
        shown = sum_of(probe)
        self.bars.show_sum(shown)
        self.sum.setText(shown.sentence())

    def _show_map(self) -> None:
        place, rails = self._session.probe_place, self._map
        self.rails.setVisible(place is not None and rails is not None)
        if place is not None and rails is not None:
            self.rails.setText(rails_in_words(rails, place))
            layout = self._session.layout
            self.rails.setToolTip(chain_in_words(rails, place, layout))

    def _show_short(self, probe: Probe) -> None:
        words = HELD_WORDS if probe.held_by is not None else SHORT_WORDS
        self.short_verdict.show_verdict(probe.short_verdict, words)
        self.short.setText(short_in_words(probe))
        by = probe.cleared_by
        self.short.setToolTip(f"As {by} senses it, at signal frequency." if by else "")
        self.limit.setText(limit_in_words(probe))
        self.clears.setText(cut_off_in_words(probe))
        self.lazy.setText(lazy_in_words(probe.lazy_w))

    def _say_nothing(self) -> None:
        self.before.hide()
        self.shorted.hide()
        self.beyond.hide()
        self.volts.setText("…")
        self.verdict.show_tag("", "", "faint")
        self.lost.show()
        self.lost.setText("Working it out.")
        for widget in (*self._lines(), self._rule, self.bars, self.sum):
            widget.hide()

    def _line(self, word: str, *, wide: bool = False) -> QLabel:
        at = self._rows.rowCount() if self._rows.count() else 0
        figure = label("", wraps=wide)
        top = Qt.AlignmentFlag.AlignTop
        self._rows.addWidget(label(word, "faint", wraps=False), at, 0, top)
        self._rows.addWidget(figure, at, 1, 1, 2 if wide else 1)
        return figure

    def _lines(self) -> list[QWidget]:
        items = [self._rows.itemAt(i) for i in range(self._rows.count())]
        found = [item.widget() for item in items if item is not None]
        return [w for w in found if w is not None]

    def _on_go_to(self) -> None:
        if self._session.probe_place is not None:
            self._show_place(self._session.probe_place)

    def _on_anew(self) -> None:
        self._session.set_probe(self._session.probe_place)

    def _on_close(self) -> None:
        self._session.set_probe(None)


def _volts(probe: Probe) -> str:
    return show_volts(probe.volts_v) if probe.fed else "0 V"


def _differ(before: Probe, now: Probe) -> bool:
    """Tell whether two probes read differently to two decimals."""
    return (before.fed, round(before.volts_v, 2)) != (now.fed, round(now.volts_v, 2))
