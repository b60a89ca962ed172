"""All that a tool sees of the program."""

from collections.abc import Iterable
from typing import Protocol

from app.tools.marks import Mark
from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun


class Desk(Protocol):
    """What a tool works at: it reads the layout and hands back one change."""

    @property
    def layout(self) -> Layout:
        """The layout, to read only."""

    @property
    def selection(self) -> frozenset[PartId]:
        """The parts that are selected."""

    @property
    def probe_place(self) -> OnRun | None:
        """Where the probe is."""

    def preview(self, *marks: Mark) -> None:
        """Show these marks and no others; none takes all away."""

    def commit(self, change: Change) -> None:
        """Make a change: once a gesture."""

    def select(self, ids: Iterable[PartId]) -> None:
        """Select these parts and no others."""

    def hint(self, text: str) -> None:
        """Say in one line what can be done now."""

    def measure(self, text: str) -> None:
        """Show lengths and angles of what is being drawn."""

    def typing(self, text: str) -> None:
        """Show what has been typed so far."""

    def probe(self, place: OnRun | None) -> None:
        """Put the probe on a place of track, or take it off."""

    def throw(self, turnout: PartId) -> None:
        """Set a turnout the other way; no step, and not part of the layout."""

    def refuse(self, sentence: str) -> None:
        """Say why something that was asked for cannot be done."""

    def parts_in(
        self, corner: tuple[float, float], other: tuple[float, float], *, touch: bool
    ) -> frozenset[PartId]:
        """Return the parts inside a box, or touched by it. [mm]"""
