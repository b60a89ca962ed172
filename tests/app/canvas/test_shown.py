"""What is shown on top: previews, the probe, the worst place, the picture."""

from typing import TypeVar

import pytest
from PySide6.QtCore import QBuffer, QIODevice, QPoint, QPointF, QRectF
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.colouring import Legend
from app.canvas.drawings.picture import PictureDrawing
from app.canvas.over.handles import Handles
from app.canvas.over.markers import ProbePin, WorstFlag
from app.canvas.over.preview import Preview
from app.canvas.picture import LEAST_LEVEL_PX, read_levels
from app.session.session import Session
from app.session.theme import DARK
from core.layout.edits.add import set_backdrop
from core.layout.ids import BACKDROP_ID, PartId
from core.layout.parts import Backdrop, Booster, OnRun
from tests.app.board import board
from tests.app.canvas.mouse import Mouse

T = TypeVar("T")


def only(canvas: Canvas, kind: type[T]) -> T:
    (found,) = (item for item in canvas.plan.items() if isinstance(item, kind))
    return found


@pytest.fixture
def fed(session: Session, canvas: Canvas, qtbot: QtBot) -> Session:
    with qtbot.waitSignal(session.study_ready):
        session.replace_layout(board(), None)
    canvas.show_at(1500.0, 0.0, 0.4)
    return session


def png(width: int, height: int, colour: str) -> bytes:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor(colour))
    return encoded(image)


def encoded(image: QImage) -> bytes:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    return bytes(buffer.data().data())


def picture(data: bytes, width: int = 40, height: int = 20) -> Backdrop:
    return Backdrop(media="image/png", data=data, width_px=width, height_px=height)


def test_the_worst_place_is_flagged_with_a_word(
    fed: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    canvas.set_colouring("volts")
    assert fed.result is not None
    worst = fed.result.study.worst_volts
    assert worst is not None
    flag = only(canvas, WorstFlag)
    qtbot.waitUntil(lambda: flag.word != "")
    assert flag.word == f"lowest, {worst.value:.2f} V"
    assert flag.boundingRect().contains(1000.0 * worst.place.position_m, 0.0)
    canvas.set_colouring(None)
    assert flag.word == ""


@pytest.mark.parametrize("underside", [False, True])
@pytest.mark.parametrize("corner", ["right", "left", "top", "bottom", "top right"])
def test_the_word_of_the_worst_place_stays_inside_the_window(
    fed: Session, canvas: Canvas, qtbot: QtBot, corner: str, *, underside: bool
) -> None:
    # The flag's foot is 3 px from an edge; the word is some 110 px wide.
    canvas.set_underside(underside)
    canvas.set_colouring("volts")
    flag = only(canvas, WorstFlag)
    qtbot.waitUntil(lambda: flag.word != "")
    assert fed.result is not None
    worst = fed.result.study.worst_volts
    assert worst is not None
    width, height = canvas.viewport().width(), canvas.viewport().height()
    x = 3 if "left" in corner else width - 3 if "right" in corner else width // 2
    y = 3 if "top" in corner else height - 3 if "bottom" in corner else height // 2
    foot = QPointF(1000.0 * worst.place.position_m, 0.0)
    canvas._scroll(canvas.mapFromScene(foot) - QPoint(x, y))
    canvas._on_rest()
    word = flag.word_area.translated(QPointF(canvas.mapFromScene(foot)))
    assert word.width() > 60.0
    assert QRectF(canvas.viewport().rect()).contains(word)
    # What is painted there is inked: the word stands where it says.
    image = canvas.viewport().grab(word.toRect()).toImage()
    inks = {
        image.pixel(i, j)
        for i in range(image.width())
        for j in range(0, image.height(), 2)
    }
    assert QColor(canvas.look.theme.poor).rgb() in inks


def test_the_word_of_the_worst_place_has_room_after_zooming_out(
    fed: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    canvas.set_colouring("volts")
    flag = only(canvas, WorstFlag)
    qtbot.waitUntil(lambda: flag.word != "")
    canvas.show_at(1500.0, 0.0, 0.05)
    canvas._on_rest()
    across = flag.boundingRect().width() * canvas.look.px_per_mm
    assert across > flag.word_area.width()


def test_the_legend_follows_the_quantity_and_the_theme(
    fed: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(canvas.legend_changed) as told:
        canvas.set_colouring("loop")
    legend = told.args[0]
    assert isinstance(legend, Legend)
    assert (legend.quantity, legend.unit) == ("loop", "Ω")
    with qtbot.waitSignal(canvas.legend_changed) as told:
        canvas.set_theme(DARK)
    assert told.args[0].colours == DARK.ramp
    with qtbot.waitSignal(canvas.legend_changed) as told:
        canvas.set_colouring(None)
    assert told.args == [None]


def test_the_probe_stands_where_it_reads_and_shows_its_volts(
    fed: Session, canvas: Canvas
) -> None:
    fed.set_probe(OnRun(run=PartId("R1"), position_m=1.2))
    pin = only(canvas, ProbePin)
    assert fed.probe is not None
    assert pin.word == f"{fed.probe.volts_v:.2f} V"
    assert pin.boundingRect().contains(1200.0, 0.0)
    fed.set_probe(None)
    assert pin.boundingRect().isNull()


def test_a_drag_shows_a_ghost_and_leaves_none(
    fed: Session, canvas: Canvas, mouse: Mouse
) -> None:
    canvas.set_tool("select")
    preview = only(canvas, Preview)
    mouse.move(1500, -200).press(1500, -200).move(1600, -300)
    # The booster and, since they follow it, the two drops.
    shown = preview.ghosts
    assert len(shown) == 3
    assert fed.layout.need(PartId("PB1"), Booster).x_mm == 1500
    mouse.release(1600, -300)
    left: tuple[object, ...] = preview.ghosts
    assert left == ()
    assert preview.boundingRect().isNull()


def test_a_single_selected_bus_or_drop_shows_its_handles(
    fed: Session, canvas: Canvas
) -> None:
    canvas.set_tool("select")
    handles = only(canvas, Handles)
    fed.select((PartId("D1"),))

    def count() -> int:
        return len(handles.shown)

    assert count() == 2
    fed.select((PartId("D1"), PartId("D2")))
    assert count() == 0
    fed.select((PartId("D1"),))
    canvas.set_tool("run")
    assert count() == 0


def test_the_picture_is_read_off_the_window_thread_and_shown(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    session.commit(set_backdrop(session.layout, picture(png(40, 20, "#000000"))))
    drawing = canvas.plan.parts[BACKDROP_ID].drawing
    assert isinstance(drawing, PictureDrawing)
    qtbot.waitUntil(lambda: drawing.is_ready)
    assert drawing.levels[0].width() == 40


@pytest.mark.parametrize("underside", [False, True])
def test_the_picture_stands_upright_and_is_mirrored_from_below(
    session: Session, canvas: Canvas, qtbot: QtBot, underside: bool
) -> None:
    image = QImage(40, 20, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    for x in range(8):
        for y in range(8):
            image.setPixelColor(x, y, QColor("black"))  # its upper left corner
    backdrop = Backdrop(
        media="image/png",
        data=encoded(image),
        width_px=40,
        height_px=20,
        mm_per_px=20.0,
        opacity=1.0,
    )
    session.commit(set_backdrop(session.layout, backdrop))
    drawing = canvas.plan.parts[BACKDROP_ID].drawing
    assert isinstance(drawing, PictureDrawing)
    qtbot.waitUntil(lambda: drawing.is_ready)
    canvas.set_underside(underside)
    canvas.show_at(400.0, 200.0, 0.5)
    seen = canvas.viewport().grab().toImage()
    corner = canvas.mapFromScene(QPointF(80.0, 320.0))  # left, and up in plan
    other = canvas.mapFromScene(QPointF(720.0, 80.0))
    assert seen.pixelColor(corner).lightness() < 50
    assert seen.pixelColor(other).lightness() > 200
    assert (corner.x() > other.x()) == underside


def test_a_moved_picture_is_not_read_again(
    session: Session, canvas: Canvas, qtbot: QtBot
) -> None:
    backdrop = picture(png(40, 20, "#000000"))
    session.commit(set_backdrop(session.layout, backdrop))
    first = canvas.plan.parts[BACKDROP_ID].drawing
    assert isinstance(first, PictureDrawing)
    qtbot.waitUntil(lambda: first.is_ready)
    moved = Backdrop(
        media="image/png", data=backdrop.data, width_px=40, height_px=20, x_mm=100.0
    )
    session.commit(set_backdrop(session.layout, moved))
    second = canvas.plan.parts[BACKDROP_ID].drawing
    assert second is not first
    assert isinstance(second, PictureDrawing)
    assert second.is_ready


def test_the_picture_is_faded_into_the_paper(qtbot: QtBot) -> None:
    # Black at half opacity on white paper: 127 or 128 of 255.
    (level,) = read_levels(picture(png(40, 20, "#000000")), "#ffffff")
    assert abs(level.pixelColor(5, 5).red() - 127) <= 1


def test_a_large_picture_has_halves_for_small_zooms(qtbot: QtBot) -> None:
    wide = 2 * LEAST_LEVEL_PX + 2
    levels = read_levels(picture(png(wide, 10, "#808080"), wide, 10), "#ffffff")
    assert [level.width() for level in levels] == [wide, wide // 2, wide // 4]


def test_a_file_that_is_no_picture_shows_an_empty_frame(qtbot: QtBot) -> None:
    assert read_levels(picture(b"no picture at all"), "#ffffff") == ()


def test_a_drawing_that_pretends_to_be_a_picture_is_refused(qtbot: QtBot) -> None:
    svg = b"<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>"
    assert read_levels(picture(svg), "#ffffff") == ()
