"""Gaps, drops and wires proposed: against the examples of needs.md and by hand."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from core.analysis.examine import study_layout
from core.layout.edits.add import add_drop
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Bus,
    Drop,
    Load,
    OnRun,
    Part,
    Side,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackRun,
)
from core.layout.storage.read import read_layout
from core.materials.rails import rail
from core.network.reversing import find_reversing
from core.proposals.gaps import cut_path, drops_inside, plan_cut
from core.proposals.spacing import (
    bare_pieces,
    drop_spacing_m,
    fill_drops,
    nearest_feed,
    stub_length_m,
)
from core.proposals.wires import sizes_to_try, thickness_hardly_helps, try_wires
from tests.core.analysis.layouts import (
    booster,
    drop,
    layout_of,
    small_line,
    straight,
    train,
)
from tests.core.network.track import balloon, end, on, run, turnout

SAMPLES = Path(__file__).parents[3] / "sample_layouts"


@pytest.mark.parametrize(
    ("name", "metres"),
    [
        ("code100-ns", 2.6),
        ("code83-ns", 1.85),
        ("code70-ns", 0.97),
        ("code55-ns", 0.67),
    ],
)
def test_n15_spacing_of_drops(name: str, metres: float) -> None:
    # needs.md N15: 0.2 V at 2 A, a load midway, both rails; printed to two digits.
    # By hand for code 100: 2·0.2/(2·0.076) = 2.63 m.
    assert drop_spacing_m(rail(name), 0.2, 2.0) == pytest.approx(metres, rel=0.015)


def test_n15_a_dead_end_may_be_a_quarter_of_that() -> None:
    spacing = drop_spacing_m(rail("code83-ns"), 0.2, 2.0)
    assert stub_length_m(rail("code83-ns"), 0.2, 2.0) == pytest.approx(spacing / 4.0)


def test_n40_a_loop_gets_a_section_for_its_longest_train() -> None:
    # needs.md N40: loop of 4.6 m, longest train 3.8 m: a section of 3.9 to 4.4 m.
    train_of = Load(id=PartId("L1"), on=on(1, 0.5), amps_a=0.5, length_m=3.8)
    layout = layout_of(run(1, 6.6), turnout(1, on(1, 2.0), end(1, "end")), train_of)
    (path,) = find_reversing(layout)
    plan = plan_cut(layout, path)
    assert 3.9 <= plan.length_m <= 4.4
    assert plan.long_enough


def test_a_loop_shorter_than_its_train_is_told() -> None:
    train_of = Load(id=PartId("L1"), on=on(1, 0.5), amps_a=0.5, length_m=3.8)
    layout = balloon(train_of)
    (path,) = find_reversing(layout)
    assert not plan_cut(layout, path).long_enough


def test_the_cut_is_one_step_and_leaves_no_way_without_gaps() -> None:
    layout = balloon()
    (path,) = find_reversing(layout)
    layout.apply(cut_path(layout, plan_cut(layout, path)))
    (cut,) = find_reversing(layout)
    assert len(cut.gaps) == 2


def test_gaps_keep_clear_of_the_blades() -> None:
    # needs.md N40: turnout heel + 0.15 m, on both its ways. The toe is at 2.0 m and
    # where the leg ends, at 5.0 m; with a lead of 0.15 m the heels are at 2.15 and
    # 4.85 m, the gaps at 2.30 and 4.70 m.
    layout = balloon()
    (path,) = find_reversing(layout)
    plan = plan_cut(layout, path)
    assert plan.first.position_m == pytest.approx(2.3)
    assert plan.second.position_m == pytest.approx(4.7)


def test_drops_inside_the_section_are_named_for_the_reverser() -> None:
    inside = replace(drop(1, 3.0), to=None)
    outside = replace(drop(2, 1.0), to=None)
    layout = balloon(inside, outside)
    (path,) = find_reversing(layout)
    assert drops_inside(layout, plan_cut(layout, path)) == ("D1",)


def test_every_bare_piece_gets_one_drop_in_its_middle() -> None:
    # 4.0 m in pieces of 0.914 m: joints at 0.914, 1.828, 2.742, 3.656; drops at
    # 0.5, 2.0 and 3.5 leave the second and the last piece bare.
    layout = small_line()
    main = layout.need(PartId("R1"), TrackRun)
    bare = [edge for piece in bare_pieces(layout, main) for edge in piece]
    assert bare == pytest.approx([0.914, 1.828, 3.656, 4.0])
    layout.apply(fill_drops(layout))
    assert bare_pieces(layout, main) == ()
    new = [d for d in layout.of_kind(Drop) if d.id in ("D4", "D5")]
    assert [d.on.position_m for d in new] == pytest.approx([1.371, 3.828])
    assert all(isinstance(d.to, ToBus) for d in new)


def test_a_drop_hangs_on_what_is_nearest_and_has_a_free_way() -> None:
    # Round (2.0 m, −0.1 m): a strip with one way 50 mm off, one with eight 100 mm
    # off, and the bus 400 mm off.
    near = Strip(id=PartId("TS1"), x_mm=2050.0, y_mm=-100.0, ways=1)
    far = Strip(id=PartId("TS2"), x_mm=2100.0, y_mm=-100.0, ways=8)
    layout = Layout({**small_line().parts, near.id: near, far.id: far})
    first = nearest_feed(layout, 2000.0, -100.0)
    layout.apply(add_drop(layout, OnRun(run=PartId("R1"), position_m=1.0), to=first))
    second = nearest_feed(layout, 2000.0, -100.0)
    assert first == ToStrip(part=near.id, way=1)
    assert second == ToStrip(part=far.id, way=1)


def test_filling_ends_when_it_is_not_wanted_any_more() -> None:
    asked = iter([True, False, False])
    change = fill_drops(small_line(), go_on=lambda: next(asked))
    assert len(change.after) == 1


def test_new_drops_never_short_what_was_sound() -> None:
    layout = small_line()
    layout.apply(fill_drops(layout))
    assert study_layout(layout).shorts == ()


def test_thicker_wire_never_loses_more() -> None:
    layout = small_line(train(1, 3.9, 3.0), length_m=20.0, drops=(19.0,))
    trials = list(try_wires(layout, frozenset({PartId("B1")})))
    volts = [t.volts_v for t in trials if t.volts_v is not None]
    assert len(volts) == len(trials) > 4
    assert volts == sorted(volts)
    assert [t.wire.id for t in trials if t.is_present] == [
        layout.need(PartId("B1"), Bus).wire
    ]


def test_n16_the_loss_of_a_bus_end_fed_and_its_metres() -> None:
    # 20 m one way with 5 % slack: 21 m, two conductors: 42 m to buy.
    layout = small_line(length_m=20.0, drops=(19.0,))
    trial = next(try_wires(layout, frozenset({PartId("B1")})))
    assert trial.metres == pytest.approx(42.0)


def test_a_series_of_trials_can_be_stopped() -> None:
    layout = small_line()
    asked = iter([True, True, False])
    trials = list(
        try_wires(layout, frozenset({PartId("B1")}), go_on=lambda: next(asked))
    )
    assert len(trials) == 2


def test_one_trial_is_made_of_each_size() -> None:
    layout = small_line()
    trials = try_wires(layout, frozenset({PartId("B1")}))
    assert [t.wire for t in trials] == list(sizes_to_try(layout))


def test_sizes_are_judged_by_the_track_that_is_not_shorted() -> None:
    # Another booster, shorted by a drop on its own track, has no wire in common.
    sound = small_line(length_m=20.0, drops=(19.0,))
    sides: tuple[tuple[int, float, Side], ...] = (
        (91, 0.5, "left"),
        (92, 1.5, "right"),
    )
    apart: list[Part] = [
        straight(2.0, run="R9", y_mm=900.0),
        replace(booster(), id=PartId("PB9")),
        *(
            Drop(
                id=PartId(f"D{n}"),
                on=OnRun(run=PartId("R9"), position_m=at_m),
                to=ToPort(part=PartId("PB9")),
                a_rail=a_rail,
            )
            for n, at_m, a_rail in sides
        ),
    ]
    both = Layout({**sound.parts, **{part.id: part for part in apart}})
    found, wanted = (
        [(t.volts_v, t.margin) for t in try_wires(layout, frozenset({PartId("B1")}))]
        for layout in (both, sound)
    )
    assert [f[0] for f in found] == pytest.approx([w[0] for w in wanted])
    assert [f[1] for f in found] == pytest.approx([w[1] for w in wanted])


def test_thicker_wire_hardly_helps_a_short_over_a_loose_bus() -> None:
    # 40 m end-fed. Of a pair 100 mm apart the inductance, about 2 µH/m, hardly
    # depends on the wire; at the signal's 5 to 8 kHz it is several times the
    # resistance. A twisted pair has a third of it, so there thickness counts.
    layout, _ = read_layout(SAMPLES / "wulfenmoor-regional-end-fed.fwl")
    buses = frozenset(bus.id for bus in layout.of_kind(Bus))
    helped = [
        thickness_hardly_helps(list(try_wires(layout, buses, lay=lay)))
        for lay in ("apart", "twisted")
    ]
    assert helped == [True, False]
