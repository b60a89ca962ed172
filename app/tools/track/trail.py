"""A run while it is being drawn: where it began, and its pieces so far."""

from dataclasses import dataclass, replace
from math import degrees, radians
from typing import Literal

from core.layout.geometry import Path, Pose, run_path
from core.layout.ids import PartId
from core.layout.parts import OnRun, Piece, RunEnd, TrackRun

_TRIAL = PartId("R0")


@dataclass(frozen=True, slots=True)
class Begin:
    """Where a run begins.

    Attributes
    ----------
    pose : Pose
        Place and direction; the direction counts once there are pieces, or
        where `on` gives it. [mm, rad]
    on : RunEnd, OnRun or None
        The run end that it goes on from, or the place on track it leaves.
    at_pit : bool
        Whether it begins at the edge of a pit: the direction is away from it.
    """

    pose: Pose
    on: RunEnd | OnRun | None = None
    at_pit: bool = False


@dataclass(frozen=True, slots=True)
class Ending:
    """What the end of a run meets: another run, its own other end, or a pit."""

    on: RunEnd | OnRun | Literal["own start", "pit"]
    word: str


@dataclass(frozen=True, slots=True)
class Added:
    """The pieces that come next, and what they then meet.

    Attributes
    ----------
    pieces : tuple of Piece
        In order.
    heading_deg : float or None
        The direction that the whole run begins with, where it was open. [°]
    ending : Ending or None
        What they reach.
    refused : str
        Why what the pointer is on cannot be reached; empty where it can.
    """

    pieces: tuple[Piece, ...]
    heading_deg: float | None = None
    ending: Ending | None = None
    refused: str = ""


@dataclass(frozen=True, slots=True)
class Trail:
    """What has been drawn so far; the pieces of one click stand together."""

    begin: Begin
    clicks: tuple[tuple[Piece, ...], ...] = ()

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """All pieces in order."""
        return tuple(piece for click in self.clicks for piece in click)

    @property
    def is_open(self) -> bool:
        """Whether its direction is still free."""
        begin = self.begin
        return not self.clicks and begin.on is None and not begin.at_pit

    @property
    def pose(self) -> Pose:
        """Place and direction where it ends now. [mm, rad]"""
        return (
            walk(self.begin.pose, self.pieces).end if self.clicks else self.begin.pose
        )

    def plus(self, added: Added) -> "Trail":
        """Return the trail with some more pieces."""
        begin = self.begin
        if added.heading_deg is not None:
            pose = replace(begin.pose, heading=radians(added.heading_deg))
            begin = replace(begin, pose=pose)
        return Trail(begin, (*self.clicks, added.pieces))

    def less(self) -> "Trail":
        """Return the trail without what the last click added."""
        return Trail(self.begin, self.clicks[:-1])


def walk(start: Pose, pieces: tuple[Piece, ...]) -> Path:
    """Return the path of some pieces from a pose."""
    return run_path(
        TrackRun(
            id=_TRIAL,
            x_mm=start.x_mm,
            y_mm=start.y_mm,
            heading_deg=degrees(start.heading),
            pieces=pieces,
        )
    )
