"""Labels keep off each other and off what must be read."""

from core.sheet.drawing.inkmap import InkMap, Words
from core.sheet.frame import Box
from core.sheet.marks import Line, Mark, Shape, Text
from core.sheet.typeface import Typeface

WINDOW = Box(10.0, 20.0, 110.0, 100.0)
FACE = Typeface()


def place(ink: InkMap, x: float, y: float, text: str) -> tuple[Mark, ...]:
    return ink.place((x, y), (Words(text, 10.0),), 2.0)


def ground(marks: tuple[Mark, ...]) -> Box:
    (shape,) = (mark for mark in marks if isinstance(mark, Shape))
    xs, ys = [p[0] for p in shape.points], [p[1] for p in shape.points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def meet(a: Box, b: Box) -> bool:
    apart = a.right <= b.left or b.right <= a.left
    return not (apart or a.bottom <= b.top or b.bottom <= a.top)


def test_labels_do_not_hide_each_other() -> None:
    ink = InkMap(WINDOW, FACE)
    grounds = [ground(place(ink, 60.0 + n, 60.0, f"D{n}")) for n in range(8)]
    for i, one in enumerate(grounds):
        assert not any(meet(one, other) for other in grounds[i + 1 :])


def test_a_label_at_the_edge_stays_inside() -> None:
    area = ground(place(InkMap(WINDOW, FACE), 109.0, 99.0, "Overhead crossing"))
    assert area.right <= WINDOW.right
    assert area.bottom <= WINDOW.bottom


def test_a_label_keeps_off_what_must_stay_readable() -> None:
    ink = InkMap(WINDOW, FACE)
    symbol = Box(61.0, 50.0, 75.0, 70.0)
    ink.mark_box(symbol)
    assert not meet(ground(place(ink, 60.0, 60.0, "D1")), symbol)


def test_a_label_prefers_not_to_lie_on_a_line() -> None:
    ink = InkMap(WINDOW, FACE)
    ink.mark_line(((60.0, 20.0), (60.0, 100.0)), 3.0)
    area = ground(place(ink, 60.0, 60.0, "D1"))
    assert area.left > 60.0 or area.right < 60.0


def test_a_label_that_moved_away_has_a_pointer() -> None:
    ink = InkMap(WINDOW, FACE)
    ink.mark_box(Box(50.0, 50.0, 70.0, 70.0))
    marks = place(ink, 60.0, 60.0, "D1")
    (pointer,) = (mark for mark in marks if isinstance(mark, Line))
    assert pointer.dash
    area = ground(marks)
    x, y = pointer.points[1]
    assert area.left <= x <= area.right
    assert area.top <= y <= area.bottom


def test_a_label_close_by_has_none() -> None:
    marks = place(InkMap(WINDOW, FACE), 60.0, 60.0, "D1")
    assert not any(isinstance(mark, Line) for mark in marks)


def test_where_nothing_fits_the_label_is_still_there() -> None:
    tight = Box(0.0, 0.0, 6.0, 4.0)
    marks = InkMap(tight, FACE).place((3.0, 2.0), (Words("Overhead crossing"),))
    assert [m.text for m in marks if isinstance(m, Text)] == ["Overhead crossing"]
