"""Every row of the speed table can be made; how fast it is, no test says."""

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.bench.agreement import NAMES, agreement_rows
from tests.bench.drawing import frame_rows
from tests.bench.engine import findings_rows, growth_rows, scan_rows
from tests.bench.paper import sheet_rows
from tests.bench.simulator import AC, OP
from tests.bench.table import Row, markdown
from tests.bench.window import edit_rows

SMALL: dict[str, Callable[[], list[Row]]] = {
    "edit": lambda: edit_rows(40, repeats=1, rest_ms=1),
    "frame": lambda: frame_rows(40, frames=2, rest_ms=1),
    "sheet": lambda: sheet_rows(40),
    "scan": lambda: scan_rows(40),
    "agreement": lambda: agreement_rows(40),
    "growth": lambda: growth_rows(40, 80),
    "findings": lambda: findings_rows(10),
}


@pytest.mark.parametrize("name", SMALL)
def test_every_row_can_be_made(name: str, qtbot: QtBot) -> None:
    rows = SMALL[name]()
    assert rows
    for row in rows:
        if row.what in (OP, AC, *NAMES) and row.found is None:
            continue  # without the simulator the row says so
        assert row.found is not None
        assert math.isfinite(row.found)
        assert row.found > 0.0


def test_the_table_has_them_all() -> None:
    text = (Path(__file__).parent / "every.py").read_text(encoding="utf-8")
    made = {f"{name}_rows" for name in SMALL}
    assert {word for word in made if f"yield from {word}()" in text} == made


def test_a_row_becomes_a_line_with_its_unit() -> None:
    row = Row("edit", 83.26, "≤ 100 ms", "40 pieces", "ms")
    assert (
        markdown([row]).splitlines()[-1] == "| edit | 83.3 ms | ≤ 100 ms | 40 pieces |"
    )
    assert Row("x", 0.00123, "", unit="ppm").shown == "0.001 ppm"
    assert Row("x", None, "").shown == "not measured"
