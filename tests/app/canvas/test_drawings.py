"""What is drawn of a part, seen as pixels: A solid, B dashed, words upright."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter, QTransform
from PySide6.QtWidgets import QApplication

from app.canvas.drawings.bus import BusDrawing
from app.canvas.drawings.drawing import Drawing
from app.canvas.drawings.make import make_drawing, survey
from app.canvas.drawings.run import RunDrawing, RunFacts
from app.canvas.lines.chunks import BUNCH, Chunks
from app.canvas.lines.pair import offset_points
from app.canvas.lines.rails import a_rails
from app.canvas.lines.stations import stations_of
from app.canvas.look import Look
from app.session.theme import LIGHT
from core.layout.geometry import run_path
from core.layout.ids import PartId
from core.layout.layout import Layout
from core.layout.parts import (
    Arc,
    Bus,
    Drop,
    OnRun,
    Point,
    RunEnd,
    Side,
    Straight,
    TrackJoint,
    TrackRun,
)
from core.layout.storage.read import read_layout

Pixels = NDArray[np.uint8]
WIDTH, HEIGHT = 400, 100


def level_run(length_mm: float = 400.0) -> TrackRun:
    return TrackRun(
        id=PartId("R1"),
        x_mm=0.0,
        y_mm=0.0,
        heading_deg=0.0,
        pieces=(Straight(length_mm=length_mm),),
    )


@pytest.fixture
def look(qapp: QApplication) -> Look:
    made = Look(LIGHT)
    made.px_per_mm = 1.0
    return made


@pytest.fixture
def paint(look: Look) -> Callable[[Drawing], Pixels]:
    """Return what paints a drawing: x from 0 to 400, y from -50 to 50, 1 px a mm."""

    def painted(drawing: Drawing) -> Pixels:
        image = QImage(WIDTH, HEIGHT, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFFFF)
        painter = QPainter(image)
        side = -1.0 if look.underside else 1.0
        shift = WIDTH if look.underside else 0
        painter.setTransform(QTransform(side, 0, 0, -1.0, shift, HEIGHT / 2))
        drawing.paint(painter, look, QRectF(0, -50, WIDTH, HEIGHT))
        painter.end()
        raw = np.frombuffer(image.constBits(), np.uint8)
        return raw.reshape(HEIGHT, WIDTH, 4)[:, :, :3].copy()

    return painted


def near(pixels: Pixels, colour: str) -> NDArray[np.bool_]:
    """Return where a picture has about a colour."""
    wanted = [int(colour[i : i + 2], 16) for i in (5, 3, 1)]  # blue, green, red
    apart = np.abs(pixels.astype(np.int64) - np.array(wanted)).max(axis=2)
    close: NDArray[np.bool_] = apart < 60
    return close


def share_along(found: NDArray[np.bool_], row: int) -> float:
    """Return how much of three rows about one has the colour somewhere."""
    return float(found[row - 1 : row + 2, 20:380].any(axis=0).mean())


@pytest.mark.parametrize(("a_rail", "a_row"), [("left", 42), ("right", 58)])
def test_rail_a_is_solid_and_rail_b_dashed(
    paint: Callable[[Drawing], Pixels], a_rail: Side, a_row: int
) -> None:
    # The rails of a 16.5 mm gauge lie 8 mm above and below the middle row, 50.
    facts = RunFacts(16.5, a_rail, free_start=False, free_end=False)
    pixels = paint(RunDrawing(level_run(), facts))
    on_a = share_along(near(pixels, LIGHT.conductor_a), a_row)
    on_b = share_along(near(pixels, LIGHT.conductor_b), 100 - a_row)
    assert on_a > 0.98
    assert 0.5 < on_b < 0.85


def test_from_afar_a_run_is_one_line_in_the_middle(
    paint: Callable[[Drawing], Pixels], look: Look
) -> None:
    look.gauge_mm = 4.0  # 4 px: too close for two rails
    facts = RunFacts(4.0, free_start=False, free_end=False)
    pixels = paint(RunDrawing(level_run(), facts))
    assert share_along(near(pixels, LIGHT.rail), 50) > 0.98
    assert not near(pixels, LIGHT.conductor_a).any()


def test_of_a_bus_conductor_a_is_solid_and_b_dashed(
    paint: Callable[[Drawing], Pixels],
) -> None:
    points = (Point(x_mm=0.0, y_mm=0.0), Point(x_mm=400.0, y_mm=0.0))
    bus = Bus(id=PartId("B1"), points=points, lay="side by side")
    pixels = paint(BusDrawing(bus))
    on_a = share_along(near(pixels, LIGHT.conductor_a), 47)
    on_b = share_along(near(pixels, LIGHT.conductor_b), 52)
    assert on_a > 0.95
    assert 0.4 < on_b < 0.9


def test_words_are_the_same_from_below(look: Look) -> None:
    """A word has the same pixels in the mirrored view: it can be read."""

    def word(side: float) -> Pixels:
        image = QImage(60, 30, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFFFF)
        painter = QPainter(image)
        painter.setTransform(QTransform(side, 0, 0, -1.0, 30, 15))
        drawing = BusDrawing(
            Bus(
                id=PartId("B7"),
                points=(Point(x_mm=-90.0, y_mm=0.0), Point(x_mm=90.0, y_mm=0.0)),
            )
        )
        (label,) = drawing.labels(look)
        look.words.put(painter, QPointF(0.0, 0.0), label.text, label.style)
        painter.end()
        return np.frombuffer(image.constBits(), np.uint8).copy()

    assert (word(1.0) < 128).any()
    np.testing.assert_array_equal(word(1.0), word(-1.0))


def test_from_below_track_is_faint_and_wiring_is_not(look: Look) -> None:
    look.set_underside(underside=True)
    assert look.theme.rail != LIGHT.rail
    assert look.theme.ramp[0] != LIGHT.ramp[0]
    assert look.theme.conductor_a == LIGHT.conductor_a
    assert look.theme.drop == LIGHT.drop


def test_stations_lie_on_the_path_and_no_further_apart_than_asked() -> None:
    run = TrackRun(
        id=PartId("R1"),
        x_mm=100.0,
        y_mm=-50.0,
        heading_deg=30.0,
        pieces=(
            Straight(length_mm=350.0),
            Arc(radius_mm=600.0, sweep_deg=-120.0),
            Arc(radius_mm=400.0, sweep_deg=45.0),
        ),
    )
    stations = stations_of(run, 0.15)
    path = run_path(run)
    for s, x, y in zip(stations.s_m, stations.x_mm, stations.y_mm, strict=True):
        pose = path.at(float(s))
        assert (x, y) == pytest.approx((pose.x_mm, pose.y_mm), abs=1e-6)
    assert stations.s_m[-1] == pytest.approx(path.length_m)
    # Half way between two stations on the wider arc: r - sqrt(r² - (c/2)²) <= 0.15.
    chords = np.hypot(np.diff(stations.x_mm), np.diff(stations.y_mm))[4:40]
    assert 600.0 - np.sqrt(600.0**2 - (float(chords.max()) / 2) ** 2) <= 0.151


def test_a_line_beside_a_corner_is_mitred() -> None:
    # Right, then up; 10 to the left of both: the corner at (100 - 10, 0 + 10).
    way = np.array(((0.0, 0.0), (100.0, 0.0), (100.0, 80.0)))
    assert offset_points(way, 10.0)[1] == pytest.approx((90.0, 10.0))


def test_only_bunches_in_view_are_drawn(qapp: QApplication) -> None:
    # 1000 upright lines, 10 mm apart: a view of 100 mm meets one bunch of 96.
    x = np.arange(1000.0) * 10.0
    zero = np.zeros(1000)
    chunks = Chunks(np.column_stack((x, zero, x, zero + 5.0)))
    image = QImage(8, 8, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    drawn = chunks.draw(painter, QRectF(2000.0, -10.0, 100.0, 20.0), 1.0)
    everything = chunks.draw(painter, QRectF(-1e5, -1e5, 2e5, 2e5), 1.0)
    painter.end()
    assert drawn == BUNCH
    assert everything == 1000


def test_the_first_drop_says_which_rail_is_a_along_all_joined_track() -> None:
    runs = [level_run(), level_run(), level_run()]
    ids = [PartId(f"R{i}") for i in (1, 2, 3)]
    parts = {
        i: TrackRun(id=i, x_mm=0, y_mm=0, heading_deg=0, pieces=r.pieces)
        for i, r in zip(ids, runs, strict=True)
    }
    # R1 end to R2 end: drawn against each other, so left goes on as right.
    joint = TrackJoint(
        id=PartId("J1"),
        a=RunEnd(run=ids[0], end="end"),
        b=RunEnd(run=ids[1], end="end"),
    )
    drop = Drop(id=PartId("D1"), on=OnRun(run=ids[0], position_m=0.1), a_rail="right")
    layout = Layout({**parts, joint.id: joint, drop.id: drop})
    assert a_rails(layout) == {ids[0]: "right", ids[1]: "left", ids[2]: "left"}


SAMPLES = sorted(
    path
    for path in (Path(__file__).parents[3] / "sample_layouts").glob("*.fwl")
    if path.stem.endswith("-faults")
)

FRAME_PX = 600


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("zoom", [0.05, 0.35, 1.5, 6.0])
@pytest.mark.parametrize("underside", [False, True])
def test_no_line_leaves_the_room_that_its_drawing_asks_for(
    qapp: QApplication, path: Path, zoom: float, *, underside: bool
) -> None:
    layout, _ = read_layout(path)
    look = Look(LIGHT)
    look.px_per_mm = zoom
    look.set_underside(underside=underside)
    around = survey(layout)
    look.gauge_mm = around.gauge_mm
    left_it: set[str] = set()
    for part in layout.parts.values():
        drawing = make_drawing(layout, part, around)
        if drawing is None or drawing.bounds().width() * zoom > 0.5 * FRAME_PX:
            continue  # runs and boards: they have room by far
        px, mm = drawing.room
        m = mm + px * look.mm_per_px
        room = drawing.bounds().adjusted(-m, -m, m, m)
        image = QImage(FRAME_PX, FRAME_PX, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFF)
        blank = image.copy()
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle, half = room.center(), 0.5 * FRAME_PX
        painter.translate(half, half)
        painter.scale(-zoom if underside else zoom, -zoom)
        painter.translate(-middle.x(), -middle.y())
        drawing.paint(painter, look, QRectF(-1e6, -1e6, 2e6, 2e6))
        painter.fillRect(room, QColor(0xFFFFFF))
        painter.end()
        if image != blank:
            left_it.add(type(drawing).__name__)
    assert left_it == set()
