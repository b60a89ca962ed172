"""What the properties say of a diamond or slip, and of what runs over an opening."""

from app.panels.facts import facts_of, thrown_words
from app.panels.fields.tables import fields_of
from core.layout.ids import PartId
from core.layout.parts import Opening
from core.layout.roads import road_mark
from tests.core.network.cross import Frogs, Shapes, crossing, fed_across
from tests.core.network.test_openings import over


def words(frog: Frogs, shape: Shapes = "diamond") -> str:
    made = crossing(frog, shape)
    return "\n".join(facts_of(fed_across(made), made))


def test_it_is_said_at_what_angle_the_tracks_cross() -> None:
    assert "Main and Siding cross at 15°." in words("insulated")


def test_a_switched_one_says_how_many_contacts_and_wires_it_needs() -> None:
    # Two acute crossings, three wires to a change-over contact.
    told = words("switched")
    assert "2 of its 4 crossings are cut out of both rails" in told
    assert "6 wires in all" in told
    assert "2 of its 4 crossings are one metal" in told


def test_dead_and_uncut_ones_are_told_apart() -> None:
    assert "4 of its 4 crossings are dead." in words("insulated")
    assert "4 of its 4 crossings are one metal with both." in words("uncut")


def test_slip_roads_are_counted() -> None:
    assert "A slip road leads" in words("insulated", "single slip")
    assert "Two slip roads lead" in words("insulated", "double slip")


def test_it_is_said_how_a_bus_gets_over_an_edge() -> None:
    for buses, how in (("plugs", "by a plug"), ("clear", "clear of it")):
        layout = over(buses, "gate")
        told = facts_of(layout, layout.need(PartId("LO1"), Opening))
        assert f"B1 crosses its edge 2.40 m along, {how}." in told


def test_fields_are_asked_for_where_they_matter() -> None:
    def asked(frog: Frogs, shape: Shapes) -> set[str]:
        made = crossing(frog, shape)
        return {f.name for f in fields_of([made]) if f.shown(made)}

    assert asked("insulated", "diamond") == {"name", "shape", "frog"}
    contact = {"contact_a", "frog_wire"}
    switched = {"name", "shape", "frog", "obtuse", *contact}
    assert asked("switched", "diamond") == switched
    assert "side" in asked("insulated", "single slip")
    assert "side" not in asked("insulated", "double slip")


def test_what_thrown_means_is_said() -> None:
    layout = fed_across(crossing("switched"))
    assert thrown_words(layout, PartId("X1")) == "Thrown: set for Siding"
    slip = fed_across(crossing("switched", "single slip"))
    mark = road_mark(PartId("X1"), "left")
    words = thrown_words(slip, PartId("X1"), frozenset({mark}))
    assert words == "Thrown: set for its slip"
