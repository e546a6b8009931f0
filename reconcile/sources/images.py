"""Pictures of pages and of places on them, for reports; nothing is read from them."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

from reconcile.errors import UsageError
from reconcile.records import Box
from reconcile.sources.opening import look
from reconcile.sources.pdf import open_pdf

MAX_PIXELS = 60_000_000


class Pictures:
    """A PDF held open for many pictures; use it in a ``with`` statement.

    Parameters
    ----------
    path : str or Path

    Raises
    ------
    SourceError
        As `reconcile.sources.read_source`.
    """

    def __init__(self, path: str | Path) -> None:
        seen = look(path)
        self._name = seen.path.name
        self._document = open_pdf(seen)

    def __enter__(self) -> Pictures:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let the file go."""
        self._document.close()

    def page(self, page_number: int, scale: float = 2.0) -> bytes:
        """PNG of a whole page; see `render_page`."""
        return self._render(page_number, None, 0.0, scale)

    def crop(self, page_number: int, box: Box, margin: float = 6.0, scale: float = 2.0) -> bytes:
        """PNG of one place; see `crop`."""
        return self._render(page_number, box, margin, scale)

    def _render(self, page_number: int, box: Box | None, margin: float, scale: float) -> bytes:
        if not 0.05 <= scale <= 20:
            raise UsageError(f"scale {scale:g} makes no useful picture", expected="0.05 to 20")
        if not 1 <= page_number <= len(self._document):
            raise UsageError(
                f"there is no page {page_number}", where=self._name,
                expected=f"1 to {len(self._document)}",
            )  # fmt: skip
        page = self._document[page_number - 1]
        try:
            wide, tall = page.get_size()
            left, top, right, bottom = _bounds(box, margin, wide, tall)
            if (right - left) * (bottom - top) * scale * scale > MAX_PIXELS:
                raise UsageError("the picture would be too large", expected="a smaller scale")
            bitmap = page.render(
                scale=scale, grayscale=True, crop=(left, tall - bottom, wide - right, top)
            )
            try:
                return _png(bitmap.buffer, bitmap.width, bitmap.height, bitmap.stride)
            finally:
                bitmap.close()
        finally:
            page.close()


def render_page(path: str | Path, page_number: int, scale: float = 2.0) -> bytes:
    """PNG of a whole page.

    Parameters
    ----------
    path : str or Path, of a PDF
    page_number : int, from 1
    scale : float
        Pixels a point; 2 is 144 dots per inch.

    Returns
    -------
    png : bytes

    Raises
    ------
    UsageError
        No such page, or a picture too large to make.
    SourceError
        As `reconcile.sources.read_source`.
    """
    with Pictures(path) as pictures:
        return pictures.page(page_number, scale)


def crop(
    path: str | Path, page_number: int, box: Box, margin: float = 6.0, scale: float = 2.0
) -> bytes:
    """PNG of one place on a page.

    Parameters
    ----------
    path : str or Path, of a PDF
    page_number : int, from 1
    box : (left, top, right, bottom) from the upper left corner [pt]
    margin : float
        Shown around the box [pt].
    scale : float
        Pixels a point.

    Returns
    -------
    png : bytes

    Raises
    ------
    UsageError
        No such page, a box outside it, or a picture too large to make.
    SourceError
        As `reconcile.sources.read_source`.
    """
    with Pictures(path) as pictures:
        return pictures.crop(page_number, box, margin, scale)


def _bounds(box: Box | None, margin: float, wide: float, tall: float) -> Box:
    if box is None:
        return 0.0, 0.0, wide, tall
    left, top, right, bottom = box
    if left > right or top > bottom or right < 0 or bottom < 0 or left > wide or top > tall:
        raise UsageError(
            f"box {box!r} is not on the page", expected=f"within {wide:g} by {tall:g} points"
        )
    return (
        max(0.0, left - margin), max(0.0, top - margin),
        min(wide, right + margin), min(tall, bottom + margin),
    )  # fmt: skip


def _png(buffer: object, width: int, height: int, stride: int) -> bytes:
    """Grey pixels as PNG; written here so that reports need no picture library."""
    pixels = memoryview(buffer).cast("B")  # type: ignore[arg-type]
    rows = bytearray()
    for y in range(height):
        rows.append(0)  # no filter
        rows += pixels[y * stride : y * stride + width]
    return b"".join((
        b"\x89PNG\r\n\x1a\n",
        _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)),
        _chunk(b"IDAT", zlib.compress(bytes(rows), 6)),
        _chunk(b"IEND", b""),
    ))  # fmt: skip


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
