"""What a probe says in words, on figures made up here."""

from typing import Any

import pytest

from app.panels.probe_words import (
    beyond_in_words,
    devices_in_words,
    drops_in_words,
    every_drop_in_words,
    lazy_in_words,
    limit_in_words,
    loop_in_words,
    race_in_words,
    short_in_words,
    volts_in_words,
)
from core.analysis.loads import Starved
from core.analysis.study import Beyond, Flow, Probe, Racer
from core.layout.ids import PartId


def probe(**fields: Any) -> Probe:
    blank: dict[str, Any] = dict.fromkeys(Probe.__dataclass_fields__)
    return Probe(**{**blank, **fields})


def racer(
    name: str,
    wait_s: float,
    *,
    trips: bool = True,
    opens_s: float | None = None,
    then_a: float | None = None,
) -> Racer:
    return Racer(PartId(name), 3.4, 8.0, wait_s, trips, opens_s, then_a)


def test_volts_come_with_their_band() -> None:
    found = probe(
        volts_low_v=14.12, volts_high_v=14.38, test_train_a=1.0, drop_share=0.046
    )
    said = "(14.1 to 14.4 V) with a 1.00 A train; 4.6 % lost"
    assert volts_in_words(found) == said


def test_a_starved_load_is_told_instead_of_volts() -> None:
    starved = Starved(PartId("L1"), asked_w=30.0, alone_w=40.0, most_w=24.0)
    found = probe(starves=(starved,), test_train_a=3.0)
    said = "A 3.00 A train here starves L1: of 30 W it can have 24 W at most."
    assert volts_in_words(found) == said


def test_a_booster_that_cannot_give_it_is_told() -> None:
    trips = Beyond(PartId("PB1"), 4.5, "trip", 3.0)
    rated = Beyond(PartId("PB1"), 4.5, "rated", 4.0)
    said = "PB1 would have to give 4.50 A and "
    assert beyond_in_words(probe(beyond=(trips,))) == (
        f"{said}trips at 3.00 A. So no train gets these volts."
    )
    assert beyond_in_words(probe(beyond=(rated,))) == f"{said}is made for 4.00 A."
    assert beyond_in_words(probe(beyond=())) == ""


def test_a_short_comes_with_its_band_and_that_of_its_margin() -> None:
    found = probe(
        margin=1.7,
        margin_low=1.52,
        margin_high=1.86,
        trip_a=2.0,
        short_low_a=3.04,
        short_high_a=3.72,
        short_dc_a=3.41,
        race=(),
        short_verdict="good",
    )
    said = "(3.04 to 3.72 A), 1.7 × trip (1.5 to 1.9)."
    assert limit_in_words(found) == said


def test_a_narrow_band_is_told_more_finely() -> None:
    found = probe(
        volts_low_v=14.11, volts_high_v=14.14, test_train_a=1.0, drop_share=0.046
    )
    assert volts_in_words(found).startswith("(14.11 to 14.14 V) ")


def test_a_loop_names_its_unit_once_where_both_ends_share_it() -> None:
    near = probe(loop_ohm=0.42, loop_low_ohm=0.4, loop_high_ohm=0.451)
    across = probe(loop_ohm=0.1, loop_low_ohm=0.095, loop_high_ohm=0.11)
    assert loop_in_words(near) == "0.42 Ω (0.40 to 0.45 Ω)"
    assert loop_in_words(across) == "0.10 Ω (95 mΩ to 0.11 Ω)"


@pytest.mark.parametrize(
    ("race", "said"),
    [
        (
            (racer("CB1", 0.016, opens_s=0.016), racer("PB1", 0.1)),
            "CB1 in 16 ms, before PB1 in 100 ms.",
        ),
        (
            (racer("CB1", 0.1, opens_s=0.1), racer("PB1", 0.1)),
            "CB1 in 100 ms, or PB1 in 100 ms: either may go first.",
        ),
        (
            (racer("CB1", 0.016, opens_s=0.016), racer("PB1", 0.1, trips=False)),
            "CB1 in 16 ms; PB1 wants 8.00 A and senses 3.40 A.",
        ),
        (
            (
                racer("CB1", 0.016, opens_s=0.016),
                racer("CB2", 0.016, opens_s=0.032, then_a=9.5),
                racer("PB1", 0.1),
            ),
            "CB1 in 16 ms, then CB2 after 32 ms with 9.50 A, before PB1 in 100 ms.",
        ),
        (
            (racer("PB1", 0.1, trips=False),),
            "Nothing, maybe: PB1 wants 8.00 A and senses 3.40 A.",
        ),
        ((), "Nothing: no breaker stands before this rail."),
    ],
)
def test_the_race_to_trip_is_one_sentence(race: tuple[Racer, ...], said: str) -> None:
    assert race_in_words(race) == said


def test_the_true_current_stands_first_and_the_remedy_fits_what_limits() -> None:
    # 0.43 of 8 A is 3.44 A; by resistance alone it would be 16.9 A.
    found = probe(
        margin=0.43,
        trip_a=8.0,
        short_dc_a=16.9,
        short_verdict="poor",
        helps="Inductance limits it: twist B1. Thicker wire would hardly help",
        race=(),
    )
    assert short_in_words(found) == "3.44 A"
    said = limit_in_words(found)
    assert said.startswith("0.4 × trip. 16.9 A by resistance alone. Inductance ")
    assert "twist" in said


def test_where_resistance_limits_thicker_wire_is_told() -> None:
    found = probe(
        margin=1.0,
        trip_a=5.0,
        short_dc_a=5.05,
        short_verdict="poor",
        helps="Resistance limits it: thicker bus",
        race=(),
    )
    # 5.00 and 5.05 A differ by one per cent: told as one.
    assert limit_in_words(found).startswith("1.0 × trip. Resistance limits it")


def test_a_boosters_own_limit_is_not_blamed_on_the_wiring() -> None:
    # The wiring would let 20 A through; the booster holds it at 3 A.
    found = probe(
        cleared_by="PB1",
        margin=0.6,
        trip_a=5.0,
        short_dc_a=20.0,
        short_verdict="poor",
        helps="Resistance limits it: thicker bus",
        race=(Racer(PartId("PB1"), 20.0, 5.0, 0.1, trips=False),),
    )
    said = limit_in_words(found)
    assert said.endswith("The booster itself gives no more.")
    assert "thicker" not in said
    waits = "Nothing, maybe: PB1 wants 5.00 A, more than the booster gives."
    assert race_in_words(found.race) == waits


def test_a_good_short_needs_no_remedy() -> None:
    found = probe(
        margin=3.0,
        trip_a=5.0,
        short_dc_a=22.0,
        short_verdict="good",
        helps="Inductance limits it: twist B1",
        race=(),
    )
    assert limit_in_words(found) == "3.0 × trip. 22.0 A by resistance alone."


def test_without_a_device_the_current_is_the_rms() -> None:
    found = probe(short_dc_a=17.8, short_rms_ones_a=3.7)
    assert short_in_words(found) == "3.70 A"


def test_where_feeds_share_a_short_all_of_it_and_the_part_are_told() -> None:
    # 0.84 of 5 A is 4.20 A, half of the 8.40 A that the coin draws.
    found = probe(
        margin=0.84,
        trip_a=5.0,
        cleared_by="CB2",
        short_mean_ones_a=8.4,
        race=(Racer(PartId("CB2"), 4.2, 5.0, 0.016, trips=False),),
    )
    assert short_in_words(found) == "8.40 A, CB2 4.20 A"


def test_a_bad_contact_tells_its_heat() -> None:
    assert lazy_in_words(62.0) == "up to 62 W before anything trips"
    assert lazy_in_words(None) == "would burn on: nothing cuts it off"


def flows(*amps: float) -> tuple[Flow, ...]:
    return tuple(Flow(PartId(f"D{i}"), a, 5.0) for i, a in enumerate(amps, start=1))


def test_the_most_loaded_drops_are_named_and_the_rest_counted() -> None:
    assert drops_in_words(flows(0.8, 0.7)) == "D1 0.80 A, D2 0.70 A"
    many = drops_in_words(flows(0.8, 0.7, 0.3, 0.2, 0.1, 0.05))
    assert many == "D1 0.80 A, D2 0.70 A, D3 0.30 A, D4 0.20 A and 2 more"
    assert drops_in_words(()) == "nothing"


def test_each_drop_and_device_is_told_with_what_it_is_good_for() -> None:
    said = "D1 0.80 A of 5.00 A"
    assert every_drop_in_words(flows(0.8, 0.7)) == f"{said}\nD2 0.70 A of 5.00 A"
    assert devices_in_words(flows(0.8)) == said
