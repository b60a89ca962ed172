"""The `.fwl` file: its keys, its version and its limits."""

from typing import Annotated, Final, Literal

from msgspec import Meta, Struct

from core.layout.ids import LAST_NUMBER
from core.layout.parts import Part

SUFFIX: Final = ".fwl"
"""What the name of a layout file ends with."""

FORMAT: Final = "feederwright-layout"
VERSION: Final = 1
"""The version written. Defaults of parts belong to it: a field that stands at
its default is not in the file, so a default may only change with the version."""

MAX_BYTES: Final = 40_000_000
"""Larger files are refused unread: a picture of 24 MB and its base64 fit. [byte]"""

MAX_PARTS: Final = 50_000
MAX_NESTING: Final = 32
"""Deepest nesting in what this version does not know. [1]"""

MAX_MARKS: Final = 2_500_000
"""Most brackets and commas, counted unread: each value costs far more memory than
its bytes. A file of the largest size with twenty bytes a value still fits. [1]"""

RECOVERY_KEY: Final = "recovery"
"""Key under which the journal notes whose unsaved work a file is."""


class LayoutFile(Struct, frozen=True, kw_only=True):
    """A plan of the track-power wiring of a model railway.

    Plan coordinates are millimetres, x to the right, y away from the viewer;
    positions along runs and buses are metres from their start. Unknown keys and
    parts of unknown kinds are kept and written back.
    """

    format: Literal["feederwright-layout"]
    version: Literal[1]
    issued: dict[str, Annotated[int, Meta(ge=0, le=LAST_NUMBER)]] = {}
    parts: Annotated[list[Part], Meta(max_length=MAX_PARTS)]
