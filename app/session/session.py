"""One layout at work: its steps, its file, its study, what is selected."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from app.session.apply_change import ApplyChange
from app.session.recovery import RecoveryKeeper, recovery_folder
from app.session.result import Examine, Result
from app.session.studying import StudyRoom
from core.analysis.study import Case, Probe, Study
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.openings import opened_on, still_opened
from core.layout.parts import OnRun, Opening, TrackRun
from core.layout.roads import part_of, still_thrown, thrown_on
from core.layout.storage.read import read_layout
from core.layout.storage.recover import Recovery, discard, find_recoveries
from core.layout.storage.report import LoadReport
from core.layout.storage.write import write_layout


class Session(QObject):
    """Holds the one layout that is open, and tells what becomes of it.

    Signals
    -------
    layout_replaced()
        Another layout is open: forget everything of the one before.
    layout_changed(Change)
        The layout went through a change (also by undo and redo).
    study_started(), figures_ready(Study), study_ready(Result), study_refused(str)
        The newest state is being studied; its figures are there; its findings
        are there too; it cannot be studied.
    file_changed()
        The path or the dirty mark may have changed.
    selection_changed(), probe_changed(), case_changed()
        The selection; the probe's place or figures; which turnouts are thrown
        and which gates are open.
    notice(str), refusal(str)
        A sentence for the person; why a gesture on the plan came to nothing.
    """

    layout_replaced = Signal()
    layout_changed = Signal(object)
    study_started = Signal()
    figures_ready = Signal(object)
    study_ready = Signal(object)
    study_refused = Signal(str)
    file_changed = Signal()
    selection_changed = Signal()
    probe_changed = Signal()
    case_changed = Signal()
    notice = Signal(str)
    refusal = Signal(str)

    def __init__(
        self,
        examine: Examine,
        folder: Path | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.layout = Layout()
        self.undo_stack = QUndoStack(self)
        self.path: Path | None = None
        self.case = Case()
        self.study: Study | None = None
        self.result: Result | None = None
        self.selection: frozenset[PartId] = frozenset()
        self.probe_place: OnRun | None = None
        self.probe: Probe | None = None
        self.probe_before: Probe | None = None
        self._stop_listening = self.layout.listen(self._on_change)
        self._room = StudyRoom(examine, self._snapshot, self)
        self._room.started.connect(self.study_started)
        self._room.studied.connect(self._on_studied)
        self._room.answered.connect(self._on_answered)
        self._room.refused.connect(self.study_refused)
        self._keeper = RecoveryKeeper(
            folder or recovery_folder(), lambda: (self.layout.copy(), self.path), self
        )
        self._keeper.failed.connect(self.notice)
        self.undo_stack.cleanChanged.connect(self._on_clean)

    @property
    def is_dirty(self) -> bool:
        """Whether there is work that is not in the file."""
        return not self.undo_stack.isClean()

    @property
    def is_studying(self) -> bool:
        """Whether the figures are being worked out."""
        return self._room.is_busy

    def hold_findings(self, *, hold: bool) -> None:
        """Let the findings of a study wait until its colours are painted."""
        self._room.hold_findings(hold=hold)

    def commit(self, change: Change) -> None:
        """Make a change as one undo step; an empty one leaves no step."""
        if not change.is_empty:
            self.undo_stack.push(ApplyChange(self.layout, change))

    def select(self, ids: Iterable[PartId]) -> None:
        """Select these parts, and no others."""
        chosen = frozenset(i for i in ids if i in self.layout.parts)
        if chosen != self.selection:
            self.selection = chosen
            self.selection_changed.emit()

    @property
    def thrown(self) -> tuple[PartId, ...]:
        """What is thrown, in the order of the layout: turnouts, slips, diamonds."""
        found = {part_of(i) for i in still_thrown(self.layout, self.case.thrown)}
        return tuple(part_id for part_id in self.layout.parts if part_id in found)

    @property
    def opened(self) -> tuple[PartId, ...]:
        """The lift-outs that are out and the gates that stand open."""
        return tuple(
            o.id for o in self.layout.of_kind(Opening) if o.id in self.case.opened
        )

    def throw(self, ids: Iterable[PartId]) -> None:
        """Set turnouts and the like the other way, open or shut lift-outs and gates.

        This is not in the file, nor a step.
        """
        wanted = tuple(ids)
        doors = {i for i in wanted if self.layout.get(i, Opening) is not None}
        track = [i for i in wanted if i not in doors]
        self._set_case(
            thrown_on(self.layout, self.case.thrown, track),
            opened_on(self.layout, self.case.opened, doors),
        )

    def set_straight(self) -> None:
        """Set all turnouts straight, and shut all openings."""
        self._set_case(frozenset(), frozenset())

    def set_probe(self, place: OnRun | None) -> None:
        """Pin the probe to a place of track, or take it away."""
        self.probe_place = place
        self.probe_before = None
        self._read_probe()
        self.probe_before = self.probe
        self.probe_changed.emit()

    def replace_layout(self, layout: Layout, path: Path | None) -> None:
        """Put another layout in place of the one that is open."""
        self._stop_listening()
        self.layout, self.path, self.case = layout, path, Case()
        self.study = self.result = None
        self._stop_listening = layout.listen(self._on_change)
        self.undo_stack.clear()
        self.selection = frozenset()
        self.probe_place = self.probe = self.probe_before = None
        self.layout_replaced.emit()
        self.case_changed.emit()
        self.selection_changed.emit()
        self.probe_changed.emit()
        self.file_changed.emit()
        self._room.ask()

    def new_layout(self) -> None:
        """Begin an empty layout."""
        self.forget_recovery()
        self.replace_layout(Layout(), None)

    def open_file(self, path: Path, *, sample: bool = False) -> LoadReport:
        """Open a layout file; a sample is opened as a layout without a file.

        Raises
        ------
        CoreError
            It cannot be read; what was open stays open.
        """
        layout, report = read_layout(path)
        self.forget_recovery()
        self.replace_layout(layout, None if sample else path)
        return report

    def save(self) -> None:
        """Save to the file that is open; see `save_as`."""
        assert self.path is not None, "the shell asks for a path first"
        self.save_as(self.path)

    def save_as(self, path: Path) -> None:
        """Save to a file; from then on it is the file that is open.

        Raises
        ------
        CoreError
            It cannot be written; the old file is whole.
        """
        write_layout(self.layout, path)
        self.path = path
        self.undo_stack.setClean()
        self.forget_recovery()
        self.file_changed.emit()

    def forget_recovery(self) -> None:
        """Throw away what was kept of unsaved work."""
        self._keeper.clear()

    def keep_now(self) -> Path:
        """Keep unsaved work at once, as before a crash; return where."""
        return self._keeper.keep_now()

    def recoveries(self) -> tuple[Recovery, ...]:
        """Return unsaved work that other runs of the program left, newest first."""
        return find_recoveries(self._keeper.folder)

    def bring_back(self, recovery: Recovery) -> LoadReport:
        """Open unsaved work again, as unsaved changes of its file.

        Raises
        ------
        CoreError
            It cannot be read; it stays where it is.
        """
        layout, report = read_layout(recovery.path)
        self.forget_recovery()
        self.replace_layout(layout, recovery.original)
        self.undo_stack.resetClean()
        self._keeper.keep_now()
        discard(recovery)
        return report

    def throw_away(self, recovery: Recovery) -> None:
        """Delete unsaved work of another run."""
        discard(recovery)

    def close(self) -> None:
        """End all work in the background; what was kept stays where it is."""
        self._room.close()
        self._keeper.close()

    def _on_clean(self, clean: bool) -> None:  # noqa: FBT001
        if clean:
            self._keeper.clear()  # undone back to what is in the file
        self.file_changed.emit()

    def _snapshot(self) -> tuple[Layout, Case]:
        return self.layout.copy(), self.case

    def _set_case(self, thrown: frozenset[PartId], opened: frozenset[PartId]) -> None:
        if (thrown, opened) != (self.case.thrown, self.case.opened):
            self.case = replace(self.case, thrown=thrown, opened=opened)
            self._grow_stale()
            self.case_changed.emit()
            self._room.ask()

    def _grow_stale(self) -> None:
        if self.result is not None:
            self.result = self.result.aged()

    def _on_change(self, change: Change) -> None:
        self._grow_stale()
        self._keeper.touch()
        self.layout_changed.emit(change)
        self.select(self.selection)
        self._set_case(
            still_thrown(self.layout, self.case.thrown),
            still_opened(self.layout, self.case.opened),
        )
        if self.probe_place and not self.layout.get(self.probe_place.run, TrackRun):
            self.set_probe(None)
        self._room.ask()

    def _on_studied(self, study: Study) -> None:
        self.study = study
        self.figures_ready.emit(study)

    def _on_answered(self, result: Result) -> None:
        self.result = result
        if self.probe_place is not None:
            self._read_probe()
            self.probe_before = self.probe_before or self.probe
            self.probe_changed.emit()
        self.study_ready.emit(result)

    def _read_probe(self) -> None:
        self.probe = None
        place, result = self.probe_place, self.result
        if place is None or result is None:
            return
        if place.run in result.study.layout.parts:  # else it was only just drawn
            # Late: the analysis brings scipy, which the first paint need not wait for.
            from core.analysis.probe import probe_place  # noqa: PLC0415

            self.probe = probe_place(result.study, place)
