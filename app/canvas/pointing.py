"""From Qt's events to the pointers and keys that tools take."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from app.tools.pointer import Held, Key, KeyName
from app.tools.state import Cursor, State

_KEYS: dict[int, KeyName] = {
    Qt.Key.Key_Return: "enter",
    Qt.Key.Key_Enter: "enter",
    Qt.Key.Key_Escape: "escape",
    Qt.Key.Key_Backspace: "backspace",
    Qt.Key.Key_Delete: "delete",
    Qt.Key.Key_Left: "left",
    Qt.Key.Key_Right: "right",
    Qt.Key.Key_Up: "up",
    Qt.Key.Key_Down: "down",
    Qt.Key.Key_PageUp: "page up",
    Qt.Key.Key_PageDown: "page down",
}

CURSORS: dict[Cursor, Qt.CursorShape] = {
    "arrow": Qt.CursorShape.ArrowCursor,
    "cross": Qt.CursorShape.CrossCursor,
    "point": Qt.CursorShape.PointingHandCursor,
    "move": Qt.CursorShape.SizeAllCursor,
    "closed": Qt.CursorShape.ClosedHandCursor,
    "refused": Qt.CursorShape.ForbiddenCursor,
}

_COMMANDS = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


def held_of(modifiers: Qt.KeyboardModifier) -> Held:
    """Return which modifier keys are down."""
    return Held(
        shift=bool(modifiers & Qt.KeyboardModifier.ShiftModifier),
        ctrl=bool(modifiers & Qt.KeyboardModifier.ControlModifier),
        alt=bool(modifiers & Qt.KeyboardModifier.AltModifier),
    )


def key_of(event: QKeyEvent) -> Key | None:
    """Return a key that tools know, or None."""
    held = held_of(event.modifiers())
    name = _KEYS.get(event.key())
    if name is not None:
        return Key(name, held=held)
    text = event.text()
    if text and text.isprintable() and not event.modifiers() & _COMMANDS:
        return Key("text", text, held)
    return None


def is_wanted(state: State, key: Key | None, typed: str) -> bool:
    """Return whether a key belongs to the gesture, and not to a menu's shortcut.

    Once something is typed every letter goes on with it; before that only what
    can begin a length, so that the letters of the tools still work.
    """
    if key is None:
        return False
    if key.name != "text":
        return key.name != "escape" or not state.is_idle
    if not state.takes_text:
        return False
    return bool(typed) or key.text in f"0123456789.,{state.keys}"
