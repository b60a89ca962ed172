"""`schema`, and how the commands print JSON."""

import io
import json
import sys
from typing import Any

from core.layout.storage.schema import layout_schema


def print_schema() -> int:
    """Print the JSON Schema of layout files."""
    print_json(layout_schema())
    return 0


def print_json(found: dict[str, Any]) -> None:
    """Print one JSON object, in UTF-8 whatever the terminal speaks."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    print(json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False))
