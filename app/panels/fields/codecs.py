"""How each sort of figure is read from text and shown as text."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from core.errors import UnitParseError
from core.layout.parts import Settings
from core.units.figures import (
    parse_amps,
    parse_ohms,
    parse_seconds,
    parse_volts,
    parse_watts,
    show_amps,
    show_ohms,
    show_seconds,
    show_volts,
    show_watts,
)
from core.units.length import parse_length, show_length
from core.units.si import Metre

Show = Callable[[Any, Settings], str]
Parse = Callable[[str, Settings], Any]


@dataclass(frozen=True, slots=True)
class Codec:
    """A way from text to a value, and back.

    Attributes
    ----------
    show, parse
        Value to text and text to value, in the person's units; `parse` raises
        UnitParseError with a sentence.
    blank : bool
        Whether an empty text means None.
    """

    show: Show
    parse: Parse
    blank: bool = False

    def to_text(self, value: Any, settings: Settings) -> str:
        """Return a value as text."""
        return "" if value is None else self.show(value, settings)

    def to_value(self, text: str, settings: Settings) -> Any:
        """Return the value that a text stands for."""
        if self.blank and not text.strip():
            return None
        return self.parse(text, settings)

    def or_blank(self) -> "Codec":
        """Return the same, where an empty text means None."""
        return Codec(self.show, self.parse, blank=True)


def _number(text: str, wanted: str, examples: tuple[str, ...]) -> float:
    bare = text.strip().replace(",", ".").replace("−", "-")
    try:
        value = float(bare)
    except ValueError:
        raise UnitParseError(text, wanted, examples) from None
    if value - value != 0.0:  # inf and nan
        raise UnitParseError(text, wanted, examples)
    return value


def _parse_share(text: str, _: Settings) -> float:
    return _number(text.replace("%", ""), "a share", ("5 %", "12.5")) / 100.0


def _parse_factor(text: str, _: Settings) -> float:
    return _number(text.strip(" ×x"), "a factor", ("1.5", "2"))


def _parse_celsius(text: str, _: Settings) -> float:
    bare = text.replace("°", "").upper().replace("C", "")
    return _number(bare, "a temperature", ("20 °C", "35"))


def _parse_degrees(text: str, _: Settings) -> float:
    bare = text.replace("°", "").replace("deg", "")
    return _number(bare, "an angle", ("90°", "22.5"))


def _parse_count(text: str, _: Settings) -> int:
    value = _number(text, "a whole number", ("12",))
    if value != int(value):
        raise UnitParseError(text, "a whole number", ("12",))
    return int(value)


def _plain(value: float) -> str:
    return f"{value:.6g}".replace("-", "−")


TEXT = Codec(lambda v, _: str(v), lambda t, _: t.strip())
LENGTH = Codec(
    lambda v, s: show_length(Metre(v), s.lengths, fine=True),
    lambda t, s: float(parse_length(t, s.lengths)),
)
"""A length held in metres."""

MILLIMETRES = Codec(
    lambda v, s: show_length(Metre(v / 1000.0), s.lengths, fine=True),
    lambda t, s: float(parse_length(t, s.lengths)) * 1000.0,
)
"""A length held in millimetres."""

VOLTS = Codec(lambda v, _: show_volts(v), lambda t, _: parse_volts(t))
AMPS = Codec(lambda v, _: show_amps(v), lambda t, _: parse_amps(t))
OHMS = Codec(lambda v, _: show_ohms(v), lambda t, _: parse_ohms(t))
WATTS = Codec(lambda v, _: show_watts(v), lambda t, _: parse_watts(t))
SECONDS = Codec(lambda v, _: show_seconds(v), lambda t, _: parse_seconds(t))
SHARE = Codec(lambda v, _: f"{_plain(v * 100.0)} %", _parse_share)
FACTOR = Codec(lambda v, _: _plain(v), _parse_factor)
CELSIUS = Codec(lambda v, _: f"{_plain(v)} °C", _parse_celsius)
DEGREES = Codec(lambda v, _: f"{_plain(v)}°", _parse_degrees)
COUNT = Codec(lambda v, _: str(v), _parse_count)
