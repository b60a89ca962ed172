"""Add parts; what is not said is as the last part of that kind."""

from collections.abc import Callable
from math import hypot
from typing import Literal, TypeVar

from msgspec.structs import replace

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.attach import check_attachment, settle
from core.layout.edits.draft import Draft, place_on
from core.layout.edits.sides import suggest_a_rail
from core.layout.geometry import bus_path
from core.layout.ids import BACKDROP_ID, split_id
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    Attachment,
    Backdrop,
    Board,
    Booster,
    Bus,
    Drop,
    Edge,
    Gap,
    Inline,
    Joist,
    Load,
    OnRun,
    Part,
    Piece,
    Point,
    Side,
    Strip,
    TrackRun,
)
from core.layout.queries import kind_word

P = TypeVar("P", bound=Part)
Device = Literal["breaker", "reverser", "detector", "fuse", "switch", "lamp"]

NEVER_TRIP = ("detector", "switch", "lamp")
"""In-line devices that do not trip."""

LEAST_M = 0.001
"""Shorter buses and joists are slips of the hand. [m]"""

_BUS_WIRE = {"mm2": "2.5mm2-c5", "awg": "awg14-stranded"}
_DROP_WIRE = {"mm2": "0.5mm2-c5", "awg": "awg22-stranded"}
"""First choice of wire by the person's system (common practice, no source)."""


def add_run(
    layout: Layout,
    start: Point,
    heading_deg: float,
    pieces: tuple[Piece, ...],
    *,
    name: str | None = None,
) -> Change:
    """Return the change that adds a track; rail and joints as the last track's."""
    if not pieces:
        raise EditError("A track needs at least one piece.", "Draw a length of it.")
    draft = Draft(layout)
    part_id = draft.new_id(PREFIXES["run"])
    number = part_id.removeprefix(PREFIXES["run"])
    run = TrackRun(
        id=part_id,
        name=f"Track {number}" if name is None else name,
        x_mm=start.x_mm,
        y_mm=start.y_mm,
        heading_deg=heading_deg,
        pieces=pieces,
    )
    like = _last(layout, TrackRun)
    if like is not None:
        run = replace(
            run,
            rail=like.rail,
            piece_length_m=like.piece_length_m,
            joint=like.joint,
            level_mm=like.level_mm,
        )
    draft.put(run)
    return draft.change(f"Add {run.name}")


def add_bus(
    layout: Layout,
    points: tuple[Point, ...],
    *,
    start: Attachment | None = None,
    end: Attachment | None = None,
    name: str = "",
) -> Change:
    """Return the change that adds a bus; wire and lay as the last bus's.

    An attached end is put exactly where it is attached.
    """
    if len(points) < 2:
        raise EditError("A bus needs at least two points.", "Click where it ends.")
    draft = Draft(layout)
    for to in (start, end):
        check_attachment(layout, to)
    bus = Bus(
        id=draft.new_id(PREFIXES["bus"]),
        name=name,
        points=points,
        wire=_BUS_WIRE[layout.settings.wires],
        start=start,
        end=end,
    )
    like = _last(layout, Bus)
    if like is not None:
        bus = replace(
            bus,
            wire=like.wire,
            lay=like.lay,
            spacing_mm=like.spacing_mm,
            slack=like.slack,
        )
    draft.put(bus)
    settle(draft)
    if bus_path(draft.view.need(bus.id, Bus)).length_m < LEAST_M:
        raise EditError("A bus needs a length.", "Click where it ends.")
    return draft.change(f"Add bus {bus.id}")


def add_drop(
    layout: Layout,
    on: OnRun,
    *,
    to: Attachment | None = None,
    wire: str | None = None,
    a_rail: Side | None = None,
) -> Change:
    """Return the change that adds a drop; `a_rail` fits the drops already there."""
    on = place_on(layout, on)
    check_attachment(layout, to)
    draft = Draft(layout)
    like = _last(layout, Drop)
    drop = Drop(
        id=draft.new_id(PREFIXES["drop"]),
        on=on,
        to=to,
        wire=wire or (like.wire if like else _DROP_WIRE[layout.settings.wires]),
        a_rail=a_rail or suggest_a_rail(layout, on),
        contact=like.contact if like else "screw",
    )
    draft.put(drop)
    return draft.change(f"Add drop {drop.id}")


def add_booster(layout: Layout, at: Point, *, name: str = "") -> Change:
    """Return the change that adds a booster."""
    draft = Draft(layout)
    booster = Booster(
        id=draft.new_id(PREFIXES["booster"]), name=name, x_mm=at.x_mm, y_mm=at.y_mm
    )
    draft.put(booster)
    return draft.change(f"Add booster {booster.id}")


def add_inline(
    layout: Layout, device: Device, at: Point, *, feed: Attachment | None = None
) -> Change:
    """Return the change that adds a breaker or other device in the feed."""
    check_attachment(layout, feed)
    draft = Draft(layout)
    part = Inline(
        id=draft.new_id(PREFIXES[device]),
        device=device,
        x_mm=at.x_mm,
        y_mm=at.y_mm,
        feed=feed,
        trip_a=None if device in NEVER_TRIP else 4.0,
    )
    draft.put(part)
    return draft.change(f"Add {kind_word(part)} {part.id}")


def add_strip(layout: Layout, at: Point, *, ways: int = 12) -> Change:
    """Return the change that adds a terminal strip."""
    draft = Draft(layout)
    strip = Strip(
        id=draft.new_id(PREFIXES["strip"]), x_mm=at.x_mm, y_mm=at.y_mm, ways=ways
    )
    draft.put(strip)
    return draft.change(f"Add terminal strip {strip.id}")


def add_load(
    layout: Layout,
    on: OnRun,
    *,
    amps_a: float | None = None,
    name: str = "",
    use: Literal["train", "standing"] = "train",
) -> Change:
    """Return the change that adds a train or a standing load; amps as the last."""
    on = place_on(layout, on)
    draft = Draft(layout)
    like = _last(layout, Load, lambda p: p.use == use)
    load = Load(
        id=draft.new_id(PREFIXES["load"]),
        name=name,
        on=on,
        use=use,
        amps_a=amps_a if amps_a is not None else (like.amps_a if like else 0.5),
        length_m=like.length_m if like else 0.0,
    )
    draft.put(load)
    return draft.change(f"Add {'train' if use == 'train' else 'load'} {load.id}")


def add_gap(
    layout: Layout, on: OnRun, *, rails: Literal["left", "right", "both"] = "both"
) -> Change:
    """Return the change that cuts one or both rails."""
    on = place_on(layout, on)
    draft = Draft(layout)
    gap = Gap(id=draft.new_id(PREFIXES["gap"]), on=on, rails=rails)
    draft.put(gap)
    return draft.change(f"Cut gap {gap.id}")


def add_board(
    layout: Layout,
    corner: Point,
    width_mm: float,
    depth_mm: float,
    aisle: Edge = "front",
) -> Change:
    """Return the change that adds a baseboard by its left front corner."""
    draft = Draft(layout)
    board = Board(
        id=draft.new_id(PREFIXES["board"]),
        x_mm=corner.x_mm,
        y_mm=corner.y_mm,
        width_mm=width_mm,
        depth_mm=depth_mm,
        aisle=aisle,
    )
    draft.put(board)
    return draft.change(f"Add board {board.id}")


def add_joist(layout: Layout, start: Point, end: Point) -> Change:
    """Return the change that adds a joist between two points of its centre line."""
    if hypot(end.x_mm - start.x_mm, end.y_mm - start.y_mm) < 1000.0 * LEAST_M:
        raise EditError("A joist needs a length.", "Click where it ends.")
    draft = Draft(layout)
    like = _last(layout, Joist)
    joist = Joist(
        id=draft.new_id(PREFIXES["joist"]),
        x1_mm=start.x_mm,
        y1_mm=start.y_mm,
        x2_mm=end.x_mm,
        y2_mm=end.y_mm,
        width_mm=like.width_mm if like else 44.0,
    )
    draft.put(joist)
    return draft.change(f"Add joist {joist.id}")


def set_backdrop(layout: Layout, backdrop: Backdrop | None) -> Change:
    """Return the change that lays a picture under the drawing, or takes it away."""
    draft = Draft(layout)
    if backdrop is None:
        draft.take_out(BACKDROP_ID)
        return draft.change("Take the backdrop away")
    draft.put(backdrop)
    return draft.change("Lay the backdrop")


def _last(
    layout: Layout, kind: type[P], fits: Callable[[P], bool] = lambda _: True
) -> P | None:
    """Return the part of a kind that was added last: the one of highest number."""

    def number(part: P) -> int:
        split = split_id(part.id)
        return split[1] if split else 0

    return max(filter(fits, layout.of_kind(kind)), key=number, default=None)
