"""A cut in track on the drawing: its marks, and what lies on its two sides in words."""

from dataclasses import dataclass
from math import cos, sin
from typing import TypeVar

from PySide6.QtCore import QPointF
from PySide6.QtGui import QBrush, QColor, QPainter, QPolygonF

from app.canvas.look import Look
from app.canvas.words.label import Label, spots_around
from app.canvas.words.lettering import SMALL_PX, Style
from core.analysis.borders import Border
from core.analysis.districts import District, DistrictPlan
from core.layout.geometry import Pose

T = TypeVar("T")

ID_FROM, SIDES_FROM = 0.16, 0.3
"""A cut's id is written from that zoom on; what lies on its sides from this. [px/mm]"""

FLIP_PX, FLIP_GAUGES = 8.0, 0.55
"""Half the length of the sign for a flip. [px, gauges]"""

EDGE_PX = 3.2
"""Width of the bar where two districts meet. [px]"""


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut with what the last study says of it.

    Attributes
    ----------
    border : Border
        Poles and districts on its sides.
    before, after : str
        What the districts on its sides are called.
    turned_by : str
        The reverser on one side of it; empty without one.
    """

    border: Border
    before: str
    after: str
    turned_by: str

    def rails(self) -> str:
        """Return which rails it cuts: "both", "A rail", or "left rail" if unlike."""
        border = self.border
        if border.rails == "both":
            return "both rails"
        one, other = border.before.pole(border.rails), border.after.pole(border.rails)
        known = one if one == other or other is None else other if one is None else None
        which = known or border.rails
        return f"{which} rail, with {border.mate}" if border.mate else f"{which} rail"

    def sides(self, look: Look, pose: Pose) -> str:
        """Return what lies on its two sides, the way they lie on the screen."""
        border = self.border
        if border.before.number == border.after.number:
            return f"{self.before} on both sides"
        first, second = _as_seen(look, pose, (self.before, self.after))
        one, other = ("←", "→") if _is_level(pose) else ("↑", "↓")
        return f"{one} {first} | {second} {other}"

    def numbers(self, look: Look, pose: Pose) -> str:
        """Return "1|2": the districts' numbers, the way they lie on the screen."""
        ends = (self.border.before.number, self.border.after.number)
        return "|".join(str(n) for n in _as_seen(look, pose, ends))

    def flip(self, look: Look, pose: Pose) -> str:
        """Return "A|B" for a rail that goes over, the way it does on the screen."""
        border = self.border
        for side in border.cut:
            one, other = border.before.pole(side), border.after.pole(side)
            if one and other and one != other:
                return "|".join(_as_seen(look, pose, (one, other)))
        return ""


def _is_level(pose: Pose) -> bool:
    """Return whether track runs across the screen rather than up it."""
    return abs(cos(pose.heading)) >= abs(sin(pose.heading))


def _as_seen(look: Look, pose: Pose, ends: tuple[T, T]) -> tuple[T, T]:
    """Return what lies before and after a place as left and right, or up and down."""
    if _is_level(pose):
        ahead = cos(pose.heading) * (-1.0 if look.underside else 1.0)
    else:
        ahead = -sin(pose.heading)
    return ends if ahead > 0.0 else (ends[1], ends[0])


def make_cut(border: Border, plan: DistrictPlan) -> Cut:
    """Return a cut with the names of what lies on its sides."""
    sides = (plan.get(border.before.number), plan.get(border.after.number))
    turns = (d.reverser for d in sides if d is not None and d.reverser is not None)
    return Cut(border, _name(sides[0]), _name(sides[1]), next(turns, ""))


def _name(district: District | None) -> str:
    if district is None:
        return "not fed"
    return f"{district.number} {'+'.join(district.feeders)}"


def cut_labels(
    look: Look,
    name: str,
    cut: Cut | None,
    *,
    at: tuple[Pose, QPointF],
    way: tuple[float, float],
) -> tuple[Label, ...]:
    """Return the words at a cut, the short ones where the long ones find no room.

    Parameters
    ----------
    at : (Pose, QPointF)
        Where, and which way the track runs. [mm]
    way : (float, float)
        The side on which the words stand best.
    """
    words = _words(look, name, cut, at[0])
    found: list[Label] = []
    for text, foot, bold in words:
        colour = look.theme.accent if bold else look.theme.ink
        style = Style(colour, look.theme.paper, SMALL_PX, bold=bold)
        gap_px = 2.0 + max(look.gauge_px, 7.0)
        longest = max(text, foot, key=len)
        near = spots_around(look, longest, style, way=way, gap_px=gap_px)
        far = spots_around(look, longest, style, way=way, gap_px=gap_px + 16.0)
        rank = 2 if bold else 4
        spots = (*near, *far) if foot or bold else near
        instead = bool(found)
        found.append(Label(text, style, at[1], spots, rank, foot=foot, instead=instead))
    return tuple(found)


def _words(
    look: Look, name: str, cut: Cut | None, pose: Pose
) -> list[tuple[str, str, bool]]:
    """Return head, foot and boldness of the words, the longest first."""
    near = look.px_per_mm >= ID_FROM
    if cut is None:
        return [(name, "", False)] if near else []
    border = cut.border
    if look.view == "poles" and border.flips:
        by = f" by {cut.turned_by}" if cut.turned_by else ""
        flip = cut.flip(look, pose)
        long = f"{name} flips {flip}{by}" if near else f"{flip}{by}"
        return [(long, "", True), (flip, "", True)]
    if look.view == "districts" and border.parts_districts:
        head = f"{name} · {cut.rails()}" if near else name
        return [
            (head, cut.sides(look, pose), True),
            (cut.numbers(look, pose), "", True),
        ]
    if not near:
        return []
    if look.px_per_mm < SIDES_FROM:
        return [(name, "", False)]
    head = f"{name} · {cut.rails()} · {cut.border.state}"
    return [(head, cut.sides(look, pose), False), (name, "", False)]


def paint_cut(
    painter: QPainter, look: Look, cut: Cut | None, pose: Pose, gauge_mm: float
) -> None:
    """Paint what a view adds to a cut: a sign where rails flip or districts meet."""
    if cut is None or look.is_rough:
        return
    if look.view == "poles" and cut.border.flips:
        _paint_flip(painter, look, pose, gauge_mm)
    elif look.view == "districts" and cut.border.parts_districts:
        _paint_edge(painter, look, cut, pose, gauge_mm)


def _paint_flip(painter: QPainter, look: Look, pose: Pose, gauge_mm: float) -> None:
    """Paint two arrowheads that meet: one filled, one not."""
    reach = max(FLIP_PX * look.mm_per_px, FLIP_GAUGES * gauge_mm)
    middle = QPointF(pose.x_mm, pose.y_mm)
    along = QPointF(cos(pose.heading), sin(pose.heading)) * reach
    aside = QPointF(-sin(pose.heading), cos(pose.heading)) * reach
    painter.setPen(look.pen(look.theme.ink, 1.4))
    for sign, colour in ((-1.0, look.theme.ink), (1.0, look.theme.paper)):
        painter.setBrush(QBrush(QColor(colour)))
        back = middle + along * sign * 1.2
        painter.drawPolygon(QPolygonF([middle, back + aside, back - aside]))
    painter.setBrush(QBrush())


def _paint_edge(
    painter: QPainter, look: Look, cut: Cut, pose: Pose, gauge_mm: float
) -> None:
    """Paint a bar across the rails that are cut; one rail only leaves half of it."""
    reach = max(1.3 * gauge_mm, 10.0 * look.mm_per_px)
    border = cut.border
    left = reach if "left" in border.cut else 0.0
    right = -reach if "right" in border.cut else 0.0
    ends = QPointF(*pose.left(left)), QPointF(*pose.left(right))
    painter.setPen(look.pen(look.theme.paper, EDGE_PX + 3.0))
    painter.drawLine(*ends)
    painter.setPen(look.pen(look.theme.ink, EDGE_PX))
    painter.drawLine(*ends)
