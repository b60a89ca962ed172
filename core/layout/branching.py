"""The shape of a turnout: crossing angle, radius and lead, from its gauge.

A leg that bends evenly from the toe to the crossing has its outer rail cross the
straight inner rail, a gauge from it, at the angle α: cos α = (R − g/2) / (R + g/2).
So tan²(α/2) = g / 2R, and the crossing lies √(2·R·g) = g / tan(α/2) from the toe: the
curve lead of railway handbooks, nearly 2·g·N for a crossing 1 in N.
"""

from dataclasses import dataclass
from math import atan, cos, degrees, radians, sin, sqrt, tan

from core.layout.bends import Bend

USUAL_NUMBER: dict[str, float] = {"O": 5.0, "G": 3.0}
"""Crossing 1 in this by scale, where it is another (common practice, no source)."""

NUMBER = 6.0
"""Crossing 1 in this where nothing else is said (common practice, no source)."""

BEYOND = 1.5
"""A leg is drawn this many leads long: there the two tracks are clear of each other."""

LEAST_DEG, MOST_DEG = 2.0, 45.0
"""Crossings flatter or steeper than these are slips of the hand. [°]"""


@dataclass(frozen=True, slots=True)
class Branching:
    """How a leg leaves straight track.

    Attributes
    ----------
    radius_mm : float
        Of its arc from the toe. [mm]
    angle_deg : float
        How far it turns; from there it goes on as the track beside it. [°]
    """

    radius_mm: float
    angle_deg: float

    @classmethod
    def of_number(cls, number: float, gauge_mm: float) -> "Branching":
        """Return the shape with a crossing 1 in so many (its angle's tangent)."""
        return cls.of_angle(degrees(atan(1.0 / number)), gauge_mm)

    @classmethod
    def of_angle(cls, angle_deg: float, gauge_mm: float) -> "Branching":
        """Return the shape with a crossing of an angle, bent up to the crossing."""
        half = tan(radians(angle_deg) / 2.0)
        return cls(0.5 * gauge_mm / (half * half), angle_deg)

    @classmethod
    def of_radius(cls, radius_mm: float, gauge_mm: float) -> "Branching":
        """Return the shape with a leg of a radius, bent up to the crossing."""
        return cls(radius_mm, 2.0 * degrees(atan(sqrt(0.5 * gauge_mm / radius_mm))))

    @property
    def number(self) -> float:
        """One in this is its crossing. [1]"""
        return 1.0 / tan(radians(self.angle_deg))

    def lead_mm(self, gauge_mm: float) -> float:
        """Return how far the crossing is from the toe, about. [mm]

        A leg that stops bending before it goes straight on to its crossing.
        """
        turn = radians(self.angle_deg)
        off = self.radius_mm * (1.0 - cos(turn))
        if off >= gauge_mm:
            return sqrt(2.0 * self.radius_mm * gauge_mm)
        whole = Branching.of_radius(self.radius_mm, gauge_mm)
        if self.angle_deg >= whole.angle_deg - 1e-9:
            return sqrt(2.0 * self.radius_mm * gauge_mm)
        return self.radius_mm * turn + (gauge_mm - off) / sin(turn)

    def leg_mm(self, gauge_mm: float) -> float:
        """Return how long its leg is drawn. [mm]"""
        return BEYOND * max(
            self.lead_mm(gauge_mm), self.radius_mm * radians(self.angle_deg)
        )

    def bends(self, gauge_mm: float, *, share: float) -> tuple[Bend, ...]:
        """Return how a leg bends off straight track, over its whole length.

        Parameters
        ----------
        share : float
            1 to the left, −1 to the right; a half of either for one half of a wye,
            whose two ways share the bend between them. [1]
        """
        bent = self.radius_mm * radians(self.angle_deg)
        return (
            Bend(bent, share / self.radius_mm),
            Bend(self.leg_mm(gauge_mm) - bent, 0.0),
        )


def usual_branching(scale: str, gauge_mm: float) -> Branching:
    """Return the shape that is usual in a scale."""
    return Branching.of_number(USUAL_NUMBER.get(scale, NUMBER), gauge_mm)
