"""Random sound layouts for property tests: track that meets, power that hangs together.

`layouts()` gives a Layout in which every reference is sound, every joint's ends
meet in line and every attached bus end lies where it is attached: what the
builders of `core.layout.edits` keep true.
"""

from math import cos, degrees, pi, radians, sin
from typing import Literal

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy
from msgspec.structs import replace

from core.layout.change import Change
from core.layout.edits.add import Device
from core.layout.edits.turn import add_turntable
from core.layout.geometry import Pose, bus_path, run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    PREFIXES,
    Arc,
    Attachment,
    Backdrop,
    Board,
    Booster,
    Bus,
    Carried,
    Conductor,
    Crossing,
    Drop,
    Gap,
    Inline,
    Joist,
    Limits,
    Load,
    OnRun,
    Opening,
    Part,
    Piece,
    Point,
    RunEnd,
    Settings,
    Side,
    Straight,
    Strip,
    ToBus,
    ToPort,
    ToStrip,
    TrackJoint,
    TrackRun,
    Turnout,
    Turntable,
)
from core.layout.queries import anchor, free_ends
from core.materials.joints import joints_of
from core.materials.rails import RAILS
from core.materials.wires import WIRES

SIDES: tuple[Side, ...] = ("left", "right")
RAILS_CUT: tuple[Literal["left", "right", "both"], ...] = ("left", "right", "both")
DEVICES: tuple[Device, ...] = (
    "breaker",
    "reverser",
    "detector",
    "fuse",
    "switch",
    "lamp",
)
WIRE_IDS = st.sampled_from(sorted(WIRES))
RAIL_IDS = st.sampled_from(sorted(RAILS))
RAIL_JOINTS = st.sampled_from([j.id for j in joints_of("rail")])
CONTACTS = st.sampled_from([j.id for j in joints_of("wire")])
SHARES = st.floats(0, 1, allow_subnormal=False)


def names(most: int = 20) -> SearchStrategy[str]:
    """Names as people type them: any letters, nothing that breaks a line."""
    letters = st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp"))
    return st.text(letters, max_size=most)


def lengths_mm(low: float, high: float) -> SearchStrategy[float]:
    """Lengths, round ones more often than not."""
    whole = st.integers(int(low), int(high)).map(float)
    return whole | st.floats(low, high, allow_subnormal=False)


def points() -> SearchStrategy[Point]:
    """Places in a large room."""
    across = lengths_mm(-8000, 8000)
    return st.builds(Point, x_mm=across, y_mm=across)


def pieces(most: int = 4) -> SearchStrategy[tuple[Piece, ...]]:
    """Shapes of a track run."""
    sweeps = lengths_mm(5, 180)
    straight = st.builds(Straight, length_mm=lengths_mm(60, 3000))
    arc = st.builds(
        Arc,
        radius_mm=lengths_mm(200, 1500),
        sweep_deg=sweeps | sweeps.map(lambda sweep: -sweep),
    )
    return st.lists(straight | arc, min_size=1, max_size=most).map(tuple)


@st.composite
def layouts(draw: DrawFn, *, runs: int = 4, wires: int = 6) -> Layout:
    """Sound layouts with up to so many runs, and so many of each power part."""
    skipped = draw(st.dictionaries(st.sampled_from("DRJBX"), st.integers(0, 40)))
    return _Drawing(draw, Layout(issued=skipped)).whole(runs, wires)


@st.composite
def settings(draw: DrawFn) -> Settings:
    """Settings, some at their defaults."""
    return Settings(
        title=draw(names()),
        scale=draw(st.sampled_from(["Z", "N", "TT", "HO", "OO", "S", "O", "G"])),
        lengths=draw(st.sampled_from(["m", "ft"])),
        wires=draw(st.sampled_from(["mm2", "awg"])),
        conductor_a=draw(st.builds(Conductor, name=names(6), colour=names(6))),
        limits=draw(st.builds(Limits, drop_good=SHARES, floor_v=SHARES)),
        temperature_c=draw(lengths_mm(-40, 90)),
        notes=draw(st.text("a \n\tΩ", max_size=8)),
    )


class _Drawing:
    """Draws one layout, part by part."""

    def __init__(self, draw: DrawFn, layout: Layout) -> None:
        self._draw = draw
        self.layout = layout

    def whole(self, runs: int, wires: int) -> Layout:
        if self._flag():
            before = self.layout.settings
            after = self._draw(settings())
            self.layout.apply(Change("", {before.id: before}, {before.id: after}))
        for _ in range(self._draw(st.integers(0, runs))):
            self._add_track()
        if self._draw(st.sampled_from([False, False, True])):
            self._add_pit()
        for _ in range(self._draw(st.integers(0, 2))):
            self._add_source()
        for _ in range(self._draw(st.integers(0, wires))):
            self._add_power()
        for _ in range(self._draw(st.integers(0, wires))):
            self._add_on_run()
        self._add_bench()
        return self.layout

    def _flag(self) -> bool:
        return self._draw(st.booleans())

    def _put(self, part: Part) -> None:
        self.layout.apply(Change("", {part.id: None}, {part.id: part}))

    def _id(self, kind: str) -> PartId:
        return self.layout.new_id(PREFIXES[kind])

    # Track

    def _add_track(self) -> None:
        how = self._draw(
            st.sampled_from(["alone", "oval", "onward", "branch", "across"])
        )
        ends = free_ends(self.layout)
        bridges = {table.bridge for table in self.layout.of_kind(Turntable)}
        through = [r for r in self.layout.of_kind(TrackRun) if r.id not in bridges]
        if how == "oval":
            self._add_oval()
        elif how == "onward" and ends:
            self._add_onward(self._draw(st.sampled_from(ends)))
        elif how == "branch" and through:
            self._add_branch(self._draw(st.sampled_from(through)))
        elif how == "across" and through:
            self._add_across(self._draw(st.sampled_from(through)))
        else:
            at = self._draw(points())
            self._add_run(Pose(at.x_mm, at.y_mm, self._draw(st.floats(-4, 4))))

    def _add_pit(self) -> None:
        """Add a pit with what faces it, its ring cut anywhere."""
        at, across = self._draw(points()), self._draw(lengths_mm(150, 600))
        for turn in self._draw(st.lists(st.floats(0, 6), max_size=3, unique=True)):
            way = Pose(at.x_mm, at.y_mm, turn)
            edge = Pose(*way.left(0.5 * across), turn + 0.5 * pi)
            self._add_run(edge)
        form: Literal["turntable", "traverser"] = self._draw(
            st.sampled_from(["turntable", "turntable", "traverser"])
        )
        heading = self._draw(st.floats(-180, 180))
        self.layout.apply(add_turntable(self.layout, at, across, heading, form=form))
        (table,) = self.layout.of_kind(Turntable)
        turned = replace(
            table,
            name=self._draw(names()),
            ring=self._draw(st.sampled_from(["split", "whole"])),
            pickups=self._draw(st.sampled_from(["sides", "ends"])),
            split_deg=self._draw(st.floats(0, 180)),
            stops=self._flag(),
        )
        self.layout.apply(Change("", {table.id: table}, {table.id: turned}))

    def _add_run(self, pose: Pose, shape: tuple[Piece, ...] | None = None) -> RunEnd:
        """Add a run that leaves a pose; return the end that lies there."""
        run = TrackRun(
            id=self._id("run"),
            name=self._draw(names()),
            x_mm=pose.x_mm,
            y_mm=pose.y_mm,
            heading_deg=degrees(pose.heading) % 360.0,
            pieces=shape or self._draw(pieces()),
            rail=self._draw(RAIL_IDS),
            piece_length_m=self._draw(st.sampled_from([0.168, 0.6, 0.914, 25.0])),
            joint=self._draw(RAIL_JOINTS),
        )
        if shape is not None or self._flag():
            self._put(run)
            return RunEnd(run=run.id, end="start")
        back = run_path(run).end.reversed()
        turned = replace(
            run,
            x_mm=back.x_mm,
            y_mm=back.y_mm,
            heading_deg=degrees(back.heading) % 360.0,
            pieces=tuple(
                replace(p, sweep_deg=-p.sweep_deg) if isinstance(p, Arc) else p
                for p in reversed(run.pieces)
            ),
        )
        self._put(turned)
        return RunEnd(run=run.id, end="end")

    def _add_oval(self) -> None:
        side = Straight(length_mm=self._draw(lengths_mm(300, 3000)))
        bend = Arc(radius_mm=self._draw(lengths_mm(300, 900)), sweep_deg=180.0)
        at = self._draw(points())
        start = self._add_run(Pose(at.x_mm, at.y_mm, 0.0), (side, bend, side, bend))
        self._join(RunEnd(run=start.run, end="end"), start)

    def _add_onward(self, end: RunEnd) -> None:
        path = run_path(self.layout.need(end.run, TrackRun))
        out = path.end if end.end == "end" else path.start.reversed()
        near = self._add_run(out)
        self._join(*((end, near) if self._flag() else (near, end)))

    def _join(self, a: RunEnd, b: RunEnd) -> None:
        self._put(
            TrackJoint(
                id=self._id("joint"),
                a=a,
                b=b,
                joint=self._draw(RAIL_JOINTS),
                insulated=self._draw(st.sampled_from(["none", "none", *SIDES, "both"])),
            )
        )

    def _add_branch(self, through: TrackRun) -> None:
        path = run_path(through)
        toe = path.at(path.length_m * self._draw(st.floats(0.1, 0.9)))
        on = OnRun(
            run=through.id, position_m=path.nearest(toe.x_mm, toe.y_mm).position_m
        )
        pose = path.at(on.position_m)
        forward = self._flag()
        leg = self._add_run(pose if forward else pose.reversed())
        self._put(
            Turnout(
                id=self._id("turnout"),
                on=on,
                opens="forward" if forward else "backward",
                hand=self._draw(st.sampled_from(SIDES)),
                leg=leg,
                leg_insulated=self._draw(st.sampled_from(["none", "none", "both"])),
                contact_a=self._draw(st.sampled_from([None, 1.0])),
                frog_wire=self._draw(WIRE_IDS),
            )
        )

    def _add_across(self, through: TrackRun) -> None:
        path = run_path(through)
        place = path.length_m * self._draw(st.floats(0.1, 0.9))
        there = path.at(place)
        angle = radians(self._draw(lengths_mm(10, 170)))
        way = there.heading + (angle if self._flag() else -angle)
        before, after = self._draw(lengths_mm(50, 900)), self._draw(lengths_mm(50, 900))
        start = Pose(
            there.x_mm - before * cos(way), there.y_mm - before * sin(way), way
        )
        end = self._add_run(start, (Straight(length_mm=before + after),))
        shapes: tuple[Literal["diamond", "single slip", "double slip"], ...]
        shapes = ("diamond", "single slip", "double slip")
        frogs: tuple[Literal["insulated", "switched", "uncut"], ...]
        frogs = ("insulated", "switched", "uncut")
        self._put(
            Crossing(
                id=self._id("crossing"),
                name=self._draw(names()),
                a=OnRun(run=through.id, position_m=place),
                b=OnRun(run=end.run, position_m=before / 1000.0),
                shape=self._draw(st.sampled_from(shapes)),
                side=self._draw(st.sampled_from(SIDES)),
                frog=self._draw(st.sampled_from(frogs)),
                obtuse=self._draw(st.sampled_from(["joined", "dead"])),
                joint=self._draw(RAIL_JOINTS),
            )
        )

    def _place(self) -> OnRun | None:
        runs = list(self.layout.of_kind(TrackRun))
        if not runs:
            return None
        run = self._draw(st.sampled_from(runs))
        length = run_path(run).length_m
        return OnRun(run=run.id, position_m=min(length * self._draw(SHARES), length))

    # Power

    def _add_source(self) -> None:
        at = self._draw(points())
        self._put(
            Booster(
                id=self._id("booster"),
                name=self._draw(names()),
                x_mm=at.x_mm,
                y_mm=at.y_mm,
                volts_v=self._draw(lengths_mm(8, 24)),
                reversed_phase=self._draw(st.sampled_from([False, False, True])),
                use=self._draw(st.sampled_from(["main", "main", "programming"])),
            )
        )

    def _add_power(self) -> None:
        at = self._draw(points())
        kind = self._draw(st.sampled_from(["bus", "bus", "strip", "device"]))
        if kind == "strip":
            self._put(
                Strip(
                    id=self._id("strip"),
                    x_mm=at.x_mm,
                    y_mm=at.y_mm,
                    ways=self._draw(st.integers(1, 24)),
                    contact=self._draw(CONTACTS),
                )
            )
        elif kind == "device":
            device = self._draw(st.sampled_from(DEVICES))
            self._put(
                Inline(
                    id=self._id(device),
                    device=device,
                    x_mm=at.x_mm,
                    y_mm=at.y_mm,
                    feed=self._attachment(),
                    trip_a=None if device in ("detector", "lamp") else 3.0,
                    lamp_v=self._draw(st.floats(6.0, 24.0))
                    if device == "lamp"
                    else 12.8,
                    closed=self._flag(),
                    poles=self._draw(st.sampled_from([1, 2, 2, 4])),
                    other=self._attachment() if device == "switch" else None,
                )
            )
        else:
            self._add_bus()

    def _add_bus(self) -> None:
        corners = self._draw(st.lists(points(), min_size=2, max_size=4))
        ends = (self._attachment(), self._attachment())
        for index, to in zip((0, -1), ends, strict=True):
            place = anchor(self.layout, to) if to is not None else None
            if place is not None:
                corners[index] = Point(x_mm=place[0], y_mm=place[1])
        self._put(
            Bus(
                id=self._id("bus"),
                points=tuple(corners),
                wire=self._draw(WIRE_IDS),
                lay=self._draw(st.sampled_from(["twisted", "side by side", "apart"])),
                slack=self._draw(SHARES),
                start=ends[0],
                end=ends[1],
                end_flipped=self._draw(st.sampled_from([False, False, True])),
                start_label=self._draw(st.sampled_from(["", "B1"])),
            )
        )

    def _attachment(self) -> Attachment | None:
        """Return a connection to something drawn already, or None."""
        targets = [
            part
            for part in self.layout.parts.values()
            if isinstance(part, Booster | Inline | Strip | Bus)
        ]
        part = self._draw(st.sampled_from([None, *targets]))
        match part:
            case Strip():
                return ToStrip(part=part.id, way=self._draw(st.integers(1, part.ways)))
            case Bus():
                length = bus_path(part).length_m
                share = self._draw(SHARES)
                return ToBus(part=part.id, position_m=min(length * share, length))
            case Booster() | Inline():
                return ToPort(part=part.id)
            case _:
                return None

    def _add_on_run(self) -> None:
        on = self._place()
        if on is None:
            return
        match self._draw(st.sampled_from(["drop", "drop", "gap", "load"])):
            case "drop":
                self._put(
                    Drop(
                        id=self._id("drop"),
                        on=on,
                        to=self._attachment(),
                        wire=self._draw(WIRE_IDS),
                        a_rail=self._draw(st.sampled_from(SIDES)),
                        rails=self._draw(st.sampled_from([*SIDES, "both"])),
                        lead_m=self._draw(st.none() | st.floats(0.01, 5)),
                        note=self._draw(names()),
                    )
                )
            case "gap":
                rails = self._draw(st.sampled_from(RAILS_CUT))
                bridged = self._draw(st.sampled_from([False, False, True]))
                gap = Gap(id=self._id("gap"), on=on, rails=rails, bridged=bridged)
                self._put(gap)
            case _:
                self._put(
                    Load(
                        id=self._id("load"),
                        name=self._draw(names()),
                        on=on,
                        use=self._draw(st.sampled_from(["train", "standing"])),
                        amps_a=self._draw(lengths_mm(0, 5)),
                    )
                )

    # Benchwork

    def _add_bench(self) -> None:
        at, to = self._draw(points()), self._draw(points())
        if self._flag():
            self._put(
                Board(
                    id=self._id("board"),
                    name=self._draw(names()),
                    x_mm=at.x_mm,
                    y_mm=at.y_mm,
                    width_mm=self._draw(lengths_mm(100, 3000)),
                    depth_mm=self._draw(lengths_mm(100, 900)),
                )
            )
        if self._flag():
            self._put(
                Joist(
                    id=self._id("joist"),
                    x1_mm=at.x_mm,
                    y1_mm=at.y_mm,
                    x2_mm=to.x_mm,
                    y2_mm=to.y_mm,
                )
            )
        if self._draw(st.sampled_from([False, False, True])):
            self._add_opening()
        if self._draw(st.sampled_from([False, False, False, True])):
            self._put(
                Backdrop(
                    name=self._draw(names()),
                    media="image/png",
                    data=self._draw(st.binary(max_size=40)),
                    width_px=640,
                    height_px=480,
                )
            )

    def _add_opening(self) -> None:
        first, second = self._place(), self._place()
        if first is None or second is None:
            return
        length = run_path(self.layout.need(first.run, TrackRun)).length_m
        ends = sorted((first.position_m, min(second.position_m, length)))
        carries = [Carried(run=first.run, from_m=ends[0], to_m=ends[1])]
        if second.run != first.run:
            place = second.position_m
            carries.append(Carried(run=second.run, from_m=place, to_m=place))
        switches = [d.id for d in self.layout.of_kind(Inline) if d.device == "switch"]
        self._put(
            Opening(
                id=self._id("opening"),
                name=self._draw(names()),
                use=self._draw(st.sampled_from(["lift-out", "gate", "board joint"])),
                carries=tuple(carries),
                hinge=self._draw(st.sampled_from(["left", "right", "front", "back"])),
                contact=self._draw(st.sampled_from([None, *switches])),
            )
        )
