"""The words for conductors, rails and connections, as every page uses them."""

from math import cos, sin

from core.layout.geometry import run_path
from core.layout.layout import Layout
from core.layout.parts import (
    Attachment,
    Booster,
    Bus,
    Drop,
    Edge,
    Inline,
    Settings,
    Side,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
)
from core.units.length import show_length

NOWHERE = "not joined yet"
"""What is said of an end that is joined to nothing."""


def letters_of(settings: Settings) -> tuple[str, str]:
    """Return the short signs of the two conductors: their names if short, else A, B."""
    names = settings.conductor_a.name.strip(), settings.conductor_b.name.strip()
    if all(0 < len(n) <= 2 for n in names) and names[0] != names[1]:
        return names
    return "A", "B"


def rail_edge(run: TrackRun, position_m: float, side: Side) -> Edge:
    """Return which way in plan a rail lies of its track: towards which edge.

    Where the track runs aslant, the direction that says more is named; at half
    a right angle, front or back.
    """
    heading = run_path(run).at(position_m).heading
    sign = 1.0 if side == "left" else -1.0
    x, y = -sign * sin(heading), sign * cos(heading)
    if abs(y) >= abs(x) - 1e-9:
        return "back" if y > 0.0 else "front"
    return "right" if x > 0.0 else "left"


def soldered(layout: Layout, drop: Drop) -> tuple[tuple[str, Edge], ...]:
    """Return which conductor goes to which rail, A first; one pair for one rail."""
    run = layout.need(drop.on.run, TrackRun)
    a, b = letters_of(layout.settings)
    other: Side = "right" if drop.a_rail == "left" else "left"
    pairs: tuple[tuple[str, Side], ...] = ((a, drop.a_rail), (b, other))
    return tuple(
        (letter, rail_edge(run, drop.on.position_m, side))
        for letter, side in pairs
        if drop.rails in ("both", side)
    )


def soldered_words(layout: Layout, drop: Drop) -> str:
    """Return such as "A → back": which conductor to which rail."""
    pairs = soldered(layout, drop)
    letter, edge = pairs[0]
    return f"{letter} → {edge}" + ("" if len(pairs) == 2 else " only")


def end_words(layout: Layout, to: Attachment | None) -> str:
    """Return where something ends, such as "TS1 · 3" or "B1 at 1.10 m"."""
    if to is None or not _is_there(layout, to):
        return NOWHERE
    match to:
        case ToStrip():
            return f"{to.part} · {to.way}"
        case ToBus():
            return f"{to.part} at {show_length(to.position_m, layout.settings.lengths)}"
        case ToPort():
            device = layout.parts[to.part]
            port = "isolation poles" if to.port == "iso" else to.port
            return to.part if isinstance(device, Booster) else f"{to.part} {port}"


def _is_there(layout: Layout, to: Attachment) -> bool:
    kinds = {ToStrip: (Strip,), ToBus: (Bus,), ToPort: (Booster, Inline)}[type(to)]
    return isinstance(layout.parts.get(to.part), kinds)


def titled(part_id: str, name: str) -> str:
    """Return an id with the name behind it, if there is one."""
    return f"{part_id} {name}".strip()
