"""The cover: what it is, how good it is, what the signs mean."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from core.analysis.beyond import say_beyond
from core.analysis.probe import probe_place, say_starved
from core.analysis.remedy import find_remedy
from core.analysis.sound import sound_part
from core.analysis.study import Study
from core.analysis.weak import weakest_shorts
from core.layout.layout import Layout
from core.layout.parts import Board, Bus, Drop, Settings, Strip
from core.layout.queries import place_name, run_name
from core.network.polarity import Short
from core.sheet.brief import Brief
from core.sheet.frame import Box, Leaf, baseline, text_height
from core.sheet.inks import key_rows
from core.sheet.marks import FAINT, INK, SOFT, Line, Mark, Text
from core.sheet.pages.findings import counted
from core.sheet.pages.plan import sketch_marks
from core.sheet.typeface import Typeface, name_of
from core.units.figures import show_amps, show_share, show_volts

TITLE = "Wiring sheet"

_PROMISE = (
    "What it promises: places and lengths are those drawn; volts and short currents "
    "follow from the drawing, the tables of wire and rail, and the laws of resistance "
    "and inductance, with a test train at every point."
)
_NO_PROMISE = (
    "What it does not: rail of one kind differs by a third between sources and joints "
    "age, so measure before you rely on a close figure. It decides nothing about "
    "mains, earth or code, and is no certificate of anything."
)
_GAP = 8.0
_MOST_LACKING = 4


@dataclass(frozen=True, slots=True)
class Chapter:
    """A kind of page and the number of its first page."""

    title: str
    page: int


def cover_leaf(brief: Brief, chapters: Sequence[Chapter]) -> Leaf:
    """Return the cover."""
    body = brief.body
    split = body.left + 0.6 * body.width
    left = Box(body.left, body.top, split - _GAP, body.bottom)
    right = Box(split, body.top, body.right, body.bottom)
    foot = _Column(brief.typeface, Box(body.left, 0.0, split - _GAP, 0.0))
    foot.text(_PROMISE, 9.0, ink=SOFT)
    foot.space(1.2)
    foot.text(_NO_PROMISE, 9.0, ink=SOFT)
    for line in _lacking(brief):
        foot.space(1.2)
        foot.text(line, 9.0)
    head = _Column(brief.typeface, left)
    _set_title(brief, head)
    picture = Box(left.left, head.y + 3.0, left.right, left.bottom - foot.y - 3.0)
    marks = (
        *head.marks,
        *sketch_marks(brief, picture.inset(1.0)),
        Line(picture.corners, 0.25, FAINT, closed=True),
        *foot.moved(left.bottom - foot.y),
        *_right_side(brief, right, chapters),
    )
    return Leaf(TITLE, marks)


class _Column:
    """Text set downwards in a box; the cover never runs over."""

    def __init__(self, typeface: Typeface, area: Box) -> None:
        self._typeface = typeface
        self._box = area
        self.y = area.top
        self.marks: list[Mark] = []

    def text(
        self,
        text: str,
        size: float,
        *,
        bold: bool = False,
        ink: str = INK,
        most: int = 9,
    ) -> None:
        lines = self._typeface.wrap(text, self._box.width, size, bold=bold)
        for n, line in enumerate(lines[:most]):
            cut = n == most - 1 and len(lines) > most
            words = f"{line}…" if cut else line
            at = baseline(self.y, size)
            self.marks.append(Text(self._box.left, at, words, size, bold=bold, ink=ink))
            self.y += text_height(size)

    def space(self, height: float) -> None:
        self.y += height

    def rule(self) -> None:
        ends = (self._box.left, self.y), (self._box.right, self.y)
        self.marks.append(Line(ends, 0.3, SOFT))
        self.y += 1.5

    def moved(self, by: float) -> Iterable[Mark]:
        for mark in self.marks:
            assert isinstance(mark, Text)
            yield Text(
                mark.x, mark.y + by, mark.text, mark.size, bold=mark.bold, ink=mark.ink
            )


def _set_title(brief: Brief, head: _Column) -> None:
    title = brief.settings.title
    width = brief.typeface.width(title, 26.0, bold=True)
    size = 26.0 if width < 2 * 0.55 * brief.body.width else 17.0
    head.text(title, size, bold=True, most=3)
    head.space(0.5)
    head.text(brief.imprint.line, 12.0)


def _right_side(brief: Brief, area: Box, chapters: Sequence[Chapter]) -> Iterable[Mark]:
    column = _Column(brief.typeface, area)
    column.text("Conductors", 12.0, bold=True)
    column.space(1.5)
    yield from key_rows(brief.strokes, brief.typeface, area, column.y)
    column.space(3.0 * text_height(12.0) + 1.0)
    for head, value, more in _figures(brief):
        column.rule()
        column.text(head, 9.5, ink=SOFT)
        column.text(value, 16.0, bold=True, most=2)
        if more:
            column.text(more, 9.5, most=3)
        column.space(1.2)
    column.rule()
    column.text("On the pages", 12.0, bold=True)
    column.space(0.8)
    yield from column.marks
    yield from _contents(area, column.y, chapters)


def _contents(area: Box, y: float, chapters: Sequence[Chapter]) -> Iterable[Mark]:
    step = min(text_height(11.0) + 0.5, (area.bottom - y) / max(len(chapters), 1))
    size = min(11.0, step / text_height(1.0))
    for chapter in chapters:
        at = baseline(y, size)
        yield Text(area.left, at, chapter.title, size)
        yield Text(area.right, at, str(chapter.page), size, "end")
        y += step


def _figures(brief: Brief) -> Iterable[tuple[str, str, str]]:
    """Yield head, figure and where, of what matters most."""
    study, layout = brief.study, brief.layout
    for short in study.shorts:
        a, b = brief.strokes.a.letter, brief.strokes.b.letter
        yield "Short circuit", f"{a} meets {b} at {short.booster}", _culprit(short)
    for one, other in study.opposed:
        yield "Short circuit", f"{one} meets {other} in opposite phase", ""
    # With the poles joined, volts and short currents of that track mean nothing.
    sound = sound_part(study)
    if sound.worst_volts is not None or not study.shorted:
        yield _volts_figure(brief, sound)
        yield from _weakest_figure(brief, sound)
    if study.unfed:
        names = dict.fromkeys(run_name(layout, u.run) for u in study.unfed)
        yield "Not fed", ", ".join(names), ""
    yield "Findings", counted(brief.findings), ""
    yield "Drawn", _drawn(layout), ""


def _weakest_figure(brief: Brief, sound: Study) -> Iterable[tuple[str, str, str]]:
    found = weakest_shorts(sound, count=1)
    if found:
        weakest = found[0]
        place = place_name(brief.layout, weakest.place)
        if weakest.limited_by == "inductance":
            place += (
                f"; inductance limits it, by resistance alone "
                f"{weakest.plain_margin:.1f} ×"
            )
        low, high = weakest.margin_low, weakest.margin_high
        place += f"; as rails and joints vary {low:.1f} to {high:.1f} ×"
        if weakest.margin < brief.settings.limits.short_good:
            place += f". {find_remedy(sound, weakest.point).words}."
        yield "Weakest short circuit", f"{weakest.margin:.1f} × the trip current", place


def _drawn(layout: Layout) -> str:
    kinds = (("drop", Drop), ("bus", Bus), ("strip", Strip), ("board", Board))
    counts = [(sum(1 for _ in layout.of_kind(kind)), word) for word, kind in kinds]
    return ", ".join(_count_of(count, word) for count, word in counts if count)


def _count_of(count: int, word: str) -> str:
    many = "buses" if word == "bus" else f"{word}s"
    return f"{count} {word if count == 1 else many}"


def _culprit(short: Short) -> str:
    if not short.culprits:
        return "Cure it first; what it feeds is left out below."
    names = ", ".join(dict.fromkeys(c.part for c in short.culprits[:4]))
    return f"One crossed connection explains it: {names}."


def _volts_figure(brief: Brief, sound: Study) -> tuple[str, str, str]:
    head = "Lowest volts on the track"
    worst = sound.worst_volts
    if worst is None:
        return head, "none", "No track is fed by a booster."
    probe = probe_place(brief.study, worst.place)
    place = place_name(brief.layout, worst.place)
    if probe.starves:
        return (
            head,
            "none left",
            f"{place}: {say_starved(probe.starves, probe.test_train_a)}.",
        )
    lost = show_volts(probe.source_v - probe.volts_v)
    note = f"{place}; test train {show_amps(probe.test_train_a)}"
    # At a gap a probe tells of one side, which need not be the worse one.
    if probe.volts_low_v <= worst.value <= probe.volts_high_v:
        low, high = show_volts(probe.volts_low_v), show_volts(probe.volts_high_v)
        note += f"; as rails and joints vary {low} to {high}"
    if probe.beyond:
        note += f"; but {say_beyond(probe.beyond[0])}"
    return (
        head,
        f"{show_volts(worst.value)}  ({lost}, {show_share(probe.drop_share)} lost)",
        note,
    )


def _lacking(brief: Brief) -> Iterable[str]:
    """Name the characters of the layout that the typeface has no sign for."""
    found = brief.typeface.lacking(" ".join(_every_text(brief.layout)))
    if not found:
        return
    listed = sorted(found)
    names = "; ".join(name_of(c) for c in listed[:_MOST_LACKING])
    more = len(listed) - _MOST_LACKING
    tail = f"; and {more} more" if more > 0 else ""
    yield f"The typeface of this sheet has no sign for: {names}{tail}."


def _every_text(layout: Layout) -> Iterable[str]:
    for part in layout.parts.values():
        for field in ("name", "note", "far_label", "title", "revision"):
            yield str(getattr(part, field, ""))
        if isinstance(part, Settings):
            for conductor in (part.conductor_a, part.conductor_b):
                yield f"{conductor.name} {conductor.colour}"
