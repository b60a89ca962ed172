"""The published schema says what the files say."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from core.layout.layout import Layout
from core.layout.storage.line import KINDS
from core.layout.storage.schema import layout_schema
from core.layout.storage.text import dump_layout
from tests.core.layout.samples import DROP, HEAD, RUN
from tests.core.layout.strategies import layouts

SAMPLE = Path(__file__).parents[3] / "files" / "version1.fwl"
SCHEMA = layout_schema()
TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "integer": (int,),
    "number": (int, float),
    "boolean": (bool,),
    "null": (type(None),),
}


def fits(value: Any, schema: dict[str, Any]) -> bool:
    """Return whether a value obeys a schema: the words of 2020-12 that ours uses."""
    unknown = set(schema) - {
        *("$ref", "anyOf", "type", "enum", "minimum", "maximum", "minLength"),
        *("maxLength", "minItems", "maxItems", "items", "properties", "required"),
        *("title", "description", "default", "discriminator", "$defs", "$schema"),
        *("additionalProperties", "contentEncoding"),
    }
    assert not unknown, f"teach this test {unknown}"
    if "$ref" in schema:
        return fits(value, SCHEMA["$defs"][schema["$ref"].rpartition("/")[2]])
    if "anyOf" in schema:
        return any(fits(value, one) for one in schema["anyOf"])
    if "enum" in schema:
        return value in schema["enum"]
    if isinstance(value, bool) != (schema["type"] == "boolean"):
        return False
    return isinstance(value, TYPES[schema["type"]]) and fits_limits(value, schema)


def fits_limits(value: Any, schema: dict[str, Any]) -> bool:
    match value:
        case dict():
            return fits_object(value, schema)
        case list():
            sized = schema.get("minItems", 0) <= len(value)
            sized = sized and len(value) <= schema.get("maxItems", len(value))
            return bool(sized) and all(fits(v, schema.get("items", {})) for v in value)
        case str():
            encoded = len(value) if "contentEncoding" not in schema else 0
            return encoded <= int(schema.get("maxLength", encoded))
        case bool() | None:
            return True
        case _:
            low, high = schema.get("minimum", value), schema.get("maximum", value)
            return bool(low <= value <= high)


def fits_object(value: dict[str, Any], schema: dict[str, Any]) -> bool:
    known = schema.get("properties", {})
    others = schema.get("additionalProperties", True)
    return all(name in value for name in schema.get("required", ())) and all(
        fits(v, known[k]) if k in known else others is True or fits(v, others)
        for k, v in value.items()
    )


@given(layouts())
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_every_file_written_obeys_the_schema(layout: Layout) -> None:
    assert fits(json.loads(dump_layout(layout)), SCHEMA)


def test_the_sample_obeys_it_but_for_the_unknown_kind() -> None:
    content = json.loads(SAMPLE.read_bytes())
    assert not fits(content, SCHEMA)
    del content["parts"][-1]
    assert fits(content, SCHEMA)


@pytest.mark.parametrize(
    "wrong",
    [
        {**HEAD},
        {**HEAD, "version": 2, "parts": []},
        {**HEAD, "format": "other", "parts": []},
        {**HEAD, "parts": [{**RUN, "x_mm": "0"}]},
        {**HEAD, "parts": [{**RUN, "pieces": []}]},
        {**HEAD, "parts": [{**RUN, "id": None}]},
        {**HEAD, "parts": [{**DROP, "on": {"run": "R1"}}]},
        {**HEAD, "parts": [{**DROP, "lead_m": -1}]},
        {**HEAD, "parts": [{**DROP, "a_rail": "upper"}]},
    ],
    ids=str,
)
def test_what_is_wrong_does_not_obey_it(wrong: dict[str, Any]) -> None:
    assert not fits(wrong, SCHEMA)


def test_it_describes_every_kind_of_part() -> None:
    tags = {
        tag
        for kind in SCHEMA["$defs"].values()
        for tag in kind["properties"].get("kind", {}).get("enum", ())
    }
    assert tags == set(KINDS)


def test_it_is_plain_json_with_its_dialect_named() -> None:
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert "layout" in SCHEMA["title"]
