"""The layout by volts, loop and shorts: where it is good, tolerable and poor."""

from collections.abc import Iterable
from dataclasses import dataclass

from core.analysis.along import every_track_values, worst_along
from core.analysis.beyond import say_beyond, worst_beyond
from core.analysis.grades import Stops, stops_for
from core.analysis.sound import shorted_boosters, sound_part
from core.analysis.study import Extreme, Quantity, Study, TrackValues, Verdict
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.parts import Board, TrackRun
from core.layout.queries import place_xy
from core.sheet.brief import Brief
from core.sheet.drawing.bench import label_aisles
from core.sheet.drawing.graded import draw_graded, sample
from core.sheet.drawing.inkmap import Words
from core.sheet.drawing.power import draw_devices
from core.sheet.drawing.scene import Scene
from core.sheet.drawing.view import Region, whole_view
from core.sheet.frame import Box, Leaf, baseline, text_height
from core.sheet.marks import FAINT, INK, TINT, WHITE, Circle, Mark, Text, box
from core.units.figures import show_amps, show_ohms, show_volts

TITLE = "Maps"

_PAIRS: tuple[tuple[str, tuple[Quantity, Quantity]], ...] = (
    ("Map of volts and loop", ("volts", "loop")),
    ("Map of shorts", ("short", "short_dc")),
)

_HEADS: dict[Quantity, str] = {
    "volts": "Volts with the test train of {train} at the place",
    "loop": "Loop: out and back from booster to rails and train",
    "short": "Short: its true current over what trips its device",
    "short_dc": "The same by resistance alone, as if the track carried direct current",
}

_WORST: dict[Quantity, str] = {
    "volts": "lowest",
    "loop": "highest",
    "short": "weakest",
    "short_dc": "weakest",
}

_GRADES: dict[Verdict, str] = {
    "good": "good",
    "tolerable": "tolerable",
    "poor": "poor",
    "dead": "no figure: not fed, or its booster is shorted",
}

_HEAD, _FOOT, _SIZE = 11.0, 9.0, 9.0
_APART = 6.0
_RIM = 4.0
_SAMPLE = 9.0
_OWN_WORD_FROM = 22.0
"""A run shorter on paper has no figure of its own. [mm]"""


@dataclass(frozen=True, slots=True)
class _Figures:
    """One quantity along all track: its limits, and where it is worst."""

    quantity: Quantity
    along: dict[PartId, TrackValues]
    stops: Stops
    worst: Extreme | None


def map_leaves(brief: Brief) -> Iterable[Leaf]:
    """Return two maps a page; nothing where no track is fed."""
    study = sound_part(brief.study)
    if study.worst_volts is None:
        return
    left_out = ", ".join(shorted_boosters(brief.study))
    region = brief.benches[-1].region
    for title, quantities in _PAIRS:
        marks: list[Mark] = []
        areas = _areas(brief, region)
        for quantity, area in zip(quantities, areas, strict=True):
            marks += _map(brief, _figures(study, quantity), region, area)
            brief.pace.step(0.4)
        words = f"{left_out} is shorted: its track has no figures." if left_out else ""
        beyond = worst_beyond(study) if "volts" in quantities else None
        if beyond is not None:
            words = f"{words} With the train {say_beyond(beyond)}.".strip()
        if words:
            marks.append(_line(brief.body, words))
        yield Leaf(title, tuple(marks), "SEEN FROM ABOVE")


def _line(body: Box, words: str) -> Text:
    return Text(body.right, body.bottom - 0.6, words, 8.5, "end", bold=True)


def _figures(study: Study, quantity: Quantity) -> _Figures:
    return _Figures(
        quantity,
        every_track_values(study, quantity),
        stops_for(quantity, study.layout),
        study.worst(quantity),
    )


def _areas(brief: Brief, region: Region) -> tuple[Box, Box]:
    """Return the room of two maps: side by side or under each other, as is larger."""
    b = brief.body
    half_y, half_x = 0.5 * (b.top + b.bottom), 0.5 * (b.left + b.right)
    stacked = (
        Box(b.left, b.top, b.right, half_y - _APART / 2.0),
        Box(b.left, half_y + _APART / 2.0, b.right, b.bottom),
    )
    beside = (
        Box(b.left, b.top, half_x - _APART, b.bottom),
        Box(half_x + _APART, b.top, b.right, b.bottom),
    )
    return min((beside, stacked), key=lambda two: _scale(region, _window(two[0])))


def _scale(region: Region, window: Box) -> float:
    """Return what just fits: nothing is measured on a map, so it need not be round."""
    x0, y0, x1, y1 = region
    return max((x1 - x0) / window.width, (y1 - y0) / window.height, 1.0)


def _window(area: Box) -> Box:
    return Box(
        area.left,
        area.top + text_height(_HEAD) + 1.0,
        area.right,
        area.bottom - text_height(_FOOT) - 2.6,
    )


def _map(brief: Brief, figures: _Figures, region: Region, area: Box) -> Iterable[Mark]:
    window = _window(area)
    view = whole_view(region, window, _scale(region, window.inset(_RIM)))
    scene = Scene(
        brief.atlas, view, brief.typeface, brief.strokes, most_rank=3, sketch=True
    )
    _draw_ground(scene)
    shown = draw_graded(scene, figures.along, figures.stops)
    draw_devices(scene)
    _mark_worst(scene, figures)
    _label_runs(scene, figures)
    label_aisles(scene)
    yield from scene.finish()
    head = _HEADS[figures.quantity].format(train=show_amps(brief.settings.test_train_a))
    head = brief.typeface.shorten(head, area.width, _HEAD, bold=True)
    yield Text(area.left, baseline(area.top, _HEAD), head, _HEAD, bold=True)
    yield from _key(brief, figures, shown, area)


def _draw_ground(scene: Scene) -> None:
    """Draw the boards, faintly, and nothing on them."""
    for board in scene.parts(Board):
        corners = box(board.x_mm, board.y_mm, board.width_mm, board.depth_mm)
        on_paper = tuple(scene.view.at(*corner) for corner in corners)
        scene.shape(on_paper, TINT)
        scene.line((*on_paper, on_paper[0]), 0.25, FAINT)


def _show(quantity: Quantity, value: float) -> str:
    match quantity:
        case "volts":
            return show_volts(value)
        case "loop":
            return show_ohms(value)
        case _:
            return f"{value:.2g} ×"


def _mark_worst(scene: Scene, figures: _Figures) -> None:
    """Put a ring round the worst place, and its figure beside it."""
    worst = figures.worst
    at = place_xy(scene.layout, worst.place) if worst is not None else None
    if worst is None or at is None:
        return
    x, y = scene.view.at(*at)
    ring: list[Mark] = [
        Circle(x, y, 2.4, None, WHITE, 1.5),
        Circle(x, y, 2.4, None, INK, 0.7),
    ]
    scene.symbol(ring, Box(x - 2.6, y - 2.6, x + 2.6, y + 2.6))
    words = f"{_WORST[figures.quantity]} {_show(figures.quantity, worst.value)}"
    scene.label(0, (x, y), (Words(words, 10.0, bold=True),), 3.0)


def _label_runs(scene: Scene, figures: _Figures) -> None:
    """Write the worst figure of each longer run where it is reached."""
    best, _, _, worst = figures.stops
    scale = scene.view.scale
    for run in scene.parts(TrackRun):
        along = figures.along.get(run.id)
        if along is None or run_path(run).length_m * 1000.0 / scale < _OWN_WORD_FROM:
            continue
        if figures.worst is not None and run.id == figures.worst.place.run:
            continue
        found = worst_along(along, highest=worst > best)
        at = place_xy(scene.layout, found.place) if found is not None else None
        if found is not None and at is not None:
            words = (Words(_show(figures.quantity, found.value), 8.5),)
            scene.label(3, scene.view.at(*at), words, 1.2)


def _key(
    brief: Brief,
    figures: _Figures,
    shown: frozenset[Verdict],
    area: Box,
) -> Iterable[Mark]:
    """Draw what the lines mean, with the limits, below a map."""
    y = area.bottom - text_height(_FOOT) / 2.0
    base = baseline(area.bottom - text_height(_FOOT), _SIZE)
    _, good, most, _ = figures.stops
    ends = {"good": good, "tolerable": most}
    x = area.left
    for grade, name in _GRADES.items():
        if grade == "dead" and grade not in shown:
            continue
        text = name
        if grade in ends:
            text = f"{name}, to {_show(figures.quantity, ends[grade])}"
        yield from sample(grade, x, y, _SAMPLE)
        yield Text(x + _SAMPLE + 1.5, base, text, _SIZE)
        x += _SAMPLE + 6.0 + brief.typeface.width(text, _SIZE)
