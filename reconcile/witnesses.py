"""From a file to a witness: sources and the reading of them, joined.

Pages are read one at a time and let go, so that memory does not grow with the book.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, islice
from pathlib import Path

from reconcile.records import Figure, Limit, Page, Witness

_PAGES_TO_JUDGE_BY = 8
"""Pages whose text decides the tradition of a source that does not state it."""


def read_witness(path: str | Path, **meta: str) -> Witness:
    """Read every figure and limit of the file at `path`.

    Parameters
    ----------
    path : str or Path
    **meta : str
        What is known of the source: title, edition, date, tradition, role, of, encoding.

    Returns
    -------
    Witness
        Figures and limits in page order. Pages with no text layer stand in its notes.

    Raises
    ------
    SourceError
        The file cannot be read; one of its kinds says why.
    """
    from reconcile.pages import detect_tradition, read_page
    from reconcile.sources import read_source

    source, pages = read_source(path, **meta)
    notes: list[str] = list(source.notes)
    if source.tradition == "unknown":
        first = list(islice(pages, _PAGES_TO_JUDGE_BY))
        pages = chain(first, pages)
        odds = detect_tradition("\n".join(page.text for page in first))
        best, share = max(odds, key=lambda pair: pair[1])
        notes.append(f"tradition not stated; taken from the text: {best} ({share:.0%})")
        source = replace(source, tradition=best)
    figures: dict[str, Figure] = {}
    limits: list[Limit] = []
    before = ""
    for page in _noting(pages, notes):
        reading = read_page(page, tradition=source.tradition, before=before)
        before = page.text
        figures.update((figure.id, figure) for figure in reading.figures)
        limits.extend(reading.limits)
        notes.extend(f"page {page.number}: {note}" for note in reading.notes)
    return Witness(source, figures, tuple(limits), tuple(notes))


def _noting(pages: Iterator[Page], notes: list[str]) -> Iterator[Page]:
    for page in pages:
        notes.extend(f"page {page.number}: {note}" for note in page.notes)
        if page.how == "no text layer":
            notes.append(f"page {page.number} has no text layer; nothing was read from it")
        else:
            yield page
