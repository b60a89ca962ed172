"""Labels for both ends of every wire, to cut out and stick or wrap."""

from collections.abc import Iterable

from core.sheet.brief import Brief
from core.sheet.frame import Box, Leaf
from core.sheet.inks import Stroke
from core.sheet.marks import FAINT, SOFT, Line, Mark, Text
from core.sheet.schedules.words import soldered

TITLE = "Labels"

COLUMNS, ROWS = 5, 8
"""Labels on a page: 40, as needs N63 counts them."""

_Label = tuple[Stroke, str, str]


def label_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return labels, drop by drop: each wire at the rail and at its far end."""
    labels = tuple(_labels(brief))
    per_page = COLUMNS * ROWS
    leaves: list[Leaf] = []
    for start in range(0, len(labels), per_page):
        marks: list[Mark] = list(_cut_lines(brief.body))
        for i, label in enumerate(labels[start : start + per_page]):
            marks += _set_label(brief, label, i)
        title = TITLE if start == 0 else f"{TITLE} (continued)"
        leaves.append(Leaf(title, tuple(marks)))
    return tuple(leaves)


def _labels(brief: Brief) -> Iterable[_Label]:
    strokes = {s.letter: s for s in (brief.strokes.a, brief.strokes.b)}
    for row in brief.drops:
        for letter, edge in soldered(brief.layout, row.drop):
            stroke = strokes[letter]
            yield stroke, row.drop.id, f"{edge} rail, {row.track}"
            yield stroke, row.drop.id, f"to {row.ends}"
    for bus in brief.buses:
        for stroke in strokes.values():
            yield stroke, bus.bus.id, f"start: {bus.starts}"
            yield stroke, bus.bus.id, f"end: {bus.ends}"


def _cell(body: Box, i: int) -> Box:
    width, height = body.width / COLUMNS, body.height / ROWS
    left = body.left + i % COLUMNS * width
    top = body.top + i // COLUMNS * height
    return Box(left, top, left + width, top + height)


def _cut_lines(body: Box) -> Iterable[Mark]:
    for i in range(COLUMNS + 1):
        x = body.left + i * body.width / COLUMNS
        yield Line(((x, body.top), (x, body.bottom)), 0.2, FAINT, (1.5, 1.5))
    for i in range(ROWS + 1):
        y = body.top + i * body.height / ROWS
        yield Line(((body.left, y), (body.right, y)), 0.2, FAINT, (1.5, 1.5))


def _set_label(brief: Brief, label: _Label, i: int) -> Iterable[Mark]:
    stroke, name, words = label
    cell = _cell(brief.body, i)
    x = cell.left + 4.0
    yield stroke.sample(x, cell.top + 3.2, cell.width - 8.0, 1.2)
    yield Text(x, cell.top + 11.4, name, 18.0, bold=True)
    yield from stroke.badge((cell.right - 7.5, cell.top + 9.0), 3.2)
    lines = brief.typeface.wrap(words, cell.width - 8.0, 9.0)
    if len(lines) > 2:
        lines = lines[0], f"{lines[1]} …"
    for n, line in enumerate(lines):
        short = brief.typeface.shorten(line, cell.width - 8.0, 9.0)
        yield Text(x, cell.top + 16.2 + 3.9 * n, short, 9.0, ink=SOFT)
