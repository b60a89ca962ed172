"""The parts of a layout: frozen records, one class a kind.

Parts are msgspec records, so a part *is* its line in the file: field names carry
their unit, and the limits in the annotations are checked when a file is read.
Plan coordinates are millimetres, x to the right, y away from the viewer (towards
the back of the room), seen from above. Headings are degrees, counter-clockwise
from the x axis. Positions along a run or bus are metres from its start.
"""

from typing import Annotated, Literal

from msgspec import Meta, Struct

from core.layout.ids import BACKDROP_ID, SETTINGS_ID, PartId

Text = Annotated[str, Meta(max_length=200)]
Note = Annotated[str, Meta(max_length=4000)]
Mm = Annotated[float, Meta(ge=-1e6, le=1e6)]
Degrees = Annotated[float, Meta(ge=-36000, le=36000)]
LengthMm = Annotated[float, Meta(ge=1e-6, le=1e6)]
RadiusMm = Annotated[float, Meta(ge=1e-6, le=1e9)]
LengthM = Annotated[float, Meta(ge=0, le=1e3)]
Amps = Annotated[float, Meta(ge=0, le=1000)]
Volts = Annotated[float, Meta(ge=0, le=100)]
Ohms = Annotated[float, Meta(ge=0, le=1e6)]
Seconds = Annotated[float, Meta(ge=0, le=1000)]
Share = Annotated[float, Meta(ge=0, le=10)]

Side = Literal["left", "right"]
Sides = Literal["none", "left", "right", "both"]
End = Literal["start", "end"]
Edge = Literal["front", "back", "left", "right"]
Sensing = Literal["average", "peak", "rms"]


# Geometry and addresses -----------------------------------------------------


class Point(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A place in plan."""

    x_mm: Mm
    y_mm: Mm


class Straight(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="straight",
    tag_field="piece",
):
    """A straight piece of a run's path."""

    length_mm: LengthMm


class Arc(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="arc", tag_field="piece"
):
    """A circular arc of a run's path; a positive sweep turns left."""

    radius_mm: RadiusMm
    sweep_deg: Degrees


Piece = Straight | Arc


class OnRun(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A place on a track run."""

    run: PartId
    position_m: LengthM


class RunEnd(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One of the two ends of a track run."""

    run: PartId
    end: End


class ToPort(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="port", tag_field="to"
):
    """A connection to a booster or in-line device."""

    part: PartId
    port: Literal["in", "out", "iso"] = "out"


class ToBus(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="bus", tag_field="to"
):
    """A connection to a bus somewhere along its drawn path."""

    part: PartId
    position_m: LengthM


class ToStrip(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="strip", tag_field="to"
):
    """A connection to a terminal strip; way counts pairs of screws from 1."""

    part: PartId
    way: Annotated[int, Meta(ge=1, le=200)]


Attachment = ToPort | ToBus | ToStrip


# Track ----------------------------------------------------------------------


class TrackRun(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="run", tag_field="kind"
):
    """A length of track: a tangent-continuous path with two rails.

    Left and right are as seen when walking from the start to the end. Rail tops lie
    at `level_mm`; where the track climbs, evenly from there to `level_end_mm`.
    """

    id: PartId
    name: Text = ""
    x_mm: Mm
    y_mm: Mm
    heading_deg: Degrees
    pieces: Annotated[tuple[Piece, ...], Meta(min_length=1, max_length=2000)]
    level_mm: Mm = 0.0
    level_end_mm: Mm | None = None
    rail: Text = "code100-ns"
    piece_length_m: Annotated[float, Meta(ge=0.01, le=100)] = 0.914
    joint: Text = "joiner-new"


class TrackJoint(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="joint", tag_field="kind"
):
    """Two run ends that meet rail to rail.

    `insulated` names rails as seen on the run of `a`.
    """

    id: PartId
    a: RunEnd
    b: RunEnd
    joint: Text = "joiner-new"
    insulated: Sides = "none"


class Turnout(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="turnout",
    tag_field="kind",
):
    """A leg that branches off a run.

    `on` is the toe (points of the blades) on the through run; `opens` tells
    which way along that run the leg leaves; `leg` is the run end that begins
    there. `leg_insulated` names rails of the leg run, as seen on the leg run.
    `frog` is the treatment of the crossing; "insulated" leaves it dead. A switched
    one has a change-over contact good for `contact_a`, where that was looked up,
    and a lead of `frog_wire`.
    """

    id: PartId
    name: Text = ""
    on: OnRun
    opens: Literal["forward", "backward"] = "forward"
    hand: Side = "left"
    leg: RunEnd
    frog: Literal["insulated", "switched", "self-powered"] = "insulated"
    lead_m: Annotated[float, Meta(ge=1e-3, le=5)] = 0.15
    joint: Text = "joiner-new"
    leg_insulated: Sides = "none"
    heel_gaps: bool = True
    contact_a: Annotated[float, Meta(ge=1e-3, le=100)] | None = None
    frog_wire: Text = "0.5mm2-c5"


class Crossing(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="crossing",
    tag_field="kind",
):
    """Two tracks that cross on one level: a diamond, or a slip.

    `a` and `b` are where the centre lines cross; both may be on one run. A slip
    also leads from one track to the other; `side` is the side of run `a` that the
    road of a single slip lies on, as seen on that run. `frog` is how the four small
    crossings are made; `obtuse` what becomes of the two blunt ones where `frog` is
    "switched". Contacts and leads are as those of a turnout.
    """

    id: PartId
    name: Text = ""
    a: OnRun
    b: OnRun
    shape: Literal["diamond", "single slip", "double slip"] = "diamond"
    side: Side = "left"
    frog: Literal["insulated", "switched", "uncut"] = "insulated"
    obtuse: Literal["joined", "dead"] = "joined"
    joint: Text = "joiner-new"
    contact_a: Annotated[float, Meta(ge=1e-3, le=100)] | None = None
    frog_wire: Text = "0.5mm2-c5"


class Gap(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="gap", tag_field="kind"
):
    """A cut through one or both rails of a run.

    `filled` means that plastic holds it open; `bridged` that metal joins the rails
    again, whatever was meant: solder, a scrap of brass, ends that met.
    """

    id: PartId
    on: OnRun
    rails: Literal["left", "right", "both"] = "both"
    filled: bool = False
    bridged: bool = False
    note: Text = ""


class Turntable(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="turntable",
    tag_field="kind",
):
    """A pit with a bridge that turns, or as a traverser shifts, from stall to stall.

    x_mm, y_mm is the middle of the pit; `across_mm` its diameter, for a traverser
    its size along the bridge; `travel_mm` a traverser's size the other way. The
    bridge is a run of its own and lies as it stands now. `stalls` are the run ends
    that face the pit, in the order of their numbers from 1. No rail crosses the
    pit's edge: only wheels do.

    With a "split" ring the bridge's poles change over as its pick-ups pass the cuts
    of the ring at `split_deg` and opposite, whether they stand at the bridge's ends
    or at its sides. A "whole" ring, or a lead, never swaps. With `stops` the bridge
    does not turn past the line on which the poles change over (with a whole ring:
    the line at `split_deg`), so never end for end. A drop's `a_rail` on the bridge
    is as it is where the bridge stands now.
    """

    id: PartId
    name: Text = ""
    form: Literal["turntable", "traverser"] = "turntable"
    x_mm: Mm
    y_mm: Mm
    across_mm: Annotated[float, Meta(ge=10, le=10000)]
    travel_mm: Annotated[float, Meta(ge=10, le=10000)] = 400.0
    bridge: PartId
    stalls: Annotated[tuple[RunEnd, ...], Meta(max_length=200)] = ()
    ring: Literal["split", "whole"] = "split"
    split_deg: Degrees = 90.0
    pickups: Literal["sides", "ends"] = "sides"
    stops: bool = False


# Power ----------------------------------------------------------------------


class Booster(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="booster",
    tag_field="kind",
):
    """A booster or command station with its supply: what drives the track.

    `limit_a` is the most it can push into a short before it trips, where its
    instructions say so.
    An output for programming is on its own, of little current.
    """

    id: PartId
    name: Text = ""
    x_mm: Mm
    y_mm: Mm
    volts_v: Annotated[float, Meta(ge=0.1, le=30)] = 15.0
    rated_a: Annotated[float, Meta(ge=1e-3, le=100)] = 5.0
    inner_ohm: Annotated[float, Meta(ge=1e-6, le=100)] = 0.05
    trip_a: Annotated[float, Meta(ge=1e-3, le=100)] = 5.0
    trip_s: Seconds = 0.1
    sensing: Sensing = "average"
    limit_a: Annotated[float, Meta(ge=1e-3, le=1000)] | None = None
    reversed_phase: bool = False
    common: Literal["not said", "joined", "separate"] = "not said"
    use: Literal["main", "programming"] = "main"


class Inline(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="inline",
    tag_field="kind",
):
    """A two-wire device in the feed: breaker, reverser, detector, fuse, switch, lamp.

    `feed` is what its input is wired to directly; leave it out where a bus
    ends on its "in" port.

    A switch breaks so many `poles`. Given an `other` feed it is a change-over: while
    not closed, its output hangs on that. Of four poles, two more stand at its "iso"
    port, for an isolation piece that is dead while it is not closed.

    A lamp holds a short back by lighting; `lamp_v` and `lamp_a` are its rating, of
    several side by side the amps together.
    """

    id: PartId
    name: Text = ""
    device: Literal["breaker", "reverser", "detector", "fuse", "switch", "lamp"]
    x_mm: Mm
    y_mm: Mm
    feed: Attachment | None = None
    feed_flipped: bool = False
    rated_a: Annotated[float, Meta(ge=1e-3, le=100)] = 4.0
    trip_a: Annotated[float, Meta(ge=1e-3, le=100)] | None = 4.0
    trip_s: Seconds = 0.016
    sensing: Sensing = "average"
    series_ohm: Annotated[float, Meta(ge=1e-6, le=100)] = 0.03
    drop_v: Volts = 0.0
    closed: bool = True
    poles: Literal[1, 2, 4] = 2
    other: Attachment | None = None
    lamp_v: Annotated[float, Meta(ge=1, le=60)] = 12.8
    lamp_a: Annotated[float, Meta(ge=0.05, le=50)] = 2.1


class Bus(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="bus", tag_field="kind"
):
    """A pair of conductors, A and B, along a drawn path.

    The wire bought is longer than the path by `slack` and by `extra_m`
    (legs down, loops of slack); both are spread evenly along the path. The labels
    are what stands on the wires at the two ends, where it is not the bus's id. A
    `snubber` is a resistor and a capacitor in series across each end that hangs free.
    """

    id: PartId
    name: Text = ""
    points: Annotated[tuple[Point, ...], Meta(min_length=2, max_length=2000)]
    wire: Text = "2.5mm2-c5"
    lay: Literal["twisted", "side by side", "apart"] = "twisted"
    spacing_mm: Annotated[float, Meta(ge=1e-3, le=5000)] = 100.0
    slack: Share = 0.05
    extra_m: LengthM = 0.0
    start: Attachment | None = None
    end: Attachment | None = None
    start_flipped: bool = False
    end_flipped: bool = False
    start_label: Text = ""
    end_label: Text = ""
    snubber: bool = False


class Strip(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="strip", tag_field="kind"
):
    """A terminal strip: `ways` pairs of screws, all A joined, all B joined.

    `flipped` means that its drops hang on the wrong bar as a block.
    """

    id: PartId
    name: Text = ""
    x_mm: Mm
    y_mm: Mm
    ways: Annotated[int, Meta(ge=1, le=200)] = 12
    contact: Text = "screw"
    flipped: bool = False


class Drop(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="drop", tag_field="kind"
):
    """A feeder pair from the rails down to a bus, strip or device.

    `a_rail` is the rail that conductor A is soldered to, as seen on the run.
    `lead_m` overrides the length that the geometry gives.
    """

    id: PartId
    on: OnRun
    to: Attachment | None = None
    wire: Text = "0.5mm2-c5"
    a_rail: Side = "left"
    rails: Literal["left", "right", "both"] = "both"
    contact: Text = "screw"
    lead_m: Annotated[float, Meta(ge=1e-3, le=100)] | None = None
    far_label: Text = ""
    note: Text = ""


class Load(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="load", tag_field="kind"
):
    """A train, or a lamp or other thing that always draws from the rails.

    Exactly one of `amps_a` and `watts_w` is meant: watts where not zero.
    `idle_a` is what it draws standing still, `store_uf` the energy stores that
    charge when power comes back (sound and keep-alive): both count for restart.
    """

    id: PartId
    name: Text = ""
    on: OnRun
    use: Literal["train", "standing"] = "train"
    amps_a: Amps = 0.5
    watts_w: Annotated[float, Meta(ge=0, le=5000)] = 0.0
    length_m: LengthM = 0.0
    idle_a: Amps = 0.0
    store_uf: Annotated[float, Meta(ge=0, le=1e6)] = 0.0
    active: bool = True


# Openings -------------------------------------------------------------------


class Carried(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A stretch of a run that an opening carries; of no length at a board joint."""

    run: PartId
    from_m: LengthM
    to_m: LengthM


class Opening(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="opening",
    tag_field="kind",
):
    """A lift-out section, a hinged gate, or the joint of a removable board.

    Both rails of every carried run end at its edges; the section is fed by its
    own drops alone, whose wires cross by a jumper with the contact `plug`.
    `hinge` is the side, in plan, of a gate's hinge or of a lift-out's jumper.
    `contact` is an in-line switch that opens with it. `buses` tells of those that run
    over its edges: whole wires, parted by plugs of the same kind, or passing clear of
    it, under the floor or overhead.
    """

    id: PartId
    name: Text = ""
    use: Literal["lift-out", "gate", "board joint"] = "lift-out"
    carries: Annotated[tuple[Carried, ...], Meta(min_length=1, max_length=200)]
    hinge: Edge = "left"
    plug: Text = "plug"
    contact: PartId | None = None
    buses: Literal["whole", "plugs", "clear"] = "whole"


# Benchwork ------------------------------------------------------------------


class Board(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="board", tag_field="kind"
):
    """A rectangular baseboard; `aisle` is the edge where the builder stands."""

    id: PartId
    name: Text = ""
    x_mm: Mm
    y_mm: Mm
    width_mm: LengthMm
    depth_mm: LengthMm
    aisle: Edge = "front"


class Joist(
    Struct, frozen=True, kw_only=True, omit_defaults=True, tag="joist", tag_field="kind"
):
    """A timber under the board, between two points of its centre line."""

    id: PartId
    x1_mm: Mm
    y1_mm: Mm
    x2_mm: Mm
    y2_mm: Mm
    width_mm: LengthMm = 44.0


class Backdrop(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="backdrop",
    tag_field="kind",
):
    """A picture of the benchwork drawing, kept inside the file.

    x_mm, y_mm is its lower left corner; `mm_per_px` its scale.
    """

    id: PartId = BACKDROP_ID
    name: Text = ""
    media: Literal["image/png", "image/jpeg"]
    data: Annotated[bytes, Meta(max_length=24_000_000)]
    width_px: Annotated[int, Meta(ge=1, le=20000)]
    height_px: Annotated[int, Meta(ge=1, le=20000)]
    x_mm: Mm = 0.0
    y_mm: Mm = 0.0
    mm_per_px: Annotated[float, Meta(ge=1e-6, le=1000)] = 1.0
    opacity: Annotated[float, Meta(ge=0, le=1)] = 0.5


# Settings -------------------------------------------------------------------


class Limits(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What counts as good enough; sources and opposing views: needs and README."""

    drop_good: Share = 0.05
    drop_most: Share = 0.10
    short_good: Share = 2.0
    short_least: Share = 1.5
    headroom: Share = 0.20
    floor_v: Volts = 7.0


class Conductor(Struct, frozen=True, kw_only=True, omit_defaults=True):
    """How one of the two conductors is named, coloured and marked."""

    name: Text
    colour: Text


class MeasuredRail(Struct, frozen=True, kw_only=True):
    """What the person measured on one rail: amps through it, volts over a length.

    It holds for all track of that rail, instead of what the table says.
    """

    rail: Text
    amps_a: Annotated[float, Meta(ge=1e-3, le=100)]
    length_m: Annotated[float, Meta(ge=1e-2, le=1000)]
    volts_v: Annotated[float, Meta(ge=1e-6, le=100)]


class Settings(
    Struct,
    frozen=True,
    kw_only=True,
    omit_defaults=True,
    tag="settings",
    tag_field="kind",
):
    """What holds for the whole layout."""

    id: PartId = SETTINGS_ID
    title: Text = "Untitled layout"
    revision: Text = "A"
    scale: Literal["Z", "N", "TT", "HO", "OO", "S", "O", "G"] = "HO"
    lengths: Literal["m", "ft"] = "m"
    wires: Literal["mm2", "awg"] = "mm2"
    conductor_a: Conductor = Conductor(name="A", colour="red")
    conductor_b: Conductor = Conductor(name="B", colour="black")
    limits: Limits = Limits()
    paper: Literal["a4", "letter"] = "a4"
    test_train_a: Amps = 1.0
    engine_m: Annotated[float, Meta(ge=0.01, le=10)] = 0.35
    temperature_c: Annotated[float, Meta(ge=-40, le=90)] = 20.0
    thickness_mm: Annotated[float, Meta(ge=0, le=500)] = 40.0
    lead_slack_mm: Annotated[float, Meta(ge=0, le=5000)] = 150.0
    spare: Share = 0.10
    notes: Note = ""
    measured: Annotated[tuple[MeasuredRail, ...], Meta(max_length=100)] = ()


Part = (
    TrackRun
    | TrackJoint
    | Turnout
    | Turntable
    | Crossing
    | Gap
    | Booster
    | Inline
    | Bus
    | Strip
    | Drop
    | Load
    | Opening
    | Board
    | Joist
    | Backdrop
    | Settings
)

PREFIXES: dict[str, str] = {
    "run": "R",
    "joint": "J",
    "turnout": "T",
    "turntable": "TT",
    "crossing": "X",
    "gap": "G",
    "booster": "PB",
    "breaker": "CB",
    "reverser": "AR",
    "detector": "OD",
    "fuse": "F",
    "switch": "SW",
    "lamp": "LL",
    "bus": "B",
    "strip": "TS",
    "drop": "D",
    "load": "L",
    "opening": "LO",
    "board": "BD",
    "joist": "JS",
}
"""The letters that ids of each kind (or in-line device) begin with."""
