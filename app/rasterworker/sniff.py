"""What a file really is, whatever it is called."""

from pathlib import Path

from app.rasterworker.limits import MOST_BYTES, MOST_BYTES_OF, RefusedError

HEAD = 4096
"""How much of a file is looked at. [B]"""

MAGIC: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG\r\n\x1a\n", "png"),
    (b"\xff\xd8\xff", "jpeg"),
    (b"II*\x00", "tiff"),
    (b"MM\x00*", "tiff"),
    (b"BM", "bmp"),
    (b"GIF87a", "gif"),
    (b"GIF89a", "gif"),
    (b"%PDF-", "pdf"),
)

KINDS = "PNG, JPEG, TIFF, WebP, BMP, GIF, PDF, SVG or DXF"


def sniff(path: Path) -> str:
    """Return what kind of picture a file is.

    Raises
    ------
    RefusedError
        It cannot be read, is too large, or is no picture that we know.
    """
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            head = file.read(HEAD)
    except OSError as error:
        why = error.strerror or str(error)
        raise RefusedError(f"{path.name} cannot be read: {why}.") from error
    kind = kind_of(head)
    if kind is None:
        raise RefusedError(
            f"{path.name} is no picture that can be read.", f"Use {KINDS}."
        )
    most = MOST_BYTES_OF.get(kind, MOST_BYTES)
    if size > most:
        raise RefusedError(
            f"{path.name} is {size / 1e6:.0f} MB; at most {most / 1e6:.0f} MB is read.",
            "Save a smaller copy and take that.",
        )
    return kind


def kind_of(head: bytes) -> str | None:
    """Return the kind of picture that begins with these bytes."""
    for magic, kind in MAGIC:
        if head.startswith(magic):
            return kind
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return "webp"
    if b"%PDF-" in head[:1024]:
        return "pdf"
    text = head.lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if (
        text.startswith((b"<svg", b"<?xml", b"<!--", b"<!doctype svg"))
        and b"<svg" in text
    ):
        return "svg"
    words = head.split()
    return "dxf" if b"SECTION" in words[:40] and b"0" in words[:40] else None
