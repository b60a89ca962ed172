"""A file that was cut, torn or made up gives a report or a named error."""

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from core.errors import FileFormatError
from core.layout.layout import Layout
from core.layout.storage.mending.references import mend_references
from core.layout.storage.read import read_layout
from core.layout.storage.report import LoadReport, Notes
from core.layout.storage.text import dump_layout, parse_layout
from core.network.build import build_circuit

SAMPLE = Path(__file__).parents[3] / "files" / "version1.fwl"
WHOLE = SAMPLE.read_bytes()


def attempt(data: bytes) -> tuple[Layout | None, FileFormatError | None]:
    try:
        return parse_layout(data, "torn.fwl")[0], None
    except FileFormatError as error:
        return None, error


def survive(data: bytes) -> Layout | None:
    """Read; whatever comes must be sound, say so when read again, or be named."""
    layout, refused = attempt(data)
    if layout is None:
        assert refused is not None
        assert refused.sentence().startswith("torn.fwl: ")
        assert refused.hint
        return None
    notes = Notes()
    assert mend_references(dict(layout.parts), frozenset(), notes).parts == layout.parts
    assert notes.report() == LoadReport()
    again, report = parse_layout(dump_layout(layout), "again.fwl")
    assert report.fixed == ()
    assert again.parts == layout.parts
    return layout


def test_a_file_cut_short_at_any_byte_is_named_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "cut.fwl"
    last = WHOLE.rindex(b"}")
    for length in range(last + 1):
        data = WHOLE[:length]
        path.write_bytes(data)
        with pytest.raises(FileFormatError, match=r"cut\.fwl: line [0-9]+: "):
            read_layout(path)
        assert path.read_bytes() == data


@given(
    st.lists(
        st.tuples(
            st.integers(0, len(WHOLE)), st.integers(0, 20), st.binary(max_size=8)
        ),
        min_size=1,
        max_size=4,
    )
)
@settings(max_examples=400)
def test_torn_bytes_never_give_another_error(
    tears: list[tuple[int, int, bytes]],
) -> None:
    data = WHOLE
    for at, gone, new in tears:
        data = data[:at] + new + data[at + gone :]
    survive(data)


@given(st.binary(max_size=60) | st.text(max_size=60).map(str.encode))
@example(b"")
@example(b"\xff\xfe\x00")
@example(b"null")
@example(b'"feederwright-layout"')
@example(b'{"format": "feederwright-layout"}')
@example(b'{"format": "feederwright-layout", "version": 1}')
@example(b'{"format": "feederwright-layout", "version": 1, "parts": 5}')
@example(b'{"format": "feederwright-layout", "version": 1, "parts": [5]}')
def test_rubbish_is_no_layout(data: bytes) -> None:
    assert survive(data) is None


# Values swapped for others: the text stays JSON, so the mending has to see it.

odd = st.sampled_from(
    [
        None,
        True,
        -1,
        0,
        3,
        1e-300,
        1e300,
        10**30,
        "",
        "R1",
        "D4",
        "settings",
        "x y",
        "a\nb",
        [],
        {},
        [1],
        {"run": "R1"},
        {"to": "bus", "part": "B1", "position_m": 900.0},
        {"to": "port", "part": "R1"},
        {"run": "R9", "position_m": 0},
    ]
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the way to every value inside a value."""
    items: Any = ()
    if isinstance(value, dict):
        items = value.items()
    elif isinstance(value, list):
        items = enumerate(value)
    found = [path] if path else []
    for key, inner in items:
        found.extend(places(inner, (*path, key)))
    return found


EVERYWHERE = places(json.loads(WHOLE))


@given(st.lists(st.tuples(st.sampled_from(EVERYWHERE), odd), min_size=1, max_size=4))
@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
def test_swapped_values_never_give_another_error(
    swaps: list[tuple[tuple[Any, ...], Any]],
) -> None:
    content = json.loads(WHOLE)
    for path, value in swaps:
        swap(content, path, value)
    layout = survive(json.dumps(content).encode())
    if layout is not None:
        build_circuit(layout)


def swap(content: Any, path: tuple[Any, ...], value: Any) -> None:
    """Put another value in a place, if an earlier swap has left that place."""
    for key in path[:-1]:
        if not has(content, key):
            return
        content = content[key]
    if has(content, path[-1]):
        content[path[-1]] = deepcopy(value)


def has(value: Any, key: Any) -> bool:
    if isinstance(value, dict):
        return key in value
    return isinstance(value, list) and isinstance(key, int) and key < len(value)
