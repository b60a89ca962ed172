"""The field of a track that says what was measured on its rail."""

import re
from typing import Any

from app.panels.fields.codecs import Codec
from app.panels.fields.field import Field
from core.errors import CoreError, UnitParseError
from core.layout.change import Change
from core.layout.edits.set import set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import MeasuredRail, Settings, TrackRun
from core.layout.rails import measured_of, measured_words, with_measured
from core.units.figures import parse_amps, parse_volts
from core.units.length import parse_length

EXAMPLE = "1 A, 1 m, 76 mV"

LIKELY = (1e-4, 10.0)
"""No rail has less or more than this: the figures are then of something else. [Ω/m]"""


class UnlikelyRailError(CoreError, ValueError):
    """What was measured can be no rail."""

    def __init__(self, ohm_per_m: float) -> None:
        super().__init__(f"That would be {ohm_per_m:.3g} Ω a metre of one rail.")
        self.hint = f"Give amps, length and millivolts, such as {EXAMPLE}."


def parse_measured(text: str, settings: Settings) -> tuple[float, float, float]:
    """Return amps, metres and volts from "1 A, 1 m, 76 mV". [A, m, V]

    Raises
    ------
    UnitParseError
        It is not three figures.
    UnlikelyRailError
        No rail has such a resistance.
    """
    # A comma with no space after it is the decimal sign of half the world.
    words = re.split(r"\s*(?:;|,\s)\s*", text.strip())
    if len(words) != 3:
        words = re.split(r"\s*,\s*", text.strip())
    if len(words) != 3:
        wanted = "amps, length and volts, with commas between"
        raise UnitParseError(text, wanted, (EXAMPLE,))
    amps = float(parse_amps(words[0]))
    length_m = float(parse_length(words[1], settings.lengths))
    volts_v = float(parse_volts(words[2]))
    if amps <= 0.0 or length_m <= 0.0:
        raise UnitParseError(text, "figures above nothing", (EXAMPLE,))
    ohm_per_m = volts_v / amps / length_m
    if not LIKELY[0] <= ohm_per_m <= LIKELY[1]:
        raise UnlikelyRailError(ohm_per_m)
    return amps, length_m, volts_v


def _show(rail_id: Any, settings: Settings) -> str:
    own = measured_of(settings, rail_id)
    return "" if own is None else measured_words(own, settings)


def _build(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    (part,) = ids
    rail_id, own = layout.need(part, TrackRun).rail, None
    if value is not None:
        amps, length_m, volts_v = value
        own = MeasuredRail(
            rail=rail_id, amps_a=amps, length_m=length_m, volts_v=volts_v
        )
    return set_settings(layout, measured=with_measured(layout.settings, rail_id, own))


MEASURED = Field(
    "measured",
    "Measured",
    Codec(_show, parse_measured, blank=True),
    blank="From the table",
    tip="Your own rail: send some amps through one rail, touch the meter to it at two "
    f"points between, and give amps, length and volts, such as {EXAMPLE}. It then "
    "holds for all track of this rail.",
    read=lambda run: run.rail,
    build=_build,
    alone=True,
)
"""Asked of one track; holds for all track of its rail."""
