"""What each command of the menus does."""

from collections.abc import Callable
from functools import partial

from PySide6.QtGui import QAction

from app.panels.answers.hindrance import hindrance
from app.session.looks import Looks
from app.session.recent import Memory
from app.session.session import Session
from app.session.stages import STAGES
from app.session.views import quantity_of
from app.shell.actions import Slot
from app.shell.context import StagePanels
from app.shell.helps import about_window, figures_window, keys_window
from app.shell.notices import Notices
from app.shell.window import MainWindow
from app.tools.steps import Step, chain
from core.errors import CoreError
from core.layout.change import Change
from core.layout.edits.mirror import flip_hand, flip_opening
from core.layout.edits.remove import remove_parts
from core.layout.edits.turn import to_next_stall
from core.layout.ids import BACKDROP_ID, SETTINGS_ID, PartId
from core.layout.layout import Layout
from core.layout.parts import Turnout, Turntable
from core.layout.queries import can_be_thrown, table_of

THEMES = ("system", "light", "dark")


class Deeds:
    """Carries out commands on the window and the session."""

    def __init__(
        self,
        window: MainWindow,
        session: Session,
        notices: Notices,
        panels: StagePanels,
    ) -> None:
        self._window, self._session, self._notices = window, session, notices
        self._backdrop, self._prove = panels.backdrop, panels.prove
        self._sheet = sheet = panels.sheet
        self._bench, self._canvas = window.bench, window.bench.canvas
        sheet.printed.connect(
            lambda path: notices.tell(f"Written: {path.name}", "Open it", sheet.open_it)
        )

    def slots(self, looks: Looks, memory: Memory, version: str) -> dict[str, Slot]:
        """Return what each command does, by its id."""
        self._tick_theme(memory.theme)
        return {
            **self._of_file(),
            **self._of_edit(),
            **self._of_view(),
            **{
                f"theme-{choice}": partial(self._wear, looks, memory, choice)
                for choice in THEMES
            },
            "keys": lambda: keys_window(self._window).open(),
            "figures": lambda: figures_window(self._window).open(),
            "about": lambda: about_window(self._window, version).open(),
        }

    def _of_file(self) -> dict[str, Slot]:
        filing = self._window.filing
        return {
            "new": filing.new,
            "open": filing.choose,
            "save": self._if_at_work(filing.save),
            "save-as": self._if_at_work(filing.save_as),
            "print": self._if_at_work(self._print),
            "start": self._go_to_start,
            "quit": self._window.close,
        }

    def _of_edit(self) -> dict[str, Slot]:
        return {
            "delete": self._delete,
            "select-all": self._select_all,
            "paste": self._paste,
            "part": self._edit_part,
            "flip": lambda: self._turn_over(flip_hand),
            "turn": lambda: self._turn_over(flip_opening),
        }

    def _of_view(self) -> dict[str, Slot]:
        bench, canvas = self._bench, self._canvas
        return {
            **{
                f"stage-{stage.id}": self._if_at_work(
                    partial(bench.set_stage, stage.id)
                )
                for stage in STAGES
            },
            "zoom-in": canvas.zoom_in,
            "zoom-out": canvas.zoom_out,
            "fit": canvas.fit,
            "grid": lambda: canvas.set_grid_shown(self._action("grid").isChecked()),
            "snap": lambda: canvas.set_snapping(self._action("snap").isChecked()),
            "profile": bench.show_profile,
            "underside": lambda: canvas.set_underside(
                self._action("underside").isChecked()
            ),
            "colour-volts": lambda: bench.set_colouring("volts"),
            "colour-loop": lambda: bench.set_colouring("loop"),
            "colour-short": lambda: bench.set_colouring("short"),
            "colour-short-dc": lambda: bench.set_colouring("short_dc"),
            "colour-poles": lambda: bench.set_colouring("poles"),
            "colour-districts": lambda: bench.set_colouring("districts"),
            "colour-none": lambda: bench.set_colouring(None),
            "worst": self._probe_worst,
            "finding": self._next_finding,
            "unprobe": lambda: self._session.set_probe(None),
            "pane": bench.next_pane,
            "throw": self._throw,
            "straight": self._session.set_straight,
        }

    def _action(self, name: str) -> QAction:
        return self._window.actions_by_id[name]

    def _if_at_work(self, slot: Slot) -> Slot:
        return lambda: slot() if self._window.is_at_work else None

    def _go_to_start(self) -> None:
        if self._window.filing.may_leave():
            self._session.new_layout()
            self._window.show_start()

    def _print(self) -> None:
        self._bench.set_stage("sheet")
        self._sheet.ask_for_file()

    def _delete(self) -> None:
        chosen = self._session.selection
        if chosen:
            try:
                self._session.commit(remove_parts(self._session.layout, chosen))
            except CoreError as error:
                self._notices.warn(error.sentence())

    def _select_all(self) -> None:
        kept = {SETTINGS_ID, BACKDROP_ID}
        self._session.select(i for i in self._session.layout.parts if i not in kept)

    def _paste(self) -> None:
        if not self._window.is_at_work:
            return
        if self._backdrop.paste():
            self._bench.set_stage("backdrop")
        else:
            self._notices.tell("There is no picture on the clipboard.")

    def _edit_part(self) -> None:
        if self._session.selection:
            self._bench.context.show_part()
            self._bench.context.properties.form.setFocus()

    def _turn_over(self, flip: Callable[[Layout, PartId], Change]) -> None:
        """Flip or turn all selected turnouts, as one step."""
        layout, chosen = self._session.layout, self._session.selection
        ids = sorted(i for i in chosen if layout.get(i, Turnout) is not None)
        if not ids:
            self._notices.tell("Select a turnout first, then flip it.")
            return
        try:

            def step(turnout: PartId) -> Step:
                return lambda trial: flip(trial, turnout)

            whole = chain(layout, "", *(step(i) for i in ids))
            word = "Flip" if flip is flip_hand else "Turn"
            label = f"{word} {', '.join(ids)}"
            self._session.commit(Change(label, whole.before, whole.after))
        except CoreError as error:
            self._notices.warn(error.sentence())

    def _throw(self) -> None:
        layout, chosen = self._session.layout, self._session.selection
        tables = {
            table.id
            for part in chosen
            if (table := layout.get(part, Turntable) or table_of(layout, part))
        }
        thrown = any(can_be_thrown(layout, part) for part in chosen)
        if thrown:
            self._session.throw(chosen)
        for table_id in sorted(tables):
            self._turn(table_id)
        if not thrown and not tables:
            self._notices.tell(
                "Select a turnout, turntable, lift-out or gate first, then throw, turn "
                "or open it."
            )

    def _turn(self, table_id: PartId) -> None:
        try:
            self._session.commit(to_next_stall(self._session.layout, table_id))
        except CoreError as error:
            self._notices.warn(error.sentence())

    def _probe_worst(self) -> None:
        result = self._session.result
        quantity = quantity_of(self._bench.colouring) or "volts"
        worst = result.sound.worst(quantity) if result else None
        if worst is None:
            why = hindrance(self._session) or "No short here trips anything."
            self._notices.tell(f"{why} So there is no worst point yet.")
            return
        self._session.set_probe(worst.place)
        self._canvas.show_place(worst.place)

    def _next_finding(self) -> None:
        if self._window.is_at_work:
            self._bench.set_stage("prove")
            self._prove.findings.step()

    def _wear(self, looks: Looks, memory: Memory, choice: str) -> None:
        memory.theme = choice
        looks.choose(choice)
        self._tick_theme(choice)

    def _tick_theme(self, choice: str) -> None:
        for name in THEMES:
            self._action(f"theme-{name}").setChecked(name == choice)
