"""Rows of the speed table, and their Markdown."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """One comparison: what was found, what is wanted, on what, and the unit."""

    what: str
    found: float | None
    wanted: str
    note: str = ""
    unit: str = ""

    @property
    def shown(self) -> str:
        if self.found is None:
            return "not measured"
        figure = f"{self.found:,.1f}" if self.found < 100 else f"{self.found:,.0f}"
        if self.found < 0.1:
            figure = f"{self.found:.1g}"
        return f"{figure} {self.unit}".rstrip()


def markdown(rows: Iterable[Row]) -> str:
    """Return rows as a Markdown table."""
    lines = ["| what | found | to reach | on |", "|---|---|---|---|"]
    lines += [f"| {r.what} | {r.shown} | {r.wanted} | {r.note} |" for r in rows]
    return "\n".join(lines)
