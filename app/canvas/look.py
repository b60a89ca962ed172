"""How things are drawn now: theme, zoom and side, and the pens made from them."""

from dataclasses import fields, replace
from functools import lru_cache
from typing import Any, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPen, QPixmap

from app.canvas.words.lettering import Lettering
from app.session.theme import Theme
from app.session.views import View

Stroke = Literal["solid", "dash", "dot", "seamless"]

FAINT = 0.62
"""How much of the paper is mixed into track that is seen from below. [1]"""

DEFAULT_PX_PER_MM = 0.25

_STYLES = {
    "solid": Qt.PenStyle.SolidLine,
    "seamless": Qt.PenStyle.SolidLine,
    "dash": Qt.PenStyle.CustomDashLine,
    "dot": Qt.PenStyle.CustomDashLine,
}
DASH_PX = (7.0, 4.0)
"""A dash, and the space after it. [px]"""

_DASHES_PX = {"dash": DASH_PX, "dot": (1.6, 3.2)}


class Look:
    """What every drawing is painted with; one for the whole canvas.

    Attributes
    ----------
    theme : Theme
        Colours as they are to be used now: track is faint from below.
    px_per_mm : float
        The zoom. [px/mm]
    gauge_mm : float
        Distance between the rails. [mm]
    underside : bool
        Whether the layout is seen from below.
    is_rough : bool
        Whether only the main lines are drawn, since the zoom is changing.
    is_patient : bool
        Whether words wait for new places when the zoom has changed, as there are many.
    words : Lettering
        What writes words.
    view : View or None
        What the track is shown by.
    stamps : dict
        Pictures of stamps that are ready, see `app.canvas.lines.stamps`.
    focus : int
        The district that stands out; 0 for none.
    """

    def __init__(self, theme: Theme, gauge_mm: float = 16.5) -> None:
        self.theme = theme
        self.px_per_mm = DEFAULT_PX_PER_MM
        self.gauge_mm = gauge_mm
        self.underside = False
        self.is_rough = self.is_patient = False
        self.words = Lettering()
        self.view: View | None = None
        self.focus = 0
        self.stamps: dict[Any, QPixmap] = {}
        self._full_theme = theme
        self._pens: dict[tuple[str, float, Stroke, bool], QPen] = {}

    @property
    def mm_per_px(self) -> float:
        """How much plan one pixel covers. [mm]"""
        return 1.0 / self.px_per_mm

    @property
    def gauge_px(self) -> float:
        """Distance between the rails on screen. [px]"""
        return self.gauge_mm * self.px_per_mm

    def set_theme(self, theme: Theme) -> None:
        """Take other colours."""
        self._full_theme = theme
        self._renew()

    def set_underside(self, *, underside: bool) -> None:
        """Look from below, or from above."""
        self.underside = underside
        self._renew()

    def clamp_px(self, size_mm: float, least_px: float, most_px: float) -> float:
        """Return a size in plan as pixels, held between two sizes. [px]"""
        return min(max(size_mm * self.px_per_mm, least_px), most_px)

    def pen(self, colour: str, width_px: float, stroke: Stroke = "solid") -> QPen:
        """Return a pen whose width is in pixels, whatever the zoom."""
        return self._pen(colour, width_px, stroke, cosmetic=True)

    def plan_pen(self, colour: str, width_mm: float) -> QPen:
        """Return a pen whose width is in plan. [mm]"""
        return self._pen(colour, width_mm, "solid", cosmetic=False)

    def line_pen(self, colour: str, width_px: float) -> QPen:
        """Return a pen for lines that go on from each other: no seams show. [px]"""
        return self._pen(colour, width_px, "seamless", cosmetic=True)

    def band_pen(self, colour: str, width_mm: float) -> QPen:
        """Return the same with a width in plan. [mm]"""
        return self._pen(colour, width_mm, "seamless", cosmetic=False)

    def ghost(self) -> "Look":
        """Return the same look with the one colour of things not yet there."""
        ghost = Look(_in_one_colour(self.theme), self.gauge_mm)
        ghost.words = self.words
        ghost.px_per_mm, ghost.underside = self.px_per_mm, self.underside
        return ghost

    def _pen(
        self, colour: str, width: float, stroke: Stroke, *, cosmetic: bool
    ) -> QPen:
        key = (colour, width, stroke, cosmetic)
        pen = self._pens.get(key)
        if pen is None:
            # Flat and square caps only: round ones cost six times as much.
            pen = QPen(QColor(colour), width, _STYLES[stroke])
            pen.setCapStyle(
                Qt.PenCapStyle.SquareCap
                if stroke == "seamless"
                else Qt.PenCapStyle.FlatCap
            )
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            pen.setCosmetic(cosmetic)
            if stroke in _DASHES_PX:
                pen.setDashPattern([d / width for d in _DASHES_PX[stroke]])
            self._pens[key] = pen
        return pen

    def _renew(self) -> None:
        theme = self._full_theme
        self.theme = _faint_track(theme) if self.underside else theme
        self._pens.clear()
        self.stamps.clear()


@lru_cache(maxsize=200)
def mix(colour: str, other: str, share: float) -> str:
    """Return a colour with a share of another in it."""
    a, b = QColor(colour), QColor(other)
    pairs = ((a.red(), b.red()), (a.green(), b.green()), (a.blue(), b.blue()))
    return QColor(*(round(x + (y - x) * share) for x, y in pairs)).name()


def _faint_track(theme: Theme) -> Theme:
    def faint(colour: str) -> str:
        return mix(colour, theme.paper, FAINT)

    return replace(
        theme,
        rail=faint(theme.rail),
        tie=faint(theme.tie),
        dead=faint(theme.dead),
        ramp=tuple(faint(colour) for colour in theme.ramp),
        hues=tuple(faint(colour) for colour in theme.hues),
    )


def _in_one_colour(theme: Theme) -> Theme:
    kept = {"name", "paper", "bench", "grid", "ramp", "hues"}
    quiet = mix(theme.preview, theme.paper, FAINT)
    colours: dict[str, Any] = {
        field.name: theme.preview for field in fields(theme) if field.name not in kept
    }
    colours["tie"] = quiet
    return replace(theme, **colours)
