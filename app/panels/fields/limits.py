"""What a field of a part may hold, read from the annotation of the part itself."""

from functools import lru_cache
from typing import Any

import msgspec
from msgspec.inspect import (
    FloatType,
    IntType,
    Metadata,
    StrType,
    StructType,
    Type,
    UnionType,
    type_info,
)

from app.panels.fields.codecs import Codec
from core.errors import CoreError
from core.layout.parts import Settings


class OutOfRangeError(CoreError, ValueError):
    """A value is none that the field can take."""

    def __init__(self, what: str) -> None:
        super().__init__(what)


def check_range(
    kind: type[msgspec.Struct], name: str, value: Any, codec: Codec, settings: Settings
) -> None:
    """Say in one sentence why a value cannot stand in a field of a part.

    Raises
    ------
    OutOfRangeError
        It is too small, too large or too long.
    """
    bounds = _bounds(kind).get(name)
    if isinstance(bounds, StrType) and isinstance(value, str):
        most = bounds.max_length
        if most is not None and len(value) > most:
            raise OutOfRangeError(f"At most {most} letters fit here.")
    if isinstance(bounds, FloatType | IntType) and isinstance(value, int | float):
        _check_number(bounds, value, codec, settings)


def _check_number(
    bounds: FloatType | IntType, value: float, codec: Codec, settings: Settings
) -> None:
    def show(limit: float) -> str:
        return codec.to_text(limit, settings)

    if bounds.gt is not None and value <= bounds.gt:
        raise OutOfRangeError(f"It must be more than {show(bounds.gt)}.")
    if bounds.ge is not None and value < bounds.ge:
        raise OutOfRangeError(f"It must be {show(bounds.ge)} or more.")
    if bounds.le is not None and value > bounds.le:
        raise OutOfRangeError(f"It must be {show(bounds.le)} or less.")


@lru_cache
def _bounds(kind: type[msgspec.Struct]) -> dict[str, Type]:
    info = type_info(kind)
    assert isinstance(info, StructType)
    return {field.name: _bare(field.type) for field in info.fields}


def _bare(kind: Type) -> Type:
    """Return the one type inside `X | None` and inside annotations."""
    if isinstance(kind, Metadata):
        return _bare(kind.type)
    if isinstance(kind, UnionType):
        rest = [t for t in kind.types if not isinstance(t, msgspec.inspect.NoneType)]
        return _bare(rest[0]) if len(rest) == 1 else kind
    return kind
