"""Every command of the menus: what it is called, its key, and where it stands."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence, QUndoStack
from PySide6.QtWidgets import QMenu, QMenuBar

from app.session.stages import STAGES

Slot = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Command:
    """One command of a menu.

    Attributes
    ----------
    id : str
        Its name inside the program, by which the slot is found.
    text : str
        Its words, with & before the letter that Alt takes.
    shortcut : str
        Its key; "" for none.
    tick : bool or None
        None: a plain command; else a switch, and how it stands at first.
    """

    id: str
    text: str
    shortcut: str = ""
    tick: bool | None = None


COMMANDS: tuple[Command, ...] = (
    Command("new", "&New layout", "Ctrl+N"),
    Command("open", "&Open…", "Ctrl+O"),
    Command("save", "&Save", "Ctrl+S"),
    Command("save-as", "Save &as…", "Ctrl+Shift+S"),
    Command("print", "&Print to PDF…", "Ctrl+P"),
    Command("start", "S&tart page"),
    Command("quit", "&Quit", "Ctrl+Q"),
    Command("delete", "&Delete", "Del"),
    Command("select-all", "Select &all", "Ctrl+A"),
    Command("paste", "&Paste a picture", "Ctrl+V"),
    Command("part", "Change the &selected part", "F2"),
    *(
        Command(f"stage-{stage.id}", f"&{number} {stage.title}", f"Ctrl+{number}")
        for number, stage in enumerate(STAGES, start=1)
    ),
    Command("zoom-in", "Zoom &in", "Ctrl++"),
    Command("zoom-out", "Zoom &out", "Ctrl+-"),
    Command("fit", "&Fit all in the window", "Ctrl+0"),
    Command("grid", "Show the &grid", "Ctrl+G", tick=True),
    Command("snap", "&Snap to the grid", "Ctrl+Shift+G", tick=True),
    Command("underside", "Seen from &below", "Ctrl+U", tick=False),
    Command("colour-volts", "Colour by &volts", "Ctrl+Shift+V"),
    Command("colour-loop", "Colour by &loop", "Ctrl+Shift+L"),
    Command("colour-short", "Colour by s&hort current", "Ctrl+Shift+H"),
    Command("colour-short-dc", "Colour by sh&ort by resistance alone", "Ctrl+Shift+J"),
    Command("colour-poles", "Show which &rail is which", "Ctrl+Shift+R"),
    Command("colour-districts", "Show what fee&ds the track", "Ctrl+Shift+D"),
    Command("colour-none", "&No colours", "Ctrl+Shift+N"),
    Command("profile", "&Profile along the track", "Ctrl+L"),
    Command("worst", "Probe the &worst point", "F7"),
    Command("finding", "Ne&xt finding", "F8"),
    Command("flip", "F&lip the selected turnouts", "Ctrl+F"),
    Command("turn", "Open the selected turnouts the &other way", "Ctrl+Shift+F"),
    Command("throw", "&Throw turnouts, turn tables, open gates", "F9"),
    Command("straight", "A&ll turnouts straight", "Shift+F9"),
    Command("unprobe", "Take the pro&be away", "Shift+F7"),
    Command("pane", "Next pa&rt of the window", "F6"),
    Command("theme-system", "Colours as the &system", tick=False),
    Command("theme-light", "&Light", tick=False),
    Command("theme-dark", "Dar&k", tick=False),
    Command("keys", "&Keys", "F1"),
    Command("figures", "How the &figures come about"),
    Command("about", "&About and safety"),
)
"""All commands; undo and redo come from the undo stack itself."""

MENUS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "&File",
        (
            *("new", "open", "samples>", "recent>", "", "save", "save-as", ""),
            *("print", "", "start", "quit"),
        ),
    ),
    (
        "&Edit",
        (
            "undo",
            "redo",
            "",
            "select-all",
            "delete",
            "part",
            "",
            "flip",
            "turn",
            "",
            "paste",
        ),
    ),
    (
        "&View",
        (
            *(f"stage-{stage.id}" for stage in STAGES),
            *("", "zoom-in", "zoom-out", "fit", "underside", "grid", "snap", ""),
            *("colour-volts", "colour-loop", "colour-short", "colour-short-dc"),
            *("colour-poles", "colour-districts", "colour-none", ""),
            *("profile", "worst", "finding", "unprobe", "pane", ""),
            *("throw", "straight", ""),
            *("theme-system", "theme-light", "theme-dark"),
        ),
    ),
    ("&Help", ("keys", "figures", "about")),
)
"""The menus; "" is a line, a name that ends in > is a menu of its own."""


def make_actions(undo_stack: QUndoStack) -> dict[str, QAction]:
    """Return an action for each command, and for undo and redo."""
    made: dict[str, QAction] = {}
    for command in COMMANDS:
        action = QAction(command.text)
        action.setShortcut(QKeySequence(command.shortcut))
        if command.tick is not None:
            action.setCheckable(True)
            action.setChecked(command.tick)
        made[command.id] = action
    made["undo"] = undo_stack.createUndoAction(undo_stack, "&Undo")
    made["undo"].setShortcut(QKeySequence("Ctrl+Z"))
    made["redo"] = undo_stack.createRedoAction(undo_stack, "&Redo")
    made["redo"].setShortcuts([QKeySequence("Ctrl+Y"), QKeySequence("Ctrl+Shift+Z")])
    return made


def connect_actions(actions: dict[str, QAction], slots: dict[str, Slot]) -> None:
    """Give each command what it does; each must have its slot."""
    for command in COMMANDS:
        slot = slots[command.id]
        actions[command.id].triggered.connect(lambda _=False, slot=slot: slot())


def fill_menus(bar: QMenuBar, actions: dict[str, QAction]) -> dict[str, QMenu]:
    """Put the actions into the menus; return the menus inside menus by name."""
    inner: dict[str, QMenu] = {}
    for title, names in MENUS:
        menu = bar.addMenu(title)
        for name in names:
            if not name:
                menu.addSeparator()
            elif name.endswith(">"):
                inner[name[:-1]] = menu.addMenu(name[:-1].capitalize())
            else:
                menu.addAction(actions[name])
    return inner
