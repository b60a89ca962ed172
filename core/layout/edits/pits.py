"""Keep pits true: the bridge fits its pit, and the stalls are what faces it."""

from collections.abc import Collection, Iterator
from math import cos, hypot, sin

from msgspec.structs import replace

from core.errors import EditError
from core.layout.geometry import Pose, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Drop,
    Gap,
    Load,
    OnRun,
    Part,
    Straight,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import kind_word, run_name, table_of
from core.layout.turntables import bridge_middle, find_stalls

_SAME_MM = 1e-6

_TRACK = (TrackRun, TrackJoint, Turnout, Turntable)


def fitted_bridges(
    base: Layout, view: Layout, touched: Collection[PartId]
) -> Iterator[Part]:
    """Yield bridges, and what sits on them, put back into pits that an edit touched."""
    for table in list(view.of_kind(Turntable)):
        if table.id in touched or table.bridge in touched:
            yield from _fitted(base, view, table, moved=table.bridge in touched)


def kept_stalls(
    base: Layout, view: Layout, touched: Collection[PartId]
) -> Iterator[Turntable]:
    """Yield the turntables whose stalls are others after an edit of track."""
    changed = (layout.parts.get(i) for i in touched for layout in (base, view))
    if not any(isinstance(part, _TRACK) for part in changed):
        return
    for table in list(view.of_kind(Turntable)):
        stalls = find_stalls(view, table)
        if stalls != table.stalls:
            yield replace(table, stalls=stalls)


def refuse_bridge(layout: Layout, run_id: PartId) -> None:
    """Refuse to give a bridge another shape than its pit has.

    Raises
    ------
    EditError
        The run is the bridge of a turntable or traverser.
    """
    table = table_of(layout, run_id)
    if table is not None:
        raise EditError(
            f"{run_name(layout, run_id)} is the bridge of {kind_word(table)} "
            f"{table.id}: it is one piece, as long as the pit.",
            f"Change the size of {table.id} instead.",
        )


def placed_bridge(run: TrackRun, middle: Pose, length_mm: float) -> TrackRun:
    """Return a bridge with its middle at a pose; its heading stays as written."""
    half = 0.5 * length_mm
    return replace(
        run,
        x_mm=middle.x_mm - half * cos(middle.heading),
        y_mm=middle.y_mm - half * sin(middle.heading),
        pieces=(Straight(length_mm=length_mm),),
    )


def _fitted(
    base: Layout, view: Layout, table: Turntable, *, moved: bool
) -> Iterator[Part]:
    run, here = view.get(table.bridge, TrackRun), bridge_middle(view, table)
    if run is None or here is None:
        return
    middle = _middle(base, table, here, moved=moved)
    new = placed_bridge(run, middle, table.across_mm)
    was = run_path(run)
    if _same(run, new):
        return
    yield new
    shift = 0.5 * (table.across_mm - was.length_mm) / 1000.0
    for part in view.parts.values():
        if isinstance(part, Drop | Gap | Load) and part.on.run == run.id:
            place = part.on.position_m + shift
            most = run_path(new).length_m
            yield replace(
                part, on=OnRun(run=run.id, position_m=min(max(place, 0.0), most))
            )


def _middle(base: Layout, table: Turntable, here: Pose, *, moved: bool) -> Pose:
    """Return where the middle of the bridge belongs; a traverser's keeps its shift."""
    if table.form == "turntable":
        return Pose(table.x_mm, table.y_mm, here.heading)
    x, y = table.x_mm, table.y_mm
    was = base.get(table.id, Turntable)
    if was is not None and not moved:
        x, y = was.x_mm, was.y_mm
    aside = -(here.x_mm - x) * sin(here.heading) + (here.y_mm - y) * cos(here.heading)
    most = 0.5 * table.travel_mm
    shifted = Pose(table.x_mm, table.y_mm, here.heading).left(
        min(max(aside, -most), most)
    )
    return Pose(*shifted, here.heading)


def _same(run: TrackRun, new: TrackRun) -> bool:
    one, other = run_path(run), run_path(new)
    return (
        len(run.pieces) == 1
        and isinstance(run.pieces[0], Straight)
        and abs(one.length_mm - other.length_mm) <= _SAME_MM
        and hypot(run.x_mm - new.x_mm, run.y_mm - new.y_mm) <= _SAME_MM
    )
