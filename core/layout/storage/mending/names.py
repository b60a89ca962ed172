"""Names of wires, rails and joints that the tables do not have."""

from typing import TypeVar

from msgspec.structs import fields, replace

from core.layout.limits.materials import strange_names
from core.layout.parts import Part
from core.layout.storage.report import Notes

P = TypeVar("P", bound=Part)


def mend_names(part: P, notes: Notes) -> P:
    """Return a part whose materials are in the tables; unknown ones as usual.

    The usual one is what a part has when nothing is said.
    """
    usual = {f.name: f.default for f in fields(part)}
    for strange in strange_names(part):
        near = f" ({strange.nearest!r} comes near)" if strange.nearest else ""
        notes.fix(
            f"{part.id}: there is no {strange.field} called {strange.name!r}{near}; "
            f"it has {usual[strange.field]!r} now."
        )
        part = replace(part, **{strange.field: usual[strange.field]})
    return part
