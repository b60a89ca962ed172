"""The pages hold what the schedules say, large and wrapped."""

import pytest

from core.checks.finding import Finding, Severity
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Bus, Drop, OnRun, Straight, Strip, ToPort
from core.sheet.brief import Brief
from core.sheet.frame import Leaf
from core.sheet.marks import Line, Text
from core.sheet.pages.cautions import caution_leaves
from core.sheet.pages.cover import Chapter, cover_leaf
from core.sheet.pages.cuts import cut_leaves
from core.sheet.pages.drops import TICKS, drop_leaves
from core.sheet.pages.findings import counted, finding_leaves
from core.sheet.pages.labels import label_leaves
from core.sheet.pages.notes import note_leaves
from core.sheet.pages.ringout import ring_leaves
from core.sheet.pages.wiring import bus_leaves, strip_leaves
from tests.core.sheet.boards import (
    board,
    brief_of,
    bus,
    drop,
    layout_of,
    oval,
    shelf_run,
    texts,
    to_bus,
)
from tests.samples.wulfenmoor import wulfenmoor_end_fed


def said(leaves: tuple[Leaf, ...]) -> list[str]:
    return [t for leaf in leaves for t in texts(leaf.marks)]


def found(severity: Severity, sentence: str) -> Finding:
    place = OnRun(run=PartId("R1"), position_m=0.5)
    return Finding(
        "W201", severity, "Too much lost", sentence, "1.65 V > 1.50 V", "Add a drop.",
        place=place,
    )  # fmt: skip


# Drops ------------------------------------------------------------------------


def test_each_drop_is_a_row_with_all_it_needs() -> None:
    layout = layout_of(
        board(),
        shelf_run(),
        bus((0, 300), (2400, 300)),
        drop(4, 1.235, to=to_bus(1.1), lead_m=0.42, a_rail="left"),
    )
    words = said(drop_leaves(brief_of(layout)))
    # The row, in the order of its columns.
    start = words.index("D4")
    assert words[start : start + 7] == [
        "D4",
        "Main",
        "1.235 m",
        "100 mm",
        "420 mm",
        "A → back",
        "B1 at 1.10 m",
    ]


def two_leads(train_a: float, **changes: object) -> Layout:
    """Return a shelf with two drops straight from a booster that trips late."""
    port = ToPort(part=PartId("PB1"))
    more = {"to": port, "lead_m": 0.5, **changes}
    source = Booster(id=PartId("PB1"), x_mm=0, y_mm=300, trip_a=9.0)
    drops = (drop(1, 0.3, **more), drop(2, 1.5, **more))
    return layout_of(board(), shelf_run(), source, *drops, test_train_a=train_a)


def test_a_drop_says_the_most_it_carries_and_with_its_neighbour_open() -> None:
    words = said(drop_leaves(brief_of(two_leads(1.2))))
    # Two drops alone: with one open the other carries the whole train.
    assert {"Most", "amps"} & set(" ".join(words).split())
    assert words.count("1.20 A") == 2
    assert "a 1.20 A train" in " ".join(words)


def test_a_drop_that_would_carry_too_much_is_marked_so() -> None:
    # 0.14 mm² is good for 1.5 A (wire table): the whole of a 2 A train is too much.
    thin = two_leads(2.0, wire="0.14mm2-hookup")
    assert said(drop_leaves(brief_of(thin))).count("▲ 2.00 A") == 2


def test_without_power_no_amps_are_told() -> None:
    layout = layout_of(board(), shelf_run(), drop(1, 0.3))
    assert "Most amps" not in " ".join(said(drop_leaves(brief_of(layout))))


def test_the_drops_page_says_what_heights_its_lengths_are_for() -> None:
    layout = layout_of(board(), shelf_run(level_end_mm=240.0), drop(1, 1.8))
    words = " ".join(said(drop_leaves(brief_of(layout))))
    assert "Lengths are right for bus and deck at one height." in words
    assert "180 mm above the foot of Main" in words
    bought = " ".join(said(cut_leaves(brief_of(layout))))
    assert "D1 stands 180 mm above the foot of climbing track" in bought


def test_each_row_has_a_box_for_each_step() -> None:
    layout = layout_of(board(), shelf_run(), drop(1, 0.3), drop(2, 0.6))
    (leaf,) = drop_leaves(brief_of(layout))
    assert set(TICKS) <= set(texts(leaf.marks))
    boxes = [m for m in leaf.marks if isinstance(m, Line) and m.closed]
    assert len(boxes) == 2 * len(TICKS) == 12


def test_one_wire_for_all_is_said_once_and_several_have_a_column() -> None:
    same = layout_of(board(), shelf_run(), drop(1, 0.3), drop(2, 0.6))
    mixed = layout_of(
        board(), shelf_run(), drop(1, 0.3), drop(2, 0.6, wire="awg22-solid")
    )
    assert "Wire" not in said(drop_leaves(brief_of(same)))
    assert "Wire" in said(drop_leaves(brief_of(mixed)))


def test_rows_are_set_large() -> None:
    # Needs N59: 14 pt, readable at 0.6 m in poor light.
    (leaf,) = drop_leaves(brief_of(layout_of(board(), shelf_run(), drop(1, 0.35))))
    sizes = {m.text: m.size for m in leaf.marks if isinstance(m, Text)}
    assert sizes["D1"] >= 14.0
    assert sizes["350 mm"] == 14.0
    assert sizes["A → back"] == 14.0


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_forty_four_drops_take_two_sheets_of_two_sides(paper: str) -> None:
    # Needs N59: 44 drops on 2 sheets.
    run = shelf_run(pieces=(Straight(length_mm=14000),))
    drops = [drop(n, 0.3 * n, to=to_bus(0.3 * n)) for n in range(1, 45)]
    layout = layout_of(
        board(width_mm=14000, depth_mm=600),
        run,
        bus((0, 50), (14000, 50)),
        *drops,
        paper=paper,
    )
    assert len(drop_leaves(brief_of(layout))) <= 4


def test_each_board_has_its_own_page() -> None:
    other = board(id=PartId("BD2"), name="Annexe", x_mm=2400)
    run = shelf_run(pieces=(Straight(length_mm=4800),))
    layout = layout_of(board(), other, run, drop(1, 0.3), drop(2, 3.0))
    assert [leaf.title for leaf in drop_leaves(brief_of(layout))] == [
        "Drops: BD1",
        "Drops: BD2 Annexe",
    ]


def test_places_to_lie_head_their_drops() -> None:
    layout = layout_of(board(), shelf_run(), drop(1, 0.3), drop(2, 1.3))
    words = said(drop_leaves(brief_of(layout)))
    assert words.index("Lie here: 0 to 1.00 m from the left end") < words.index("D1")
    assert words.index("Lie here: 1.00 m to 2.00 m from the left end") < words.index(
        "D2"
    )


def test_heads_name_the_edges_that_are_measured_from() -> None:
    sideways = layout_of(board(aisle="left"), shelf_run(), drop(1, 0.3))
    loose = layout_of(shelf_run(), drop(1, 0.3))
    assert "front edge" in " ".join(said(drop_leaves(brief_of(sideways))))
    assert "right of zero" in " ".join(said(drop_leaves(brief_of(loose))))


# Buses, strips, cuts ------------------------------------------------------------


def test_a_bus_says_what_to_buy() -> None:
    # Needs N02: 6.93 m of pair, or 13.86 m of single wire.
    feeder = bus((0, 0), (3000, 0), (3000, 3600), slack=0.05, lay="apart")
    words = said(bus_leaves(brief_of(layout_of(feeder))))
    assert (
        "Buy 6.93 m of pair, or 13.86 m of single wire: drawn 6.60 m + 5 % slack."
        in (words)
    )
    assert any("run apart by 100 mm" in t for t in words)


def test_a_bus_says_its_inductance_and_what_goes_on_its_open_end() -> None:
    # needs.md N52 and N54: 40 m of 14 AWG 100 mm apart 81 µH; 0.1 µF at 15 V gets
    # 0.78 W at worst, so half a watt is too little and 2 W are asked for.
    layout = Layout({p.id: p for p in wulfenmoor_end_fed()})
    words = " ".join(said(bus_leaves(brief_of(layout))))
    assert "Loop 81 µH." in words
    assert "0.78 W at worst, take one of 2 W or more." in words
    # A bus that nothing feeds has no signal, and 3 m need no snubber.
    lone = bus((0, 0), (3000, 0))
    assert "Loop" not in " ".join(said(bus_leaves(brief_of(layout_of(lone)))))
    assert "snubber" not in " ".join(said(bus_leaves(brief_of(oval()))))


def test_a_bus_says_the_most_it_carries() -> None:
    source = Booster(id=PartId("PB1"), x_mm=0, y_mm=300)
    feeder = bus((0, 300), (2400, 300), start=ToPort(part=source.id))
    layout = layout_of(
        board(), shelf_run(), source, feeder, drop(1, 0.3, to=to_bus(0.3))
    )
    words = " ".join(said(bus_leaves(brief_of(layout))))
    # One bus to one drop: it carries the whole test train, 1 A as the settings come.
    assert "Carries 1.00 A at most with a 1.00 A train; good for" in words


def test_a_wrong_label_on_a_bus_is_noted() -> None:
    right = bus((0, 300), (2400, 300), start_label="B1")
    wrong = bus((0, 300), (2400, 300), end_label="B7")
    words = "▲ Its end is labelled “B7”: ring out, put it right."
    assert words in said(bus_leaves(brief_of(layout_of(board(), wrong))))
    assert "labelled" not in " ".join(
        said(bus_leaves(brief_of(layout_of(board(), right))))
    )


def test_a_long_strip_goes_on_and_says_so() -> None:
    layout = oval()
    strip = layout.parts[PartId("TS1")]
    longer = type(strip)(id=strip.id, name="Long", x_mm=0, y_mm=0, ways=60)  # type: ignore[call-arg]
    found_leaves = strip_leaves(brief_of(Layout({**layout.parts, strip.id: longer})))
    words = said(found_leaves)
    assert len(found_leaves) == 2
    assert "TS1 Long (continued)" in words
    assert [t for t in words if t.isdigit()] == [str(n) for n in range(1, 61)]
    assert "60 ways; free: 2, 7–60" in words


def test_strips_stand_beside_each_other_and_are_not_torn() -> None:
    # 12 ways of 8.2 mm and a head are 113 mm: one to a column, two to a page.
    strips = [
        Strip(id=PartId(f"TS{n}"), name=f"No. {n}", x_mm=0, y_mm=0) for n in (1, 2, 3)
    ]
    first, second = strip_leaves(brief_of(layout_of(*strips)))
    assert [t for t in texts(first.marks) if "No." in t] == ["TS1 No. 1", "TS2 No. 2"]
    assert [t for t in texts(second.marks) if "No." in t] == ["TS3 No. 3"]


def test_short_strips_share_a_column() -> None:
    strips = [Strip(id=PartId(f"TS{n}"), x_mm=0, y_mm=0, ways=4) for n in (1, 2, 3)]
    (leaf,) = strip_leaves(brief_of(layout_of(*strips)))
    lefts = {m.text: m.x for m in leaf.marks if isinstance(m, Text)}
    assert lefts["TS1"] == lefts["TS2"] == lefts["TS3"]


def test_the_cut_list_says_pieces_sum_spare_and_reel() -> None:
    # Needs N64.
    drops = [drop(n, 0.05 * n, lead_m=0.42) for n in range(1, 37)]
    words = said(cut_leaves(brief_of(layout_of(shelf_run(), *drops))))
    assert words.count("drops: 36 × 420 mm") == 2
    assert words.count("15.12 m") == 2
    assert words.count("16.63 m") == 2
    assert words.count("one 25 m reel") == 2


# Ring-out, labels ---------------------------------------------------------------


def test_the_buzzer_must_beep_on_its_own_rail_and_be_silent_on_the_other() -> None:
    layout = layout_of(board(), shelf_run(), drop(1, 0.3, a_rail="left"))
    words = said(ring_leaves(brief_of(layout)))
    start = words.index("D1")
    assert words[start + 2 : start + 6] == [
        "back: beep",
        "front: silent",
        "front: beep",
        "back: silent",
    ]


def test_a_wire_that_is_not_there_is_not_rung_out() -> None:
    one = drop(1, 0.3, a_rail="left", rails="left")
    words = said(ring_leaves(brief_of(layout_of(board(), shelf_run(), one))))
    assert "no wire" in words


def test_labels_are_for_both_wires_at_both_ends() -> None:
    # Needs N63: 36 drops × 2 rails × 2 ends = 144 labels, 4 pages of 40.
    drops = [drop(n, 0.05 * n) for n in range(1, 37)]
    found_leaves = label_leaves(brief_of(layout_of(shelf_run(), *drops)))
    assert len(found_leaves) == 4
    words = said(found_leaves)
    assert sum(t.startswith("D") for t in words) == 144
    assert words.count("D7") == 4


def test_a_label_too_long_for_its_place_says_so() -> None:
    run = shelf_run(name="Overhead crossing of the quarry tramway " * 4)
    words = said(label_leaves(brief_of(layout_of(run, drop(1, 0.3)))))
    assert any(t.endswith("…") for t in words)


def test_a_bus_has_labels_too() -> None:
    words = said(label_leaves(brief_of(layout_of(bus((0, 0), (1000, 0))))))
    assert words.count("B1") == 4


# Findings, cautions -------------------------------------------------------------


def test_findings_come_with_sum_remedy_and_a_sign_beside_the_colour() -> None:
    plain = brief_of(layout_of(board(), shelf_run()))
    brief = Brief(
        plain.study,
        (found(Severity.HAZARD, "It burns."), found(Severity.ADVICE, "It wobbles.")),
        plain.options,
        plain.typeface,
    )
    words = said(finding_leaves(brief))
    assert {"■ hazard", "○ advice", "It burns.", "Add a drop."} <= set(words)
    assert "At Main, 500 mm. 1.65 V > 1.50 V" in words


def test_no_finding_is_not_called_a_proof() -> None:
    words = " ".join(said(finding_leaves(brief_of(layout_of()))))
    assert "No rule found anything wrong" in words
    assert "no proof" in words


@pytest.mark.parametrize(
    ("severities", "words"),
    [
        ((), "none"),
        ((Severity.HAZARD,), "1 hazard"),
        (
            (Severity.FAULT, Severity.FAULT, Severity.ADVICE),
            "2 faults, 1 piece of advice",
        ),
        ((Severity.ADVICE, Severity.ADVICE), "2 pieces of advice"),
    ],
)
def test_findings_are_counted_in_words(
    severities: tuple[Severity, ...], words: str
) -> None:
    assert counted(tuple(found(s, "x") for s in severities)) == words


def test_each_caution_has_its_reason() -> None:
    (leaf,) = caution_leaves(brief_of(layout_of()))
    words = " ".join(texts(leaf.marks))
    # Needs 6, a sign of each: mains, bundles, supplies joined, fuse, coin, unplug,
    # solder, fume, metal, common, tingle, outdoors, shows, alarm.
    for sign in (
        "Mains", "bundles", "outputs of two supplies", "fuse or breaker", "coin",
        "unplug", "Eye protection", "asthma", "mesh", "common", "tingle", "Outdoors",
        "hall", "smoke alarm",
    ):  # fmt: skip
        assert sign in words, sign
    assert "licensed electrician" in words
    assert "local code" in words


def test_nothing_claims_to_meet_a_rule() -> None:
    words = " ".join(said(caution_leaves(brief_of(oval())))).lower()
    for claim in ("complian", "complies", "certified", "approved by", "conforms"):
        assert claim not in words


def test_what_was_noted_of_booster_common_is_printed_and_not_judged() -> None:
    booster = Booster(id=PartId("PB2"), x_mm=0, y_mm=0, common="separate")
    words = " ".join(said(caution_leaves(brief_of(layout_of(booster)))))
    assert "PB2: separate" in words
    assert "takes no side" in words


# Notes --------------------------------------------------------------------------


def test_notes_are_printed_whole_and_their_lines_kept() -> None:
    brief = brief_of(layout_of(notes="Key hangs by the door.\nAsk before drilling."))
    (leaf,) = note_leaves(brief)
    assert texts(leaf.marks) == ["Key hangs by the door.", "Ask before drilling."]


def test_without_notes_there_is_no_page_of_them() -> None:
    assert note_leaves(brief_of(layout_of())) == ()


# Cover ----------------------------------------------------------------------------


def cover_of(layout: Layout) -> list[str]:
    return texts(cover_leaf(brief_of(layout), [Chapter("Drops", 6)]).marks)


def test_the_cover_says_how_good_it_is_and_where() -> None:
    words = cover_of(oval())
    assert "Mossgill Sidings" in words
    assert "Rev C" in words
    assert any(" V  (" in t and "% lost)" in t for t in words)
    assert any("× the trip current" in t for t in words)
    assert "10 drops, 2 buses, 1 strip, 1 board" in words
    assert words[words.index("Drops") + 1] == "6"


def test_the_cover_says_where_inductance_limits_the_weakest_short() -> None:
    # needs.md 3.6: 17.8 A by resistance alone, 2.2 times the 8 A that trip; by hand
    # with this track 16.9 A, 2.1 times.
    words = " ".join(cover_of(Layout({p.id: p for p in wulfenmoor_end_fed()})))
    assert "inductance limits it, by resistance alone 2.1 ×" in words
    assert "inductance limits it" not in " ".join(cover_of(oval()))
    # The remedy is a sentence of its own, and the last.
    assert ".;" not in words


def test_the_cover_says_what_is_promised_and_what_not() -> None:
    words = " ".join(cover_of(oval()))
    assert "What it promises:" in words
    assert "no certificate" in words


def test_the_cover_of_an_empty_layout_says_that_nothing_is_fed() -> None:
    words = cover_of(Layout())
    assert "none" in words
    assert "No track is fed by a booster." in words


def test_the_cover_names_the_crossed_drop_and_no_volts() -> None:
    layout = oval()
    wrong = layout.need(PartId("D4"), Drop)
    turned = type(wrong)(id=wrong.id, on=wrong.on, to=wrong.to, a_rail="left")
    words = cover_of(Layout({**layout.parts, wrong.id: turned}))
    assert "A meets B at PB1" in words
    assert "One crossed connection explains it: D4." in words
    assert not any("% lost" in t for t in words)


def test_two_crossed_drops_are_a_short_without_a_single_culprit() -> None:
    layout = oval()
    turned = [
        type(d)(id=d.id, on=d.on, to=d.to, a_rail="left")
        for d in layout.of_kind(Drop)
        if d.id in ("D4", "D7")
    ]
    words = cover_of(Layout({**layout.parts, **{d.id: d for d in turned}}))
    assert any(t.startswith("Cure it first") for t in words)


def test_the_cover_names_what_is_not_fed() -> None:
    lone = shelf_run(id=PartId("R9"), name="Museum siding", y_mm=700)
    words = cover_of(Layout({**oval().parts, lone.id: lone}))
    assert "Museum siding" in words


def test_the_cover_names_signs_that_the_typeface_lacks() -> None:
    words = " ".join(cover_of(oval(title="Bahn 東")))
    assert "has no sign for: U+6771 cjk unified ideograph-6771" in words


def test_the_cover_shows_the_layout() -> None:
    layout = oval()
    drawn = [
        m
        for m in cover_leaf(brief_of(layout), []).marks
        if isinstance(m, Line) and m.width == 0.75
    ]
    # Each bus once solid and once dashed.
    assert sum(1 for _ in layout.of_kind(Bus)) == 2
    assert sum(bool(m.dash) for m in drawn) >= 2
