"""Speed of the window: from an edit to fresh colours, and how long it stands still."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import cycle
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, process_time, thread_time

from PySide6.QtCore import QEventLoop, QObject, QSettings, Qt, QTimer
from PySide6.QtWidgets import QApplication

from app.build import SWITCH_S, Program, dress, make_examine
from app.session.sweeping import Sweeper
from core.layout.change import Change
from core.layout.edits.add import add_drop
from core.layout.edits.move import move_along
from core.layout.edits.set import set_fields
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop, OnRun, ToBus
from tests.bench.generate import club_layout
from tests.bench.table import Row

SIZE = (1920, 1080)
"""Of the window. [px]"""

TICK_MS = 2
"""A window that is free ticks so often. [ms]"""

EDITS = 7
"""Edits of each kind. Times are medians; the freeze is the worst of all."""

REST_MS = 700
"""Between edits, so that words are placed and all is still. [ms]"""

Edit = Callable[[Layout], Change]


@dataclass(frozen=True, slots=True)
class Taken:
    """What one edit took, from its commit on. [s]

    Attributes
    ----------
    colours_s, findings_s : float
        Until the colours were painted; until the findings stood.
    freeze_s, own_s : float
        The longest time in which the window answered nothing; the most that its
        own thread worked at a stretch.
    colours_work_s, work_s : float
        Of all threads together, on the processor: until the colours were painted,
        and until the findings stood.
    """

    colours_s: float
    findings_s: float
    freeze_s: float
    own_s: float
    colours_work_s: float
    work_s: float


class Ticker(QObject):
    """Notes the longest time in which the window thread did nothing for others."""

    def __init__(self) -> None:
        super().__init__()
        self.worst_s = self.own_s = 0.0
        self._last_s = self._last_own_s = 0.0
        self._timer = QTimer(
            self, interval=TICK_MS, timerType=Qt.TimerType.PreciseTimer
        )
        self._timer.timeout.connect(self._tick)

    def begin(self) -> None:
        """Begin to watch."""
        self.worst_s = self.own_s = 0.0
        self._last_s, self._last_own_s = perf_counter(), thread_time()
        self._timer.start()

    def end(self) -> None:
        """Watch no more."""
        self._tick()
        self._timer.stop()

    def _tick(self) -> None:
        now, own = perf_counter(), thread_time()
        self.worst_s = max(self.worst_s, now - self._last_s - TICK_MS / 1000.0)
        self.own_s = max(self.own_s, own - self._last_own_s)
        self._last_s, self._last_own_s = now, own


class Bench:
    """The whole program at work on a layout, as a person has it but for a screen."""

    def __init__(self, program: Program, layout: Layout) -> None:
        self.program = program
        self._ticker = Ticker()
        self._coloured_s = self._found_s = self._worked_s = 0.0
        self._loop = QEventLoop()
        self._is_coloured = False
        program.canvas._heat.shown.connect(self._on_colours)
        program.canvas.painted.connect(self._on_painted)
        program.session.study_ready.connect(self._on_findings)
        program.window.resize(*SIZE)
        program.session.replace_layout(layout, None)
        program.window.show_work()
        self.rest(REST_MS)

    def edit(self, make: Edit) -> Taken:
        """Make an edit, and wait for its colours and findings."""
        change = make(self.program.session.layout)
        self._coloured_s = self._found_s = 0.0
        self._is_coloured = False
        self._ticker.begin()
        begun, begun_work = perf_counter(), process_time()
        self.program.session.commit(change)
        while not (self._coloured_s and self._found_s):
            self._loop.exec()
        self._ticker.end()
        return Taken(
            self._coloured_s - begun,
            self._found_s - begun,
            self._ticker.worst_s,
            self._ticker.own_s,
            self._worked_s - begun_work,
            process_time() - begun_work,
        )

    def rest(self, rest_ms: int) -> None:
        """Let all that is still to come happen."""
        until = perf_counter() + rest_ms / 1000.0
        while perf_counter() < until or self.program.session.is_studying:
            QTimer.singleShot(rest_ms, self._loop.quit)
            self._loop.exec()

    def _on_colours(self) -> None:
        self._is_coloured = True

    def _on_painted(self) -> None:
        if self._is_coloured and not self._coloured_s:
            self._coloured_s, self._worked_s = perf_counter(), process_time()
            self._end()

    def _on_findings(self) -> None:
        self._found_s = perf_counter()
        self._end()

    def _end(self) -> None:
        if self._coloured_s and self._found_s:
            QTimer.singleShot(0, self._loop.quit)


def application() -> QApplication:
    """Return the one application, made where there is none."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    return app


@contextmanager
def open_bench(layout: Layout) -> Iterator[Bench]:
    """Open the program on a layout, with settings and recovery of its own."""
    app = application()
    with TemporaryDirectory() as folder:
        ini, scope = QSettings.Format.IniFormat, QSettings.Scope.UserScope
        QSettings.setPath(ini, scope, folder)
        switch_s = sys.getswitchinterval()
        sys.setswitchinterval(SWITCH_S)
        dress(app)
        program = Program(make_examine())
        session = program.session
        sweeper = Sweeper(session, session.layout_changed, program.canvas.pointer_moved)
        program.window.show()
        try:
            yield Bench(program, layout)
        finally:
            program.session.forget_recovery()
            program.close()
            sweeper.close()
            sys.setswitchinterval(switch_s)
            for thing in (program.window, session, program.looks):
                thing.deleteLater()


def edits() -> dict[str, Edit]:
    """Return edits of three kinds; each may be made again and again."""
    wires = cycle(("2.5mm2-c5", "4mm2-c5"))
    ways = cycle((0.03, -0.03))
    shares = cycle((0.31, 0.47, 0.77, 0.83))

    def thicker(layout: Layout) -> Change:
        bus = max(layout.of_kind(Bus), key=lambda bus: bus.id)
        return set_fields(layout, frozenset({bus.id}), wire=next(wires))

    def slide(layout: Layout) -> Change:
        drop = max(layout.of_kind(Drop), key=lambda drop: drop.id)
        return move_along(layout, drop.id, drop.on.position_m + next(ways))

    def add(layout: Layout) -> Change:
        like = next(d for d in layout.of_kind(Drop) if isinstance(d.to, ToBus))
        place = like.on.position_m + next(shares)
        return add_drop(layout, OnRun(run=like.on.run, position_m=place), to=like.to)

    return {"other wire": thicker, "drop slid along": slide, "drop added": add}


def edit_rows(
    pieces: int = 400, repeats: int = EDITS, rest_ms: int = REST_MS
) -> list[Row]:
    """Measure edits of each kind on the club layout."""
    with open_bench(club_layout(pieces)) as bench:
        taken: dict[str, list[Taken]] = {}
        for name, edit in edits().items():
            bench.edit(edit)
            for _ in range(repeats):
                bench.rest(rest_ms)
                taken.setdefault(name, []).append(bench.edit(edit))
        bench.rest(rest_ms)
    rows: list[Row] = []
    for name, found in taken.items():
        colours, colours_work, findings, work = (
            1000.0 * median(getattr(t, field) for t in found)
            for field in ("colours_s", "colours_work_s", "findings_s", "work_s")
        )
        note = (
            f"all threads' CPU till then {colours_work:.0f} ms; "
            f"findings {findings:.0f} ms, CPU {work:.0f} ms"
        )
        rows.append(
            Row(f"{name}: edit to fresh colours", colours, "≤ 100 ms", note, "ms")
        )
    freezes = [1000.0 * t.freeze_s for found in taken.values() for t in found]
    own = [1000.0 * t.own_s for found in taken.values() for t in found]
    note = (
        f"worst of {len(freezes)} edits, median {median(freezes):.0f} ms; its own CPU "
        f"at a stretch {max(own):.0f} ms, median {median(own):.0f} ms"
    )
    rows.append(Row("freeze of the window", max(freezes), "≤ 16 ms", note, "ms"))
    return rows
