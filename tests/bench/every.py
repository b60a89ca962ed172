"""All rows of the speed table."""

from collections.abc import Iterator

from tests.bench.agreement import agreement_rows
from tests.bench.drawing import frame_rows
from tests.bench.engine import findings_rows, growth_rows, scan_rows
from tests.bench.paper import sheet_rows
from tests.bench.table import Row
from tests.bench.window import edit_rows


def every_row() -> Iterator[Row]:
    """Yield every row, on the layouts that the design names."""
    yield from edit_rows()
    yield from frame_rows()
    yield from sheet_rows()
    yield from scan_rows()
    yield from agreement_rows()
    yield from growth_rows()
    yield from findings_rows()
