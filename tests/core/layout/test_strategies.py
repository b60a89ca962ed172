"""Random layouts are what they say: sound, and of every kind of part."""

from typing import get_args

import pytest
from hypothesis import HealthCheck, Phase, find, given, settings

from core.layout.layout import Layout
from core.layout.parts import Part
from core.layout.storage.mending.references import mend_references
from core.layout.storage.report import LoadReport, Notes
from tests.core.layout.strategies import layouts

SEARCH = settings(
    max_examples=500,
    phases=[Phase.generate],
    database=None,
    suppress_health_check=list(HealthCheck),
)


@given(layouts())
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_random_layouts_need_no_mending(layout: Layout) -> None:
    notes = Notes()
    mended = mend_references(dict(layout.parts), frozenset(), notes)
    assert notes.report() == LoadReport()
    assert mended.parts == layout.parts


@pytest.mark.parametrize("kind", get_args(Part))
def test_every_kind_of_part_turns_up(kind: type[Part]) -> None:
    layout = find(layouts(), lambda drawn: any(drawn.of_kind(kind)), settings=SEARCH)
    assert any(layout.of_kind(kind))
