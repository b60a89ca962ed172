"""Change-over contacts of live crossings: what they carry, steadily and in a short."""

from dataclasses import dataclass
from math import sqrt

from core.materials.tables.reading import Row, index_by_id, read_rows
from core.units.si import Ampere

SHORT_TIME = 10.0
"""A contact stands ten times its rating for a tenth of a second, so I²·t up to this
times its rating squared (house choice: no figure for such contacts was found). [s]"""


@dataclass(frozen=True, slots=True)
class Contact:
    """A kind of change-over contact.

    Attributes
    ----------
    id, label : str
        Its name, and what people call it.
    amps_a : Ampere
        What it carries for good. [A]
    source : str
        Where the figure comes from.
    """

    id: str
    label: str
    amps_a: Ampere
    source: str


def contact_needed(trip_a: float, let_through: float) -> Ampere:
    """Return the rating that a contact behind a device must have.

    Parameters
    ----------
    trip_a : float
        What the device never trips at, just below it. [A]
    let_through : float
        I²·t of a short until the device lets go. [A²s]
    """
    return Ampere(max(trip_a, sqrt(let_through / SHORT_TIME)))


def least_contact(amps_a: float) -> Contact | None:
    """Return the smallest kind of contact that carries a current, if any does."""
    fits = (c for c in CONTACTS.values() if c.amps_a >= amps_a)
    return min(fits, key=lambda c: c.amps_a, default=None)


def read_contact(row: Row) -> Contact:
    """Return the contact of a row."""
    return Contact(
        id=row.text("id"),
        label=row.text("label"),
        amps_a=Ampere(row.number("amps_a")),
        source=row.text("source"),
    )


CONTACTS: dict[str, Contact] = index_by_id(
    ((c.id, c) for c in map(read_contact, read_rows("contacts"))), "contacts.csv"
)
"""All contacts by id."""

USUAL = CONTACTS["snap"]
"""What a contact that nobody looked up counts as (house choice)."""
