"""What is saved is what is read, byte for byte, now and in later versions."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.layout.change import Change
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Bus, Drop, Gap, OnRun, Part, Strip, TrackRun
from core.layout.storage.read import read_layout
from core.layout.storage.text import dump_layout, parse_layout
from tests.core.layout.samples import BOOSTER, BUS, DROP, RUN, content, read
from tests.core.layout.strategies import layouts

SAMPLE = Path(__file__).parents[3] / "files" / "version1.fwl"

letters = st.characters(codec="utf-8")
values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(letters),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(letters, max_size=4), inner, max_size=3)
    ),
    max_leaves=8,
)
unknown_keys = st.dictionaries(
    st.from_regex("later_[a-z]{1,3}", fullmatch=True), values, max_size=3
)


@given(layouts(), unknown_keys, unknown_keys)
@settings(max_examples=120, suppress_health_check=[HealthCheck.too_slow])
def test_what_is_written_is_what_is_read(
    drawn: Layout, of_file: dict[str, object], of_part: dict[str, object]
) -> None:
    last = list(drawn.parts)[-1]
    extras = {k: v for k, v in (("", of_file), (last, of_part)) if v}
    layout = Layout(drawn.parts, drawn.issued, extras)
    text = dump_layout(layout)
    again, report = parse_layout(text, "x")
    assert report.is_clean
    assert content(again) == content(layout)
    assert dump_layout(again) == text


@given(layouts())
@settings(max_examples=30, suppress_health_check=[HealthCheck.too_slow])
def test_the_order_of_drawing_leaves_no_trace_in_the_file(layout: Layout) -> None:
    backwards = Layout(dict(reversed(list(layout.parts.items()))), layout.issued)
    assert dump_layout(backwards) == dump_layout(layout)


def test_one_more_part_is_one_more_line() -> None:
    layout, _ = read(RUN, BOOSTER, BUS, DROP)
    before = dump_layout(layout).decode().splitlines()
    gap = Gap(id=PartId("G1"), on=OnRun(run=PartId("R1"), position_m=1.0))
    layout.apply(Change("", {gap.id: None}, {gap.id: gap}))
    after = dump_layout(layout).decode().splitlines()
    new = [line for line in after if line not in before]
    # The line itself, and the count of gaps given so far in the head.
    assert [line[:14] for line in new] == ['"issued": {"B"', '{"kind": "gap"']


def test_numbers_read_the_same_whether_typed_whole_or_not() -> None:
    layout, _ = read(RUN)
    run = layout.need(PartId("R1"), TrackRun)
    whole = Layout({run.id: replace(run, x_mm=0, level_mm=0)})
    other = Layout({run.id: replace(run, x_mm=0.0, level_mm=0.0)})
    assert dump_layout(whole) == dump_layout(other)


def test_half_a_character_in_a_name_does_not_stop_the_saving() -> None:
    strip = Strip(id=PartId("TS1"), name="half \ud83d here", x_mm=0, y_mm=0)
    again, report = parse_layout(dump_layout(Layout({strip.id: strip})), "x")
    assert report.is_clean
    assert again.need(strip.id, Strip).name == "half \N{REPLACEMENT CHARACTER} here"


# The sample was written by hand; these figures are read off it.


def test_the_sample_of_version_1_is_read_whole() -> None:
    layout, report = read_layout(SAMPLE)
    assert report.fixed == ()
    assert len(report.unfixed) == 1
    assert "SG1" in report.unfixed[0]
    assert "'signal'" in report.unfixed[0]
    assert len(layout.parts) == 18
    assert layout.need(PartId("D4"), Drop).lead_m == 0.3
    assert layout.settings.limits.floor_v == 8.0


def test_the_sample_of_version_1_is_written_back_byte_for_byte() -> None:
    layout, _ = read_layout(SAMPLE)
    assert dump_layout(layout) == SAMPLE.read_bytes()


@pytest.mark.parametrize(
    ("part", "usual"),
    [
        ("R1", {"rail": "code100-ns", "piece_length_m": 0.914, "joint": "joiner-new"}),
        ("R1", {"level_mm": 0.0}),
        ("J1", {"joint": "joiner-new"}),
        ("T1", {"opens": "forward", "lead_m": 0.15, "leg_insulated": "none"}),
        ("T1", {"contact_a": None, "frog_wire": "0.5mm2-c5"}),
        ("G1", {"filled": False, "bridged": False, "note": ""}),
        ("PB1", {"rated_a": 5.0, "inner_ohm": 0.05, "trip_a": 5.0, "trip_s": 0.1}),
        ("PB1", {"sensing": "average", "reversed_phase": False, "common": "not said"}),
        ("AR1", {"rated_a": 4.0, "trip_s": 0.016, "series_ohm": 0.03, "drop_v": 0.0}),
        ("AR1", {"closed": True, "feed_flipped": False, "sensing": "average"}),
        ("B2", {"wire": "2.5mm2-c5", "lay": "twisted", "slack": 0.05, "extra_m": 0.0}),
        ("B2", {"spacing_mm": 100.0, "start_flipped": False, "end_flipped": False}),
        ("B2", {"start_label": "", "end_label": ""}),
        ("TS1", {"contact": "screw", "name": ""}),
        ("D14", {"wire": "0.5mm2-c5", "a_rail": "left", "rails": "both", "to": None}),
        ("D14", {"contact": "screw", "lead_m": None, "far_label": ""}),
        ("L1", {"amps_a": 0.5, "length_m": 0.0, "active": True}),
        ("BD1", {"aisle": "front"}),
        ("JS1", {"width_mm": 44.0}),
        ("backdrop", {"mm_per_px": 1.0, "opacity": 0.5, "x_mm": 0.0}),
        ("settings", {"revision": "A", "scale": "HO", "wires": "mm2", "paper": "a4"}),
        ("settings", {"test_train_a": 1.0, "temperature_c": 20.0, "spare": 0.1}),
        ("settings", {"thickness_mm": 40.0, "lead_slack_mm": 150.0}),
    ],
)
def test_what_version_1_leaves_out_means_what_it_meant(
    part: str, usual: dict[str, object]
) -> None:
    """A default that changes would silently change every file written so far."""
    layout, _ = read_layout(SAMPLE)
    read_part: Part = layout.parts[PartId(part)]
    assert {name: getattr(read_part, name) for name in usual} == usual


def test_unknown_keys_stay_with_their_part_when_it_is_changed() -> None:
    layout, _ = read_layout(SAMPLE)
    bus = layout.need(PartId("B1"), Bus)
    drop = layout.need(PartId("D14"), Drop)
    moved = replace(drop, on=OnRun(run=PartId("R1"), position_m=1.0))
    layout.apply(
        Change(
            "",
            {bus.id: bus, drop.id: drop},
            {bus.id: replace(bus, name="North"), drop.id: moved},
        )
    )
    text = dump_layout(layout).decode()
    assert '"name": "North"' in text
    assert '"colour_code": "odd"' in text
    assert '"on": {"run": "R1", "position_m": 1, "side": "near"}' in text


def test_unknown_keys_go_with_their_part() -> None:
    layout, _ = read_layout(SAMPLE)
    bus = layout.need(PartId("B2"), Bus)
    first = layout.need(PartId("B1"), Bus)
    layout.apply(
        Change(
            "",
            {bus.id: bus, first.id: first},
            {bus.id: replace(bus, start=None), first.id: None},
        )
    )
    assert b"colour_code" not in dump_layout(layout)


def test_an_unknown_key_inside_the_usual_is_written_with_the_usual() -> None:
    layout, report = read({"kind": "settings", "limits": {"ceiling_v": 19}})
    assert report.is_clean
    assert '"limits": {"ceiling_v": 19}' in dump_layout(layout).decode()


def test_an_unknown_key_that_cannot_be_kept_is_named() -> None:
    drop = {**DROP, "to": {**DROP["to"], "torque": 2}}
    _, report = read(RUN, BOOSTER, BUS, drop)
    assert len(report.unfixed) == 1
    assert "D1" in report.unfixed[0]
    assert "to.torque" in report.unfixed[0]
