"""Joints of rails and of wires: resistance, with new and aged presets."""

from dataclasses import dataclass
from typing import Literal, cast

from core.errors import FileFormatError
from core.materials.tables.reading import (
    Row,
    index_by_id,
    look_up,
    read_range,
    read_rows,
)
from core.units.si import Ohm

JointUse = Literal["rail", "wire"]


NOMINAL = 0.05
"""Sizes this near to the end of a range count as in it: AWG 14 is sold as 2 mm² and
has 2.08 (house choice). [1]"""


@dataclass(frozen=True, slots=True)
class Fit:
    """What a connector holds: the wire that goes on, and the one that branches off.

    Attributes
    ----------
    run, tap : tuple of float
        Least and greatest area of each. [mm²]
    """

    run: tuple[float, float]
    tap: tuple[float, float]

    def holds_run(self, area_mm2: float) -> bool:
        """Return whether a wire of that area fits as the one that goes on."""
        return _within(self.run, area_mm2)

    def holds_tap(self, area_mm2: float) -> bool:
        """Return whether a wire of that area fits as the one that branches off."""
        return _within(self.tap, area_mm2)


def _within(ends: tuple[float, float], area_mm2: float) -> bool:
    return (1.0 - NOMINAL) * ends[0] <= area_mm2 <= (1.0 + NOMINAL) * ends[1]


@dataclass(frozen=True, slots=True)
class Joint:
    """A kind of joint between two conductors.

    Attributes
    ----------
    id, label : str
        Its name in files, and for people.
    ohm, low, high : Ohm
        Resistance of one joint of one conductor: default and band. [Ω]
    use : "rail" or "wire"
        What it joins.
    fits : Fit or None
        Which wires it holds; None where that is not known, or does not matter.
    source : str
        Where the figures come from.
    """

    id: str
    label: str
    ohm: Ohm
    low: Ohm
    high: Ohm
    use: JointUse
    fits: Fit | None
    source: str


def joint(joint_id: str) -> Joint:
    """Return a joint by id.

    Raises
    ------
    UnknownNameError
        There is no such joint; the nearest name is suggested.
    """
    return look_up(JOINTS, joint_id, "joint")


def joints_of(use: JointUse) -> tuple[Joint, ...]:
    """Return the joints of rails or of wires, as the table has them."""
    return tuple(j for j in JOINTS.values() if j.use == use)


def block_limit_ohm(test_a: float) -> Ohm:
    """Return the most that a new terminal block may have, two clamps. [Ω]

    A tenth of its test current may drop 3.2 mV across it.

    Sources
    -------
    .. [1] IEC 60947-7-1, voltage-drop test.
    """
    return Ohm(3.2e-3 / (0.1 * test_a))


def read_joint(row: Row) -> Joint:
    """Return the joint of a row."""
    low, ohm, high = row.band("low_mohm", "mohm", "high_mohm")
    use = row.text("use")
    if use not in ("rail", "wire"):
        raise FileFormatError(row.where, f"use is {use!r}, not rail or wire")
    return Joint(
        id=row.text("id"),
        label=row.text("label"),
        ohm=Ohm(ohm / 1e3),
        low=Ohm(low / 1e3),
        high=Ohm(high / 1e3),
        use=cast("JointUse", use),
        fits=_read_fit(row),
        source=row.text("source"),
    )


def _read_fit(row: Row) -> Fit | None:
    """Return such as "0.8-2/0.5-1": run and tap in mm²; "any" is None."""
    text = row.text("fits")
    if text == "any":
        return None
    run, slash, tap = text.partition("/")
    if not slash:
        raise FileFormatError(row.where, f"fits is {text!r}, not run/tap or any")
    return Fit(read_range(row.where, run), read_range(row.where, tap))


JOINTS: dict[str, Joint] = index_by_id(
    ((j.id, j) for j in map(read_joint, read_rows("joints"))), "joints.csv"
)
"""All joints by id."""
