"""What a file says wrongly is mended, and each mending is told in a sentence."""

import json
from typing import Any

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Bus,
    Crossing,
    Drop,
    Gap,
    Inline,
    Load,
    OnRun,
    RunEnd,
    Settings,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.storage.report import LoadReport
from core.layout.storage.text import dump_layout
from tests.core.layout.samples import BOOSTER, BUS, DROP, RUN, STRIP, read

D1, B1, R1 = PartId("D1"), PartId("B1"), PartId("R1")


def fixed_one(report: LoadReport, *words: str) -> None:
    """Check that one thing was mended, in a sentence with these words in it."""
    assert report.outcome == "mended"
    assert len(report.fixed) == 1, report.fixed
    for word in words:
        assert word in report.fixed[0]
    assert report.fixed[0].endswith(".")


def test_a_sound_file_has_a_clean_report() -> None:
    _, report = read(RUN, BOOSTER, BUS, DROP, STRIP)
    assert report == LoadReport()
    assert report.outcome == "clean"
    assert report.is_clean


# Places on runs ---------------------------------------------------------------

SITTING: list[dict[str, Any]] = [
    {"kind": "drop", "id": "D1"},
    {"kind": "gap", "id": "G1"},
    {"kind": "load", "id": "L1"},
]


@pytest.mark.parametrize("line", SITTING, ids=lambda line: line["kind"])
def test_what_sits_on_a_missing_run_is_left_out(line: dict[str, Any]) -> None:
    layout, report = read(RUN, {**line, "on": {"run": "R9", "position_m": 0.5}})
    assert line["id"] not in layout.parts
    fixed_one(report, line["id"], "'R9'", "not there", "left out")


@pytest.mark.parametrize("line", SITTING, ids=lambda line: line["kind"])
def test_what_is_beyond_a_runs_end_comes_to_the_end(line: dict[str, Any]) -> None:
    layout, report = read(RUN, {**line, "on": {"run": "R1", "position_m": 2.5}})
    part = layout.parts[line["id"]]
    assert isinstance(part, Drop | Gap | Load)
    assert part.on.position_m == 2.0  # RUN is one straight of 2000 mm
    fixed_one(report, line["id"], "2.5 m", "R1", "2 m")


def test_a_hair_beyond_the_end_is_no_fault() -> None:
    line = {**DROP, "on": {"run": "R1", "position_m": 2.0000005}}
    layout, report = read(RUN, BOOSTER, BUS, line)
    assert report.is_clean
    assert layout.need(D1, Drop).on.position_m == 2.0000005


def test_a_run_that_is_no_run_is_not_there() -> None:
    _, report = read(
        BOOSTER, {**DROP, "to": None, "on": {"run": "PB1", "position_m": 0}}
    )
    fixed_one(report, "D1", "'PB1'", "not there")


# Joints and turnouts ------------------------------------------------------------


def joint(name: str, a: tuple[str, str], b: tuple[str, str]) -> dict[str, Any]:
    ends = {k: {"run": run, "end": end} for k, (run, end) in (("a", a), ("b", b))}
    return {"kind": "joint", "id": name, **ends}


def turnout(on: str, leg: tuple[str, str], position_m: float = 1.0) -> dict[str, Any]:
    return {
        "kind": "turnout",
        "id": "T1",
        "on": {"run": on, "position_m": position_m},
        "leg": {"run": leg[0], "end": leg[1]},
    }


def test_a_run_joined_to_itself_is_a_closed_oval_and_sound() -> None:
    layout, report = read(RUN, joint("J1", ("R1", "end"), ("R1", "start")))
    assert report.is_clean
    assert any(layout.of_kind(TrackJoint))


@pytest.mark.parametrize("end", ["a", "b"])
def test_a_joint_with_a_missing_run_is_left_out(end: str) -> None:
    line = joint("J1", ("R1", "end"), ("R1", "start"))
    layout, report = read(RUN, {**line, end: {"run": "R7", "end": "start"}})
    assert not any(layout.of_kind(TrackJoint))
    fixed_one(report, "J1", "'R7'", "left out")


def test_an_end_joined_to_itself_is_left_out() -> None:
    layout, report = read(RUN, joint("J1", ("R1", "end"), ("R1", "end")))
    assert not any(layout.of_kind(TrackJoint))
    fixed_one(report, "J1", "the end of R1")


def test_an_end_is_joined_once() -> None:
    r2, r3 = {**RUN, "id": "R2"}, {**RUN, "id": "R3"}
    layout, report = read(
        RUN,
        r2,
        r3,
        joint("J1", ("R1", "end"), ("R2", "start")),
        joint("J2", ("R3", "start"), ("R1", "end")),
    )
    assert [j.id for j in layout.of_kind(TrackJoint)] == ["J1"]
    fixed_one(report, "J2", "the end of R1", "J1")


def test_a_leg_that_is_joined_already_makes_no_turnout() -> None:
    layout, report = read(
        RUN,
        {**RUN, "id": "R2"},
        {**RUN, "id": "R3"},
        joint("J1", ("R2", "start"), ("R3", "start")),
        turnout("R1", ("R2", "start")),
    )
    assert not any(layout.of_kind(Turnout))
    fixed_one(report, "T1", "the start of R2", "J1")


@pytest.mark.parametrize(("on", "leg"), [("R9", "R1"), ("R1", "R9")])
def test_a_turnout_with_a_missing_run_is_left_out(on: str, leg: str) -> None:
    layout, report = read(RUN, turnout(on, (leg, "start")))
    assert not any(layout.of_kind(Turnout))
    fixed_one(report, "T1", "'R9'")


def test_a_toe_beyond_the_end_comes_to_the_end() -> None:
    layout, report = read(RUN, {**RUN, "id": "R2"}, turnout("R1", ("R2", "start"), 3.0))
    assert layout.need(PartId("T1"), Turnout).on.position_m == 2.0
    fixed_one(report, "T1", "3 m")


TABLE = {
    "kind": "turntable",
    "id": "TT1",
    "x_mm": 0,
    "y_mm": 0,
    "across_mm": 300,
    "bridge": "R1",
}


def test_a_turntable_without_its_bridge_is_left_out() -> None:
    layout, report = read({**TABLE, "bridge": "R9"}, RUN)
    assert not any(layout.of_kind(Turntable))
    fixed_one(report, "TT1", "'R9'")


def test_a_stall_that_is_not_there_or_taken_is_left_out() -> None:
    r2, r3 = {**RUN, "id": "R2"}, {**RUN, "id": "R3"}
    ends = [("R9", "start"), ("R2", "end"), ("R3", "start")]
    stalls = [{"run": run, "end": end} for run, end in ends]
    joined = joint("J1", ("R2", "end"), ("R3", "end"))
    layout, report = read(RUN, r2, r3, joined, {**TABLE, "stalls": stalls})
    assert [end.run for end in layout.need(PartId("TT1"), Turntable).stalls] == ["R3"]
    assert len(report.fixed) == 2


def test_a_run_that_gets_a_new_name_keeps_its_turntable() -> None:
    # "R 1" will not do as an id; whatever names it goes on meaning it.
    stall = {**RUN, "id": "R 2"}
    layout, _ = read(
        {**RUN, "id": "R 1"},
        stall,
        {**TABLE, "bridge": "R 1", "stalls": [{"run": "R 2", "end": "start"}]},
    )
    table = layout.need(PartId("TT1"), Turntable)
    assert layout.get(table.bridge, TrackRun) is not None
    assert [layout.get(end.run, TrackRun) is not None for end in table.stalls] == [True]


# Crossings ------------------------------------------------------------------------

CROSSING: dict[str, Any] = {
    "kind": "crossing",
    "id": "X1",
    "a": {"run": "R1", "position_m": 1.0},
    "b": {"run": "R2", "position_m": 0.5},
}
ACROSS: dict[str, Any] = {**RUN, "id": "R2", "x_mm": 1000, "y_mm": -500}
ACROSS["heading_deg"] = 90


def test_a_crossing_of_two_tracks_is_sound() -> None:
    layout, report = read(RUN, ACROSS, CROSSING)
    assert report.is_clean
    made = layout.need(PartId("X1"), Crossing)
    assert (made.shape, made.frog, made.obtuse) == ("diamond", "insulated", "joined")


@pytest.mark.parametrize("which", ["a", "b"])
def test_a_crossing_with_a_missing_run_is_left_out(which: str) -> None:
    gone = {**CROSSING, which: {"run": "R9", "position_m": 0.5}}
    layout, report = read(RUN, ACROSS, gone)
    assert "X1" not in layout.parts
    fixed_one(report, "X1", "'R9'", "left out")


def test_a_crossing_beyond_the_end_comes_to_the_end() -> None:
    far = {**CROSSING, "b": {"run": "R2", "position_m": 2.5}}
    layout, report = read(RUN, ACROSS, far)
    assert layout.need(PartId("X1"), Crossing).b.position_m == 2.0
    fixed_one(report, "X1", "2.5 m", "R2", "2 m")


def test_a_run_that_gets_a_new_name_keeps_its_crossing() -> None:
    turned = {**ACROSS, "id": "R 2"}
    layout, _ = read(RUN, turned, {**CROSSING, "b": {"run": "R 2", "position_m": 0.5}})
    made = layout.need(PartId("X1"), Crossing)
    assert layout.get(made.b.run, TrackRun) is not None


# Connections ----------------------------------------------------------------------

TO_NOTHING = [
    {"to": "bus", "part": "B9", "position_m": 0},
    {"to": "strip", "part": "TS9", "way": 1},
    {"to": "port", "part": "PB9"},
    {"to": "bus", "part": "TS1", "position_m": 0},
    {"to": "strip", "part": "PB1", "way": 1},
    {"to": "port", "part": "R1"},
]


@pytest.mark.parametrize("to", TO_NOTHING, ids=lambda to: f"{to['to']} {to['part']}")
def test_a_drop_wired_to_nothing_is_let_go(to: dict[str, Any]) -> None:
    layout, report = read(RUN, BOOSTER, STRIP, {**DROP, "to": to})
    assert layout.need(D1, Drop).to is None
    fixed_one(report, "D1", repr(to["part"]), "let go")


@pytest.mark.parametrize("end", ["start", "end"])
def test_a_bus_end_wired_to_nothing_is_let_go(end: str) -> None:
    line = {**BUS, "start": None, end: {"to": "port", "part": "PB9"}}
    layout, report = read(line)
    assert getattr(layout.need(B1, Bus), end) is None
    fixed_one(report, "B1", "'PB9'")


def test_a_feed_from_nothing_is_let_go() -> None:
    line = {"kind": "inline", "id": "CB1", "device": "breaker", "x_mm": 0, "y_mm": 0}
    layout, report = read({**line, "feed": {"to": "port", "part": "PB9"}})
    assert layout.need(PartId("CB1"), Inline).feed is None
    fixed_one(report, "CB1", "'PB9'")


def test_a_tap_beyond_the_bus_comes_to_its_end() -> None:
    to = {"to": "bus", "part": "B1", "position_m": 1.75}
    layout, report = read(RUN, BOOSTER, BUS, {**DROP, "to": to})
    # BUS goes 1000 mm straight.
    assert layout.need(D1, Drop).to == ToBus(part=B1, position_m=1.0)
    fixed_one(report, "D1", "1.75 m", "B1")


def test_a_way_beyond_the_strip_becomes_its_last() -> None:
    to = {"to": "strip", "part": "TS1", "way": 9}
    layout, report = read(RUN, STRIP, {**DROP, "to": to})
    assert layout.need(D1, Drop).to == ToStrip(part=PartId("TS1"), way=4)
    fixed_one(report, "D1", "TS1 has 4 ways", "way 9")


# Ids -------------------------------------------------------------------------------


def test_the_second_of_two_equal_ids_gets_a_new_one() -> None:
    other = {**RUN, "name": "Other"}
    layout, report = read(RUN, other, BOOSTER, BUS, DROP)
    assert layout.need(R1, TrackRun).name == ""
    assert layout.need(PartId("R2"), TrackRun).name == "Other"
    assert layout.need(D1, Drop).on.run == R1
    fixed_one(report, "R1", "R2")


def test_a_new_id_is_one_that_was_never_given() -> None:
    layout, _ = read(RUN, {**RUN, "name": "Other"}, issued={"R": 41})
    assert PartId("R42") in layout.parts
    assert layout.new_id("R") == "R43"


def test_a_line_that_stands_there_twice_is_taken_once() -> None:
    layout, report = read(RUN, RUN)
    assert [r.id for r in layout.of_kind(TrackRun)] == ["R1"]
    fixed_one(report, "R1", "twice")


@pytest.mark.parametrize(
    "bad",
    [
        "",
        "R 1",
        "1R",
        "Gleis-7",
        "R\n1",
        "Ü1",
        "R" * 13,
        "settings",
        "backdrop",
        "R1000000",
        7,
        None,
        ["R1"],
    ],
)
def test_an_id_that_will_not_do_is_replaced(bad: Any) -> None:
    layout, report = read({**RUN, "id": bad})
    assert [r.id for r in layout.of_kind(TrackRun)] == ["R1"]
    assert report.outcome == "mended"
    assert "R1 now" in report.fixed[0]


def test_a_missing_id_is_given() -> None:
    line = {k: v for k, v in RUN.items() if k != "id"}
    layout, report = read(line)
    assert R1 in layout.parts
    fixed_one(report, "A run had no id", "R1")


def test_a_replaced_id_is_replaced_wherever_it_stands() -> None:
    layout, report = read(
        {**RUN, "id": "main line"},
        BOOSTER,
        {**BUS, "id": "power bus 1"},
        {
            **DROP,
            "on": {"run": "main line", "position_m": 1},
            "to": {"to": "bus", "part": "power bus 1", "position_m": 0},
        },
        joint("J1", ("main line", "end"), ("main line", "start")),
    )
    assert len(report.fixed) == 2
    assert layout.need(D1, Drop).on.run == R1
    assert layout.need(D1, Drop).to == ToBus(part=B1, position_m=0.0)
    assert layout.need(PartId("J1"), TrackJoint).b == RunEnd(run=R1, end="start")


def test_there_is_one_line_of_settings() -> None:
    layout, report = read(
        {"kind": "settings", "title": "First"}, {"kind": "settings", "title": "Second"}
    )
    assert layout.settings.title == "First"
    fixed_one(report, "second settings", "left out")


def test_settings_under_another_name_are_the_settings() -> None:
    layout, report = read({"kind": "settings", "id": "S1", "title": "Mine"})
    assert layout.settings.title == "Mine"
    fixed_one(report, "'S1'", "settings")


def test_a_file_without_settings_has_the_usual_ones() -> None:
    layout, report = read(RUN)
    assert layout.settings == Settings()
    assert report.is_clean


@pytest.mark.parametrize(
    "issued", [{"D": -1}, {"D": "9"}, {"D": 10**9}, {"D": True}, {"d": 1}, {"D ": 1}]
)
def test_a_count_that_makes_no_sense_is_left_out(issued: dict[str, Any]) -> None:
    layout, report = read(RUN, issued=issued)
    assert dict(layout.issued) == {"R": 1}
    fixed_one(report, "issued")


@pytest.mark.parametrize("issued", [[], None, 5, "D"])
def test_counts_that_are_none_are_made_afresh(issued: Any) -> None:
    layout, report = read(RUN, issued=issued)
    assert dict(layout.issued) == {"R": 1}
    fixed_one(report, "issued")


# Fields -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("field", "value", "usual"),
    [
        ("wire", "2.5mm2-c9", "0.5mm2-c5"),
        ("wire", 14, "0.5mm2-c5"),
        ("contact", "chewing gum", "screw"),
        ("a_rail", "upper", "left"),
        ("lead_m", -1, None),
        ("lead_m", "long", None),
        ("rails", None, "both"),
        ("to", {"to": "moon"}, None),
        ("note", "x" * 201, ""),
    ],
)
def test_a_field_that_will_not_do_is_as_usual(
    field: str, value: Any, usual: Any
) -> None:
    layout, report = read(RUN, {**DROP, "to": None, field: value})
    assert getattr(layout.need(D1, Drop), field) == usual
    fixed_one(report, "D1", field)


@pytest.mark.parametrize(
    ("line", "field", "usual"),
    [
        (RUN, "rail", "code100-ns"),
        (RUN, "joint", "joiner-new"),
        (BUS, "wire", "2.5mm2-c5"),
        (STRIP, "contact", "screw"),
    ],
    ids=["rail", "rail joint", "wire", "contact"],
)
def test_a_material_that_no_table_has_is_named(
    line: dict[str, Any], field: str, usual: str
) -> None:
    layout, report = read(BOOSTER, {**line, field: "unheard-of"})
    assert getattr(layout.parts[line["id"]], field) == usual
    fixed_one(report, line["id"], field, "'unheard-of'", usual)


def test_a_material_nearly_right_gets_a_guess() -> None:
    _, report = read({**RUN, "rail": "code83-nss"})
    fixed_one(report, "'code83-ns' comes near")


def test_control_characters_in_names_become_spaces() -> None:
    layout, report = read({**RUN, "name": "Main\n.control\x1b[2J"})
    assert layout.need(R1, TrackRun).name == "Main .control [2J"
    fixed_one(report, "R1", "name", "control characters")


def test_notes_keep_their_lines() -> None:
    layout, report = read({"kind": "settings", "notes": "one\ntwo\tthree"})
    assert layout.settings.notes == "one\ntwo\tthree"
    assert report.is_clean


# Lines that cannot be read ----------------------------------------------------------------


@pytest.mark.parametrize(
    "change",
    [
        {"x_mm": "left"},
        {"x_mm": None},
        {"x_mm": 1e7},
        {"pieces": []},
        {"pieces": [{"piece": "spiral"}]},
        {"pieces": [{"piece": "straight", "length_mm": 0}]},
        {"pieces": [{"piece": "arc", "radius_mm": 1e6, "sweep_deg": 360}]},
        {"kind": "monorail"},
        {"kind": None},
        {"kind": ["run"]},
    ],
    ids=str,
)
def test_a_line_that_cannot_be_a_part_waits_aside(change: dict[str, Any]) -> None:
    line = {**RUN, **change}
    layout, report = read(line, BOOSTER)
    assert R1 not in layout.parts
    assert PartId("PB1") in layout.parts
    assert report.outcome == "incomplete"
    assert "R1" in report.unfixed[0]
    again = dump_layout(layout)
    _, second = read(line, BOOSTER)
    assert second == report
    assert list(layout.extras[""]["parts"]) == [line]
    assert b'"R1"' in again


def test_the_id_of_a_line_that_waits_is_not_given_again() -> None:
    layout, _ = read({**RUN, "id": "R8", "kind": "monorail"})
    assert layout.new_id("R") == "R9"


def test_what_is_on_a_run_that_waits_waits_with_it() -> None:
    layout, report = read({**RUN, "kind": "monorail"}, DROP, STRIP)
    assert D1 not in layout.parts
    assert len(report.unfixed) == 2
    assert "D1 is on R1" in report.unfixed[1]
    kept = layout.extras[""]["parts"]
    assert [line["id"] for line in kept] == ["R1", "D1"]


def test_a_part_of_a_missing_kind_can_come_back() -> None:
    """A newer program reads again what this one only carried."""
    layout, _ = read({**RUN, "kind": "monorail"}, DROP, BUS, BOOSTER)
    text = dump_layout(layout).decode()
    newer = text.replace('"monorail"', '"run"')
    from_newer, report = read_text(newer)
    assert report.is_clean
    assert from_newer.need(D1, Drop) == replace(
        Drop(id=D1, on=OnRun(run=R1, position_m=0.5)),
        to=ToBus(part=B1, position_m=0.25),
    )
    assert from_newer.need(B1, Bus).start == ToPort(part=PartId("PB1"))
    assert from_newer.need(D1, Drop).on.run in from_newer.parts


def read_text(text: str) -> tuple[Layout, LoadReport]:

    content = json.loads(text)
    return read(*content["parts"], issued=content["issued"])


def test_a_strip_is_read_with_its_ways() -> None:
    layout, _ = read(STRIP)
    assert layout.need(PartId("TS1"), Strip).ways == 4
