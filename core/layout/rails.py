"""The rail that a track really has: as measured on it, or as the table says."""

from dataclasses import replace

from core.layout.layout import Layout
from core.layout.parts import MeasuredRail, Settings, TrackRun
from core.materials.rails import Rail, measured_ohm_per_m, rail
from core.units.figures import show_amps, show_volts
from core.units.length import show_length
from core.units.si import OhmPerMetre

MEASURED_BAND = 0.05
"""How far off a measurement may be: a meter of 1 %, its last digit on some tens of
millivolts, and where the two points are touched (house choice). [1]"""


def measured_of(settings: Settings, rail_id: str) -> MeasuredRail | None:
    """Return what was measured on a rail, the newest; None where nothing was."""
    own = (m for m in reversed(settings.measured) if m.rail == rail_id)
    return next(own, None)


def rail_of(settings: Settings, rail_id: str) -> Rail:
    """Return a rail as this layout has it.

    Raises
    ------
    UnknownNameError
        There is no such rail; the nearest name is suggested.
    """
    section, own = rail(rail_id), measured_of(settings, rail_id)
    if own is None:
        return section
    ohm = measured_ohm_per_m(own.amps_a, own.length_m, own.volts_v)
    return replace(
        section,
        ohm_per_m=ohm,
        low=OhmPerMetre(ohm * (1.0 - MEASURED_BAND)),
        high=OhmPerMetre(ohm * (1.0 + MEASURED_BAND)),
        source=f"measured: {measured_words(own, settings)}",
    )


def with_measured(
    settings: Settings, rail_id: str, own: MeasuredRail | None
) -> tuple[MeasuredRail, ...]:
    """Return all measurements with another one for a rail, or none for it."""
    others = tuple(m for m in settings.measured if m.rail != rail_id)
    return others if own is None else (*others, own)


def rails_measured(layout: Layout) -> tuple[str, ...]:
    """Return a sentence for each rail of the layout that was measured."""
    used = dict.fromkeys(run.rail for run in layout.of_kind(TrackRun))
    settings = layout.settings
    return tuple(
        f"{rail(name).label}: {measured_words(own, settings)}, so "
        f"{1e3 * rail_of(settings, name).ohm_per_m:.3g} mΩ a metre of one rail."
        for name in used
        if (own := measured_of(settings, name)) is not None
    )


def measured_words(own: MeasuredRail, settings: Settings) -> str:
    """Return such as "1.00 A, 1.00 m, 76.0 mV"."""
    length = show_length(own.length_m, settings.lengths)
    return f"{show_amps(own.amps_a)}, {length}, {_volts(own.volts_v)}"


def _volts(volts_v: float) -> str:
    return f"{volts_v * 1e3:.3g} mV" if volts_v < 1.0 else show_volts(volts_v)
