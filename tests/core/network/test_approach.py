"""Track before an edge, against a walk of small steps written only here."""

from collections import deque
from collections.abc import Iterator

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import OnRun, RunEnd, TrackJoint, TrackRun, Turnout
from core.network.approach import find_approach
from tests.core.network.track import (
    balloon,
    end,
    joint,
    layout_of,
    on,
    run,
    turnout,
    wye,
)

Cell = tuple[str, int, int]
"""A run, the number of a cell of 0.1 m on it, and which way it is walked."""


def naive(layout: Layout, place: OnRun, facing: int, most_m: float) -> dict[Cell, int]:
    """Return the fewest cells walked to each cell, breadth first, cell by cell.

    All lengths here are whole tenths of a metre.
    """
    cells = {r.id: round(run_path(r).length_m * 10) for r in layout.of_kind(TrackRun)}
    entry = _from(layout, cells, (place.run, round(place.position_m * 10), facing))
    found: dict[Cell, int] = {}
    queue = deque((cell, 0) for cell in entry)
    while queue:
        cell, gone = queue.popleft()
        if cell in found or gone >= round(most_m * 10):
            continue
        found[cell] = gone
        name, number, way = cell
        boundary = number + 1 if way > 0 else number
        for other in _from(layout, cells, (name, boundary, way)):
            queue.append((other, gone + 1))
    return found


def _from(layout: Layout, cells: dict[PartId, int], start: Cell) -> Iterator[Cell]:
    """Yield the first cells beyond a boundary between cells, and over its links."""
    seen: set[Cell] = set()
    queue = [start]
    while queue:
        at = queue.pop()
        if at in seen:
            continue
        seen.add(at)
        name, boundary, way = at
        number = boundary if way > 0 else boundary - 1
        if 0 <= number < cells[PartId(name)]:
            yield name, number, way
        queue += _over(layout, cells, at)


def _over(layout: Layout, cells: dict[PartId, int], at: Cell) -> Iterator[Cell]:
    """Yield the boundaries that lie over a joint or turnout from one."""
    name, boundary, way = at
    which = "end" if way > 0 else "start"
    is_end = boundary == (cells[PartId(name)] if way > 0 else 0)
    for part in layout.parts.values():
        if isinstance(part, TrackJoint) and is_end:
            for here, there in ((part.a, part.b), (part.b, part.a)):
                if (here.run, here.end) == (name, which):
                    yield _into(cells, there)
        elif isinstance(part, Turnout):
            opens = 1 if part.opens == "forward" else -1
            toe = round(part.on.position_m * 10)
            if (part.on.run, toe, opens) == at:
                yield _into(cells, part.leg)
            if is_end and (part.leg.run, part.leg.end) == (name, which):
                yield part.on.run, toe, -opens


def _into(cells: dict[PartId, int], there: RunEnd) -> Cell:
    return (
        (there.run, 0, 1)
        if there.end == "start"
        else (
            there.run,
            cells[there.run],
            -1,
        )
    )


def walked(layout: Layout, place: OnRun, facing: int, most_m: float) -> dict[Cell, int]:
    """Return the same from the function under test."""
    found: dict[Cell, int] = {}
    for reach in find_approach(layout, place, facing, most_m):
        way = 1 if reach.far_m > reach.near_m else -1
        count = round(abs(reach.far_m - reach.near_m) * 10)
        near = round(reach.near_m * 10)
        for i in range(count):
            cell = (reach.run, near + i if way > 0 else near - 1 - i, way)
            gone = round(reach.gone_m * 10) + i
            found[cell] = min(gone, found.get(cell, gone))
    return found


def test_a_plain_track_is_walked_up_to_the_limit() -> None:
    (reach,) = find_approach(layout_of(run(1, 4.0)), on(1, 1.5), -1, 0.9)
    assert (reach.low_m, reach.high_m, reach.gone_m) == (0.6, 1.5, 0.0)
    assert abs(reach.gone_at(0.8) - 0.7) < 1e-9


def test_from_a_way_to_the_toe_but_not_back_along_the_other_way() -> None:
    # R2 leaves R1 at 1.0 m towards its end. Up R2 towards the toe: on down to 0.
    layout = layout_of(
        run(1, 4.0), run(2, 1.0), turnout(1, on(1, 1.0), end(2, "start"))
    )
    found = find_approach(layout, on(2, 0.3), -1, 0.9)
    assert [(r.run, round(r.low_m, 6), round(r.high_m, 6)) for r in found] == [
        ("R2", 0.0, 0.3),
        ("R1", 0.4, 1.0),
    ]


def test_from_the_toe_to_both_ways() -> None:
    layout = layout_of(
        run(1, 4.0), run(2, 1.0), turnout(1, on(1, 1.0), end(2, "start"))
    )
    found = find_approach(layout, on(1, 0.7), 1, 0.9)
    assert {(r.run, round(r.low_m, 6), round(r.high_m, 6)) for r in found} == {
        ("R1", 0.7, 1.6),
        ("R2", 0.0, 0.6),
    }


def test_runs_drawn_against_each_other_are_walked_on() -> None:
    layout = layout_of(run(1, 0.5), run(2, 2.0), joint(1, end(1, "end"), end(2, "end")))
    found = find_approach(layout, on(1, 0.2), 1, 0.9)
    assert [(r.run, round(r.near_m, 6), round(r.far_m, 6)) for r in found] == [
        ("R1", 0.2, 0.5),
        ("R2", 2.0, 1.4),
    ]


@st.composite
def tangles(draw: DrawFn) -> Layout:
    """Runs of whole tens of centimetres, joined and branched at random."""
    count = draw(st.integers(1, 4))
    runs = [run(i + 1, draw(st.integers(1, 9)) / 10) for i in range(count)]
    ends = [end(i + 1, which) for i in range(count) for which in ("start", "end")]
    ends = list(draw(st.permutations(ends)))
    parts: list[TrackJoint | Turnout] = []
    for number in range(1, draw(st.integers(0, len(ends))) + 1):
        if not ends:
            break
        plain = draw(st.booleans())
        if len(ends) > 1 and plain:
            parts.append(joint(number, ends.pop(), ends.pop()))
        else:
            leg = ends.pop()
            through = draw(st.sampled_from(runs))
            most = round(run_path(through).length_m * 10)
            toe = OnRun(run=through.id, position_m=draw(st.integers(0, most)) / 10)
            backward = draw(st.booleans())
            parts.append(turnout(number, toe, leg, backward=backward))
    return layout_of(*runs, *parts)


@given(tangles() | st.sampled_from([balloon(), wye()]), st.data())
@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
def test_every_cell_is_reached_as_far_as_by_the_naive_walk(
    layout: Layout, data: st.DataObject
) -> None:
    runs = list(layout.of_kind(TrackRun))
    start = data.draw(st.sampled_from(runs))
    most = round(run_path(start).length_m * 10)
    place = OnRun(run=start.id, position_m=data.draw(st.integers(0, most)) / 10)
    facing = data.draw(st.sampled_from([1, -1]))
    length = data.draw(st.integers(1, 15)) / 10
    assert walked(layout, place, facing, length) == naive(layout, place, facing, length)
