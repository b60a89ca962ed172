"""Pages as a PDF file: the one file that knows reportlab.

The same pages always give the same bytes: no clock, no random name goes in.
"""

import os
from collections.abc import Callable, Sequence
from functools import cache
from io import BytesIO
from math import cos, radians, sin
from pathlib import Path

from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from core.errors import FileAccessError
from core.sheet.marks import (
    POINT_MM,
    XY,
    Circle,
    Line,
    Mark,
    Page,
    Picture,
    Shape,
    Text,
)
from core.sheet.scripts import paper_order
from core.sheet.typeface import BOLD, REGULAR

Progress = Callable[[float, str], bool]
"""Called with a share from 0 to 1 and a few words; False means: stop."""

MOST_PIXELS = 50_000_000
"""Largest picture that is unpacked: 200 MB; A2 at 300 dpi has 35 million. [1]"""

PRINT_PIXELS_PER_MM = 8.0
"""Fineness that pictures are printed at, about 200 per inch; house choice."""

rl_config.useA85 = 0
"""Streams stay bytes: a fifth smaller and faster than as letters of ASCII."""

_REGULAR_NAME = "Sheet"
_BOLD_NAME = "Sheet-Bold"


def write_pdf(
    pages: Sequence[Page],
    path: Path,
    *,
    fonts: Path,
    title: str,
    progress: Progress | None = None,
) -> bool:
    """Write pages to a PDF file; return False where it was stopped.

    Parameters
    ----------
    pages : sequence of Page
        At least one.
    path : Path
        The file; replaced in one step when all is done, else left as it was.
    fonts : Path
        Folder of the two font files, which are embedded.
    title : str
        Title of the document.
    progress : callable, optional
        Called before each page; returning False stops, and no file is left.

    Raises
    ------
    FileAccessError
        The file cannot be written.
    """
    data = render_pdf(pages, fonts=fonts, title=title, progress=progress)
    if data is None:
        return False
    _replace(path, data)
    return True


def render_pdf(
    pages: Sequence[Page],
    *,
    fonts: Path,
    title: str,
    progress: Progress | None = None,
) -> bytes | None:
    """Return pages as the bytes of a PDF file, or None where it was stopped."""
    assert pages, "a sheet has at least one page"
    faces = {
        name: TTFont(name, str(fonts / file))
        for name, file in ((_REGULAR_NAME, REGULAR), (_BOLD_NAME, BOLD))
    }
    for face in faces.values():
        pdfmetrics.registerFont(face)
    file = BytesIO()
    canvas = Canvas(
        file,
        pagesize=(1.0, 1.0),
        invariant=1,
        pageCompression=1,
        initialFontName=_REGULAR_NAME,  # type: ignore[arg-type]  # stubs: a float
    )
    canvas.setTitle(title)
    canvas.setCreator("Feederwright")
    canvas.setAuthor("")
    canvas.setSubject("Wiring sheet")
    canvas.showOutline()
    lettering = _Lettering(canvas, faces)
    for number, page in enumerate(pages, start=1):
        words = f"Page {number} of {len(pages)}: {page.title}"
        if progress is not None and not progress((number - 1) / len(pages), words):
            return None
        _draw_page(canvas, lettering, page, f"page{number}")
    canvas.save()
    return file.getvalue()


def _draw_page(canvas: Canvas, lettering: "_Lettering", page: Page, key: str) -> None:
    canvas.setPageSize((page.width / POINT_MM, page.height / POINT_MM))
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(page.title, key, 0)
    canvas.setLineJoin(1)
    pen = _Pen(canvas, lettering, page.height)
    for mark in page.marks:
        pen.draw(mark)
    pen.finish()
    canvas.showPage()


class _Lettering:
    """The letters of a document as the strings of a PDF.

    A PDF numbers the letters of a font in sets of up to 256; reportlab gives the
    numbers out. Words come again and again in a sheet, so each is spelt once.
    """

    def __init__(self, canvas: Canvas, faces: dict[str, TTFont]) -> None:
        # reportlab has no public name for the document that a canvas draws.
        self._document = canvas._doc  # type: ignore[attr-defined]  # noqa: SLF001
        self._faces = faces
        self._spelt: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}
        self._widths: dict[tuple[str, str, float], float] = {}

    def spell(self, font: str, text: str) -> tuple[tuple[str, str], ...]:
        """Return a text as pieces: the set its letters are of, and a string."""
        found = self._spelt.get((font, text))
        if found is None:
            face = self._faces[font]
            found = self._spelt[font, text] = tuple(
                (face.getSubsetInternalName(number, self._document), _string(codes))
                for number, codes in face.splitString(text, self._document)
            )
        return found

    def width(self, font: str, text: str, size: float) -> float:
        """Return the width of a text. [pt]"""
        found = self._widths.get((font, text, size))
        if found is None:
            found = pdfmetrics.stringWidth(text, font, size)
            self._widths[font, text, size] = found
        return found


class _Pen:
    """Draws marks on one page; turns paper millimetres into points from below.

    A page of a PDF keeps its inks, line styles and font until they change, so they
    are only set where they do; texts in a row are one text object.
    """

    def __init__(self, canvas: Canvas, lettering: _Lettering, height: float) -> None:
        self._canvas = canvas
        self._lettering = lettering
        self._height = height
        self._operators: list[str] = []
        self._put = self._operators.append
        self._writes = False
        self._fill = ""
        self._font = ("", 0.0)
        self._style: tuple[str, float, tuple[float, ...]] = ("", 0.0, ())

    def draw(self, mark: Mark) -> None:
        """Draw one mark."""
        if isinstance(mark, Text):
            self._text(mark)
            return
        self._lift()
        match mark:
            case Line():
                self._set_style(mark.ink, mark.width, mark.dash)
                path = self._path(mark.points, closed=mark.closed)
                self._put(f"{path} S")
            case Shape():
                self._set_fill(mark.fill)
                path = self._path(mark.points, closed=True)
                self._put(f"{path} f")
            case Circle():
                self._circle(mark)
            case Picture():
                self._picture(mark)

    def finish(self) -> None:
        """Hand over what was drawn."""
        self._lift()
        if self._operators:
            self._canvas.addLiteral("\n".join(self._operators))
            self._operators.clear()

    def _lift(self) -> None:
        """End the text object, if there is one."""
        if self._writes:
            self._put("ET")
            self._writes = False

    def _at(self, x: float, y: float) -> XY:
        return x / POINT_MM, (self._height - y) / POINT_MM

    def _path(self, points: tuple[XY, ...], *, closed: bool) -> str:
        """Return a path in the operators of a PDF: m, l and h.

        They are put down here: reportlab writes each number with so much care that
        the paths of a club layout took it a second.
        """
        height = self._height
        first, *rest = [
            f"{x / POINT_MM:.3f} {(height - y) / POINT_MM:.3f}" for x, y in points
        ]
        steps = "".join([f" {place} l" for place in rest])
        return f"{first} m{steps}{' h' if closed else ''}"

    def _set_fill(self, ink: str) -> None:
        if ink != self._fill:
            self._put(f"{_colour(ink)} rg")
            self._fill = ink

    def _set_style(self, ink: str, width: float, dash: tuple[float, ...]) -> None:
        old_ink, old_width, old_dash = self._style
        if ink != old_ink:
            self._put(f"{_colour(ink)} RG")
        if width != old_width:
            self._put(f"{_figure(width)} w")
        if dash != old_dash:
            self._put(f"[{' '.join(map(_figure, dash))}] 0 d")
        self._style = ink, width, dash

    def _circle(self, mark: Circle) -> None:
        is_full, has_edge = mark.fill is not None, mark.width > 0.0
        if not (is_full or has_edge):
            return
        if mark.fill is not None:
            self._set_fill(mark.fill)
        if has_edge:
            self._set_style(mark.ink, mark.width, ())
        self._put(f"{self._ring(mark)} {_PAINTS[is_full, has_edge]}")

    def _ring(self, mark: Circle) -> str:
        """Return a circle as four cubic curves, off by 0.03 % of its radius."""
        radius = mark.radius
        steps = -radius, -_QUARTER * radius, 0.0, _QUARTER * radius, radius
        a, b, c, d, e = (_figure(mark.x + step) for step in steps)
        f, g, h, i, j = (_figure(self._height - mark.y + step) for step in steps)
        return (
            f"{e} {h} m {e} {i} {d} {j} {c} {j} c {b} {j} {a} {i} {a} {h} c "
            f"{a} {g} {b} {f} {c} {f} c {d} {f} {e} {g} {e} {h} c h"
        )

    def _text(self, mark: Text) -> None:
        font = _BOLD_NAME if mark.bold else _REGULAR_NAME
        text = paper_order(mark.text)
        self._set_fill(mark.ink)
        if not self._writes:
            self._put("BT")
            self._writes = True
        x, y = self._at(mark.x, mark.y)
        back = _ANCHORS[mark.anchor]
        if back:
            back *= self._lettering.width(font, text, mark.size)
        if mark.rotation:
            angle = radians(mark.rotation)
            along, up = cos(angle), sin(angle)
            x, y = x - back * along, y - back * up
            self._put(f"{along:.6f} {up:.6f} {-up:.6f} {along:.6f} {x:.6f} {y:.6f} Tm")
        else:
            self._put(f"1 0 0 1 {x - back:.6f} {y:.6f} Tm")
        for name, string in self._lettering.spell(font, text):
            if (name, mark.size) != self._font:
                self._put(f"{name} {mark.size:g} Tf")
                self._font = name, mark.size
            self._put(f"{string} Tj")

    def _picture(self, mark: Picture) -> None:
        canvas = self._canvas
        image = _read_picture(mark)
        left, top, right, bottom = mark.window
        corners = ((left, top), (right, top), (right, bottom), (left, bottom))
        if image is None:
            self.draw(Line(corners, 0.25, closed=True))
            words = "The picture of the plan cannot be read."
            self.draw(
                Text((left + right) / 2, (top + bottom) / 2, words, 9.0, "middle")
            )
            return
        self.finish()
        canvas.saveState()
        canvas.addLiteral(f"{self._path(corners, closed=True)} W n")
        x, y = self._at(mark.x, mark.y + mark.height)
        size = mark.width / POINT_MM, mark.height / POINT_MM
        canvas.drawImage(ImageReader(image), x, y, *size)
        canvas.restoreState()


_ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""Which share of its width a text stands before its place. [1]"""

_ESCAPES = {n: f"\\{n:03o}" for n in (*range(32), *b"()\\", *range(127, 256))}
"""Letters of a PDF's string that stand as their numbers."""

_PAINTS = {(True, True): "B", (True, False): "f", (False, True): "S"}
"""What a PDF calls painting: full with an edge, full, only the edge."""

_QUARTER = 0.5523
"""How far the handles of a quarter circle reach: 4/3·tan(π/8) radii. [1]"""


@cache
def _colour(ink: str) -> str:
    """Return a colour "#rrggbb" as the three numbers of a PDF, each from 0 to 1."""
    return " ".join(f"{int(ink[i : i + 2], 16) / 255.0:.4f}" for i in (1, 3, 5))


def _string(codes: bytes) -> str:
    """Return letters as a string of a PDF."""
    return f"({codes.decode('latin-1').translate(_ESCAPES)})"


def _figure(length_mm: float) -> str:
    """Return a length on paper in points, to 0.4 µm."""
    return f"{length_mm / POINT_MM:.3f}"


def _read_picture(mark: Picture) -> Image.Image | None:
    """Return a picture as it will be printed, mixed with the white of the paper."""
    # The two readers are asked directly: Image.open would try others, and warns of
    # sizes that are allowed here.
    is_png = mark.data.startswith(b"\x89PNG")
    reader = PngImageFile if is_png else JpegImageFile
    most = (
        max(int(mark.width * PRINT_PIXELS_PER_MM), 1),
        max(int(mark.height * PRINT_PIXELS_PER_MM), 1),
    )
    try:
        with reader(BytesIO(mark.data)) as image:
            if image.width * image.height > MOST_PIXELS:
                return None
            image.draft("RGB", most)
            ink = image.convert("RGBA")
    except (OSError, ValueError, SyntaxError):
        return None
    ink.thumbnail(most)
    paper = Image.new("RGBA", ink.size, "white")
    flat = Image.alpha_composite(paper, ink)
    return Image.blend(paper, flat, mark.opacity).convert("RGB")


def _replace(path: Path, data: bytes) -> None:
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        if part.exists():
            part.unlink()
        raise FileAccessError(
            str(path),
            f"the sheet cannot be written ({error.strerror}).",
            "Close it in other programs, or choose another folder.",
        ) from error
