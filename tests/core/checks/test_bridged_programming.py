"""W128: a programming track that the main can reach, by metal or by an engine.

R1 3 m is the main, R2 leaves it at 1 m: a siding of 2 m. SW1 changes it over from
PB1 to PB2, an output for programming. G1 at the toe and G2 cut off an isolation
piece, which hangs on the two other poles of SW1.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec
import pytest

from core.checks.finding import Severity
from core.checks.rules.bridged_programming import RULE
from core.checks.rules.loose_end import RULE as LOOSE
from core.checks.rules.unfed import RULE as UNFED
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, Drop, OnRun, Part, Settings, ToPort
from tests.core.checks.gate import cut, lead, switch
from tests.core.checks.plank import find, find_one
from tests.core.network.track import end, run, turnout

PIECE_M = 0.35
"""Isolation piece as long as the longest engine; needs N50."""


def siding(
    *more: Part,
    without: Iterable[str] = (),
    changes: Mapping[str, Mapping[str, Any]] | None = None,
) -> Layout:
    program = ToPort(part=PartId("PB2"))
    toe = OnRun(run=PartId("R1"), position_m=1.0)
    leg = turnout(1, toe, end(2, "start"))
    parts: list[Part] = [
        Settings(scale="HO"),
        run(1, 3.0),
        run(2, 2.0),
        msgspec.structs.replace(leg, leg_insulated="both"),
        Booster(id=PartId("PB1"), x_mm=0.0, y_mm=0.0, common="separate"),
        Booster(
            id=PartId("PB2"), x_mm=0.0, y_mm=0.0, use="programming", common="separate"
        ),
        switch(poles=4, other=program),
        cut(2, PIECE_M, run=2),
        lead(1, 0.5),
        _iso(),
        lead(3, 1.0, "SW1", run=2),
        *more,
    ]
    left_out, changed = set(without), changes or {}
    kept = [p for p in parts if p.id not in left_out]
    new = [msgspec.structs.replace(p, **changed.get(p.id, {})) for p in kept]
    return Layout({p.id: p for p in new})


def _iso(port: Any = "iso") -> Drop:
    return msgspec.structs.replace(
        lead(2, 0.2, run=2), to=ToPort(part=PartId("SW1"), port=port)
    )


def two_poles() -> Layout:
    """As many wire it: the whole siding on a switch of two poles."""
    to = ToPort(part=PartId("SW1"))
    return siding(without=("G2",), changes={"SW1": {"poles": 2}, "D2": {"to": to}})


def test_fires_on_two_poles() -> None:
    found = find_one(RULE, two_poles())
    assert found.severity is Severity.FAULT
    assert "nothing between the two is dead" in found.sentence
    assert "isolation piece 0 mm < longest engine 350 mm" in found.figures


def test_quiet_on_four_poles_with_a_piece_as_long_as_an_engine() -> None:
    assert find(RULE, siding()) == []


def test_fires_where_the_piece_is_shorter_than_an_engine() -> None:
    short = {"G2": {"on": OnRun(run=PartId("R2"), position_m=0.34)}}
    found = find_one(RULE, siding(changes=short))
    assert "shorter than an engine" in found.sentence
    assert "isolation piece 340 mm < longest engine 350 mm" in found.figures


@pytest.mark.parametrize(("engine_m", "count"), [(0.34, 0), (0.36, 1)])
def test_the_longest_engine_is_that_of_the_settings(
    engine_m: float, count: int
) -> None:
    layout = siding(Settings(engine_m=engine_m))
    assert len(find(RULE, layout)) == count


def test_fires_where_the_piece_hangs_on_the_main_always() -> None:
    found = find_one(RULE, siding(changes={"D2": {"to": ToPort(part=PartId("PB1"))}}))
    assert "isolation piece 0 mm" in found.figures


def test_fires_where_metal_joins_the_main_to_the_output() -> None:
    # The left rail of the leg was never cut, and D2 brings it to the siding.
    to = ToPort(part=PartId("SW1"))
    changes: dict[str, dict[str, Any]] = {
        "T1": {"leg_insulated": "right"},
        "D2": {"to": to},
    }
    found = find_one(RULE, siding(without=("G2",), changes=changes))
    assert "joined by metal" in found.sentence


def test_fires_where_one_pole_leaves_the_other_wire_on_the_main() -> None:
    # B comes straight through from PB1, which is no joint of the two outputs; but
    # rail B of the siding is the main's, right beside the programming rail.
    found = find_one(RULE, siding(changes={"SW1": {"poles": 1}}))
    assert found.parts[0] == "SW1"


def test_quiet_without_an_output_for_programming() -> None:
    assert find(RULE, siding(changes={"PB2": {"use": "main"}})) == []


def test_nothing_hangs_loose_in_either_position() -> None:
    for closed in (True, False):
        layout = siding(changes={"SW1": {"closed": closed}})
        assert find(LOOSE, layout) == []
        dead = find(UNFED, layout)
        assert {f.severity for f in dead} <= {Severity.ADVICE}
        assert len(dead) == (0 if closed else 1)
