"""Every row of every table says where its figures are from."""

from collections.abc import Iterable, Mapping
from typing import Any

import pytest

from core.materials.contacts import CONTACTS
from core.materials.joints import JOINTS
from core.materials.loads import PRESETS
from core.materials.rails import RAILS
from core.materials.wires import WIRES


def _rows(table: Mapping[str, Any] | Iterable[Any]) -> list[Any]:
    return list(table.values() if isinstance(table, Mapping) else table)


ROWS = [
    row for table in (WIRES, RAILS, JOINTS, PRESETS, CONTACTS) for row in _rows(table)
]


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{type(r).__name__}-{r.id}")
def test_every_row_names_its_source(row: Any) -> None:
    assert len(row.source.strip()) > 3


@pytest.mark.parametrize("row", _rows(WIRES), ids=lambda r: r.id)
def test_every_wire_names_the_source_of_its_rating(row: Any) -> None:
    assert len(row.amps_source.strip()) > 3


@pytest.mark.parametrize("row", _rows(RAILS), ids=lambda r: r.id)
def test_every_rail_lies_in_its_own_band(row: Any) -> None:
    assert row.low <= row.ohm_per_m <= row.high
