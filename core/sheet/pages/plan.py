"""Plan from above and plan from below, to scale, on as many pages as it takes."""

from collections.abc import Iterable, Sequence
from itertools import islice
from math import ceil

from core.layout.geometry import bus_path
from core.layout.parts import (
    Backdrop,
    Bus,
    Crossing,
    Edge,
    Opening,
    Strip,
    Turntable,
)
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
from core.sheet.drawing.crossing import draw_crossings
from core.sheet.drawing.holes import draw_drops
from core.sheet.drawing.key import (
    ROW_MM,
    Entry,
    Sign,
    key_marks,
    key_rows,
    tile_map,
)
from core.sheet.drawing.opening import draw_openings
from core.sheet.drawing.power import draw_buses, draw_devices, draw_feeds
from core.sheet.drawing.scene import Scene
from core.sheet.drawing.track import draw_track_marks, draw_tracks
from core.sheet.drawing.view import (
    Region,
    Tile,
    View,
    best_scale,
    tile_views,
    whole_view,
)
from core.sheet.frame import Box, Leaf
from core.sheet.marks import SOFT, Mark, Picture, Text
from core.sheet.schedules.benches import Bench, bench_at

PLAN_TITLE = "Plan"
UNDERSIDE_TITLE = "Underside"

SMALLEST_UNDERSIDE = {"m": 20.0, "ft": 24.0}
"""A board that would be drawn smaller than this from below is cut into parts; house
choice. [1]"""

PARTED_UNDERSIDE = {"m": 10.0, "ft": 12.0}
"""Scale of the parts. [1]"""

SMALLEST_PLAN = 25.0
"""A plan drawn smaller is only a sketch; house choice. [1]"""

PARTED_PLAN = {"m": 20.0, "ft": 24.0}
"""Scale of the parts of a plan. [1]"""

_CAPTION = 11.5
_SCALE_BAR = 94.0
_LABEL_ROOM = 4.0
_BEYOND = 5.0
_NO_RIM = Box(0.0, 0.0, 0.0, 0.0)

Spots = tuple[tuple[float, float], ...]
"""Places in plan where there is wiring. [mm]"""


def plan_leaves(brief: Brief) -> Iterable[Leaf]:
    """Return the plan from above, back edge at the top.

    Where a whole plan on one page comes out too small to work from, it is a
    sketch, and the plan in parts follows.
    """
    region = brief.benches[-1].region
    body = _over_key(brief, below=False)
    window = _window(body, _NO_RIM)
    scale = brief.options.plan_scale
    brief.pace.step(0.05)
    if scale is None:
        scale = best_scale(region, window, brief.system)
        if scale > SMALLEST_PLAN:
            yield _sketch_leaf(brief, region, window, scale)
            scale = PARTED_PLAN[brief.system]
    spots = tuple(_wired_spots(brief))
    brief.pace.step(0.25)
    for tiles in _tiled(region, body, scale, rim=_NO_RIM, spots=spots):
        marks: list[Mark] = []
        for tile in tiles:
            scene = Scene(brief.atlas, tile.view, brief.typeface, brief.strokes)
            _draw_above(brief, scene, region)
            marks += scene.finish()
        marks += _caption(brief, tiles, below=False)
        title = f"{PLAN_TITLE}{_part_words(tiles)}"
        yield Leaf(title, tuple(marks), "SEEN FROM ABOVE")


def sketch_marks(brief: Brief, area: Box) -> tuple[Mark, ...]:
    """Return a small picture of the layout: boards, track, buses, devices."""
    region = brief.benches[-1].region
    scale = best_scale(region, area, brief.system)
    view = whole_view(region, area, scale)
    sketch = scale > SMALLEST_PLAN
    scene = Scene(
        brief.atlas, view, brief.typeface, brief.strokes, most_rank=2, sketch=sketch
    )
    draw_boards(scene)
    draw_tracks(scene, hidden=False)
    draw_buses(scene)
    draw_devices(scene)
    label_aisles(scene)
    return scene.finish()


def _sketch_leaf(brief: Brief, region: Region, window: Box, scale: float) -> Leaf:
    view = whole_view(region, window, scale)
    scene = Scene(brief.atlas, view, brief.typeface, brief.strokes, sketch=True)
    draw_grid(scene, region, (0.0, 0.0))
    draw_boards(scene)
    draw_tracks(scene, hidden=False)
    brief.pace.step(0.1)
    draw_buses(scene)
    draw_devices(scene)
    draw_drops(scene, leads=False)
    brief.pace.step(0.2)
    label_boards(scene)
    label_aisles(scene)
    tile = Tile(view, 0, 0, 1, 1)
    marks = (*scene.finish(), *_caption(brief, [tile], below=False))
    return Leaf(PLAN_TITLE, marks, "SEEN FROM ABOVE")


def underside_leaves(brief: Brief) -> Iterable[Leaf]:
    """Return the plan from below of each board with wiring, its aisle at the foot."""
    spots = tuple(_wired_spots(brief))
    titles = {bench_at(brief.benches, x, y).title for x, y in spots}
    for bench in brief.benches:
        if bench.title in titles:
            yield from _underside_of(brief, bench, spots)


def _underside_of(brief: Brief, bench: Bench, spots: Spots) -> Iterable[Leaf]:
    body = _over_key(brief, below=True)
    whole = _window(body, RIM)
    scale = brief.options.plan_scale or _underside_scale(brief, bench, whole)
    name = brief.typeface.shorten(bench.title, 98.0, 17.0, bold=True)
    pages = _tiled(bench.region, body, scale, rim=RIM, spots=spots, below=bench.aisle)
    for tiles in pages:
        marks: list[Mark] = []
        for tile in tiles:
            room = tile.view.window
            view = tile.view.cut_to(bench.region, _BEYOND)
            scene = Scene(brief.atlas, view, brief.typeface, brief.strokes, room=room)
            _draw_below(scene, bench)
            marks += scene.finish()
        marks += _caption(brief, tiles, below=True)
        title = f"{UNDERSIDE_TITLE}: {name}{_part_words(tiles)}"
        yield Leaf(title, tuple(marks), "SEEN FROM BELOW")


def _tiled(
    region: Region,
    body: Box,
    scale: float,
    *,
    rim: Box,
    spots: Spots,
    below: Edge | None = None,
) -> Iterable[list[Tile]]:
    """Yield the views of each page; parts with no wiring in them are left out.

    `below` gives the edge at the foot of a plan from below. A narrow region that
    needs several parts side by side has them under each other, as many as a
    page takes.
    """
    mirrored, down = below is not None, below or "front"
    slots = [
        tile_views(region, window, scale, mirrored=mirrored, down=down)
        for window in _slots(region, _window(body, rim), scale, rim=rim, down=down)
    ]
    # Page by page, so that whoever waits for the first one can stop it.
    shown = (
        i
        for i, tile in enumerate(slots[0])
        if not tile.name or _shows_something(spots, tile.view)
    )
    while chosen := tuple(islice(shown, len(slots))):
        yield [slot[i] for slot, i in zip(slots, chosen, strict=False)]


def _slots(
    region: Region, whole: Box, scale: float, *, rim: Box, down: Edge
) -> tuple[Box, ...]:
    """Return the windows on a page, from the top."""
    x0, y0, x1, y1 = region
    sizes = (x1 - x0) / scale, (y1 - y0) / scale
    wide, tall = sizes if down in ("front", "back") else sizes[::-1]
    room = whole.height + rim.top + rim.bottom
    band = tall + rim.top + rim.bottom + _LABEL_ROOM
    count = int(room // band) if wide > whole.width else 1
    if count < 2:
        return (whole,)
    top = whole.top - rim.top
    return tuple(
        Box(
            whole.left,
            top + i * room / count + rim.top,
            whole.right,
            top + (i + 1) * room / count - rim.bottom,
        )
        for i in range(count)
    )


def _part_words(tiles: Sequence[Tile]) -> str:
    names = [tile.name for tile in tiles if tile.name]
    if not names:
        return ""
    return f", part {names[0]}" if len(names) == 1 else f", parts {', '.join(names)}"


def _underside_scale(brief: Brief, bench: Bench, window: Box) -> float:
    whole = best_scale(bench.region, window, brief.system, bench.aisle)
    if whole <= SMALLEST_UNDERSIDE[brief.system]:
        return whole
    return PARTED_UNDERSIDE[brief.system]


def _wired_spots(brief: Brief) -> Iterable[tuple[float, float]]:
    """Yield where holes, strips and buses lie in plan: buses every half metre. [mm]"""
    for row in brief.drops:
        yield row.x_mm, row.y_mm
    for strip in brief.layout.of_kind(Strip):
        yield strip.x_mm, strip.y_mm
    for bus in brief.layout.of_kind(Bus):
        path = bus_path(bus)
        count = ceil(path.length_m / 0.5) + 1
        for i in range(count + 1):
            pose = path.at(i * path.length_m / count)
            yield pose.x_mm, pose.y_mm


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
    draw_crossings(scene)
    draw_openings(scene)
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


def _shows_something(spots: Spots, view: View) -> bool:
    """Return whether a page of a cut-up plan would show any wire or hole."""
    return any(view.shows(x, y) for x, y in spots)


def _signs_of(brief: Brief) -> Iterable[Sign]:
    """Yield which of the rarer signs a plan of the layout has."""
    if any(True for _ in brief.layout.of_kind(Crossing)):
        yield "crossing"
    if any(True for _ in brief.layout.of_kind(Turntable)):
        yield "pit"
    if any(True for _ in brief.layout.of_kind(Opening)):
        yield "opening"


def _key(brief: Brief, *, below: bool) -> tuple[tuple[Entry, ...], ...]:
    """Return the rows of the key, which leave the scale bar its place."""
    return key_rows(
        brief.strokes,
        brief.typeface,
        brief.body.width - _SCALE_BAR,
        below=below,
        also=tuple(_signs_of(brief)),
    )


def _over_key(brief: Brief, *, below: bool) -> Box:
    """Return what a drawing and one row of its key may fill. [mm]"""
    body = brief.body
    more = ROW_MM * (len(_key(brief, below=below)) - 1)
    return Box(body.left, body.top, body.right, body.bottom - more)


def _caption(brief: Brief, tiles: Sequence[Tile], *, below: bool) -> tuple[Mark, ...]:
    body, tile = brief.body, tiles[0]
    y = body.bottom - 6.4
    marks: list[Mark] = [*scale_bar(tile.view, brief.system, body.left, y)]
    marks += key_marks(brief.strokes, _key(brief, below=below), (body.right, y))
    words = scale_words(tile.view, brief.system)
    if below:
        words += " Left and right change places; edges keep their names from above."
    else:
        words += " The top of the page is the back edge."
    if tile.name:
        words += f" Cut into {tile.columns} × {tile.rows} parts that overlap."
        marks += tile_map(tiles, body.right, y + 3.0)
    marks.append(Text(body.left, body.bottom - 0.6, words, 8.5, ink=SOFT))
    return tuple(marks)
