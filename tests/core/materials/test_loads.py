"""Load presets of each scale."""

from itertools import pairwise

import pytest

from core.errors import UnknownNameError
from core.materials.loads import PRESETS, LoadPreset, load_preset, presets_of
from core.materials.scales import GAUGES_MM


@pytest.mark.parametrize("each", list(PRESETS.values()), ids=lambda p: p.id)
def test_every_preset_has_a_band_and_a_source(each: LoadPreset) -> None:
    assert 0.0 < each.low_a <= each.amps_a <= each.high_a
    assert len(each.source) > 5
    assert each.id.startswith(f"{each.scale.lower()}-")


@pytest.mark.parametrize("scale", list(GAUGES_MM))
def test_every_scale_has_engines_and_harder_work_draws_more(scale: str) -> None:
    found = {p.id.partition("-")[2]: p.amps_a for p in presets_of(scale)}
    steps = [found[name] for name in ("standing", "running", "heavy")]
    assert all(less < more for less, more in pairwise(steps))


@pytest.mark.parametrize(
    ("preset_id", "amps"),
    [
        # "0.5 A at most for a modern engine": a published article on HO.
        ("ho-running", 0.5),
        # Hobby practice, no source: N 0.25 running, 0.05 standing; O 2 with sound.
        ("n-running", 0.25),
        ("n-standing", 0.05),
        ("o-heavy", 2.0),
    ],
)
def test_presets_are_the_published_figures(preset_id: str, amps: float) -> None:
    assert load_preset(preset_id).amps_a == amps


def test_unknown_names_are_told() -> None:
    with pytest.raises(UnknownNameError):
        presets_of("P")
    with pytest.raises(UnknownNameError) as caught:
        load_preset("ho-runing")
    assert caught.value.nearest == "ho-running"


def test_the_low_ends_add_up_to_the_sums_that_builders_reckon_with() -> None:
    # Common practice, no source: 0.3 A an engine, 0.6 A with sound, so five HO
    # engines of which one has sound draw 4·0.3 + 0.6 = 1.8 A, five with sound 3.0 A.
    plain, sound = load_preset("ho-running").low_a, load_preset("ho-heavy").low_a
    assert 4 * plain + sound == pytest.approx(1.8)
    assert 5 * sound == pytest.approx(3.0)
