"""The page that holds every conductor against what protects it."""

import pytest
from msgspec.structs import replace

from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import Booster, ToPort
from core.sheet.pages.proving.conductors import conductor_leaves
from tests.bench.generate import club_layout
from tests.core.sheet.boards import brief_of, drop, layout_of, shelf_run, texts

BOOSTER = Booster(
    id=PartId("PB1"), name="Shelf", x_mm=0, y_mm=-300, trip_a=3.0, trip_s=0.1
)


def said(layout: Layout) -> list[str]:
    return [t for leaf in conductor_leaves(brief_of(layout)) for t in texts(leaf.marks)]


def fed(wire: str = "0.5mm2-c5", lead_m: float = 0.5) -> Layout:
    feed = drop(1, 0.1, to=ToPort(part=BOOSTER.id), lead_m=lead_m, wire=wire)
    return layout_of(shelf_run(), BOOSTER, feed)


def test_a_drop_is_a_row_with_both_sums() -> None:
    # Loop 50 + 2·(2 + 0.5 + 0.5·39) = 94 mΩ, 15 V: 159.6 A; ² × 0.1 s = 2546 A²s of
    # (115·0.5)² = 3306 (IEC 60364-4-43).
    words = said(fed())
    start = words.index("drop")
    assert words[start + 1 : start + 8] == [
        "0.5 mm² flexible", "1", "D1", "5.00 A", "160 A", "2 550 A²s",
        "3 310 A²s",
    ]  # fmt: skip
    assert "Behind PB1 (Shelf): 3.00 A for good, a short for 100 ms" in words
    assert not any("▲" in text for text in words[start:])


def test_what_does_not_stand_it_is_marked() -> None:
    words = said(fed("0.14mm2-hookup"))
    verdict = " ".join(words[words.index("drop") :])
    assert "▲ too thin: 3.00 A > 1.50 A for good" in verdict


def test_what_does_not_trip_is_said() -> None:
    # 10 m of 138 mΩ/m: 0.05 + 2·(0.0025 + 1.38) = 2.815 Ω, 5.33 A; here 8 A trip.
    layout = fed("0.14mm2-hookup", 10.0)
    slow = replace(layout.need(BOOSTER.id, Booster), trip_a=8.0)
    words = said(Layout({**layout.parts, slow.id: slow}))
    start = words.index("drop")
    assert words[start + 5 : start + 7] == ["5.33 A", "does not trip"]


def test_a_layout_that_nothing_feeds_has_no_page() -> None:
    assert conductor_leaves(brief_of(layout_of(shelf_run()))) == ()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_each_device_of_a_club_has_its_band(paper: str) -> None:
    layout = club_layout(80)
    settings = replace(layout.settings, paper=paper)
    words = said(Layout({**layout.parts, settings.id: settings}))
    bands = [text for text in words if text.startswith("Behind ")]
    assert [b.split()[1] for b in bands] == ["CB1", "CB2"]
