"""A circuit built with what is remembered of the last one is the same as a new one."""

from os import environ
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import EditError
from core.layout.change import Change
from core.layout.edits.add import add_drop
from core.layout.edits.remove import remove_parts
from core.layout.edits.set import set_fields, set_settings
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Bus,
    Crossing,
    Drop,
    Inline,
    MeasuredRail,
    OnRun,
    Opening,
    Part,
    Strip,
    TrackRun,
    Turnout,
)
from core.layout.storage.read import read_layout
from core.network.build import build_circuit
from core.network.circuit import Branch, Circuit
from core.network.memory import PartMemory
from core.network.power import Power
from tests.core.layout.edits.any_edit import any_edit
from tests.core.layout.strategies import layouts
from tests.core.network.test_openings import over

SAMPLES = sorted(
    (Path(__file__).parents[3] / "sample_layouts").glob("*.fwl"), key=lambda p: p.name
)
EXAMPLES = 60 if "CI" in environ else 240


def assert_same(layout: Layout, memory: PartMemory) -> None:
    copy = layout.copy()
    assert build_circuit(copy, memory=memory) == build_circuit(copy)


def test_plugs_come_and_go_with_what_the_opening_says() -> None:
    layout, memory = over("whole"), PartMemory()
    assert_same(layout, memory)
    for buses in ("plugs", "clear", "plugs"):
        layout.apply(set_fields(layout, frozenset({PartId("LO1")}), buses=buses))
        assert_same(layout, memory)
    opened = frozenset({PartId("LO1")})
    again = build_circuit(layout, opened=opened, memory=memory)
    assert again == build_circuit(layout, opened=opened)


def test_a_rail_that_is_measured_is_laid_anew() -> None:
    layout, memory = over("whole"), PartMemory()
    assert_same(layout, memory)
    rail = next(layout.of_kind(TrackRun)).rail
    own = MeasuredRail(rail=rail, amps_a=1.0, length_m=1.0, volts_v=0.5)
    for measured in ((own,), ()):
        layout.apply(set_settings(layout, measured=measured))
        assert_same(layout, memory)


@given(layouts(), st.data())
@settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
def test_any_edits_leave_the_circuit_of_a_fresh_build(
    layout: Layout, data: st.DataObject
) -> None:
    memory = PartMemory()
    assert_same(layout, memory)
    done: list[Change] = []
    for _ in range(data.draw(st.integers(1, 6))):
        try:
            change = data.draw(any_edit(layout))()
        except EditError:
            continue
        layout.apply(change)
        done.append(change)
        assert_same(layout, memory)
    for change in reversed(done):
        layout.apply(change.inverse())
        assert_same(layout, memory)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_each_part_of_a_sample_may_go_and_come_back(path: Path) -> None:
    layout, memory = read_layout(path)[0], PartMemory()
    for part_id in [p for p in layout.parts if p != "settings"][::7]:
        try:
            change = remove_parts(layout, frozenset({part_id}))
        except EditError:
            continue
        layout.apply(change)
        assert_same(layout, memory)
        layout.apply(change.inverse())
        assert_same(layout, memory)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_what_is_set_in_a_sample_is_seen(path: Path) -> None:
    layout, memory = read_layout(path)[0], PartMemory()
    assert_same(layout, memory)
    wanted: tuple[tuple[type[Part], dict[str, object]], ...] = (
        (TrackRun, {"joint": "soldered"}),
        (Bus, {"wire": "4mm2-c5"}),
        (Bus, {"slack": 0.2}),
        (Drop, {"wire": "1mm2-c5"}),
        (Drop, {"a_rail": "right"}),
        (Drop, {"lead_m": 0.7}),
        (Strip, {"flipped": True}),
        (Inline, {"closed": False}),
    )
    for kind, fields in wanted:
        ids = [i for i, part in layout.parts.items() if isinstance(part, kind)]
        for part_id in ids[:3]:
            layout.apply(set_fields(layout, frozenset({part_id}), **fields))
            assert_same(layout, memory)
    for setting in ({"temperature_c": 45.0}, {"lead_slack_mm": 300.0}):
        layout.apply(set_settings(layout, **setting))
        assert_same(layout, memory)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_turnouts_loads_and_gates_are_seen(path: Path) -> None:
    layout, memory = read_layout(path)[0], PartMemory()
    thrown = frozenset(
        i for i, part in layout.parts.items() if isinstance(part, Turnout | Crossing)
    )
    opened = frozenset(part.id for part in layout.of_kind(Opening))
    nothing: frozenset[PartId] = frozenset()
    for loads, cast, out in (
        (True, nothing, nothing),
        (True, thrown, nothing),
        (False, nothing, opened),
        (True, thrown, opened),
        (True, nothing, nothing),
    ):
        kept = build_circuit(
            layout, loads=loads, thrown=cast, opened=out, memory=memory
        )
        assert kept == build_circuit(layout, loads=loads, thrown=cast, opened=out)


def test_only_what_changed_is_made_anew() -> None:
    layout, memory = read_layout(SAMPLES[0])[0], PartMemory()
    before = build_circuit(layout, memory=memory)
    bus = next(layout.of_kind(Bus))
    layout.apply(set_fields(layout, frozenset({bus.id}), wire="4mm2-c5"))
    after = build_circuit(layout, memory=memory)
    made = {b.part for b in _new(before, after)}
    assert bus.id in made
    tied = {d.id for d in layout.of_kind(Drop) if d.to and d.to.part == bus.id}
    links = {link.part for link in after.links if link.where != "drop"}
    joints = {b.part for b in after.branches if b.kind == "joint"}
    assert made <= {bus.id} | tied | links | joints
    assert not made & {run.id for run in layout.of_kind(TrackRun)}


def _new(before: Circuit, after: Circuit) -> list[Branch]:
    known = {id(branch) for branch in before.branches}
    return [b for b in after.branches if id(b) not in known]


def test_a_build_that_fails_leaves_the_memory_whole(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    layout, memory = read_layout(SAMPLES[0])[0], PartMemory()
    build_circuit(layout, memory=memory)
    known = dict(memory.lumps)
    with monkeypatch.context() as patch:
        patch.setattr(Power, "link_drops", _fail)
        with pytest.raises(ZeroDivisionError):
            build_circuit(layout, memory=memory)
    assert memory.lumps == known
    assert_same(layout, memory)


def _fail(*_: object) -> None:
    raise ZeroDivisionError


def test_numbers_move_on_where_something_comes_before() -> None:
    layout, memory = read_layout(SAMPLES[0])[0], PartMemory()
    assert_same(layout, memory)
    like = next(d for d in layout.of_kind(Drop) if d.to is not None)
    first = next(layout.of_kind(TrackRun))
    place = OnRun(run=first.id, position_m=0.123)
    layout.apply(add_drop(layout, place, to=like.to))
    assert_same(layout, memory)
