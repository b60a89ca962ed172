"""The one style sheet of the program, filled in from a theme."""

from collections.abc import Mapping
from string import Template


def style_sheet(colours: Mapping[str, object]) -> str:
    """Return the style sheet of a theme, given its fields by name."""
    return Template(_SHEET).substitute(colours)


_SHEET = """
QToolTip { color: $ink; background: $field; border: 1px solid $panel_edge;
    padding: 4px 6px; }
"""
