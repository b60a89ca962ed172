"""Loads by scale: what trains and lit cars draw."""

from dataclasses import dataclass

from core.errors import UnknownNameError
from core.materials.scales import GAUGES_MM
from core.materials.tables.reading import Row, index_by_id, look_up, read_rows
from core.units.si import Ampere


@dataclass(frozen=True, slots=True)
class LoadPreset:
    """A load to choose from.

    Attributes
    ----------
    id, label : str
        Its name in files, and for people.
    scale : str
        For which scale it holds.
    amps_a, low_a, high_a : Ampere
        Current from the rails: default and band. [A]
    source : str
        Where the figures come from.
    """

    id: str
    label: str
    scale: str
    amps_a: Ampere
    low_a: Ampere
    high_a: Ampere
    source: str


def load_preset(preset_id: str) -> LoadPreset:
    """Return a preset by id.

    Raises
    ------
    UnknownNameError
        There is no such preset; the nearest name is suggested.
    """
    return look_up(PRESETS, preset_id, "load")


def presets_of(scale: str) -> tuple[LoadPreset, ...]:
    """Return the presets of a scale, as the table has them.

    Raises
    ------
    UnknownNameError
        There is no such scale.
    """
    if scale not in GAUGES_MM:
        raise UnknownNameError(scale, "scale")
    return tuple(p for p in PRESETS.values() if p.scale == scale)


def read_load(row: Row) -> LoadPreset:
    """Return the preset of a row."""
    low, amps, high = row.band("low_a", "amps_a", "high_a")
    return LoadPreset(
        id=row.text("id"),
        label=row.text("label"),
        scale=row.text("scale"),
        amps_a=Ampere(amps),
        low_a=Ampere(low),
        high_a=Ampere(high),
        source=row.text("source"),
    )


PRESETS: dict[str, LoadPreset] = index_by_id(
    ((p.id, p) for p in map(read_load, read_rows("loads"))), "loads.csv"
)
"""All presets by id."""
