"""The JSON Schema of layout files."""

from typing import Any

import msgspec

from core.layout.storage.format import FORMAT, VERSION, LayoutFile


def layout_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the layout file.

    It says what this version writes. When reading, unknown keys and parts of
    unknown kinds are kept, so files of later revisions of the same version are
    welcome although the schema does not describe them.
    """
    schema: dict[str, Any] = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{FORMAT}, version {VERSION}",
    }
    schema.update(msgspec.json.schema(LayoutFile))
    for kind in schema["$defs"].values():
        kind["description"] = " ".join(kind["description"].split())
    plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(schema))
    return plain
