"""How rail grows with heat, and how far the seasons swing."""

from core.units.si import Metre

GROWTH_PER_K = {"ns": 17.0e-6, "brass": 18.7e-6, "stainless": 16.0e-6}
"""Growth of rail by alloy. [1/K] From memory."""

INDOORS_K = 20.0
"""Swing of a heated room over the year (house choice). [K]"""

OUTDOORS_K = 50.0
"""Swing of a garden line over the year (house choice). [K]"""


def growth(rail_id: str, length: float, swing_k: float) -> Metre:
    """Return how much a piece of rail grows: α·L·ΔT. [m]

    Parameters
    ----------
    rail_id : str
        Its row in the table of rails; the alloy stands at its end. An unknown one
        counts as nickel silver.
    length : float
        Of the piece. [m]
    swing_k : float
        From the coldest to the warmest. [K]
    """
    alloy = rail_id.rpartition("-")[2]
    per_k = GROWTH_PER_K.get(alloy, GROWTH_PER_K["ns"])
    return Metre(per_k * length * swing_k)


def swing_k(scale: str) -> float:
    """Return the swing that a layout of a scale has to live with. [K]"""
    return OUTDOORS_K if scale == "G" else INDOORS_K
