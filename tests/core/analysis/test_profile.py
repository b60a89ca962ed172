"""Routes and profiles: worked ways, and the same figures as the probe."""

import numpy as np
import pytest

from core.analysis.examine import study_layout
from core.analysis.probe import probe_place
from core.analysis.profile import profile_route, profile_run
from core.errors import EditError
from core.layout.ids import PartId
from core.network.route import find_route
from tests.core.analysis.layouts import small_line, train
from tests.core.network.track import balloon, end, layout_of, on, oval, run, turnout


def test_a_route_takes_a_leg_only_from_the_toe() -> None:
    # R2 leaves R1 at 2 m, opening forward. From 0 to the leg: 2 m and on.
    layout = layout_of(
        run(1, 4.0), run(2, 3.0), turnout(1, on(1, 2.0), end(2, "start"))
    )
    hops = find_route(layout, on(1, 0.0), on(2, 3.0))
    assert [(h.run, h.from_m, h.to_m) for h in hops] == [
        ("R1", 0.0, 2.0),
        ("R2", 0.0, 3.0),
    ]


def test_from_the_heel_no_train_gets_into_the_leg_without_reversing() -> None:
    layout = layout_of(
        run(1, 4.0), run(2, 3.0), turnout(1, on(1, 2.0), end(2, "start"))
    )
    with pytest.raises(EditError, match="without reversing"):
        find_route(layout, on(1, 4.0), on(2, 3.0))


def test_round_an_oval_the_shorter_way_is_taken() -> None:
    # 10 m of oval from 1 m to 9 m: 2 m over the closing joint, not 8 m round.
    hops = find_route(oval(), on(1, 1.0), on(1, 9.0))
    assert sum(h.length_m for h in hops) == pytest.approx(2.0)


def test_through_a_balloon_a_train_comes_back() -> None:
    # From the stem's end over the loop and back: both 2 m of stem, 3 m of loop.
    hops = find_route(balloon(), on(1, 4.9), on(1, 0.0))
    assert sum(h.length_m for h in hops) == pytest.approx(0.1 + 2.0)


def test_a_profile_shows_what_the_probe_says() -> None:
    study = study_layout(small_line(train(1, 2.2, 0.7)))
    profile = profile_route(study, on(1, 0.5), on(1, 3.9))
    once = [d for d in profile.distance_m if (profile.distance_m == d).sum() == 1]
    for distance in once:  # where pieces meet, the place stands once for each side
        volts = profile.volts_v[profile.distance_m == distance][0]
        probe = probe_place(study, profile.place_at(float(distance)))
        assert volts == pytest.approx(probe.volts_v, abs=1e-6)


def test_a_route_drawn_backwards_runs_backwards() -> None:
    study = study_layout(small_line())
    there = profile_route(study, on(1, 0.5), on(1, 3.9))
    back = profile_route(study, on(1, 3.9), on(1, 0.5))
    assert back.volts_v == pytest.approx(there.volts_v[::-1])
    assert np.all(np.diff(back.distance_m) >= 0.0)


def test_loads_and_drops_stand_where_they_are() -> None:
    study = study_layout(small_line(train(1, 2.2, 0.7)))
    profile = profile_run(study, PartId("R1"))
    assert [(s.part, s.distance_m) for s in profile.loads] == [("L1", 2.2)]
    assert [s.distance_m for s in profile.drops] == [0.5, 2.0, 3.5]
