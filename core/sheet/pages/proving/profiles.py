"""What a train meets on the tracks with the lowest volts, as charts."""

from collections.abc import Iterable
from math import isfinite

from core.analysis.along import every_track_values, worst_along
from core.analysis.beyond import say_beyond, worst_beyond
from core.analysis.grades import stops_for
from core.analysis.profile import Profile, profile_run
from core.analysis.sound import sound_part
from core.analysis.study import Extreme, Study
from core.layout.ids import PartId
from core.layout.queries import run_name
from core.sheet.brief import Brief
from core.sheet.drawing.chart import Chart
from core.sheet.frame import Box, Leaf, baseline, text_height
from core.sheet.marks import SOFT, Mark, Text
from core.units.figures import show_amps, show_volts

TITLE = "Volts along the track"

COLUMNS, ROWS = 2, 3
"""Charts on the page: the tracks with the lowest volts; house choice."""

_SIZE, _NOTE, _APART = 10.5, 8.5, 5.0
_TALLEST = 80.0


def profile_leaves(brief: Brief) -> Iterable[Leaf]:
    """Return one page of charts; nothing where no track is fed."""
    study = sound_part(brief.study)
    worst = _lowest_runs(study)
    if not worst:
        return
    body = brief.body
    foot = text_height(_NOTE) + 1.0
    beyond = worst_beyond(study)
    feet = foot * (1 if beyond is None else 2)
    count = min(len(worst), COLUMNS * ROWS)
    columns = min(count, COLUMNS)
    rows = -(-count // columns)
    width = (body.width - _APART * (columns - 1)) / columns
    height = min((body.height - feet - _APART * (rows - 1)) / rows, _TALLEST)
    marks: list[Mark] = []
    for number, (run, lowest) in enumerate(worst[:count]):
        row, column = divmod(number, columns)
        left = body.left + column * (width + _APART)
        top = body.top + row * (height + _APART)
        area = Box(left, top, left + width, top + height)
        marks += _chart(brief, study, run, lowest, area)
        brief.pace.step((number + 1.0) / count)
    marks.append(Text(body.left, body.bottom - 0.6, _note(brief), _NOTE, ink=SOFT))
    if beyond is not None:
        words = f"Not to be had: with the train {say_beyond(beyond)}."
        at = body.bottom - 0.6 - foot
        marks.append(Text(body.left, at, words, _NOTE, bold=True))
    yield Leaf(TITLE, tuple(marks))


def _lowest_runs(study: Study) -> list[tuple[PartId, Extreme]]:
    """Return the runs that are fed, that with the lowest volts first."""
    found = [
        (run, worst)
        for run, along in every_track_values(study, "volts").items()
        if (worst := worst_along(along, highest=False)) is not None
    ]
    return sorted(found, key=lambda item: (item[1].value, item[0]))


def _note(brief: Brief) -> str:
    train = show_amps(brief.settings.test_train_a)
    return (
        f"With the test train of {train} at each place in turn, beside what stands "
        "there. Strokes at the foot: drops. Blocks on top: standing loads. Ring: "
        "lowest."
    )


def _chart(
    brief: Brief, study: Study, run: PartId, lowest: Extreme, area: Box
) -> Iterable[Mark]:
    profile = profile_run(study, run)
    place = brief.place(lowest.place.position_m)
    head = (
        f"{run_name(brief.layout, run)}: lowest {show_volts(lowest.value)} at {place}"
    )
    short = _weakest(profile)
    if short is not None:
        head += f", weakest short {short:.2g} ×"
    head = brief.typeface.shorten(head, area.width, _SIZE, bold=True)
    yield Text(area.left, baseline(area.top, _SIZE), head, _SIZE, bold=True)
    _, good, most, _ = stops_for("volts", brief.layout)
    limits = (good, "good above"), (most, "tolerable above")
    room = Box(area.left, area.top + text_height(_SIZE), area.right, area.bottom)
    yield from Chart(profile, limits, brief.system, room).marks()


def _weakest(profile: Profile) -> float | None:
    shown = [float(m) for m in profile.margin if isfinite(m)]
    return min(shown, default=None)
