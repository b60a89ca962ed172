"""The one door: a change goes in, comes back out, and everybody hears of it."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from core.errors import UnknownNameError
from core.layout.change import Change
from core.layout.ids import BACKDROP_ID, SETTINGS_ID, PartId, split_id
from core.layout.layout import Layout
from core.layout.parts import Backdrop, Booster, Drop, Part, Settings, Strip
from tests.core.layout.strategies import layouts

TS1, TS2 = PartId("TS1"), PartId("TS2")
FIRST = Strip(id=TS1, x_mm=0.0, y_mm=0.0)
LONGER = replace(FIRST, ways=20)
OTHER = Strip(id=TS2, x_mm=5.0, y_mm=5.0)

ADD = Change("Add", {TS1: None}, {TS1: FIRST})
LENGTHEN = Change("Lengthen", {TS1: FIRST}, {TS1: LONGER})
REMOVE = Change("Remove", {TS1: LONGER}, {TS1: None})


def test_an_empty_layout_has_its_settings() -> None:
    layout = Layout()
    assert dict(layout.parts) == {SETTINGS_ID: Settings()}
    assert layout.settings == Settings()
    assert layout.backdrop is None


def test_a_backdrop_is_found() -> None:
    picture = Backdrop(media="image/png", data=b"", width_px=1, height_px=1)
    assert Layout({BACKDROP_ID: picture}).backdrop == picture


def test_a_change_puts_parts_in_and_takes_them_out() -> None:
    layout = Layout()
    layout.apply(ADD)
    assert layout.parts[TS1] == FIRST
    layout.apply(LENGTHEN)
    assert layout.need(TS1, Strip).ways == 20
    layout.apply(REMOVE)
    assert TS1 not in layout.parts


def test_a_change_that_has_gone_stale_is_a_defect() -> None:
    layout = Layout()
    with pytest.raises(AssertionError, match="stale change of TS1"):
        layout.apply(LENGTHEN)


def test_a_stale_change_leaves_nothing_half_done() -> None:
    layout = Layout()
    half = Change("", {TS2: None, TS1: FIRST}, {TS2: OTHER, TS1: LONGER})
    with pytest.raises(AssertionError):
        layout.apply(half)
    assert TS2 not in layout.parts


def test_a_change_names_the_same_ids_before_and_after() -> None:
    with pytest.raises(AssertionError):
        Change("", {TS1: None}, {TS2: OTHER})


def test_a_change_that_changes_nothing_is_empty() -> None:
    assert Change("", {TS1: FIRST}, {TS1: replace(FIRST)}).is_empty
    assert Change("", {}, {}).is_empty
    assert not ADD.is_empty


def test_changes_in_a_row_are_one_change() -> None:
    both = ADD.then(LENGTHEN)
    assert (dict(both.before), dict(both.after)) == ({TS1: None}, {TS1: LONGER})
    assert both.label == "Lengthen"
    assert both.then(REMOVE).is_empty


@given(layouts(), st.data())
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_a_change_taken_back_leaves_no_trace(
    layout: Layout, data: st.DataObject
) -> None:
    ids = st.sampled_from(sorted(layout.parts))
    gone = data.draw(st.sets(ids.filter(lambda i: i != SETTINGS_ID) | st.just(TS1)))
    before: dict[PartId, Part | None] = {i: layout.parts.get(i) for i in gone}
    parts = dict(layout.parts)
    change = Change("", before, dict.fromkeys(gone))
    layout.apply(change)
    assert not gone & layout.parts.keys()
    layout.apply(change.inverse())
    assert dict(layout.parts) == parts
    assert change.inverse().inverse() == change


def test_listeners_hear_of_every_change_until_they_stop() -> None:
    layout = Layout()
    heard: list[Change] = []
    stop = layout.listen(heard.append)
    layout.apply(ADD)
    layout.apply(LENGTHEN)
    stop()
    layout.apply(REMOVE)
    assert heard == [ADD, LENGTHEN]


def test_a_listener_may_stop_while_it_hears() -> None:
    layout = Layout()
    heard: list[Change] = []
    stop = layout.listen(lambda _: stop())
    layout.listen(heard.append)
    layout.apply(ADD)
    assert heard == [ADD]


def test_a_copy_goes_its_own_way() -> None:
    layout = Layout({TS1: FIRST}, {"D": 9}, {"TS1": {"later": 1}})
    heard: list[Change] = []
    layout.listen(heard.append)
    copy = layout.copy()
    copy.apply(LENGTHEN)
    assert layout.parts[TS1] == FIRST
    assert heard == []
    assert (copy.issued, copy.extras) == (layout.issued, layout.extras)


def test_the_views_cannot_be_written() -> None:
    layout = Layout()
    for view in (layout.parts, layout.issued, layout.extras):
        assert not hasattr(view, "__setitem__")


# Ids -----------------------------------------------------------------------------


def test_ids_are_never_given_twice() -> None:
    layout = Layout()
    assert layout.new_id("TS") == "TS1"
    layout.apply(ADD)
    layout.apply(ADD.inverse())
    assert layout.new_id("TS") == "TS2"
    assert layout.new_id("TS", taken=2) == "TS4"
    assert layout.new_id("D") == "D1"


def test_prefixes_that_begin_alike_are_counted_apart() -> None:
    layout = Layout({PartId("B7"): replace(FIRST, id=PartId("B7"))})
    assert layout.new_id("B") == "B8"
    assert layout.new_id("BD") == "BD1"


@pytest.mark.parametrize(
    ("part_id", "split"),
    [
        ("D14", ("D", 14)),
        ("TS3", ("TS", 3)),
        ("G07", ("G", 7)),
        ("settings", None),
        ("D", None),
        ("14", None),
        ("d14", None),
        ("D14a", None),
        ("ABCD1", None),
        ("D1\n", None),
    ],
)
def test_ids_are_letters_and_a_number(
    part_id: str, split: tuple[str, int] | None
) -> None:
    assert split_id(PartId(part_id)) == split


# Looking up ------------------------------------------------------------------------


def test_a_part_is_found_by_id_and_kind() -> None:
    layout = Layout({TS1: FIRST, TS2: OTHER})
    assert layout.get(TS1, Strip) == FIRST
    assert layout.get(TS1, Booster) is None
    assert layout.get(PartId("X1"), Strip) is None
    assert list(layout.of_kind(Strip)) == [FIRST, OTHER]
    assert list(layout.of_kind(Drop)) == []


@pytest.mark.parametrize("kind", [Booster, Drop])
def test_a_part_that_must_be_there_is_named_when_it_is_not(kind: type[Part]) -> None:
    with pytest.raises(
        UnknownNameError, match=f"no {kind.__name__.lower()} called 'TS1'"
    ):
        Layout({TS1: FIRST}).need(TS1, kind)
