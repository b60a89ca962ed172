"""The child that reads pictures: what it takes, what it refuses, and how."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtGui import QColor, QImage
from reportlab.pdfgen.canvas import Canvas as Pdf

from app.rasterworker.limits import KEPT_PIXELS
from app.rasterworker.sniff import kind_of

ROOT = Path(__file__).parents[3]
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="200">{}</svg>'


def read(path: Path, page: int = 0) -> dict[str, Any]:
    command = [sys.executable, "-m", "app.rasterworker", str(path)]
    done = subprocess.run(
        [*command, str(path.with_name("out")), str(page)],
        check=False,
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
    )
    answer: dict[str, Any] = json.loads(done.stdout)
    assert done.returncode == (2 if "error" in answer else 0)
    return answer


def write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def taken(path: Path) -> QImage:
    return QImage(str(path.with_name("out")))


def test_a_drawing_named_as_a_photograph_is_read_as_a_drawing(tmp_path: Path) -> None:
    path = write(tmp_path / "scan.png", SVG.format('<rect width="150" height="200"/>'))
    answer = read(path)
    assert (answer["width_px"], answer["height_px"]) == (6000, 4000)
    assert taken(path).pixelColor(100, 100) == QColor("black")
    assert taken(path).pixelColor(5000, 100) == QColor("white")


def test_a_drawing_that_points_outside_itself_is_refused(tmp_path: Path) -> None:
    path = write(tmp_path / "a.svg", SVG.format('<image href="/etc/hostname"/>'))
    assert "points to another file" in read(path)["error"]


def test_a_picture_too_large_to_hold_is_refused_by_its_size(tmp_path: Path) -> None:
    image = QImage(20_000, 10_000, QImage.Format.Format_Mono)
    image.fill(0)
    path = tmp_path / "huge.png"
    assert image.save(str(path))
    said = read(path)["error"]
    assert said.startswith("huge.png has 20000 × 10000 pixels; at most 120 million")


def test_a_large_picture_is_kept_smaller(tmp_path: Path) -> None:
    image = QImage(9_000, 6_000, QImage.Format.Format_Grayscale8)
    image.fill(255)
    path = tmp_path / "large.png"
    assert image.save(str(path))
    answer = read(path)
    assert answer["width_px"] * answer["height_px"] <= KEPT_PIXELS
    assert answer["width_px"] / answer["height_px"] == pytest.approx(1.5, rel=1e-3)


def test_any_page_of_a_pdf_can_be_taken(tmp_path: Path) -> None:
    path = tmp_path / "plan.pdf"
    pdf = Pdf(str(path), pagesize=(720, 360))
    pdf.showPage()
    pdf.rect(0, 0, 720, 360, fill=1)
    pdf.showPage()
    pdf.save()
    answer = read(path, page=1)
    # 720 points are 10 inches: at 200 dots an inch, 2000 of them.
    assert (answer["pages"], answer["width_px"], answer["height_px"]) == (2, 2000, 1000)
    assert taken(path).pixelColor(500, 500) == QColor("black")


def test_a_dxf_brings_its_scale(tmp_path: Path) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    path = tmp_path / "bench.dxf"
    drawing = ezdxf.new()
    drawing.units = 6  # metres ($INSUNITS, DXF reference)
    drawing.modelspace().add_line((0, 0), (3, 1))
    drawing.saveas(path)
    answer = read(path)
    # 3 m over the 5996 pixels between the edges of the picture.
    assert answer["mm_per_px"] == pytest.approx(3000 / 5996, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.txt", "hello"),
        ("empty.png", ""),
        ("a.pdf", "%PDF-1.4 rubbish"),
        ("a.dxf", "0\nSECTION\n2\nENTITIES\n0\nLINE\n"),
        ("a.svg", "<svg"),
        ("cut.png", "\x89PNG"),
    ],
)
def test_rubbish_is_refused_with_its_name(tmp_path: Path, name: str, text: str) -> None:
    assert read(write(tmp_path / name, text))["error"].startswith(name)


def test_a_file_that_is_not_there_is_said(tmp_path: Path) -> None:
    said = read(tmp_path / "gone.png")["error"]
    assert said == "gone.png cannot be read: No such file or directory."


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (b"\x89PNG\r\n\x1a\n....", "png"),
        (b"\xff\xd8\xff\xe0", "jpeg"),
        (b"RIFF\x00\x00\x00\x00WEBPVP8 ", "webp"),
        (b"\xef\xbb\xbf<?xml version='1.0'?><svg>", "svg"),
        (b"  0\r\nSECTION\r\n  2\r\nHEADER", "dxf"),
        (b"PK\x03\x04", None),
    ],
)
def test_a_kind_is_known_by_its_first_bytes(head: bytes, kind: str | None) -> None:
    assert kind_of(head) == kind
