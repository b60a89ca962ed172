"""Lengths and arcs as they are typed while drawing."""

import re
from dataclasses import dataclass
from typing import Literal

from app.tools.pointer import Key
from core.errors import UnitParseError
from core.layout.branching import LEAST_DEG, MOST_DEG, Branching
from core.layout.edits.helix import LEAST_TURNS, MOST_TURNS
from core.units.length import parse_length

Lengths = Literal["m", "ft"]

_SWEEP = re.compile(r"(.*\S)\s+([-+−]?[0-9]+(?:[.,][0-9]+)?)\s*(?:°|deg)?")
_ONE_IN = re.compile(r"1\s*[:/]\s*([0-9]+(?:[.,][0-9]+)?)")
_ANGLE = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(?:°|d|de|deg)")
_TURNS = re.compile(r"[0-9]+(?:[.,][0-9]+)?")
LEAST_RADIUS_MM = 20.0
"""No helix is tighter than this. [mm]"""

_BY = re.compile(r"(.+?)\s*[x×*]\s*(.+)")
_BEGINS = frozenset("0123456789.,")
_ARC_BEGINS = frozenset("rR")
MOST_TYPED = 40
"""Nobody types a longer length than this. [characters]"""


@dataclass(frozen=True, slots=True)
class TypedLength:
    """A length. [mm]"""

    length_mm: float


@dataclass(frozen=True, slots=True)
class TypedArc:
    """A radius [mm], and how far to turn [°] where that was said."""

    radius_mm: float
    sweep_deg: float | None


def read_length(text: str, lengths: Lengths) -> TypedLength | None:
    """Return a typed length, or None where it is not (yet) one."""
    try:
        length = parse_length(text, lengths) * 1000.0
    except UnitParseError:
        return None
    return TypedLength(length) if length > 0 else None


def read_piece(text: str, lengths: Lengths) -> TypedLength | TypedArc | None:
    """Return a typed straight (`2400`) or arc (`r600 90`), or None."""
    text = text.strip()
    if text[:1] not in _ARC_BEGINS:
        return read_length(text, lengths)
    radius_text, sweep = text[1:].strip(), None
    match = _SWEEP.fullmatch(radius_text)
    if match is not None and (radius := read_length(match[1], lengths)) is not None:
        sweep = float(match[2].replace(",", ".").replace("−", "-"))
    else:
        radius = read_length(radius_text, lengths)
    if radius is None or sweep == 0.0:
        return None
    return TypedArc(radius.length_mm, sweep)


def read_branching(text: str, lengths: Lengths, gauge_mm: float) -> Branching | None:
    """Return a typed shape of a turnout, or None where it is not (yet) one.

    `1:6` is a crossing one in six, `10°` or `10 deg` its angle, `600 mm` the radius
    of its leg, `600 8` a radius with the angle that it turns by.
    """
    text = text.strip()
    number, angle = _ONE_IN.fullmatch(text), _ANGLE.fullmatch(text)
    if number is not None:
        shape = Branching.of_number(max(_figure(number[1]), 0.1), gauge_mm)
    elif angle is not None:
        shape = Branching.of_angle(min(max(_figure(angle[1]), 0.1), 89.0), gauge_mm)
    else:
        arc = read_piece(text, lengths) or read_piece(f"r{text}", lengths)
        if isinstance(arc, TypedLength):
            shape = Branching.of_radius(arc.length_mm, gauge_mm)
        elif arc is not None and arc.sweep_deg is None:
            shape = Branching.of_radius(arc.radius_mm, gauge_mm)
        elif arc is not None and arc.sweep_deg is not None:
            shape = Branching(arc.radius_mm, abs(arc.sweep_deg))
        else:
            return None
    return shape if LEAST_DEG <= shape.angle_deg <= MOST_DEG else None


@dataclass(frozen=True, slots=True)
class Helix:
    """A typed helix; None where nothing was said. [mm, 1, mm]"""

    radius_mm: float
    turns: float | None = None
    rise_mm: float | None = None


def read_helix(text: str, lengths: Lengths) -> Helix | None:
    """Return typed radius, turns and rise a turn, such as `460 x 6 x 65`, or None."""
    parts = [part.strip() for part in re.split(r"[x×*]", text)]
    radius = read_length(parts[0], lengths)
    if radius is None or radius.length_mm < LEAST_RADIUS_MM or len(parts) > 3:
        return None
    turns = rise = None
    if len(parts) > 1 and parts[1]:
        if not _TURNS.fullmatch(parts[1]):
            return None
        turns = _figure(parts[1])
        if not LEAST_TURNS <= turns <= MOST_TURNS:
            return None
    if len(parts) > 2 and parts[2]:
        climb = TypedLength(0.0) if parts[2] == "0" else read_length(parts[2], lengths)
        if climb is None:
            return None
        rise = climb.length_mm
    return Helix(radius.length_mm, turns, rise)


def _figure(text: str) -> float:
    return float(text.replace(",", "."))


def read_size(text: str, lengths: Lengths) -> tuple[float, float] | None:
    """Return typed width and depth, such as `2400 x 600`, or None. [mm]"""
    match = _BY.fullmatch(text.strip())
    if match is None:
        return None
    width = read_length(match[1], lengths)
    depth = read_length(match[2], lengths)
    if width is None or depth is None:
        return None
    return width.length_mm, depth.length_mm


def retype(typed: str, key: Key, *, arcs: bool = False) -> str | None:
    """Return what stands there after a key, or None where it types nothing."""
    if key.name == "backspace":
        return typed[:-1] if typed else None
    if key.name != "text" or len(typed) >= MOST_TYPED:
        return None
    begins = _BEGINS | _ARC_BEGINS if arcs else _BEGINS
    if not typed and key.text[:1] not in begins:
        return None
    return typed + key.text
