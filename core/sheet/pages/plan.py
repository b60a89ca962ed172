"""Plan from above and plan from below, to scale, on as many pages as it takes."""

from collections.abc import Iterable

from core.layout.parts import Backdrop, Bus, Strip
from core.sheet.brief import Brief
from core.sheet.drawing.bench import (
    RIM,
    draw_boards,
    draw_grid,
    draw_joists,
    draw_rulers,
    label_aisles,
    label_boards,
    scale_bar,
    scale_words,
)
from core.sheet.drawing.holes import draw_drops
from core.sheet.drawing.key import key_marks, tile_map
from core.sheet.drawing.power import draw_buses, draw_devices, draw_feeds
from core.sheet.drawing.scene import Scene
from core.sheet.drawing.track import draw_track_marks, draw_tracks
from core.sheet.drawing.view import Region, Tile, View, best_scale, tile_views
from core.sheet.frame import Box, Leaf
from core.sheet.marks import INK, SOFT, Mark, Picture, Text
from core.sheet.schedules.benches import Bench, benches_of
from core.sheet.schedules.drops import drop_rows

PLAN_TITLE = "Plan"
UNDERSIDE_TITLE = "Underside"

SMALLEST_UNDERSIDE = {"m": 20.0, "ft": 24.0}
"""An underside plan is cut into pages rather than drawn smaller; house choice."""

_CAPTION = 11.5


def plan_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the plan from above, back edge at the top."""
    bench = benches_of(brief.layout)[-1]
    window = _window(brief.body, rim=Box(0.0, 0.0, 0.0, 0.0))
    scale = brief.options.plan_scale or best_scale(bench.region, window, brief.system)
    leaves: list[Leaf] = []
    for tile in tile_views(bench.region, window, scale):
        if tile.name and not _shows_something(brief, tile.view):
            continue
        scene = Scene(brief.layout, tile.view, brief.typeface, brief.strokes)
        _draw_above(brief, scene, bench.region)
        marks = (*scene.finish(), *_caption(brief, tile, below=False))
        title = f"{PLAN_TITLE} {tile.name}".strip()
        leaves.append(Leaf(title, marks, "SEEN FROM ABOVE"))
    return tuple(leaves)


def underside_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return the plan from below of each board, mirrored, its aisle at the foot."""
    return tuple(
        leaf
        for bench in _benches_with_wire(brief)
        for leaf in _underside_of(brief, bench)
    )


def _underside_of(brief: Brief, bench: Bench) -> Iterable[Leaf]:
    window = _window(brief.body, rim=RIM)
    scale = brief.options.plan_scale or min(
        best_scale(bench.region, window, brief.system, bench.aisle),
        SMALLEST_UNDERSIDE[brief.system],
    )
    tiles = tile_views(bench.region, window, scale, mirrored=True, down=bench.aisle)
    for tile in tiles:
        if tile.name and not _shows_something(brief, tile.view):
            continue
        scene = Scene(brief.layout, tile.view, brief.typeface, brief.strokes)
        _draw_below(scene, bench)
        marks = (
            *scene.finish(),
            *_caption(brief, tile, below=True),
        )
        name = brief.typeface.shorten(bench.title, 90.0, 17.0, bold=True)
        title = f"{UNDERSIDE_TITLE} of {name} {tile.name}".strip()
        yield Leaf(title, marks, "SEEN FROM BELOW")


def _benches_with_wire(brief: Brief) -> tuple[Bench, ...]:
    """Return the boards, and the bare plan where wiring lies off all boards."""
    *boards, plan = benches_of(brief.layout)
    if not boards:
        return (plan,)
    loose = any(row.bench.board is None for row in drop_rows(brief.layout)) or any(
        not any(b.holds(s.x_mm, s.y_mm) for b in boards)
        for s in brief.layout.of_kind(Strip)
    )
    return (*boards, plan) if loose else tuple(boards)


def _draw_above(brief: Brief, scene: Scene, region: Region) -> None:
    backdrop = brief.layout.backdrop
    if backdrop is not None and brief.options.backdrop:
        scene.marks.append(_picture(scene.view, backdrop))
    draw_grid(scene, region, (0.0, 0.0))
    draw_boards(scene)
    draw_tracks(scene, hidden=False)
    draw_feeds(scene)
    draw_buses(scene)
    draw_devices(scene)
    draw_track_marks(scene)
    draw_drops(scene, leads=False)
    label_boards(scene)
    label_aisles(scene)


def _draw_below(scene: Scene, bench: Bench) -> None:
    x0, y0, _, _ = bench.region
    zero = (0.0, 0.0) if bench.board is None else (x0, y0)
    draw_grid(scene, bench.region, zero)
    draw_joists(scene)
    draw_boards(scene)
    draw_tracks(scene, hidden=True)
    draw_feeds(scene)
    draw_buses(scene)
    draw_devices(scene)
    draw_drops(scene, leads=True)
    draw_rulers(scene, bench)


def _window(body: Box, rim: Box) -> Box:
    return Box(
        body.left + rim.left,
        body.top + rim.top,
        body.right - rim.right,
        body.bottom - rim.bottom - _CAPTION,
    )


def _picture(view: View, backdrop: Backdrop) -> Picture:
    width = backdrop.width_px * backdrop.mm_per_px
    height = backdrop.height_px * backdrop.mm_per_px
    left, top = view.at(backdrop.x_mm, backdrop.y_mm + height)
    w = view.window
    return Picture(
        left,
        top,
        width / view.scale,
        height / view.scale,
        backdrop.data,
        (w.left, w.top, w.right, w.bottom),
        backdrop.opacity,
    )


def _shows_something(brief: Brief, view: View) -> bool:
    """Return whether a page of a cut-up plan would show any wire or hole."""
    layout = brief.layout
    for row in drop_rows(layout):
        if view.shows(row.x_mm, row.y_mm):
            return True
    for bus in layout.of_kind(Bus):
        ends = [view.at(p.x_mm, p.y_mm) for p in bus.points]
        if view.lines(tuple(ends), 0.1, INK):
            return True
    return any(view.shows(s.x_mm, s.y_mm) for s in layout.of_kind(Strip))


def _caption(brief: Brief, tile: Tile, *, below: bool) -> tuple[Mark, ...]:
    body = brief.body
    y = body.bottom - 6.4
    marks: list[Mark] = [*scale_bar(tile.view, brief.system, body.left, y)]
    marks += key_marks(brief.strokes, brief.typeface, body.right, y, below=below)
    words = scale_words(tile.view, brief.system)
    if below:
        words += " Left and right change places; edges keep their names from above."
    else:
        words += " The top of the page is the back edge."
    if tile.name:
        words += f" Part {tile.name} of {tile.columns} × {tile.rows}, overlapping."
        marks += tile_map(tile, body.right, y + 3.0)
    marks.append(Text(body.left, body.bottom - 0.6, words, 8.5, ink=SOFT))
    return tuple(marks)
