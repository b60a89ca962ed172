"""The colours of the window, light and dark, as one frozen record."""

from dataclasses import asdict, dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from app.session.hues import DARK_HUES, LIGHT_HUES
from app.session.look import style_sheet
from app.session.ramps import DARK_RAMP, LIGHT_RAMP


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours by what they stand for, as text that QColor reads.

    `paper` is the drawing's ground and `bench` what lies around it; `panel`,
    `panel_edge` and `field` belong to the panels. `good`, `tolerable`, `poor`,
    `hazard` and `dead` are verdicts and never stand without a word or a shape.
    `ramp` goes from good to bad in 24 steps whose lightness only ever falls
    (light theme) or rises (dark), so that it also reads in grey. `hues` tell
    districts apart, see `app.session.hues`.
    """

    name: str
    paper: str
    bench: str
    ink: str
    faint: str
    grid: str
    accent: str
    on_accent: str
    selected: str
    preview: str
    rail: str
    tie: str
    conductor_a: str
    conductor_b: str
    drop: str
    device: str
    good: str
    tolerable: str
    poor: str
    hazard: str
    dead: str
    panel: str
    panel_edge: str
    field: str
    ramp: tuple[str, ...]
    hues: tuple[str, ...]


LIGHT = Theme(
    name="light",
    paper="#fdfcf9",
    bench="#ebe8e1",
    ink="#20272e",
    faint="#65707a",
    grid="#e6e3da",
    accent="#1f6674",
    on_accent="#ffffff",
    selected="#0b7fa8",
    preview="#7a5ab8",
    rail="#4a535c",
    tie="#cfc7b6",
    conductor_a="#b3261e",
    conductor_b="#26323c",
    drop="#8a5a16",
    device="#34566e",
    good="#1d7a6f",
    tolerable="#8a6206",
    poor="#b04412",
    hazard="#94122f",
    dead="#7d7f86",
    panel="#f5f3ee",
    panel_edge="#d9d4c8",
    field="#ffffff",
    ramp=LIGHT_RAMP,
    hues=LIGHT_HUES,
)

DARK = Theme(
    name="dark",
    paper="#1b2026",
    bench="#14181d",
    ink="#e7e5df",
    faint="#98a2ab",
    grid="#272e36",
    accent="#5fb7c4",
    on_accent="#0d1a1e",
    selected="#58c4ee",
    preview="#b9a0f0",
    rail="#a5afb8",
    tie="#3b424a",
    conductor_a="#ff8a7d",
    conductor_b="#c8d4de",
    drop="#d9a860",
    device="#8fb6d2",
    good="#63c2b2",
    tolerable="#dcb45a",
    poor="#f4935c",
    hazard="#ff7f96",
    dead="#878c94",
    panel="#22282f",
    panel_edge="#353d46",
    field="#1a1f25",
    ramp=DARK_RAMP,
    hues=DARK_HUES,
)


def apply_theme(app: QApplication, theme: Theme) -> None:
    """Give the whole program a theme: Fusion, its own palette, one style sheet.

    WORKAROUND: the colour scheme hint does nothing offscreen or without a
    desktop, so the palette is set colour by colour.
    """
    app.setStyle("Fusion")
    app.setPalette(_palette(theme))
    app.setStyleSheet(style_sheet(asdict(theme)))


def is_system_dark(app: QApplication) -> bool:
    """Tell whether the desktop asks for dark windows."""
    return app.styleHints().colorScheme() == Qt.ColorScheme.Dark


def _palette(theme: Theme) -> QPalette:
    role = QPalette.ColorRole
    colours = {
        role.Window: theme.panel,
        role.WindowText: theme.ink,
        role.Base: theme.field,
        role.AlternateBase: theme.panel,
        role.Text: theme.ink,
        role.PlaceholderText: theme.faint,
        role.Button: theme.panel,
        role.ButtonText: theme.ink,
        role.BrightText: theme.hazard,
        role.ToolTipBase: theme.field,
        role.ToolTipText: theme.ink,
        role.Highlight: theme.accent,
        role.HighlightedText: theme.on_accent,
        role.Link: theme.accent,
        role.LinkVisited: theme.accent,
        role.Light: theme.field,
        role.Midlight: theme.panel,
        role.Mid: theme.panel_edge,
        role.Dark: theme.faint,
        role.Shadow: theme.ink,
    }
    palette = QPalette()
    for which, colour in colours.items():
        palette.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        group = QPalette.ColorGroup.Disabled
        palette.setColor(group, which, QColor(theme.faint))
    return palette
