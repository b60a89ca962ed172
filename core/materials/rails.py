"""Rails: resistance of one rail, with the band that published values span."""

from dataclasses import dataclass

from core.materials.tables.reading import Row, index_by_id, look_up, read_rows
from core.units.si import Metre, OhmPerMetre

HEAD_BY_HEIGHT = 0.45
"""Width of a rail's head by its height (NMRA RP-15.1: 0.42 to 0.50). [1]"""


@dataclass(frozen=True, slots=True)
class Rail:
    """A rail section in one alloy.

    Attributes
    ----------
    id, label : str
        Its name in files, and for people.
    code : int
        Height in thousandths of an inch; 0 where the trade gives none.
    alloy : str
        What it is made of.
    ohm_per_m, low, high : OhmPerMetre
        Resistance of one rail at 20 °C: default and band. A loop has two. [Ω/m]
    area_mm2 : float
        Area of its section; no standard gives one, so take it ±12 %. [mm²]
    source : str
        Where the figures come from.

    Notes
    -----
    No correction for temperature: nickel silver changes by 0.04 % a kelvin
    (from memory), brass by 0.11 %, far less than the band.
    """

    id: str
    label: str
    code: int
    alloy: str
    ohm_per_m: OhmPerMetre
    low: OhmPerMetre
    high: OhmPerMetre
    area_mm2: float
    source: str

    @property
    def head(self) -> Metre:
        """Width of the head; 0 where the height is not known. [m]"""
        return Metre(HEAD_BY_HEIGHT * self.code * 25.4e-6)


def rail(rail_id: str) -> Rail:
    """Return a rail by id.

    Raises
    ------
    UnknownNameError
        There is no such rail; the nearest name is suggested.
    """
    return look_up(RAILS, rail_id, "rail")


def measured_ohm_per_m(amps_a: float, length_m: float, volts_v: float) -> OhmPerMetre:
    """Return the resistance of one rail from a measurement on it. [Ω/m]

    Send `amps_a` through one rail, touch the meter to it at two points
    `length_m` apart, between the current's clips, and read `volts_v`.
    """
    return OhmPerMetre(volts_v / amps_a / length_m)


def read_rail(row: Row) -> Rail:
    """Return the rail of a row."""
    low, mohm, high = row.band("low_mohm", "mohm", "high_mohm")
    return Rail(
        id=row.text("id"),
        label=row.text("label"),
        code=row.whole("code"),
        alloy=row.text("alloy"),
        ohm_per_m=OhmPerMetre(mohm / 1e3),
        low=OhmPerMetre(low / 1e3),
        high=OhmPerMetre(high / 1e3),
        area_mm2=row.number("area_mm2"),
        source=row.text("source"),
    )


RAILS: dict[str, Rail] = index_by_id(
    ((r.id, r) for r in map(read_rail, read_rows("rails"))), "rails.csv"
)
"""All rails by id."""
