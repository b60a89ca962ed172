"""Joints and contacts: bands, order, and the terminal-block standard."""

import pytest

from core.errors import FileFormatError, UnknownNameError
from core.materials.joints import (
    JOINTS,
    Joint,
    block_limit_ohm,
    joint,
    joints_of,
    read_joint,
)
from core.materials.tables.reading import rows_of

RAIL_JOINTS = "soldered joiner-new joiner-aged joiner-neglected pin clamp blade"
WIRE_JOINTS = "solder-joint screw tap tap-light tap-step tap-heavy lever plug plug-worn"


def test_rail_and_wire_joints_are_all_there() -> None:
    assert [j.id for j in joints_of("rail")] == RAIL_JOINTS.split()
    assert [j.id for j in joints_of("wire")] == WIRE_JOINTS.split()


@pytest.mark.parametrize("each", list(JOINTS.values()), ids=lambda j: j.id)
def test_every_joint_has_a_band_and_a_source(each: Joint) -> None:
    assert 0.0 < each.low <= each.ohm <= each.high
    assert len(each.source) > 10


def test_joiners_grow_worse_with_age() -> None:
    new, aged, neglected = (
        joint(f"joiner-{age}") for age in ("new", "aged", "neglected")
    )
    assert new.high < aged.low
    assert aged.ohm < neglected.ohm
    assert joint("plug").high < joint("plug-worn").low


def test_a_measured_pin_lies_in_its_band() -> None:
    # 1.5 mΩ: published Kelvin measurement of tinplate track.
    assert joint("pin").low <= 1.5e-3 <= joint("pin").high


@pytest.mark.parametrize(
    ("test_a", "milliohm"),
    [
        # IEC 60947-7-1: at most 3.2 mV at a tenth of the test current. By hand:
        # 3.2 / 2.4 = 1.333 for 2.5 mm² (check 51), 3.2 / 0.6 = 5.33 for 0.5 mm².
        (24.0, 1.333),
        (6.0, 5.333),
    ],
)
def test_new_terminal_blocks_are_within_the_standard(
    test_a: float, milliohm: float
) -> None:
    assert block_limit_ohm(test_a) * 1e3 == pytest.approx(milliohm, abs=0.001)


def test_an_unknown_joint_gets_the_nearest_name() -> None:
    with pytest.raises(UnknownNameError) as caught:
        joint("scew")
    assert caught.value.nearest == "screw"


def test_a_joint_of_neither_rail_nor_wire_is_refused() -> None:
    head = "id,label,use,low_mohm,mohm,high_mohm,source"
    (row,) = rows_of("joints", [head, "x,x,pipe,1,2,3,x"])
    with pytest.raises(FileFormatError, match="use is 'pipe'"):
        read_joint(row)


@pytest.mark.parametrize(
    ("name", "run", "tap", "holds"),
    [
        # A tap for 0.8 to 2.0 with 0.5 to 1.0 mm² does not take 2.5 with 0.35: common
        # practice, no source. AWG 14 is 2.08 mm² (ASTM B258) and sold as 2.
        ("tap-light", 2.5, 0.35, (False, False)),
        ("tap-light", 1.5, 0.35, (True, False)),
        ("tap-light", 2.08, 0.5, (True, True)),
        ("tap-step", 2.5, 0.35, (True, True)),
    ],
)
def test_tap_connectors_hold_their_sizes_only(
    name: str, run: float, tap: float, holds: tuple[bool, bool]
) -> None:
    fits = joint(name).fits
    assert fits is not None
    assert (fits.holds_run(run), fits.holds_tap(tap)) == holds


def test_solder_fits_all() -> None:
    assert joint("solder-joint").fits is None


@pytest.mark.parametrize("text", ["0.5-1", "1-0.5/2-3", "0-1/1-2", "a-b/1-2"])
def test_a_range_that_is_none_is_refused(text: str) -> None:
    head = "id,label,use,low_mohm,mohm,high_mohm,fits,source"
    (row,) = rows_of("joints", [head, f"x,x,wire,1,2,3,{text},memory"])
    with pytest.raises(FileFormatError):
        read_joint(row)
