"""Gauge of each scale."""

from core.errors import UnknownNameError
from core.units.si import Metre

GAUGES_MM: dict[str, float] = {
    "Z": 6.5,
    "N": 9.0,
    "TT": 12.0,
    "HO": 16.5,
    "OO": 16.5,
    "S": 22.5,
    "O": 32.0,
    "G": 45.0,
}
"""Nominal gauge by scale, standard gauge track (NEM 010, from memory). [mm]"""


def gauge_m(scale: str) -> Metre:
    """Return the distance between the rails of a scale. [m].

    Raises
    ------
    UnknownNameError
        There is no such scale.
    """
    if scale not in GAUGES_MM:
        raise UnknownNameError(scale, "scale")
    return Metre(GAUGES_MM[scale] / 1000.0)
