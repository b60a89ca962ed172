"""How much a picture may ask for."""

import sys

MOST_BYTES = 100_000_000
"""Largest file that is opened at all. [B]"""

MOST_BYTES_OF = {"svg": 5_000_000, "dxf": 50_000_000}
"""The same for kinds that are all text. [B]"""

MOST_PIXELS = 120_000_000
"""Most pixels a picture may have before it is read; A1 at 300 dpi has 70 million."""

KEPT_PIXELS = 40_000_000
KEPT_SIDE = 12_000
"""What is kept of it: pixels in all, and along one side."""

KEPT_BYTES = 16_000_000
"""Largest picture that goes into a layout file; its own limit is 24 million. [B]"""

DRAWN_SIDE = 6_000
"""Longer side of what is drawn from lines (PDF, SVG, DXF). [px]"""

MOST_ENTITIES = 200_000
"""Lines and arcs of a DXF file that are drawn; nested blocks can hold any number."""

MEMORY = 2_500_000_000
"""Address space of the child. [B]"""

CPU_S = 25
"""Processor time of the child. [s]"""


class RefusedError(Exception):
    """The picture will not be taken: one sentence, and what to do instead."""

    def __init__(self, what: str, hint: str = "") -> None:
        super().__init__(f"{what} {hint}".strip())


def hold_down() -> None:
    """Limit this process's memory and time, where the system can."""
    if sys.platform == "win32":
        return  # the parent's clock is the only limit there
    import resource  # noqa: PLC0415  not there on Windows

    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
