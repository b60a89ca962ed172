"""The wiring cards of turnouts: a plan of each, its cuts, its lead, its contact."""

from collections.abc import Iterable

from core.materials.wires import wire
from core.sheet.brief import Brief
from core.sheet.drawing.points import WIDTH, Points, draw_points, height_of
from core.sheet.frame import Flow, Leaf, baseline, text_height
from core.sheet.marks import SOFT, Line, Mark, Text, box
from core.sheet.schedules.track.turnouts import (
    Totals,
    TurnoutRow,
    totals_of,
    turnout_rows,
)
from core.sheet.schedules.words import titled
from core.units.figures import show_amps

TITLE = "Turnouts"

_HOW = (
    "Each is drawn as seen from above, from the blades at the left; not to scale. At "
    "the small marks a switched frog is parted from its closure rails too; many come "
    "so. Cut and lead first, contact last; then a wheelset pushed across the frog, "
    "with the turnout each way, must stop nothing."
)
_KINDS = {
    "insulated": "dead frog",
    "switched": "live frog, switched",
    "self-powered": "live frog, through the blades",
}
_DEAD = (
    "Dead: wire nothing to the frog and cut nothing. The buzzer must be silent from "
    "it to each rail."
)
_SELF = (
    "Through the blades: no lead, no contact. The blade that lies against its stock "
    "rail feeds the frog; keep both bright."
)
_SWITCHED = (
    "Switched: a change-over contact on the blades' drive gives the frog its pole."
)
_UNCUT = (
    "No cut behind the frog: the rails beyond live through it alone. No drop there."
)
_NEEDED = "▲ The rails behind the frog have drops: without cuts 1 and 2 it shorts."
_GUTTER, _PAD = 6.0, 3.0
_TICK = 5.4


def turnout_leaves(brief: Brief) -> tuple[Leaf, ...]:
    """Return a card for each turnout, two beside each other; nothing without any."""
    rows = turnout_rows(brief.study)
    if not rows:
        return ()
    flow = Flow(TITLE, brief.body, brief.typeface)
    flow.text(total_words(totals_of(rows)), 12.0, bold=True)
    flow.text(_HOW, 10.0)
    flow.space(2.0)
    width = (brief.body.width - _GUTTER) / 2.0
    for start in range(0, len(rows), 2):
        cards = [_Card(brief, row, width) for row in rows[start : start + 2]]
        height = max(card.height for card in cards)
        flow.need(height)
        for i, card in enumerate(cards):
            left = brief.body.left + i * (width + _GUTTER)
            flow.put(card.marks(left, flow.y, height))
        flow.y += height + 3.6
        brief.pace.step(start / len(rows))
    return flow.leaves()


def total_words(totals: Totals) -> str:
    """Return the sums, such as "9 live frogs: 18 gaps, 9 frog leads, …"."""
    parts: list[str] = []
    if totals.live:
        parts.append(
            f"{_count(totals.live, 'live frog')}: {_count(totals.gaps, 'gap')}, "
            f"{_count(totals.leads, 'frog lead')}, "
            f"{_count(totals.leads, 'change-over contact')}."
        )
    if totals.dead:
        parts.append(f"{_count(totals.dead, 'dead frog')}: nothing to wire.")
    return " ".join(parts)


def _count(number: int, word: str) -> str:
    return f"{number or 'no'} {word}" if number == 1 else f"{number or 'no'} {word}s"


class _Card:
    """One turnout: its diagram, what to do beside it, boxes to tick."""

    _SIZE = 10.0
    _TOP, _APART, _FOOT = 12.2, 1.3, 8.2

    def __init__(self, brief: Brief, row: TurnoutRow, width: float) -> None:
        self._brief, self._row, self._width = brief, row, width
        room = width - WIDTH - 2.0 * _PAD - 1.0
        self._texts = [
            brief.typeface.wrap(text, room, self._SIZE) for text in self._words()
        ]

    @property
    def height(self) -> float:
        """What the card takes. [mm]"""
        texts = (text_height(self._SIZE, len(t)) + self._APART for t in self._texts)
        drawn = height_of(self._row.turnout.frog)
        return self._TOP + max(drawn, sum(texts)) + self._FOOT

    def marks(self, left: float, top: float, height: float) -> Iterable[Mark]:
        """Yield the card."""
        row, face = self._row, self._brief.typeface
        yield Line(box(left, top, self._width, height), 0.5, closed=True)
        name = titled(row.turnout.id, row.turnout.name)
        title = f"{name}: {row.turnout.hand} hand, {_KINDS[row.turnout.frog]}"
        title = face.shorten(title, self._width - 2 * _PAD, 13.0, bold=True)
        x = left + _PAD
        yield Text(x, baseline(top + 1.2, 13.0), title, 13.0, bold=True)
        where = face.shorten(self._where(), self._width - 2 * _PAD, 9.5)
        yield Text(x, baseline(top + 7.0, 9.5), where, 9.5, ink=SOFT)
        points = Points(
            row.turnout.hand, row.turnout.frog, row.near, row.far, row.gaps > 0
        )
        yield from draw_points(points, self._brief.strokes, (x - 1.0, top + self._TOP))
        y = top + self._TOP
        for lines in self._texts:
            for line in lines:
                at = x + WIDTH + 1.0, baseline(y, self._SIZE)
                yield Text(*at, line, self._SIZE)
                y += text_height(self._SIZE)
            y += self._APART
        yield from self._boxes(x, top + height - self._FOOT + 1.2)

    def _boxes(self, x: float, y: float) -> Iterable[Mark]:
        for tick in self._ticks():
            yield Line(box(x, y, _TICK, _TICK), 0.35, closed=True)
            yield Text(x + _TICK + 1.6, baseline(y + 0.5, 10.0), tick, 10.0)
            x += _TICK + 4.2 + self._brief.typeface.width(tick, 10.0)

    def _where(self) -> str:
        row = self._row
        end = row.end.partition(" (")[0]
        return (
            f"Blades on {row.spot.track}, {self._brief.place(row.end_m)} from the "
            f"{end}; branch: {row.branch}"
        )

    def _words(self) -> Iterable[str]:
        row = self._row
        if row.near is None or row.far is None:
            yield "▲ Not fed: the rails have no letters yet."
        if row.turnout.frog == "insulated":
            yield _DEAD
            return
        yield _SWITCHED if row.turnout.frog == "switched" else _SELF
        if row.gaps:
            behind = self._brief.place(row.turnout.lead_m)
            yield f"Cut 1 and 2 behind the frog, {behind} from the blades; fill."
        yield from [_NEEDED] if row.fed_behind else [] if row.gaps else [_UNCUT]
        if row.turnout.frog == "switched":
            yield self._contact()

    def _contact(self) -> str:
        row = self._row
        lead = f"Lead: {wire(row.turnout.frog_wire).label}, frog to common."
        near, far = self._letter(row.near), self._letter(row.far)
        words = [lead, self._rating(), f"Straight on {near}, branch on {far}."]
        return " ".join(word for word in words if word)

    def _rating(self) -> str:
        """Return what the contact is good for, and what it should be."""
        said, needed = self._row.turnout.contact_a, self._row.needed_a
        if said is None:
            return f"Contact for {show_amps(needed)} or more." if needed else ""
        if needed is None:
            return f"Contact for {show_amps(said)}."
        weak = "▲ " if said < needed - 1e-9 else ""
        return f"{weak}Contact for {show_amps(said)}; needed: {show_amps(needed)}."

    def _letter(self, pole: str | None) -> str:
        strokes = self._brief.strokes
        return {"A": strokes.a.letter, "B": strokes.b.letter}.get(pole or "", "–")

    def _ticks(self) -> tuple[str, ...]:
        switched = (
            ("lead on", "contact on") if self._row.turnout.frog == "switched" else ()
        )
        cut = ("cut and filled",) if self._row.gaps else ()
        return (*cut, *switched, "tried both ways")
