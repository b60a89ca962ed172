"""Names of parts: short, stable, never used twice."""

import re
from typing import NewType

PartId = NewType("PartId", str)
"""The name of a part, such as D14, B2, TS3 or G7; at most 12 characters."""

SETTINGS_ID = PartId("settings")
"""The one part that holds the settings."""

BACKDROP_ID = PartId("backdrop")
"""The one part that holds the picture under the drawing."""

LAST_NUMBER = 999_999
"""Highest number of an id; after it, free numbers are used again. [1]"""

_NUMBERED = re.compile(r"([A-Z]{1,3})([0-9]{1,9})")


def split_id(part_id: PartId) -> tuple[str, int] | None:
    """Return prefix and number of an id, or None where it has another form."""
    match = _NUMBERED.fullmatch(part_id)
    return (match[1], int(match[2])) if match else None
