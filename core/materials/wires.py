"""The wire library: American gauges by law, metric sizes by table."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from core.errors import FileFormatError, UnknownNameError
from core.materials import awg
from core.materials.copper import STRANDING_MOST, resistance_per_metre, stranded
from core.materials.tables.reading import Row, index_by_id, look_up, read_rows
from core.units.si import Ampere, Millimetre, OhmPerMetre
from core.units.wire_size import WireSize

WireSystem = Literal["mm2", "awg"]

DRAWING_TOLERANCE = 0.02
"""Area of a drawn wire, ±2 % (diameter ±1 %, ASTM B3, from memory). [1]"""

OVER_STRANDS = 3.0 / math.sqrt(7.0)
"""Seven round strands against one wire of the same area, across. [1]"""

MM_PER_MIL = 0.0254


@dataclass(frozen=True, slots=True)
class Wire:
    """A wire: one insulated copper conductor.

    Attributes
    ----------
    id, label : str
        Its name in files, and for people.
    family : str
        "awg", "iec60228", "hook-up" or "strands".
    awg : int or None
        American gauge, where it is sold by that.
    area_mm2 : float
        Nominal area of copper. [mm²]
    diameter_mm : Millimetre
        Over the bare copper. [mm]
    strands : str
        Make-up, strands / strand diameter in mm; others may be sold.
    stranded : bool
        False for one solid wire.
    ohm_per_m : OhmPerMetre
        Resistance of one conductor at 20 °C. [Ω/m]
    band : (OhmPerMetre, OhmPerMetre)
        Lowest and highest to be expected of a sound wire. [Ω/m]
    overall_mm : Millimetre
        Over the insulation: centre to centre of a touching pair. [mm]
    amps_a : Ampere
        Steady rating used by the thin-wire check. [A]
    source, amps_source : str
        Where resistance and size, and where the rating come from.
    """

    id: str
    label: str
    family: str
    awg: int | None
    area_mm2: float
    diameter_mm: Millimetre
    strands: str
    stranded: bool
    ohm_per_m: OhmPerMetre
    band: tuple[OhmPerMetre, OhmPerMetre]
    overall_mm: Millimetre
    amps_a: Ampere
    source: str
    amps_source: str


def wire(wire_id: str) -> Wire:
    """Return a wire by id.

    Raises
    ------
    UnknownNameError
        There is no such wire; the nearest name is suggested.
    """
    return look_up(WIRES, wire_id, "wire")


def wires_of(system: WireSystem) -> tuple[Wire, ...]:
    """Return the wires sold in a system, thinnest first, solid before stranded."""
    chosen = (w for w in WIRES.values() if (w.awg is not None) == (system == "awg"))
    return tuple(sorted(chosen, key=lambda w: (w.area_mm2, w.stranded)))


def nearest_wire(like: Wire, system: WireSystem) -> Wire:
    """Return the flexible wire of a system nearest in resistance, by ratio.

    "mm2" answers with hook-up wire below 0.5 mm² and IEC 60228 class 5 from
    there on; "awg" with stranded wire of the stocked, even gauges.
    """
    return min(
        (w for w in wires_of(system) if w.id in _STOCKED),
        key=lambda w: abs(math.log(w.ohm_per_m / like.ohm_per_m)),
    )


def wire_of_size(size: WireSize, *, solid: bool = False) -> Wire:
    """Return the library's wire of a typed size.

    Raises
    ------
    UnknownNameError
        The library has no such size; the nearest in area is suggested.
    """
    families = {"awg": ("awg",), "strands": ("strands",)}
    wanted = families.get(size.kind, ("iec60228", "hook-up"))
    kin = [w for w in WIRES.values() if w.family in wanted]
    for found in kin:
        same = abs(found.area_mm2 / size.area_mm2 - 1.0) < 0.001
        if same and found.stranded is not solid and not found.id.endswith("-c2"):
            return found
    near = min(kin, key=lambda w: abs(math.log(w.area_mm2 / size.area_mm2)))
    raise UnknownNameError(size.label, "wire", near.label)


def read_metric(row: Row) -> Wire:
    """Return the wire of a row of the metric table."""
    area_mm2 = row.number("area_mm2")
    low, ohm, high = row.band("low_ohm_per_km", "ohm_per_km", "high_ohm_per_km")
    make_up = row.text("stranded")
    if make_up not in ("yes", "no"):
        raise FileFormatError(row.where, f"stranded is {make_up!r}, not yes or no")
    across = _across_mm(area_mm2, is_stranded=make_up == "yes")
    return Wire(
        id=row.text("id"),
        label=row.text("label"),
        family=row.text("family"),
        awg=None,
        area_mm2=area_mm2,
        diameter_mm=across,
        strands=row.text("strands"),
        stranded=make_up == "yes",
        ohm_per_m=OhmPerMetre(ohm / 1e3),
        band=(OhmPerMetre(low / 1e3), OhmPerMetre(high / 1e3)),
        overall_mm=Millimetre(across + 2.0 * row.number("wall_mm")),
        amps_a=Ampere(row.number("amps_a")),
        source=row.text("source"),
        amps_source=row.text("amps_source"),
    )


def read_gauge(row: Row) -> Iterator[Wire]:
    """Yield the solid and the stranded wire of a row of the gauge table."""
    gauge = row.whole("awg")
    solid_ohm = resistance_per_metre(awg.area(gauge))
    for make_up in ("solid", "stranded"):
        is_stranded = make_up == "stranded"
        area_mm2 = awg.area(gauge) * 1e6
        across = _across_mm(area_mm2, is_stranded=is_stranded)
        strand_mm = awg.diameter(gauge) * 1e3 / math.sqrt(7.0)
        low = solid_ohm * (1.0 if is_stranded else 1.0 - DRAWING_TOLERANCE)
        high = solid_ohm * (STRANDING_MOST if is_stranded else 1.0 + DRAWING_TOLERANCE)
        yield Wire(
            id=f"awg{gauge}-{make_up}",
            label=f"{gauge} AWG {make_up}",
            family="awg",
            awg=gauge,
            area_mm2=area_mm2,
            diameter_mm=across,
            strands=f"7/{strand_mm:.3g}" if is_stranded else f"1/{across:.3g}",
            stranded=is_stranded,
            ohm_per_m=stranded(solid_ohm) if is_stranded else solid_ohm,
            band=(OhmPerMetre(low), OhmPerMetre(high)),
            overall_mm=Millimetre(across + 2.0 * row.number("wall_mil") * MM_PER_MIL),
            amps_a=Ampere(row.number("amps_a")),
            source=_LAW[make_up],
            amps_source=row.text("amps_source"),
        )


def _across_mm(area_mm2: float, *, is_stranded: bool) -> Millimetre:
    """Return the diameter over the bare copper."""
    solid_mm = math.sqrt(4.0 * area_mm2 / math.pi)
    return Millimetre(solid_mm * OVER_STRANDS if is_stranded else solid_mm)


_LAW = {
    "solid": "ASTM B258 diameter, IEC 60028 copper; band ±2 % of area, from memory; "
    "wall UL 758 style 10127",
    "stranded": "ASTM B258 area, IEC 60028 copper, 2 % for lay (ASTM B496); band from "
    "none to 6 % for rope and bunch lay, from memory; wall UL 758 style 10127",
}


def _all_wires() -> Iterator[tuple[str, Wire]]:
    for row in read_rows("awg"):
        yield from ((w.id, w) for w in read_gauge(row))
    yield from ((w.id, w) for w in map(read_metric, read_rows("metric")))


WIRES: dict[str, Wire] = index_by_id(_all_wires(), "awg.csv and metric.csv")
"""All wires by id."""

_STOCKED = frozenset(
    w.id
    for w in WIRES.values()
    if w.family == "hook-up"
    or w.id.endswith("-c5")
    or (w.awg is not None and w.awg % 2 == 0 and w.stranded)
)
"""Flexible wires that shops keep (even gauges: common practice, no source)."""
