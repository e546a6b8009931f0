"""Pictures of the places figures stand at: pages of the sources, and excerpts of their text.

Each page of a PDF that bears a figure is drawn once, in a few greys, and every crop on the
report is a window on it: a hundred crops of a page cost no more than one. Where the sources
are gone, damaged, or too many for one file, the report says so and shows the text instead.
"""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.errors import ReconcileError
from reconcile.publish.rows import LimitTable, Row
from reconcile.records import Box, Page, Source

if TYPE_CHECKING:
    from PIL import Image

DPI = 110
GREYS = 6
BUDGET = 3_000_000
"""Bytes of all page pictures together, as they stand in the file."""
WINDOW = (350.0, 50.0)
"""Width and height of a crop on the page [pt]."""


@dataclass(frozen=True, slots=True)
class PagePicture:
    """One page of a source as PNG."""

    key: str
    """Style class that shows it."""
    png: bytes
    width: float
    height: float
    """Of the page [pt]."""

    @property
    def data_uri(self) -> str:
        """The picture as an address that needs no network."""
        return "data:image/png;base64," + b64encode(self.png).decode("ascii")


@dataclass(frozen=True, slots=True)
class Crop:
    """A window on a page picture, all in points from the page's upper left corner."""

    picture: PagePicture
    left: float
    top: float
    width: float
    height: float
    box: Box
    """The figure's own box."""


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Lines of a text around a figure."""

    before: str
    marked: str
    after: str

    @property
    def line(self) -> str:
        """The excerpt on one line, for an alternative text."""
        return " ".join(f"{self.before}{self.marked}{self.after}".split())


@dataclass
class Pictures:
    """What can be shown of a table's places."""

    pages: dict[tuple[str, int], PagePicture] = field(default_factory=dict)
    texts: dict[tuple[str, int], Page] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def crop(self, row: Row) -> Crop | None:
        """Window on the page around a row's figure, or None."""
        place = row.figure.place
        picture = self.pages.get((row.source.id, place.page))
        if picture is None or place.box is None:
            return None
        left, top, right, bottom = place.box
        width = min(WINDOW[0], picture.width)
        height = min(max(WINDOW[1], bottom - top + 16), picture.height)
        x = min(max((left + right - width) / 2, 0.0), picture.width - width)
        y = min(max((top + bottom - height) / 2, 0.0), picture.height - height)
        return Crop(picture, x, y, width, height, place.box)

    def excerpt(self, row: Row, around: int = 1) -> Excerpt | None:
        """The figure's line in its source's text, with `around` lines on either side."""
        page = self.texts.get((row.source.id, row.figure.place.page))
        if page is None:
            return None
        start, end = row.figure.place.span if any(row.figure.place.span) else row.figure.span
        text = page.text
        if not 0 <= start < end <= len(text):
            return None
        first, last = start, end
        for turn in range(around + 1):
            first = text.rfind("\n", 0, max(first - (turn > 0), 0)) + 1
            found = text.find("\n", min(last + (turn > 0), len(text)))
            last = len(text) if found < 0 else found
            # A transcript without line ends would come whole.
        first, last = max(first, start - 240), min(last, end + 240)
        return Excerpt(text[first:start], text[start:end], text[end:last])


def draw_pages(table: LimitTable, source_folder: Path, *, budget: int = BUDGET) -> Pictures:
    """Draw the pages that a table's figures stand on.

    Parameters
    ----------
    table : LimitTable
    source_folder : Path
        Folder of the sources, by their file names.
    budget : int
        Most bytes of pictures; pages with doubtful rows are drawn first.

    Returns
    -------
    pictures : Pictures
        Never raises for a source that cannot be read: a note says what is missing.
    """
    done = Pictures()
    spent = left_out = 0
    for source in table.sources:
        path = source_folder / source.name
        rows = [row for row in table.rows if row.source.id == source.id]
        wanted = _pages_by_need(rows)
        if not wanted:
            continue
        try:
            _read_texts(done, source, path, set(wanted))
        except (ReconcileError, OSError) as fault:
            what = fault.sentence if isinstance(fault, ReconcileError) else "cannot be opened"
            done.notes.append(f"No place can be shown from {source.name}: {what}")
            continue
        if source.medium != "pdf":
            continue
        with_boxes = [n for n in wanted if any(r.figure.place.box for r in rows)]
        for number, (png, width, height) in _render(path, with_boxes, budget - spent):
            spent += len(png) * 4 // 3
            key = f"pg{table.sources.index(source)}-{number}"
            done.pages[source.id, number] = PagePicture(key, png, width, height)
        left_out += sum((source.id, n) not in done.pages for n in with_boxes)
    if left_out:
        done.notes.append(
            f"{left_out} pages are shown as text only, to keep this file small enough to open."
        )
    return done


def _pages_by_need(rows: list[Row]) -> list[int]:
    """Page numbers that bear rows, those with doubtful ones first."""
    doubtful: dict[int, int] = {}
    for row in rows:
        page = row.figure.place.page
        doubtful[page] = doubtful.get(page, 0) + (row.standing in ("contradicted", "in doubt"))
    return sorted(doubtful, key=lambda page: (-doubtful[page], page))


def _read_texts(done: Pictures, source: Source, path: Path, wanted: set[int]) -> None:
    from reconcile.sources import read_source

    _, pages = read_source(path)
    for page in pages:
        if page.number in wanted:
            done.texts[source.id, page.number] = page


def _render(path: Path, numbers: list[int], budget: int) -> Any:
    """Yield (number, (PNG, width, height)) until the budget is spent."""
    import pypdfium2

    document = pypdfium2.PdfDocument(path)
    try:
        for number in numbers:
            page = document[number - 1]
            width, height = page.get_size()
            bitmap = page.render(scale=DPI / 72, grayscale=True)
            png = _few_greys(bitmap.to_pil())
            bitmap.close()
            page.close()
            budget -= len(png) * 4 // 3
            if budget < 0:
                return
            yield number, (png, width, height)
    finally:
        document.close()


def _few_greys(image: Image.Image) -> bytes:
    """The picture in few greys as PNG: print needs no more, and the file is a third."""
    from PIL import Image

    levels = GREYS - 1
    table = [round(i / 255 * levels) for i in range(256)]
    indexed = image.convert("L").point(table)
    indexed = Image.frombytes("P", indexed.size, indexed.tobytes())
    palette = [c for i in range(GREYS) for c in [round(i * 255 / levels)] * 3]
    indexed.putpalette(palette)
    stream = BytesIO()
    indexed.save(stream, "PNG", compress_level=6, bits=4)
    return stream.getvalue()
