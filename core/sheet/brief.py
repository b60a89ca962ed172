"""What the pages are made from: a study, its findings, and how to set them."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Literal

from core.analysis.study import Study
from core.checks.bearing import LoadRow, load_rows
from core.checks.finding import Finding
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Settings
from core.sheet.drawing.atlas import Atlas
from core.sheet.frame import Box, Imprint, body_of
from core.sheet.inks import Strokes, strokes_of
from core.sheet.schedules.benches import Bench, benches_of
from core.sheet.schedules.drops import DropRow, drop_rows
from core.sheet.schedules.power import BusRow, bus_rows
from core.sheet.typeface import Typeface
from core.units.length import show_length

Ask = Callable[[float, str], bool]
"""Called with a share from 0 to 1 and a few words; False means: stop."""


class Stopped(Exception):  # noqa: N818
    """Whoever asked for the sheet does not want it any more."""


class Pace:
    """Tells how far the pages are, and stops them where that is wanted."""

    def __init__(self, ask: Ask | None = None) -> None:
        self._ask = ask
        self._from, self._span, self._words = 0.0, 1.0, ""
        self._at = 0.0

    def chapter(self, start: float, span: float, words: str) -> None:
        """Begin a chapter that takes from `start` a `span` of the whole. [1]

        Raises
        ------
        Stopped
            The answer was to stop; so for `step`.
        """
        self._from, self._span, self._words = start, span, words
        self.step(0.0)

    def step(self, share: float) -> None:
        """Tell that a share of the chapter is done, or no less than before. [1]"""
        self._at = max(self._at, self._from + self._span * min(share, 1.0))
        if self._ask is not None and not self._ask(self._at, self._words):
            raise Stopped


@dataclass(frozen=True, slots=True)
class Options:
    """How a sheet is wanted.

    Attributes
    ----------
    date : str
        The date to print, such as "2026-11-26" (ISO 8601); "" leaves it out.
    plan_scale : float or None
        Scale of the plan and underside pages, such as 10 for 1:10, on as many
        pages as it takes; None: each on one page at the best round scale.
    gaps, turnouts, maps, protection, ring_out, coins, volts, labels : bool
        Whether the gap list, the turnout cards, the maps of volts and shorts, the
        pages on protection, ringing out, the coin test, loaded volts with what one
        open connection takes from them, and the label pages are wanted.
    backdrop : bool
        Whether the picture of the benchwork drawing is printed under the plan.
    load_ohm : float or None
        The resistor that volts are measured under; None: one that suits. [Ω]
    fonts : Path or None
        Folder of the two font files; None: where they are installed.
    """

    date: str = ""
    plan_scale: float | None = None
    gaps: bool = True
    turnouts: bool = True
    maps: bool = True
    protection: bool = True
    ring_out: bool = True
    coins: bool = True
    volts: bool = True
    labels: bool = True
    backdrop: bool = True
    load_ohm: float | None = None
    fonts: Path | None = None


@dataclass(frozen=True)
class Brief:
    """Everything a page asks for."""

    study: Study
    findings: tuple[Finding, ...]
    options: Options
    typeface: Typeface
    pace: Pace = field(default_factory=Pace)

    @property
    def layout(self) -> Layout:
        """The layout."""
        return self.study.layout

    @property
    def settings(self) -> Settings:
        """Its settings."""
        return self.study.layout.settings

    @cached_property
    def atlas(self) -> Atlas:
        """Where every part lies."""
        return Atlas(self.layout)

    @cached_property
    def benches(self) -> tuple[Bench, ...]:
        """The boards, and the bare plan."""
        return benches_of(self.layout)

    @cached_property
    def drops(self) -> tuple[DropRow, ...]:
        """The drop schedule."""
        return drop_rows(self.layout)

    @cached_property
    def carried(self) -> dict[PartId, LoadRow]:
        """What each live drop and bus carries at most while a train moves by."""

        def go_on() -> bool:
            self.pace.step(0.0)  # stops by an exception
            return True

        rows = load_rows(self.study, go_on=go_on)
        return {row.carried.part: row for row in rows}

    @cached_property
    def buses(self) -> tuple[BusRow, ...]:
        """The bus schedule."""
        return bus_rows(self.layout)

    @property
    def body(self) -> Box:
        """The part of the paper that content may fill."""
        return body_of(self.settings.paper)

    @property
    def system(self) -> Literal["m", "ft"]:
        """The person's units of length."""
        return self.settings.lengths

    @property
    def strokes(self) -> Strokes:
        """How the two conductors are drawn."""
        return strokes_of(self.settings)

    @property
    def imprint(self) -> Imprint:
        """What names the sheet on every page."""
        settings = self.settings
        return Imprint(settings.title, settings.revision, self.options.date)

    def length(self, length_m: float) -> str:
        """Return a length in the person's units."""
        if abs(length_m) < 5e-4:
            return "0"
        return show_length(length_m, self.system)

    def place(self, length_m: float) -> str:
        """Return a place on a tape: to the millimetre, or the eighth of an inch."""
        if abs(length_m) < 5e-4:
            return "0"
        if self.system == "ft":
            return show_length(length_m, "ft")
        return show_length(round(length_m, 3), "m", fine=True)
