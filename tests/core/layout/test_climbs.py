"""Drops on climbing track stand above its foot."""

import pytest

from core.layout.climbs import above_foot_m, climb_sentence
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Drop, TrackRun
from core.layout.queries import drop_lead_m
from tests.core.sheet.boards import drop, layout_of, shelf_run

# A straight of 2.40 m that climbs 240 mm: 100 mm a metre, by hand.


def climbing(made: Drop, **fields: object) -> tuple[Layout, Drop]:
    return layout_of(shelf_run(**fields), made), made


@pytest.mark.parametrize(
    ("levels", "above_m"),
    [
        ({"level_end_mm": 240.0}, 0.18),
        # An upper deck: its own level is that of its bus and is left out.
        ({"level_mm": 500.0, "level_end_mm": 740.0}, 0.18),
        # Downhill, the foot is the end: 0.60 m of track lie below.
        ({"level_mm": 240.0, "level_end_mm": 0.0}, 0.06),
        ({"level_mm": 500.0}, 0.0),
        ({"level_mm": 500.0, "level_end_mm": 500.0}, 0.0),
    ],
)
def test_the_height_counts_from_the_foot_of_the_track(
    levels: dict[str, float], above_m: float
) -> None:
    layout, made = climbing(drop(1, 1.8), **levels)
    assert above_foot_m(layout, made) == pytest.approx(above_m)


def test_it_says_how_high_and_what_to_add() -> None:
    layout, made = climbing(drop(1, 1.8), level_end_mm=240.0)
    assert climb_sentence(layout, made) == (
        "180 mm above the foot of Main: add that where the bus lies at the foot."
    )


def test_a_typed_length_is_kept() -> None:
    layout, made = climbing(drop(1, 1.8, lead_m=0.7), level_end_mm=240.0)
    assert climb_sentence(layout, made) == (
        "180 mm above the foot of Main; its length is as typed."
    )


@pytest.mark.parametrize("levels", [{}, {"level_mm": 90.0}, {"level_end_mm": 240.0}])
def test_on_the_flat_and_at_the_foot_there_is_nothing_to_say(
    levels: dict[str, float],
) -> None:
    layout, made = climbing(drop(1, 0.0), **levels)
    assert climb_sentence(layout, made) == ""


def test_the_length_that_figures_use_stays_as_it_was() -> None:
    flat, low = climbing(drop(1, 1.8))
    steep, high = climbing(drop(1, 1.8), level_end_mm=240.0)
    assert drop_lead_m(steep, high) == drop_lead_m(flat, low)
    assert isinstance(steep.need(PartId("R1"), TrackRun).level_end_mm, float)
