"""The pickers that come out of the tables of materials."""

from collections.abc import Sequence

from app.panels.fields.field import Choice
from core.layout.parts import Settings
from core.materials.joints import JOINTS
from core.materials.rails import RAILS
from core.materials.wires import Wire, WireSystem, wires_of
from core.units.figures import show_ohms

FAMILIES = {
    "awg": "American gauges",
    "iec60228": "Metric sizes",
    "hook-up": "Hook-up wire",
    "strands": "By strands",
}
"""What a builder calls each family of wire."""


def wire_choices(settings: Settings) -> Sequence[Choice]:
    """Return every wire, the person's own system first."""
    systems: tuple[WireSystem, ...] = ("mm2", "awg")
    found: list[Choice] = []
    for system in sorted(systems, key=lambda s: s != settings.wires):
        found += [_wire_choice(wire) for wire in wires_of(system)]
    return list({choice.value: choice for choice in reversed(found)}.values())[::-1]


def rail_choices(_: Settings) -> Sequence[Choice]:
    """Return every rail section."""
    return [
        Choice(
            rail.id,
            rail.label,
            "Rail sections",
            f"{show_ohms(rail.ohm_per_m)} a metre of one rail "
            f"({show_ohms(rail.low)} to {show_ohms(rail.high)}). {rail.source}",
        )
        for rail in RAILS.values()
    ]


def rail_joint_choices(_: Settings) -> Sequence[Choice]:
    """Return every way rail meets rail."""
    return _joints("rail")


def contact_choices(_: Settings) -> Sequence[Choice]:
    """Return every way wire meets wire."""
    return _joints("wire")


def _joints(use: str) -> list[Choice]:
    return [
        Choice(
            joint.id,
            joint.label,
            "",
            f"{show_ohms(joint.ohm)} each "
            f"({show_ohms(joint.low)} to {show_ohms(joint.high)}). {joint.source}",
        )
        for joint in JOINTS.values()
        if joint.use == use
    ]


def _wire_choice(wire: Wire) -> Choice:
    tip = f"{show_ohms(wire.ohm_per_m)} a metre of one conductor. {wire.source}"
    return Choice(wire.id, wire.label, FAMILIES.get(wire.family, wire.family), tip)
