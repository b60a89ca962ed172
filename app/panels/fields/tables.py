"""Which fields each kind of part has, in the order a builder asks for them."""

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import msgspec

from app.panels.fields.codecs import (
    AMPS,
    COUNT,
    DEGREES,
    LENGTH,
    MILLIMETRES,
    OHMS,
    SECONDS,
    SHARE,
    TEXT,
    VOLTS,
    WATTS,
)
from app.panels.fields.field import Field, one_of
from app.panels.fields.measured import MEASURED
from app.panels.fields.pickers import (
    contact_choices,
    rail_choices,
    rail_joint_choices,
    wire_choices,
)
from app.tools.steps import Step, chain
from core.layout.change import Change
from core.layout.edits.add import NEVER_TRIP
from core.layout.edits.attach import connect
from core.layout.edits.mirror import flip_hand, flip_opening
from core.layout.edits.opening import set_contact
from core.layout.edits.set import set_fields
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Backdrop,
    Board,
    Booster,
    Bus,
    Crossing,
    Drop,
    Gap,
    Inline,
    Joist,
    Load,
    Opening,
    Part,
    Strip,
    ToPort,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.materials.contacts import CONTACTS, USUAL

SIDES = one_of(
    ("none", "No rail"),
    ("left", "Left rail"),
    ("right", "Right rail"),
    ("both", "Both"),
)
RAILS = one_of(("both", "Both rails"), ("left", "Left rail"), ("right", "Right rail"))
FILLING = one_of(
    ("air", "Air, a bare cut"),
    ("plastic", "Plastic, it cannot close"),
    ("metal", "Metal, it parts nothing"),
)
SENSING = one_of(("average", "Average"), ("peak", "Peak"), ("rms", "True rms"))


def _is_lamp(part: Inline) -> bool:
    return part.device == "lamp"


def _is_no_lamp(part: Inline) -> bool:
    return part.device != "lamp"


def _filling(part: Gap) -> str:
    if part.bridged:
        return "metal"
    return "plastic" if part.filled else "air"


def _set_filling(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    return set_fields(layout, ids, filled=value == "plastic", bridged=value == "metal")


def _set_place(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    part = layout.parts[min(ids)]
    assert isinstance(part, Drop | Gap | Load | Turnout)
    on = msgspec.structs.replace(part.on, position_m=value)
    return set_fields(layout, ids, on=on)


def _set_device(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    fields: dict[str, Any] = {"device": value}
    if value in NEVER_TRIP:
        fields["trip_a"] = None
    return set_fields(layout, ids, **fields)


def _set_other(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    to = ToPort(part=PartId(str(value).strip().upper())) if value else None
    return connect(layout, min(ids), "other", to)


def _set_contact(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    contact = PartId(str(value).strip().upper()) if value else None
    return set_contact(layout, min(ids), contact)


def _set_hand(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    return _turned(layout, ids, "hand", value, flip_hand)


def _set_opens(layout: Layout, ids: frozenset[PartId], value: Any) -> Change:
    return _turned(layout, ids, "opens", value, flip_opening)


def _turned(
    layout: Layout,
    ids: frozenset[PartId],
    field: str,
    value: Any,
    flip: Callable[[Layout, PartId], Change],
) -> Change:
    """Return the change that flips those turnouts that are otherwise."""

    def step(turnout: PartId) -> Step:
        return lambda trial: (
            Change("", {}, {})
            if getattr(trial.parts[turnout], field) == value
            else flip(trial, turnout)
        )

    whose = next(iter(ids)) if len(ids) == 1 else f"{len(ids)} turnouts"
    return chain(layout, f"Flip {whose}", *(step(i) for i in sorted(ids)))


NAME = Field("name", "Name", tip="What you call it on the layout.", alone=True)
X = Field("x_mm", "From the left", MILLIMETRES, alone=True)
Y = Field("y_mm", "From the front", MILLIMETRES, alone=True)
PLACE = Field(
    "on",
    "Along the run",
    LENGTH,
    alone=True,
    tip="Measured along the track from the start of the run.",
    read=lambda part: part.on.position_m,
    build=_set_place,
)
RAIL_JOINT = Field("joint", "Joined by", choices=rail_joint_choices)
CONTACT = Field("contact", "Connected by", choices=contact_choices)
TRIP = Field(
    "trip_a",
    "Trips at",
    AMPS,
    tip="The current at which it cuts off. Read it off the device's own leaflet.",
)
TRIP_TIME = Field("trip_s", "Trips within", SECONDS)
SENSED = Field(
    "sensing",
    "It senses the",
    choices=SENSING,
    tip="What it compares with the trip current. If the leaflet is silent: average.",
)
RATED = Field("rated_a", "Rated for", AMPS)
FROG_CONTACT = Field(
    "contact_a",
    "Contact good for",
    AMPS.or_blank(),
    blank=f"{USUAL.amps_a:g} A, not looked up",
    shown=lambda part: part.frog == "switched",
    tip="What the change-over contact of the frog carries. "
    + "; ".join(f"{c.label}: {c.amps_a:g} A" for c in CONTACTS.values())
    + ". Read it off the leaflet.",
)
FROG_LEAD = Field(
    "frog_wire",
    "Frog lead",
    choices=wire_choices,
    shown=lambda part: part.frog == "switched",
    tip="The wire from the frog to its contact.",
)
FLIPPED = "Tick where A and B are swapped on purpose or by mistake."

LABELLED = "What stands on the wires there. Leave it empty if it is the bus's own id."

FIELDS: Mapping[type[Part], tuple[Field, ...]] = {
    TrackRun: (
        NAME,
        Field("rail", "Rail", choices=rail_choices),
        MEASURED,
        Field("piece_length_m", "Length of a piece", LENGTH),
        Field("joint", "Pieces joined by", choices=rail_joint_choices),
        Field("level_mm", "Height", MILLIMETRES, tip="Rail top over the floor."),
        Field(
            "level_end_mm",
            "Height at its end",
            MILLIMETRES.or_blank(),
            blank="Level",
            tip="Where the track climbs evenly: the rail top at its end.",
        ),
    ),
    TrackJoint: (RAIL_JOINT, Field("insulated", "Insulated", choices=SIDES)),
    Turnout: (
        NAME,
        Field(
            "hand",
            "Branches to the",
            choices=one_of(("left", "Left"), ("right", "Right")),
            tip="Seen from the blades. Another hand turns the leg over.",
            build=_set_hand,
        ),
        Field(
            "opens",
            "Opens towards",
            choices=one_of(
                ("forward", "the end of the run"), ("backward", "the start of the run")
            ),
            tip="Which way along the run the leg leaves.",
            build=_set_opens,
        ),
        Field(
            "frog",
            "Frog",
            choices=one_of(
                ("insulated", "Dead: insulated, no wire"),
                ("switched", "Live by a contact on its drive"),
                ("self-powered", "Live through the blades"),
            ),
            tip="Dead: short engines may stall. Live by a contact: sure, one wire and "
            "one contact more. Live through the blades: no wire, but only as good as "
            "the blades touch.",
        ),
        PLACE,
        Field("lead_m", "Toe to frog", LENGTH),
        RAIL_JOINT,
        Field("leg_insulated", "Leg insulated", choices=SIDES),
        Field(
            "heel_gaps",
            "Gaps behind the frog",
            ticked=True,
            shown=lambda part: part.frog != "insulated",
            tip="Without them nothing may feed the inner rails behind a live frog.",
        ),
        FROG_CONTACT,
        FROG_LEAD,
    ),
    Crossing: (
        NAME,
        Field(
            "shape",
            "It is a",
            choices=one_of(
                ("diamond", "Diamond: no way over"),
                ("single slip", "Single slip: one way over"),
                ("double slip", "Double slip: both ways over"),
            ),
        ),
        Field(
            "side",
            "Slip road on the",
            choices=one_of(("left", "Left"), ("right", "Right")),
            tip="As seen along its first track from the start.",
            shown=lambda part: part.shape == "single slip",
        ),
        Field(
            "frog",
            "Crossings",
            choices=one_of(
                ("insulated", "Insulated, dead"),
                ("switched", "Live, switched"),
                ("uncut", "All one metal, uncut"),
            ),
            tip="The four small crossings where a rail crosses a rail.",
        ),
        Field(
            "obtuse",
            "Blunt ones",
            choices=one_of(("joined", "One metal with the rails"), ("dead", "Dead")),
            tip="The two near the middle. On tracks fed alike they carry one pole.",
            shown=lambda part: part.frog == "switched",
        ),
        Field(
            "joint",
            "Slip roads joined by",
            choices=rail_joint_choices,
            shown=lambda part: part.shape != "diamond",
        ),
        FROG_CONTACT,
        FROG_LEAD,
    ),
    Turntable: (
        NAME,
        Field(
            "form",
            "It is a",
            choices=one_of(("turntable", "Turntable"), ("traverser", "Traverser")),
        ),
        Field(
            "across_mm",
            "Across the pit",
            MILLIMETRES,
            tip="Its diameter; for a traverser its size along the bridge.",
        ),
        Field(
            "travel_mm",
            "Length of the pit",
            MILLIMETRES,
            tip="How far the pit reaches along the way that the bridge shifts.",
            shown=lambda part: part.form == "traverser",
        ),
        Field(
            "ring",
            "Ring in the pit",
            choices=one_of(
                ("split", "Split, it changes over"),
                ("whole", "Whole, or a lead"),
            ),
            tip="How the wires come to the bridge. Two halves change the poles over as "
            "it turns; a reverser before the bridge needs a whole ring.",
            shown=lambda part: part.form == "turntable",
        ),
        Field(
            "pickups",
            "Pick-ups stand",
            choices=one_of(
                ("sides", "Across the bridge"), ("ends", "At the bridge's ends")
            ),
            tip="Where the bridge touches the ring: it decides how the bridge lies "
            "when they pass the cuts.",
            shown=lambda part: part.form == "turntable" and part.ring == "split",
        ),
        Field(
            "split_deg",
            "Ring cut at",
            DEGREES,
            tip="Bearing of one cut, counter-clockwise from the right of the plan; the "
            "other is opposite. With a whole ring and stops: the line of the stops.",
            shown=lambda part: (
                part.form == "turntable" and (part.ring == "split" or part.stops)
            ),
        ),
        Field(
            "stops",
            "Stops: never turns end for end",
            ticked=True,
            shown=lambda part: part.form == "turntable",
        ),
        X,
        Y,
    ),
    Gap: (
        PLACE,
        Field("rails", "Cut through", choices=RAILS),
        Field(
            "filled",
            "Between the ends",
            choices=FILLING,
            tip="Plastic holds the cut open. Metal joins the rails again: it parts "
            "nothing.",
            read=_filling,
            build=_set_filling,
        ),
        Field("note", "Note"),
    ),
    Booster: (
        NAME,
        Field(
            "use",
            "It feeds",
            choices=one_of(
                ("main", "Running trains"), ("programming", "A programming track")
            ),
        ),
        Field("volts_v", "Track volts", VOLTS),
        RATED,
        TRIP,
        TRIP_TIME,
        SENSED,
        Field(
            "inner_ohm",
            "Inner resistance",
            OHMS,
            tip="How much its volts give way under load: volts lost for each amp.",
        ),
        Field("reversed_phase", "A and B swapped at its output", ticked=True),
        Field(
            "common",
            "Booster common",
            choices=one_of(
                ("not said", "Not looked up yet"),
                ("joined", "Joined"),
                ("separate", "Kept apart"),
            ),
            tip="As the makers' instructions ask. The program does not decide it.",
        ),
        X,
        Y,
    ),
    Inline: (
        NAME,
        Field(
            "device",
            "It is a",
            choices=one_of(
                ("breaker", "Breaker"),
                ("reverser", "Reverser"),
                ("detector", "Occupancy detector"),
                ("fuse", "Fuse"),
                ("switch", "Switch"),
                ("lamp", "Lamp limiter"),
            ),
            build=_set_device,
        ),
        Field(
            "lamp_v",
            "Lamp rated",
            VOLTS,
            shown=_is_lamp,
            tip="The volts on the lamp, such as 12.8 V on a car's.",
        ),
        Field(
            "lamp_a",
            "Lamp draws",
            AMPS,
            shown=_is_lamp,
            tip="At its rated volts: its watts over its volts. Of several side by side "
            "the amps together.",
        ),
        dataclasses.replace(RATED, shown=_is_no_lamp),
        Field(
            TRIP.name,
            TRIP.label,
            AMPS.or_blank(),
            tip=TRIP.tip,
            blank="Never",
            shown=_is_no_lamp,
        ),
        dataclasses.replace(TRIP_TIME, shown=_is_no_lamp),
        dataclasses.replace(SENSED, shown=_is_no_lamp),
        Field("series_ohm", "Resistance", OHMS),
        Field("drop_v", "Fixed loss", VOLTS, tip="Diodes of a detector: about 1.4 V."),
        Field(
            "closed",
            "Switched on",
            ticked=True,
            shown=lambda part: part.device == "switch",
        ),
        Field(
            "poles",
            "Poles",
            choices=one_of((1, "1: A alone"), (2, "2: A and B"), (4, "4: two pairs")),
            shown=lambda part: part.device == "switch",
            tip="The second pair of 4 poles is for an isolation piece, which is dead "
            "while the switch is off.",
        ),
        Field(
            "other",
            "When off, fed from",
            TEXT.or_blank(),
            blank="Nothing",
            alone=True,
            shown=lambda part: part.device == "switch",
            tip="The id of an output for programming, such as PB2: then this is a "
            "change-over switch.",
            read=lambda part: part.other.part if part.other else None,
            build=_set_other,
        ),
        Field("feed_flipped", "Fed with A and B swapped", ticked=True, tip=FLIPPED),
        X,
        Y,
    ),
    Bus: (
        NAME,
        Field("wire", "Wire", choices=wire_choices),
        Field(
            "lay",
            "The two wires lie",
            choices=one_of(
                ("twisted", "Twisted together"),
                ("side by side", "Side by side, touching"),
                ("apart", "Apart"),
            ),
            tip="The further apart, the harder it is for a short to draw its current.",
        ),
        Field(
            "spacing_mm",
            "Apart by",
            MILLIMETRES,
            shown=lambda part: part.lay == "apart",
        ),
        Field("slack", "Slack", SHARE, tip="Wire used beyond the line drawn."),
        Field("extra_m", "Extra length", LENGTH, tip="Legs down, loops, detours."),
        Field("start_flipped", "A and B swapped at its start", ticked=True),
        Field("end_flipped", "A and B swapped at its end", ticked=True),
        Field("start_label", "Label at its start", tip=LABELLED, alone=True),
        Field("end_label", "Label at its end", tip=LABELLED, alone=True),
        Field(
            "snubber",
            "Snubber at its free end",
            ticked=True,
            shown=lambda part: part.start is None or part.end is None,
            tip="120 Ω and 0.1 µF in series across the two wires, against ringing.",
        ),
    ),
    Strip: (
        NAME,
        Field("ways", "Ways", COUNT),
        CONTACT,
        Field("flipped", "Its drops hang on the wrong bar", ticked=True, tip=FLIPPED),
        X,
        Y,
    ),
    Drop: (
        Field("wire", "Wire", choices=wire_choices),
        Field(
            "a_rail",
            "A goes to",
            choices=one_of(("left", "the left rail"), ("right", "the right rail")),
            tip="The rail A is soldered to, seen along the run from its start.",
        ),
        Field("rails", "Feeds", choices=RAILS),
        PLACE,
        CONTACT,
        Field(
            "lead_m",
            "Lead length",
            LENGTH.or_blank(),
            blank="From the drawing",
            tip="Leave it empty to have it measured on the drawing.",
        ),
        Field("far_label", "Label at the far end"),
        Field("note", "Note"),
    ),
    Load: (
        NAME,
        Field(
            "use",
            "It is a",
            choices=one_of(("train", "Train"), ("standing", "Standing load")),
        ),
        Field("amps_a", "Draws", AMPS),
        Field("watts_w", "or draws", WATTS, tip="Leave at 0 W to go by the amps."),
        PLACE,
        Field("length_m", "Length", LENGTH),
        Field("active", "Counts in the figures", ticked=True),
    ),
    Opening: (
        NAME,
        Field(
            "use",
            "It is a",
            choices=one_of(
                ("lift-out", "Lift-out section"),
                ("gate", "Hinged gate"),
                ("board joint", "Joint of a removable board"),
            ),
        ),
        Field(
            "hinge",
            "Hinge, or plug, on the",
            choices=one_of(
                ("left", "Left"),
                ("right", "Right"),
                ("front", "Front"),
                ("back", "Back"),
            ),
            tip="The side its wires cross: the hinge of a gate, the plug of a "
            "lift-out. Seen from above.",
        ),
        Field("plug", "Its wires cross by", choices=contact_choices),
        Field(
            "buses",
            "Buses over its edges",
            choices=one_of(
                ("whole", "In one piece"),
                ("plugs", "Part by plugs"),
                ("clear", "Pass clear of it"),
            ),
            tip="Clear of it: under the floor, or overhead.",
        ),
        Field(
            "contact",
            "Switch that opens with it",
            TEXT.or_blank(),
            blank="None",
            alone=True,
            tip="The id of a switch in the feed of the track before both edges, "
            "such as SW1: it cuts that track when the section is open.",
            build=_set_contact,
        ),
    ),
    Board: (
        NAME,
        Field("width_mm", "Wide", MILLIMETRES),
        Field("depth_mm", "Deep", MILLIMETRES),
        Field(
            "aisle",
            "You stand at the",
            choices=one_of(
                ("front", "Front"),
                ("back", "Back"),
                ("left", "Left"),
                ("right", "Right"),
            ),
        ),
        X,
        Y,
    ),
    Joist: (Field("width_mm", "Thickness", MILLIMETRES),),
    Backdrop: (Field("opacity", "Strength", SHARE),),
}
"""The fields of each kind, most important first."""


def fields_of(parts: Sequence[Part]) -> tuple[Field, ...]:
    """Return the fields that some parts have in common."""
    if not parts:
        return ()
    kinds = {type(part) for part in parts}
    first = FIELDS.get(type(parts[0]), ())
    others = [{f.name: f for f in FIELDS.get(kind, ())} for kind in kinds]
    return tuple(
        field
        for field in first
        if all(_is_same(field, other.get(field.name)) for other in others)
        and not (field.alone and len(parts) > 1)
    )


def _is_same(field: Field, other: Field | None) -> bool:
    if other is None:
        return False
    return (field.label, field.choices, field.ticked) == (
        other.label,
        other.choices,
        other.ticked,
    )
