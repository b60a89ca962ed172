"""A climbing track is climbing still when it is split or turned round."""

from msgspec.structs import replace

from core.layout.edits.shape import reverse_run, split_run
from core.layout.layout import Layout
from core.layout.parts import TrackRun
from core.layout.queries import grade_of, level_mm_at
from tests.core.layout.edits.hand import after, arc, i, layout_of, near, on, run, the

# A helix by hand: 6 turns of 460 mm radius are 6·2π·460 = 17 341.6 mm; 400 mm of
# climb in that are 2.307 %.
HELIX = replace(run("R1", arc(460, 2160)), level_mm=1050.0, level_end_mm=1450.0)


def helix() -> Layout:
    return layout_of(HELIX)


def test_the_grade_is_rise_over_length() -> None:
    assert grade_of(HELIX) == near(0.02307, abs=1e-5)
    assert level_mm_at(HELIX, 17.3416 / 4.0) == near(1150.0, abs=0.01)
    assert (level_mm_at(HELIX, 0.0), level_mm_at(HELIX, 99.0)) == (1050.0, 1450.0)


def test_a_level_track_is_level_all_along() -> None:
    flat = replace(HELIX, level_end_mm=None)
    assert (grade_of(flat), level_mm_at(flat, 5.0)) == (0.0, 1050.0)


def test_split_it_climbs_on_from_the_cut() -> None:
    layout = helix()
    there = after(layout, split_run(layout, on("R1", 17.3416 / 4.0)))
    first, second = (the(there, TrackRun, name) for name in ("R1", "R2"))
    assert (first.level_mm, first.level_end_mm) == (
        1050.0,
        near(1150, abs=0.01),
    )
    assert (second.level_mm, second.level_end_mm) == (
        near(1150, abs=0.01),
        1450.0,
    )


def test_split_a_level_track_stays_level() -> None:
    layout = layout_of(replace(HELIX, level_end_mm=None))
    there = after(layout, split_run(layout, on("R1", 3.0)))
    assert {(r.level_mm, r.level_end_mm) for r in there.of_kind(TrackRun)} == {
        (1050.0, None)
    }


def test_turned_round_it_goes_down() -> None:
    layout = helix()
    there = the(after(layout, reverse_run(layout, i("R1"))), TrackRun, "R1")
    assert (there.level_mm, there.level_end_mm) == (1450.0, 1050.0)
    flat = layout_of(replace(HELIX, level_end_mm=None))
    there = the(after(flat, reverse_run(flat, i("R1"))), TrackRun, "R1")
    assert (there.level_mm, there.level_end_mm) == (1050.0, None)
