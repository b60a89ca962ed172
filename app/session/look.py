"""The one style sheet of the program, filled in from a theme."""

from collections.abc import Mapping
from string import Template


def style_sheet(colours: Mapping[str, object]) -> str:
    """Return the style sheet of a theme, given its fields by name."""
    return Template(_SHEET).substitute(colours)


_SHEET = """
QToolTip { color: $ink; background: $field; border: 1px solid $panel_edge;
    padding: 4px 6px; }
QMainWindow, QDialog { background: $panel; }
QMenuBar { background: $panel; border-bottom: 1px solid $panel_edge; }
QMenuBar::item { padding: 4px 10px; background: transparent; }
QMenuBar::item:selected { background: $panel_edge; border-radius: 4px; }
QSplitter::handle { background: $panel_edge; }
QScrollArea, QScrollArea > QWidget > QWidget[ground="panel"] { background: $panel;
    border: none; }

QLabel[kind="title"] { font-weight: bold; font-size: 11pt; }
QLabel[kind="heading"] { font-weight: bold; color: $ink; }
QLabel[kind="faint"] { color: $faint; }
QLabel[kind="error"] { color: $poor; }
QLabel[kind="figure"] { font-size: 24pt; }
QLabel[kind="before"] { font-size: 14pt; color: $faint; }

QFrame[kind="card"] { background: $field; border: 1px solid $panel_edge;
    border-radius: 8px; }
QFrame[kind="rule"] { background: $panel_edge; border: none; max-height: 1px; }
QFrame[kind="bar"] { background: $panel; border-bottom: 1px solid $panel_edge; }
QFrame[kind="strip"] { background: $panel; border-top: 1px solid $panel_edge; }
QFrame[kind="notice"] { background: $field; border-top: 1px solid $panel_edge; }

QPushButton { background: $field; color: $ink; border: 1px solid $panel_edge;
    border-radius: 5px; padding: 5px 12px; }
QPushButton:hover { border-color: $accent; }
QPushButton:focus { border: 2px solid $accent; padding: 4px 11px; }
QPushButton:pressed { background: $panel_edge; }
QPushButton:disabled { color: $faint; background: $panel; }
QPushButton[kind="main"] { background: $accent; color: $on_accent;
    border-color: $accent; font-weight: bold; }
QPushButton[kind="main"]:focus { border-color: $ink; }
QPushButton[kind="main"]:disabled { background: $panel_edge; color: $faint;
    border-color: $panel_edge; }
QPushButton[kind="picture"] { border: 1px solid $panel_edge; padding: 0;
    background: $paper; border-radius: 5px; }
QPushButton[kind="picture"]:hover { border-color: $accent; }
QPushButton[kind="fold"] { background: transparent; border: 1px solid transparent;
    font-weight: bold; padding: 3px 0; text-align: left; }
QPushButton[kind="fold"]:hover { color: $accent; }
QPushButton[kind="fold"]:focus { border: 1px solid $accent; padding: 3px 0; }
QPushButton[kind="link"] { background: transparent; border: 1px solid transparent;
    color: $accent; padding: 2px 4px; text-align: left; }
QPushButton[kind="link"]:hover { text-decoration: underline; }
QPushButton[kind="link"]:focus { border: 1px solid $accent; padding: 2px 4px; }
QPushButton[kind="link"]:disabled { color: $faint; }

QToolButton { border: 1px solid transparent; border-radius: 5px; padding: 3px; }
QToolButton:hover { background: $panel_edge; }
QToolButton:focus { border-color: $accent; }
QToolButton:checked { background: $accent; color: $on_accent; }

QLineEdit, QPlainTextEdit { background: $field; color: $ink; padding: 3px 6px;
    border: 1px solid $panel_edge; border-radius: 4px;
    selection-background-color: $accent; selection-color: $on_accent; }
QLineEdit:focus, QPlainTextEdit:focus { border-color: $accent; }
QLineEdit[wrong="true"] { border: 1px solid $poor; }
QLineEdit:disabled { color: $faint; background: $panel; }
QComboBox { padding: 2px 4px; min-height: 20px; }

QTabBar::tab { background: transparent; color: $faint; padding: 7px 14px;
    border-bottom: 2px solid transparent; }
QTabBar::tab:selected { color: $ink; border-bottom-color: $accent; }
QTabBar::tab:hover { color: $ink; }
QTabBar::tab:focus { color: $accent; }

QScrollBar:vertical { background: transparent; width: 10px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 10px; margin: 0; }
QScrollBar::handle { background: $panel_edge; border-radius: 4px; margin: 1px;
    min-height: 28px; min-width: 28px; }
QScrollBar::handle:hover { background: $faint; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }

QProgressBar { border: 1px solid $panel_edge; border-radius: 4px; height: 14px;
    background: $field; text-align: center; }
QProgressBar::chunk { background: $accent; border-radius: 3px; }
"""
