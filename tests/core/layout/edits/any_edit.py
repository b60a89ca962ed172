"""Any edit that a person could make, with arguments right or nearly right."""

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from core.layout.branching import Branching
from core.layout.change import Change
from core.layout.edits import (
    add,
    attach,
    cross,
    cut_in,
    feed,
    flip,
    helix,
    join,
    mirror,
    move,
    opening,
    remove,
    set,  # noqa: A004 - the room is called so
    shape,
    toe,
    turn,
    turnout,
)
from core.layout.geometry import Pose
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Attachment,
    Backdrop,
    Booster,
    Bus,
    Crossing,
    Drop,
    End,
    Gap,
    Inline,
    Load,
    OnRun,
    Opening,
    Part,
    Point,
    RunEnd,
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
from tests.core.layout.strategies import (
    DEVICES,
    RAILS_CUT,
    SHARES,
    SIDES,
    lengths_mm,
    names,
    pieces,
    points,
)

KINDS: tuple[turnout.Kind, ...] = ("plain", "wye", "three-way", "staggered", "curved")

Build = Callable[[], Change]

ENDS: tuple[End, ...] = ("start", "end")
EDITS: tuple[str, ...] = (
    "add run",
    "add bus",
    "add drop",
    "add on run",
    "add device",
    "add bench",
    "backdrop",
    "connect",
    "join",
    "turnout",
    "toe",
    "cross",
    "move",
    "nudge",
    "along",
    "bus point",
    "cut in",
    "feed",
    "extend",
    "pieces",
    "insert",
    "close",
    "split",
    "reverse",
    "remove",
    "set",
    "settings",
    "flip",
    "turn",
    "opening",
    "contact",
    "lay",
    "mirror",
    "helix",
)


@st.composite
def any_edit(draw: DrawFn, layout: Layout, *, among: tuple[str, ...] = EDITS) -> Build:
    """Return what builds one change of a layout, or refuses to."""
    name = draw(st.sampled_from(among))
    return _Edits(draw, layout).build(name)


class _Edits:
    """Draws the arguments of each builder."""

    def __init__(self, draw: DrawFn, layout: Layout) -> None:
        self._draw = draw
        self._layout = layout

    def build(self, name: str) -> Build:
        made = getattr(self, "_" + name.replace(" ", "_"))()
        assert callable(made)
        return made  # type: ignore[no-any-return]

    # What there is to choose from

    def _id(self, *kinds: type[Part]) -> PartId:
        there = [p.id for p in self._layout.parts.values() if isinstance(p, kinds)]
        return self._draw(st.sampled_from([*there, PartId("X9")]))

    def _ids(self) -> frozenset[PartId]:
        ids = st.sampled_from(sorted(self._layout.parts))
        return self._draw(st.frozensets(ids, min_size=1, max_size=5))

    def _on(self) -> OnRun:
        most = st.sampled_from([0.5, 2.0, 6.0])
        position = self._draw(SHARES) * self._draw(most)
        return OnRun(run=self._id(TrackRun), position_m=position)

    def _end(self) -> RunEnd:
        end = self._draw(st.sampled_from(ENDS))
        return RunEnd(run=self._id(TrackRun), end=end)

    def _to(self) -> Attachment | None:
        kind = self._draw(st.sampled_from(["none", "port", "strip", "bus"]))
        match kind:
            case "port":
                return ToPort(part=self._id(Booster, Inline))
            case "strip":
                way = self._draw(st.integers(1, 12))
                return ToStrip(part=self._id(Strip), way=way)
            case "bus":
                position = 4.0 * self._draw(SHARES)
                return ToBus(part=self._id(Bus), position_m=position)
            case _:
                return None

    def _by(self) -> tuple[float, float]:
        step = lengths_mm(-900, 900) | st.sampled_from([0.0, 0.5])
        return self._draw(step), self._draw(step)

    # One method an edit

    def _lay(self) -> Build:
        on = self._on()
        wanted = turnout.Wanted(
            self._draw(st.sampled_from(KINDS)),
            self._draw(st.sampled_from(SIDES)),
            self._draw(st.booleans()),
            Branching.of_radius(self._draw(lengths_mm(200, 1500)), 16.5),
        )
        return lambda: turnout.lay_turnout(self._layout, on, wanted)

    def _mirror(self) -> Build:
        part_id = self._id(Turnout)
        flips = [mirror.flip_hand, mirror.flip_opening]
        flip_it = self._draw(st.sampled_from(flips))
        return lambda: flip_it(self._layout, part_id)

    def _helix(self) -> Build:
        at = self._draw(points())
        pose = Pose(at.x_mm, at.y_mm, 0.3)
        end = self._end()
        start: Pose | RunEnd = pose if self._draw(st.booleans()) else end
        turns = self._draw(st.sampled_from([0.1, 0.5, 3.0, 6.0]))
        rise = self._draw(st.sampled_from([0.0, 65.0, -80.0]))
        hand = self._draw(st.sampled_from(SIDES))
        return lambda: helix.add_helix(
            self._layout, start, 460.0, turns, rise, hand=hand
        )

    def _add_run(self) -> Build:
        start, heading = self._draw(points()), self._draw(lengths_mm(-180, 180))
        drawn = self._draw(pieces())
        return lambda: add.add_run(self._layout, start, heading, drawn)

    def _add_bus(self) -> Build:
        corners = tuple(self._draw(st.lists(points(), min_size=2, max_size=4)))
        start, end = self._to(), self._to()
        return lambda: add.add_bus(self._layout, corners, start=start, end=end)

    def _add_drop(self) -> Build:
        on, to = self._on(), self._to()
        return lambda: add.add_drop(self._layout, on, to=to)

    def _add_on_run(self) -> Build:
        on = self._on()
        if self._draw(st.booleans()):
            return lambda: add.add_load(self._layout, on, amps_a=0.25)
        rails = self._draw(st.sampled_from(RAILS_CUT))
        return lambda: add.add_gap(self._layout, on, rails=rails)

    def _add_device(self) -> Build:
        at, feed = self._draw(points()), self._to()
        device = self._draw(st.sampled_from(DEVICES))
        return self._draw(
            st.sampled_from(
                [
                    lambda: add.add_booster(self._layout, at, name="One"),
                    lambda: add.add_inline(self._layout, device, at, feed=feed),
                    lambda: add.add_strip(self._layout, at, ways=8),
                ]
            )
        )

    def _add_bench(self) -> Build:
        at, to = self._draw(points()), self._draw(points())
        return self._draw(
            st.sampled_from(
                [
                    lambda: add.add_board(self._layout, at, 1200.0, 600.0),
                    lambda: add.add_joist(self._layout, at, to),
                ]
            )
        )

    def _backdrop(self) -> Build:
        picture = Backdrop(media="image/png", data=b"1", width_px=9, height_px=9)
        given = self._draw(st.sampled_from([picture, None]))
        return lambda: add.set_backdrop(self._layout, given)

    def _connect(self) -> Build:
        part_id, to = self._id(Drop, Bus, Inline), self._to()
        which: attach.Which = self._draw(
            st.sampled_from(["to", "start", "end", "feed", "other"])
        )
        return lambda: attach.connect(self._layout, part_id, which, to)

    def _join(self) -> Build:
        joints = list(self._layout.of_kind(TrackJoint))
        if not joints or self._draw(st.sampled_from([True, False, False, False])):
            a, b = self._end(), self._end()
            return lambda: join.join_run_ends(self._layout, a, b)
        old = self._draw(st.sampled_from(joints))
        return lambda: self._anew(
            old, lambda layout: join.join_run_ends(layout, old.a, old.b)
        )

    def _close(self) -> Build:
        own = [j for j in self._layout.of_kind(TrackJoint) if j.a.run == j.b.run]
        if not own or self._draw(st.sampled_from([True, False, False, False])):
            run = self._id(TrackRun)
            return lambda: join.close_run(self._layout, run)
        old = self._draw(st.sampled_from(own))
        return lambda: self._anew(old, lambda layout: join.close_run(layout, old.a.run))

    def _turnout(self) -> Build:
        turnouts = list(self._layout.of_kind(Turnout))
        if not turnouts or self._draw(st.sampled_from([True, False, False, False])):
            on, leg = self._on(), self._end()
            return lambda: join.make_turnout(self._layout, on, leg)
        old = self._draw(st.sampled_from(turnouts))
        return lambda: self._anew(
            old, lambda layout: join.make_turnout(layout, old.on, old.leg)
        )

    def _anew(self, old: Part, build: Callable[[Layout], Change]) -> Change:
        """Take a joint away and make it again: the ends do meet."""
        without = remove.remove_parts(self._layout, frozenset({old.id}))
        trial = self._layout.copy()
        trial.apply(without)
        return without.then(build(trial))

    def _toe(self) -> Build:
        turnout = self._id(Turnout)
        position = 4.0 * self._draw(SHARES)
        return lambda: toe.move_toe(self._layout, turnout, position)

    def _turn(self) -> Build:
        table, number = self._id(Turntable), self._draw(st.integers(1, 3))
        by = self._draw(st.sampled_from([None, *ENDS]))
        at, across = self._draw(points()), self._draw(lengths_mm(10, 600))
        return self._draw(
            st.sampled_from(
                [
                    lambda: turn.add_turntable(self._layout, at, across),
                    lambda: turn.turn_bridge(self._layout, table, number, by=by),
                    lambda: turn.turn_round(self._layout, table),
                ]
            )
        )

    def _cross(self) -> Build:
        crossings = list(self._layout.of_kind(Crossing))
        if not crossings or self._draw(st.sampled_from([True, False, False, False])):
            a, b = self._on(), self._on()
            return lambda: cross.add_crossing(self._layout, a, b)
        old = self._draw(st.sampled_from(crossings))
        return lambda: self._anew(
            old, lambda layout: cross.add_crossing(layout, old.b, old.a)
        )

    def _move(self) -> Build:
        ids, by = self._ids(), self._by()
        return lambda: move.move_parts(self._layout, ids, *by)

    def _nudge(self) -> Build:
        ids, by = self._ids(), self._by()
        return lambda: move.nudge_parts(self._layout, ids, *by)

    def _along(self) -> Build:
        part_id = self._id(Drop, Gap, Load, Turnout, Strip)
        position = 4.0 * self._draw(SHARES)
        return lambda: move.move_along(self._layout, part_id, position)

    def _cut_in(self) -> Build:
        bus, device = self._id(Bus), self._draw(st.sampled_from(DEVICES))
        on = ToBus(part=bus, position_m=4.0 * self._draw(SHARES))
        return lambda: cut_in.cut_in(self._layout, device, on)

    def _feed(self) -> Build:
        bus, at_m = self._id(Bus), 4.0 * self._draw(SHARES)
        return self._draw(
            st.sampled_from(
                [
                    lambda: feed.feed_along(self._layout, bus, at_m),
                    lambda: feed.move_feed(self._layout, bus, at_m),
                    lambda: feed.close_ring(self._layout, bus),
                    lambda: feed.make_star(self._layout, bus),
                ]
            )
        )

    def _bus_point(self) -> Build:
        bus, at = self._id(Bus), self._draw(points())
        index = self._draw(st.integers(0, 4))
        return self._draw(
            st.sampled_from(
                [
                    lambda: move.move_bus_point(self._layout, bus, index, at),
                    lambda: move.insert_bus_point(self._layout, bus, at),
                    lambda: move.remove_bus_point(self._layout, bus, index),
                ]
            )
        )

    def _extend(self) -> Build:
        run, drawn = self._id(TrackRun), self._draw(pieces(2))
        at = self._draw(st.sampled_from(ENDS))
        return lambda: shape.extend_run(self._layout, run, drawn, at=at)

    def _pieces(self) -> Build:
        run, drawn = self._id(TrackRun), self._draw(pieces(2))
        return lambda: shape.set_pieces(self._layout, run, drawn)

    def _insert(self) -> Build:
        run, drawn = self._id(TrackRun), self._draw(pieces(2))
        index = self._draw(st.integers(0, 4))
        return lambda: shape.insert_pieces(self._layout, run, index, drawn)

    def _split(self) -> Build:
        on = self._on()
        return lambda: shape.split_run(self._layout, on)

    def _reverse(self) -> Build:
        run = self._id(TrackRun)
        return lambda: shape.reverse_run(self._layout, run)

    def _remove(self) -> Build:
        ids = self._ids()
        return lambda: remove.remove_parts(self._layout, ids)

    def _set(self) -> Build:
        ids = self._ids()
        fields: dict[str, Any] = self._draw(
            st.sampled_from(
                [
                    {"name": "New"},
                    {"x_mm": 100.0},
                    {"ways": 1},
                    {"wire": "1.5mm2-c1"},
                    {"on": OnRun(run=PartId("R1"), position_m=0.1)},
                    {"to": None},
                    {"points": (Straight(length_mm=5.0),)},
                    {"lead_m": 0.5},
                    {"lead_m": -1.0},
                    {"level_mm": 60.0},
                    {"shape": "single slip"},
                    {"heading_deg": 10.0},
                    {"across_mm": 300.0},
                    {"form": "traverser"},
                    {"piece_length_m": 0.5},
                    {"trip_a": float("nan")},
                ]
            )
        )
        return lambda: set.set_fields(self._layout, ids, **fields)

    def _settings(self) -> Build:
        title = self._draw(names())
        return lambda: set.set_settings(self._layout, title=title, test_train_a=2.0)

    def _flip(self) -> Build:
        part_id = self._id(Drop, Strip, Bus, Inline, Booster)
        where = self._draw(st.sampled_from(["drop", "strip", "start", "end", "feed"]))
        return self._draw(
            st.sampled_from(
                [
                    lambda: flip.flip_connection(self._layout, part_id, where),
                    lambda: flip.flip_phase(self._layout, part_id),
                ]
            )
        )

    def _opening(self) -> Build:
        at, by = self._draw(points()), self._by()
        to = Point(x_mm=at.x_mm + by[0], y_mm=at.y_mm + by[1])
        return lambda: opening.add_opening(self._layout, at, to)

    def _contact(self) -> Build:
        part_id, device = self._id(Opening), self._id(Inline)
        return lambda: opening.set_contact(self._layout, part_id, device)
