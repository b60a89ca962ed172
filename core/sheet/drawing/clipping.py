"""Lines and shapes cut at the edge of a box, and lines set aside of others."""

from itertools import pairwise
from math import hypot

from core.sheet.frame import Box
from core.sheet.marks import XY


def clip_line(points: tuple[XY, ...], window: Box) -> list[tuple[XY, ...]]:
    """Return the stretches of a line that lie in a box.

    Each step is cut by itself (Liang and Barsky's parametric cut); steps that
    meet are joined again.
    """
    left, right = window.left, window.right
    top, bottom = window.top, window.bottom
    found: list[list[XY]] = []
    for here, there in pairwise(points):
        (xa, ya), (xb, yb) = here, there
        if (
            left <= xa <= right
            and left <= xb <= right
            and top <= ya <= bottom
            and top <= yb <= bottom
        ):
            cut: tuple[XY, XY] | None = (here, there)
        elif (
            (xa < left and xb < left)
            or (xa > right and xb > right)
            or (ya < top and yb < top)
            or (ya > bottom and yb > bottom)
        ):
            continue
        else:
            cut = _clip_step(here, there, window)
        if cut is None:
            continue
        if found and found[-1][-1] == cut[0]:
            found[-1].append(cut[1])
        else:
            found.append([cut[0], cut[1]])
    return [tuple(part) for part in found]


def clip_shape(points: tuple[XY, ...], window: Box) -> tuple[XY, ...]:
    """Return what lies of a polygon in a box (Sutherland and Hodgman)."""
    sides = (
        (0, window.left, 1.0),
        (0, window.right, -1.0),
        (1, window.top, 1.0),
        (1, window.bottom, -1.0),
    )
    for axis, limit, sign in sides:
        kept: list[XY] = []
        for i, here in enumerate(points):
            before = points[i - 1]
            inside = sign * (here[axis] - limit) >= 0.0
            if inside != (sign * (before[axis] - limit) >= 0.0):
                t = (limit - before[axis]) / (here[axis] - before[axis])
                kept.append(_between(before, here, t))
            if inside:
                kept.append(here)
        points = tuple(kept)
    return points


def aside(points: tuple[XY, ...], offset: float) -> tuple[XY, ...]:
    """Return a line beside another, `offset` to the left as seen with y down.

    Corners are mitred; where that would reach further than three times the
    offset (a line that turns back), the corner is cut.
    """
    bare = [p for i, p in enumerate(points) if i == 0 or p != points[i - 1]]
    if len(bare) < 2:
        return points
    normals = [_normal(a, b) for a, b in pairwise(bare)]
    shifted: list[XY] = []
    for i, (x, y) in enumerate(bare):
        before = normals[max(i - 1, 0)]
        after = normals[min(i, len(normals) - 1)]
        mx, my = before[0] + after[0], before[1] + after[1]
        half = (mx * mx + my * my) / 2.0
        if half < 2.0 / 9.0:
            for nx, ny in (before, after):
                shifted.append((x + offset * nx, y + offset * ny))
        else:
            shifted.append((x + offset * mx / half, y + offset * my / half))
    return tuple(shifted)


def point_along(points: tuple[XY, ...], distance: float) -> tuple[XY, XY]:
    """Return the point at a distance along a line, and the direction there."""
    left = distance
    for here, there in pairwise(points):
        length = hypot(there[0] - here[0], there[1] - here[1])
        if length > 0.0 and left <= length:
            way = ((there[0] - here[0]) / length, (there[1] - here[1]) / length)
            return (here[0] + left * way[0], here[1] + left * way[1]), way
        left -= length
    return points[-1], (1.0, 0.0)


def length_of(points: tuple[XY, ...]) -> float:
    """Return the length of a line."""
    steps = pairwise(points)
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in steps)


def _normal(here: XY, there: XY) -> XY:
    dx, dy = there[0] - here[0], there[1] - here[1]
    length = hypot(dx, dy)
    return dy / length, -dx / length


def _between(a: XY, b: XY, t: float) -> XY:
    return a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])


def _clip_step(here: XY, there: XY, window: Box) -> tuple[XY, XY] | None:
    first, last = 0.0, 1.0
    dx, dy = there[0] - here[0], there[1] - here[1]
    for p, q in (
        (-dx, here[0] - window.left),
        (dx, window.right - here[0]),
        (-dy, here[1] - window.top),
        (dy, window.bottom - here[1]),
    ):
        if p == 0.0:
            if q < 0.0:
                return None
        elif p < 0.0:
            first = max(first, q / p)
        else:
            last = min(last, q / p)
    if first > last:
        return None
    start = here if first == 0.0 else _between(here, there, first)
    end = there if last == 1.0 else _between(here, there, last)
    return start, end
