"""The fields of the settings, by the stage that asks for them."""

from typing import Any, cast

import msgspec

from app.panels.fields.codecs import (
    AMPS,
    CELSIUS,
    FACTOR,
    LENGTH,
    MILLIMETRES,
    SHARE,
    TEXT,
    VOLTS,
    Codec,
)
from app.panels.fields.field import Field, one_of
from core.errors import CoreError
from core.layout.edits.set import set_settings
from core.layout.parts import Settings


class EarthColourError(CoreError, ValueError):
    """A colour was asked for that is kept for protective earth."""

    def __init__(self) -> None:
        super().__init__("Green-yellow is kept for protective earth.")
        self.hint = "On a track wire it could cost a life later. Take another colour."


def _parse_colour(text: str, _: Settings) -> str:
    colour = text.strip().lower()
    if "green" in colour and "yellow" in colour:
        raise EarthColourError
    return colour


COLOUR = Codec(lambda v, _: str(v), _parse_colour)
"""A colour of wire; any words, but not those of protective earth (NEM 605)."""


def _within(struct: str, name: str) -> dict[str, Any]:
    """Return how to read and set a field of a record inside the settings."""

    def read(settings: Any) -> Any:
        return getattr(getattr(settings, struct), name)

    def build(layout: Any, _: Any, value: Any) -> Any:
        inner = cast("msgspec.Struct", getattr(layout.settings, struct))
        new = msgspec.structs.replace(inner, **{name: value})
        return set_settings(layout, **{struct: new})

    return {"read": read, "build": build}


def _limit(name: str, label: str, codec: Codec, tip: str) -> Field:
    return Field(f"limits.{name}", label, codec, tip=tip, **_within("limits", name))


def _conductor(which: str) -> tuple[Field, Field]:
    struct = f"conductor_{which.lower()}"
    return (
        Field(
            f"{struct}.name",
            f"{which} is called",
            TEXT,
            tip="What stands on labels and sheets, such as A, or aisle.",
            **_within(struct, "name"),
        ),
        Field(
            f"{struct}.colour",
            f"Colour of {which}",
            COLOUR,
            tip="The colour of the wire you buy. A letter always goes with it.",
            **_within(struct, "colour"),
        ),
    )


WORLD: tuple[Field, ...] = (
    Field(
        "scale",
        "Scale",
        choices=one_of(*((s, s) for s in ("Z", "N", "TT", "HO", "OO", "S", "O", "G"))),
    ),
    Field(
        "lengths",
        "Lengths in",
        choices=one_of(("m", "metres, mm"), ("ft", "feet, inches")),
    ),
    Field(
        "wires",
        "Wire sizes in",
        choices=one_of(("mm2", "mm²"), ("awg", "AWG")),
    ),
)
"""Scale and units."""

BENCH: tuple[Field, ...] = (
    Field(
        "thickness_mm",
        "Deck thickness",
        MILLIMETRES,
        tip="Board, roadbed and foam together: what a drop must pass through.",
    ),
    Field(
        "lead_slack_mm",
        "Slack in a drop",
        MILLIMETRES,
        tip="Extra wire in every drop, to work with.",
    ),
)
"""What the drops must pass through."""

TRIAL: tuple[Field, ...] = (
    Field(
        "test_train_a",
        "Test train draws",
        AMPS,
        tip="This train is tried at every point of the track, on top of the others.",
    ),
    Field(
        "engine_m",
        "Longest engine",
        LENGTH,
        tip="An isolation piece before a programming track is to be as long.",
    ),
    Field(
        "temperature_c",
        "Copper at",
        CELSIUS,
        tip="Warm copper loses more: about 4 % for each 10 °C.",
    ),
)
"""What the layout is tried with."""

LIMITS: tuple[Field, ...] = (
    _limit("drop_good", "Good: loses up to", SHARE, "5 % is common practice."),
    _limit("drop_most", "Tolerable: up to", SHARE, "10 % is common practice."),
    _limit("floor_v", "Never under", VOLTS, "Decoders must work from 7 V (S-9.1)."),
    _limit(
        "short_good",
        "Trips surely from",
        FACTOR,
        "Short current over trip current. House choice: 2.",
    ),
    _limit(
        "short_least",
        "Trips barely from",
        FACTOR,
        "Short current over trip current. House choice: 1.5.",
    ),
    _limit("headroom", "Spare in a booster", SHARE, "20 to 30 % is common practice."),
)
"""What counts as good enough."""

COVER: tuple[Field, ...] = (
    Field("title", "Title"),
    Field("revision", "Revision"),
    Field(
        "paper", "Paper", choices=one_of(("a4", "A4"), ("letter", "Letter, 8½ × 11 in"))
    ),
    Field("spare", "Spare wire", SHARE, tip="Added to every length in the cut list."),
)
"""What stands on the cover."""

CONDUCTORS: tuple[Field, ...] = (*_conductor("A"), *_conductor("B"))
"""How the two conductors are told apart."""

NOTES: tuple[Field, ...] = (Field("notes", "Notes for the sheet", lines=5),)
"""Free words."""
