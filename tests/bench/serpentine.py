"""The bench of the club layout: a track that winds to and fro, cut to measure."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

import msgspec

from core.layout.geometry import Path, piece_length_mm, run_path
from core.layout.ids import PartId
from core.layout.parts import Arc, Piece, Straight, TrackRun

SPACING_MM = 62.0
"""Between the two mains, and between tracks of a yard. [mm]"""

TURN_MM = 750.0
"""Radius of the first main where it turns round; rows lie two of these apart. [mm]"""


@dataclass(frozen=True, slots=True)
class Serpentine:
    """Rows joined by half turns, left and right in turn.

    `offset_mm` shifts a parallel track to the left of the first one.
    """

    row_mm: float
    offset_mm: float = 0.0

    def pieces(self) -> Iterator[Piece]:
        """Yield straight, left turn, straight, right turn, and so on for ever."""
        while True:
            yield Straight(length_mm=self.row_mm)
            yield Arc(radius_mm=TURN_MM - self.offset_mm, sweep_deg=180.0)
            yield Straight(length_mm=self.row_mm)
            yield Arc(radius_mm=TURN_MM + self.offset_mm, sweep_deg=-180.0)

    def whole(self, length_m: float) -> TrackRun:
        """Return the first stretch of it as one run, to measure along."""
        return TrackRun(
            id=PartId("R0"),
            x_mm=0.0,
            y_mm=self.offset_mm,
            heading_deg=0.0,
            pieces=tuple(cut(self.pieces(), 0.0, length_m * 1000.0)),
        )

    def straights(self, start_m: float, end_m: float) -> list[tuple[float, float]]:
        """Return the parts of its straights between two positions. [m]"""
        found: list[tuple[float, float]] = []
        at = 0.0
        for piece in self.pieces():
            length = piece_length_mm(piece) / 1000.0
            low, high = max(at, start_m), min(at + length, end_m)
            if isinstance(piece, Straight) and high > low:
                found.append((low, high))
            at += length
            if at >= end_m:
                return found
        raise AssertionError("a serpentine has no end")


def cut(pieces: Iterator[Piece], start_mm: float, length_mm: float) -> Iterator[Piece]:
    """Yield the pieces of a stretch of a path. [mm]"""
    at, end_mm = 0.0, start_mm + length_mm
    for piece in pieces:
        length = piece_length_mm(piece)
        low, high = max(at, start_mm), min(at + length, end_mm)
        if high - low > 1e-6:
            yield shorten(piece, (high - low) / length)
        at += length
        if at >= end_mm - 1e-6:
            return


def shorten(piece: Piece, share: float) -> Piece:
    """Return a share of a piece."""
    if isinstance(piece, Arc):
        return msgspec.structs.replace(piece, sweep_deg=piece.sweep_deg * share)
    return Straight(length_mm=piece.length_mm * share)


def row_length_mm(main_m: float) -> float:
    """Return how long rows are, so that the room is about as deep as it is wide."""
    return max(6000.0, 1200.0 * sqrt(main_m))


def path_of(track: Serpentine, length_m: float) -> Path:
    """Return the centre line of the first stretch of a serpentine."""
    return run_path(track.whole(length_m))
