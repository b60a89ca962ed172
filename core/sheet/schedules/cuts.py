"""The cut list: wire by size and colour, with spare and reels."""

from dataclasses import dataclass

from core.layout.climbs import SEEN_M, above_foot_m
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop
from core.layout.queries import bus_length_m
from core.materials.wires import wire
from core.sheet.schedules.lengths import REELS_M, grouped, lead_of, reels_for
from core.sheet.schedules.words import letters_of


@dataclass(frozen=True, slots=True)
class Cut:
    """Pieces of one length for one use. [1, m]"""

    use: str
    count: int
    length_m: float

    @property
    def total_m(self) -> float:
        """All of them. [m]"""
        return self.count * self.length_m


@dataclass(frozen=True, slots=True)
class CutRow:
    """All the wire of one size and one colour.

    Attributes
    ----------
    wire : str
        Label of the wire.
    letter, colour : str
        The conductor.
    cuts : tuple of Cut
        The pieces, drops first, longest first.
    total_m, with_spare_m : float
        Their sum; with the share of spare. [m]
    reels : tuple of (int, float)
        What to buy: number and length on a reel. [1, m]
    raised : tuple of PartId
        Its drops that stand above the foot of climbing track, their length not typed.
    raised_m : float
        How far the highest of them does; 0 where there is none. [m]
    """

    wire: str
    letter: str
    colour: str
    cuts: tuple[Cut, ...]
    total_m: float
    with_spare_m: float
    reels: tuple[tuple[int, float], ...]
    raised: tuple[PartId, ...] = ()
    raised_m: float = 0.0


def cut_rows(layout: Layout) -> tuple[CutRow, ...]:
    """Return the cut list, thinnest wire first, A before B."""
    settings = layout.settings
    conductors = (settings.conductor_a, settings.conductor_b)
    needed: dict[tuple[str, int], list[Cut]] = {}
    for number in (0, 1):
        for wire_id, lengths in _leads(layout, number).items():
            needed.setdefault((wire_id, number), []).extend(
                Cut("drops", count, length) for count, length in grouped(lengths)
            )
        for bus in layout.of_kind(Bus):
            needed.setdefault((bus.wire, number), []).append(
                Cut(f"bus {bus.id}", 1, bus_length_m(bus))
            )
    rows: list[CutRow] = []
    for (wire_id, number), cuts in sorted(needed.items(), key=_by_area):
        total = sum(cut.total_m for cut in cuts)
        spared = total * (1.0 + settings.spare)
        raised = _raised(layout, number, wire_id)
        rows.append(
            CutRow(
                wire=wire(wire_id).label,
                letter=letters_of(settings)[number],
                colour=conductors[number].colour,
                cuts=tuple(cuts),
                total_m=total,
                with_spare_m=spared,
                reels=reels_for(spared, REELS_M[settings.lengths]),
                raised=tuple(raised),
                raised_m=max(raised.values(), default=0.0),
            )
        )
    return tuple(rows)


def _by_area(item: tuple[tuple[str, int], list[Cut]]) -> tuple[float, str, int]:
    wire_id, number = item[0]
    return wire(wire_id).area_mm2, wire_id, number


def _leads(layout: Layout, number: int) -> dict[str, list[float]]:
    """Return lead lengths by wire of the drops that have conductor A (0) or B (1)."""
    found: dict[str, list[float]] = {}
    for drop in layout.of_kind(Drop):
        if _has(drop, number):
            found.setdefault(drop.wire, []).append(lead_of(layout, drop))
    return found


def _raised(layout: Layout, number: int, wire_id: str) -> dict[PartId, float]:
    """Return how high the drops of a wire stand on climbing track, untyped ones. [m]"""
    return {
        drop.id: above
        for drop in layout.of_kind(Drop)
        if drop.wire == wire_id and drop.lead_m is None and _has(drop, number)
        if (above := above_foot_m(layout, drop)) >= SEEN_M
    }


def _has(drop: Drop, number: int) -> bool:
    """Return whether a drop has a wire of conductor A (0) or B (1)."""
    on_a_rail = drop.rails in ("both", drop.a_rail)
    on_b_rail = drop.rails == "both" or drop.rails != drop.a_rail
    return on_a_rail if number == 0 else on_b_rail
