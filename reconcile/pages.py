"""A page of a source read: its figures with their places, its limits.

The reading of text (`reconcile.reading`) knows offsets only; here they become lines, boxes
on the paper and times in a transcript, and identities that hold across a whole dossier.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from hashlib import blake2b

from reconcile.notation.grid_pages import Carried, carry_headings
from reconcile.reading import read_text
from reconcile.records import Box, Figure, Page, Place, Reading, Span


def detect_tradition(text: str) -> tuple[tuple[str, float], ...]:
    """Odds of each tradition a text may belong to, likeliest first.

    Returns
    -------
    odds : tuple of (str, float)
        The odds add up to 1; "unknown" stands alone where the text gives no sign.
    """
    from reconcile.notation.tradition import detect

    manner = detect(text, "unknown")
    odds = manner.odds or ((manner.tradition, 1.0),)
    return tuple(sorted(odds, key=lambda pair: -pair[1]))


def read_page(page: Page, *, tradition: str = "unknown", before: str = "") -> Reading:
    """Read one page of a source.

    Parameters
    ----------
    page : Page
    tradition : str
        See `reconcile.reading.read_text`.
    before : str
        Text of the page before; a table broken between the two keeps its headings.

    Returns
    -------
    reading : Reading
        As of the page's text; each figure with its Place, and ids made from the source's
        digest, the page, the place on it and the figure's own text, so that a ruling finds
        its figure again after the source was read anew.
    """
    carried = carry_headings(before, page.text) if before else Carried(page.text, 0, 0)
    reading = read_text(carried.text, tradition)
    finder = _Finder(page)
    names: dict[str, str] = {}
    figures = []
    for figure in reading.figures:
        start = carried.back(figure.span[0])
        if start is None:  # it stands in the headings of the page before, and was read there
            continue
        span = (start, start + figure.span[1] - figure.span[0])
        figure = replace(figure, span=span) if carried.size else figure
        named = _name(page, figure)
        names[figure.id] = named
        figures.append(replace(figure, id=named, place=finder.place_of(figure)))
    limits = tuple(
        replace(
            limit,
            id="L" + names[limit.figure_ids[0]],
            figure_ids=tuple(names[i] for i in limit.figure_ids),
        )
        for limit in reading.limits
        if limit.figure_ids[0] in names
    )
    return replace(reading, figures=tuple(figures), limits=limits)


def _name(page: Page, figure: Figure) -> str:
    start, end = figure.span
    key = f"{page.source_id}\0{page.number}\0{start}\0{end}\0{figure.as_written}"
    return blake2b(key.encode("utf-8", "surrogatepass"), digest_size=7).hexdigest()


class _Finder:
    """Looks up lines, boxes and times of one page by offset."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._lines = [0, *(i + 1 for i, c in enumerate(page.text) if c == "\n")]
        self._starts = [word.start for word in page.words]
        self._stamps = [offset for offset, _ in page.stamps]

    def place_of(self, figure: Figure) -> Place:
        start, end = figure.span
        page = self._page
        stamp = bisect_right(self._stamps, start) - 1
        box, confidence = self._box(figure.span)
        return Place(
            page.source_id,
            page.number,
            bisect_right(self._lines, start),
            (start, end),
            box,
            page.stamps[stamp][1] if stamp >= 0 else None,
            figure.place.row,
            figure.place.column,
            page.how,
            confidence,
        )

    def _box(self, span: Span) -> tuple[Box | None, float | None]:
        """The words' common box, and the least of their confidences."""
        start, end = span
        first = max(bisect_right(self._starts, start) - 1, 0)
        boxes, sure = [], []
        for word in self._page.words[first : bisect_right(self._starts, end - 1)]:
            if word.end <= start:
                continue
            boxes.append(word.box)
            if word.confidence is not None:
                sure.append(word.confidence)
        if not boxes:
            return None, None
        left, top, right, bottom = zip(*boxes)
        return (min(left), min(top), max(right), max(bottom)), min(sure, default=None)
