"""What holds for every edit: it leaves a sound layout, and comes back whole."""

from math import hypot
from os import environ

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.cross import MEET_MM
from core.layout.edits.join import TOE_MM, do_meet, end_pose
from core.layout.layout import Layout
from core.layout.parts import Bus, Crossing, TrackJoint, Turnout, Turntable
from core.layout.queries import anchor, place_xy
from core.layout.storage.text import dump_layout, parse_layout
from core.layout.turntables import bridge_middle, faces_pit
from core.network.build import build_circuit
from tests.core.layout.edits.any_edit import EDITS, Build, any_edit
from tests.core.layout.strategies import layouts

THOROUGH = 1 if "CI" in environ else 4
"""CI takes the short form: a quarter of the examples, the same in every run."""

PATIENT = settings(
    max_examples=15 * THOROUGH,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def built(build: Build) -> Change | None:
    """Return the change, or None where the edit is refused with a sentence."""
    try:
        return build()
    except EditError as error:
        refusal = error
    assert str(refusal).endswith(".")
    return None


@pytest.mark.parametrize("name", EDITS)
@given(layouts(), st.data())
@PATIENT
def test_an_edit_taken_back_leaves_no_trace(
    name: str, layout: Layout, data: st.DataObject
) -> None:
    build = data.draw(any_edit(layout, among=(name,)))
    before, issued = dict(layout.parts), dict(layout.issued)
    change = built(build)
    assert dict(layout.parts) == before, "a builder only reads"
    assert dict(layout.issued) == issued
    assume(change is not None)
    assert change is not None
    assert change.label
    layout.apply(change)
    assert change.is_empty == (dict(layout.parts) == before)
    layout.apply(change.inverse())
    assert dict(layout.parts) == before


@given(layouts(), st.data())
@settings(PATIENT, max_examples=60 * THOROUGH)
def test_edits_one_after_the_other_leave_a_sound_layout(
    layout: Layout, data: st.DataObject
) -> None:
    start = dict(layout.parts)
    done: list[Change] = []
    for _ in range(data.draw(st.integers(1, 5))):
        change = built(data.draw(any_edit(layout)))
        if change is not None:
            layout.apply(change)
            done.append(change)
            assert_sound(layout)
    for change in reversed(done):
        layout.apply(change.inverse())
    assert dict(layout.parts) == start


def assert_sound(layout: Layout) -> None:
    """Check what the builders promise of the layout as a whole."""
    again, report = parse_layout(dump_layout(layout), "x")
    assert report.is_clean, report
    assert dict(again.parts) == dict(layout.parts)
    for joint in layout.of_kind(TrackJoint):
        assert do_meet(layout, joint.a, joint.b), joint
    for turnout in layout.of_kind(Turnout):
        toe, leg = place_xy(layout, turnout.on), end_pose(layout, turnout.leg)
        assert toe is not None
        apart = hypot(toe[0] - leg.x_mm, toe[1] - leg.y_mm)
        assert apart <= TOE_MM, turnout
    for table in layout.of_kind(Turntable):
        middle = bridge_middle(layout, table)
        assert middle is not None
        off = hypot(middle.x_mm - table.x_mm, middle.y_mm - table.y_mm)
        assert off <= (1e-3 if table.form == "turntable" else table.travel_mm)
        assert all(faces_pit(layout, table, stall) for stall in table.stalls)
    for crossing in layout.of_kind(Crossing):
        here, there = place_xy(layout, crossing.a), place_xy(layout, crossing.b)
        assert here is not None
        assert there is not None
        apart = hypot(here[0] - there[0], here[1] - there[1])
        assert apart <= MEET_MM, crossing
    for bus in layout.of_kind(Bus):
        assert_ends_lie_where_attached(layout, bus)
    build_circuit(layout)


def assert_ends_lie_where_attached(layout: Layout, bus: Bus) -> None:
    for point, to in ((bus.points[0], bus.start), (bus.points[-1], bus.end)):
        place = anchor(layout, to) if to is not None else None
        if place is not None:
            apart = hypot(point.x_mm - place[0], point.y_mm - place[1])
            assert apart < 1e-3, (bus, to)
