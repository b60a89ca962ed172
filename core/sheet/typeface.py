"""The sheet's typeface: how wide text is, where lines break, what it lacks.

Widths come from the very TrueType files that are embedded in the PDF, so a table
wraps alike on screen and on paper. The reader knows the four tables it needs
(head, hhea, hmtx, cmap formats 4 and 12) and nothing of drawing.

Sources
-------
.. [1] ISO/IEC 14496-22, Open Font Format, sections on head, hhea, hmtx, cmap.
.. [2] The Unicode Standard, section 5.21, default ignorable code points.
"""

import re
import struct
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

import core
from core.errors import FileAccessError
from core.sheet.marks import POINT_MM
from core.sheet.scripts import join_letters

REGULAR = "DejaVuSans.ttf"
BOLD = "DejaVuSans-Bold.ttf"

LEADING = 1.22
"""Distance of baselines over size of type; house choice. [1]"""

CAP_HEIGHT = 0.729
"""Height of capitals over size of type (1493 of 2048 units, OS/2 table). [1]"""

_GLUE = "\u00a0"
_UNITS = r"×|mm²?|m|V|A²s|A|W|Ω|mΩ|%|s|ms|ft|in|AWG|[0-9]+[0-9 /]*[″′m]"
_UNIT = re.compile(rf"(?<=[0-9′×]) (?=(?:{_UNITS})(?!\w))")
"""A space between a figure and its unit, where a line must not break."""

_PLAIN = "".join(map(chr, range(0x20, 0x7F))) + "\u00a0·×°²µΩ–—…−≤≥±→½′″“”▲□"
"""Signs that most texts are made of: none joins, composes or goes unseen."""


def find_fonts() -> Path:
    """Return the folder of the fonts: of a checkout, or of an installed wheel.

    Raises
    ------
    FileAccessError
        Neither folder holds them.
    """
    home = Path(core.__file__).parent.parent
    places = (home / "assets" / "fonts", home / "app" / "_data" / "assets" / "fonts")
    for folder in places:
        if (folder / REGULAR).is_file() and (folder / BOLD).is_file():
            return folder
    raise FileAccessError(
        str(places[0]), "the fonts of the sheet are missing.", "Install it again."
    )


class Face:
    """Advance widths of one font file, over size of type. [1]"""

    def __init__(self, data: bytes) -> None:
        tables = _tables(data)
        units: int = struct.unpack_from(">H", data, tables["head"] + 18)[0]
        (count,) = struct.unpack_from(">H", data, tables["hhea"] + 34)
        metrics = struct.unpack_from(f">{2 * count}H", data, tables["hmtx"])
        widths = [m / units for m in metrics[::2]]
        self._advances: dict[str, float] = {
            chr(code): widths[min(glyph, count - 1)]
            for code, glyph in _character_map(data, tables["cmap"]).items()
            if glyph
        }

    def has(self, char: str) -> bool:
        """Return whether the font has a sign for a character."""
        return char in self._advances

    def measure(self, text: str) -> float:
        """Return how far a text moves the pen; the font must have its signs. [1]"""
        return sum(map(self._advances.__getitem__, text))


class Typeface:
    """The two cuts the sheet is set in.

    Parameters
    ----------
    folder : Path, optional
        Where the font files are; left out: where they are installed.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = find_fonts() if folder is None else folder
        self._regular = _load_face(self.folder / REGULAR)
        self._bold = _load_face(self.folder / BOLD)
        self._plain = frozenset(c for c in _PLAIN if self._can_print(c))
        self._legible: dict[str, str] = {}

    def width(self, text: str, size: float, *, bold: bool = False) -> float:
        """Return the width of a line of text. [mm]"""
        face = self._bold if bold else self._regular
        return face.measure(self.legible(text)) * size * POINT_MM

    def lacking(self, text: str) -> frozenset[str]:
        """Return the characters of a text that either cut has no sign for."""
        return frozenset(c for c in _settled(text) if not self._can_print(c))

    def legible(self, text: str) -> str:
        """Return a text with each missing sign spelt out, such as "[U+6771]"."""
        if self._plain.issuperset(text):
            return text
        found = self._legible.get(text)
        if found is None:
            found = self._legible[text] = "".join(
                c if self._can_print(c) else f"[U+{ord(c):04X}]" for c in _settled(text)
            )
        return found

    def wrap(
        self, text: str, width: float, size: float, *, bold: bool = False
    ) -> tuple[str, ...]:
        """Return a text as lines that fit a width; at least one line.

        Lines break at spaces, after hyphens and slashes, at line ends of the
        text, and inside a word only where the word alone is too wide.

        Parameters
        ----------
        text : str
            Any text.
        width : float
            Room for a line. [mm]
        size : float
            Size of type. [pt]
        bold : bool
            Whether it will be set bold.
        """
        face = self._bold if bold else self._regular
        room = width / (size * POINT_MM) + 1e-9
        lines: list[str] = []
        for paragraph in text.splitlines() or [""]:
            whole = self.legible(paragraph)
            if face.measure(whole) <= room:
                lines.append(whole.rstrip(" "))
            else:
                lines.extend(_break_lines(face, _UNIT.sub(_GLUE, whole), room))
        return tuple(line.replace(_GLUE, " ") for line in lines)

    def shorten(
        self, text: str, width: float, size: float, *, bold: bool = False
    ) -> str:
        """Return as much of a text as fits a width, with "…" where it was cut."""
        whole = self.legible(text)
        if self.width(whole, size, bold=bold) <= width:
            return whole
        while whole and self.width(whole + "…", size, bold=bold) > width:
            whole = whole[:-1].rstrip()
        return whole + "…"

    def _can_print(self, char: str) -> bool:
        return self._regular.has(char) and self._bold.has(char)


def name_of(char: str) -> str:
    """Return a character's number and its name in words."""
    return f"U+{ord(char):04X} {unicodedata.name(char, 'without a name').lower()}"


@lru_cache(maxsize=4096)
def _settled(text: str) -> str:
    """Compose accents, join letters, drop what is invisible, space out controls."""
    if text.isascii() and text.isprintable():
        return text
    composed = join_letters(unicodedata.normalize("NFC", text))
    kept = (" " if c.isspace() and c != "\u00a0" else c for c in composed)
    return "".join(
        " " if unicodedata.category(c) == "Cc" else c
        for c in kept
        if not _is_ignorable(c)
    )


def _is_ignorable(char: str) -> bool:
    return unicodedata.category(char) == "Cf" or 0xFE00 <= ord(char) <= 0xFE0F


def _break_lines(face: Face, text: str, room: float) -> Iterable[str]:
    line, used = "", 0.0
    for word in _words(text):
        wide = face.measure(word.rstrip(" "))
        if line and used + wide > room:
            yield line.rstrip(" ")
            line, used = "", 0.0
        *full, last = _chop(face, word, room) if wide > room else [word]
        yield from full
        line += last
        used += face.measure(last)
    yield line.rstrip(" ")


def _words(text: str) -> Iterable[str]:
    """Split where a line may break; each word keeps what follows it."""
    start = 0
    for i, char in enumerate(text[:-1], start=1):
        after = text[i]
        if (char == " " and after != " ") or (char in "-/" and after.isalpha()):
            yield text[start:i]
            start = i
    if start < len(text):
        yield text[start:]


def _chop(face: Face, word: str, room: float) -> list[str]:
    pieces, used = [""], 0.0
    for char in word:
        wide = face.measure(char)
        if pieces[-1] and used + wide > room and char != " ":
            pieces.append("")
            used = 0.0
        pieces[-1] += char
        used += wide
    return pieces


@lru_cache(maxsize=8)
def _load_face(path: Path) -> Face:
    try:
        return Face(path.read_bytes())
    except (OSError, struct.error, KeyError) as error:
        raise FileAccessError(
            str(path), "the font of the sheet cannot be read.", "Install it again."
        ) from error


def _tables(data: bytes) -> dict[str, int]:
    (count,) = struct.unpack_from(">H", data, 4)
    found: dict[str, int] = {}
    for i in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * i)
        found[tag.decode("latin-1")] = offset
    return found


def _character_map(data: bytes, cmap: int) -> dict[int, int]:
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    glyphs: dict[int, int] = {}
    for i in range(count):
        platform, _, offset = struct.unpack_from(">HHL", data, cmap + 4 + 8 * i)
        (form,) = struct.unpack_from(">H", data, cmap + offset)
        if platform in (0, 3) and form == 4:
            glyphs = {**_format_4(data, cmap + offset), **glyphs}
        elif platform in (0, 3) and form == 12:
            glyphs |= _format_12(data, cmap + offset)
    return glyphs


def _format_4(data: bytes, at: int) -> dict[int, int]:
    (double,) = struct.unpack_from(">H", data, at + 6)
    count = double // 2
    ends = struct.unpack_from(f">{count}H", data, at + 14)
    starts = struct.unpack_from(f">{count}H", data, at + 16 + double)
    deltas = struct.unpack_from(f">{count}H", data, at + 16 + 2 * double)
    ranges_at = at + 16 + 3 * double
    ranges = struct.unpack_from(f">{count}H", data, ranges_at)
    glyphs: dict[int, int] = {}
    for i, (first, last) in enumerate(zip(starts, ends, strict=True)):
        for char in range(first, min(last, 0xFFFE) + 1):
            if ranges[i] == 0:
                glyphs[char] = (char + deltas[i]) & 0xFFFF
                continue
            where = ranges_at + 2 * i + ranges[i] + 2 * (char - first)
            (glyph,) = struct.unpack_from(">H", data, where)
            glyphs[char] = (glyph + deltas[i]) & 0xFFFF if glyph else 0
    return glyphs


def _format_12(data: bytes, at: int) -> dict[int, int]:
    (count,) = struct.unpack_from(">L", data, at + 12)
    glyphs: dict[int, int] = {}
    for i in range(count):
        first, last, glyph = struct.unpack_from(">LLL", data, at + 16 + 12 * i)
        glyphs.update(zip(range(first, last + 1), range(glyph, 0xFFFF), strict=False))
    return glyphs
