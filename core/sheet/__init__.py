"""The wiring sheet: marks, pages, PDF, CSV, SPICE deck."""

from core.sheet.brief import Options
from core.sheet.write import compose_sheet, write_sheet

__all__ = ["Options", "compose_sheet", "write_sheet"]
