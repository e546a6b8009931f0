"""One door for all sources: what is this file, and which reader takes it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from reconcile.errors import (
    DamagedSourceError,
    EncryptedSourceError,
    NoTextLayerError,
    UnknownTermError,
)
from reconcile.records import TRADITIONS, Page, Source
from reconcile.sources.captions import looks_like_captions, read_caption_pages
from reconcile.sources.opening import Look, look, text_encoding
from reconcile.sources.sheet import is_locked
from reconcile.sources.text import read_text_pages

MEDIA = ("pdf", "text", "markdown", "captions", "sheet", "html")
"""Media that can be read; "scan" and "photo" need an OCR engine."""

ROLES = ("manual", "edition", "transcription", "transcript", "paper")

_BY_SUFFIX = {
    ".pdf": "pdf", ".txt": "text", ".text": "text", ".asc": "text", ".md": "markdown",
    ".markdown": "markdown", ".docx": "text", ".srt": "captions", ".vtt": "captions",
    ".csv": "sheet", ".tsv": "sheet", ".tab": "sheet", ".xlsx": "sheet", ".xlsm": "sheet",
    ".xls": "sheet", ".ods": "sheet", ".html": "html", ".htm": "html", ".xhtml": "html",
}  # fmt: skip
_BOOKS = (".xlsx", ".xlsm", ".xls", ".ods")


def read_source(
    path: str | Path,
    *,
    medium: str = "",
    encoding: str = "",
    title: str = "",
    edition: str = "",
    date: str = "",
    tradition: str = "unknown",
    role: str = "",
    of: str = "",
) -> tuple[Source, Iterator[Page]]:
    """Open a source and stream its pages.

    Parameters
    ----------
    path : str or Path
    medium : str, optional
        One of `MEDIA`, where the content alone does not tell (a CSV sheet named .txt).
    encoding : str, optional
        Of a text, where it is neither UTF-8 nor Western: ``"cp1251"``, ``"shift_jis"``.
    title, edition, date, tradition, role, of : str, optional
        What is known about the source; kept in its record. The role is "transcript" for
        captions and "manual" otherwise.

    Returns
    -------
    source, pages : Source and iterator of Page
        Pages are read as they are asked for and then let go. A page of a PDF that has no
        text is yielded with empty text, ``how="no text layer"``.

    Raises
    ------
    MissingSourceError, EmptySourceError, EncryptedSourceError, DamagedSourceError,
    NoTextLayerError, OversizeSourceError
        The file cannot be read; most faults are found here, before the first page.
    UnknownTermError
        `medium`, `tradition` or `role` is not of its list.
    UsageError
        `encoding` is unknown.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> path = pathlib.Path(tempfile.mkdtemp()) / "drill.txt"
    >>> _ = path.write_text("Warm up at 1,000 r.p.m.")
    >>> source, pages = read_source(path)
    >>> source.medium, [page.text for page in pages]
    ('text', ['Warm up at 1,000 r.p.m.'])
    """
    _known("medium", medium, ("", *MEDIA))
    _known("tradition", tradition, TRADITIONS)
    _known("role", role, ("", *ROLES))
    seen = look(path)
    found, notes = _medium(seen, medium)
    pages: Iterator[Page]
    source_id = seen.sha256[:12]
    if found == "pdf":
        from reconcile.sources.pdf import open_pdf_pages  # pypdfium2: only where needed

        pages = open_pdf_pages(seen, source_id)
    elif found == "sheet" and _is_book(seen):
        from reconcile.sources.sheet import open_book_pages

        pages = open_book_pages(seen, source_id)
    elif found == "text" and seen.signature == "ZIP archive":
        from reconcile.sources.word import open_word_pages

        pages = open_word_pages(seen.path, source_id)
    else:
        name, supposed = text_encoding(seen, encoding)
        notes += supposed
        if not medium and found == "text" and looks_like_captions(seen.path, name):
            found = "captions"
        if found == "sheet":
            from reconcile.sources.sheet import read_csv_pages

            pages = read_csv_pages(seen.path, source_id, name)
        elif found == "captions":
            pages = read_caption_pages(seen.path, source_id, name)
        elif found == "html":
            from reconcile.sources.html import read_html_pages

            pages = read_html_pages(seen.path, source_id, name)
        else:
            pages = read_text_pages(seen.path, source_id, name)
    source = Source(
        id=source_id, name=seen.path.name, sha256=seen.sha256, medium=found, title=title,
        edition=edition, date=date, tradition=tradition,
        role=role or ("transcript" if found == "captions" else "manual"), of=of, notes=notes,
    )  # fmt: skip
    return source, pages


def source_of(path: str | Path, **known: str) -> Source:
    """The record of a source without reading its pages; keywords as `read_source`."""
    source, pages = read_source(path, **known)
    close = getattr(pages, "close", None)
    if close is not None:
        close()
    return source


def _known(what: str, word: str, allowed: tuple[str, ...]) -> None:
    if word not in allowed:
        raise UnknownTermError(
            f"{word!r} is no {what}", expected=", ".join(a for a in allowed if a)
        )


def _is_book(seen: Look) -> bool:
    return seen.signature in ("ZIP archive", "old Office file")


def _medium(seen: Look, wanted: str) -> tuple[str, tuple[str, ...]]:
    """Medium by content, then by name; a note where the two differ."""
    suffix = seen.path.suffix.lower()
    named = _BY_SUFFIX.get(suffix, "")
    signature, name = seen.signature, seen.path.name
    if signature == "PDF":
        if wanted not in ("", "pdf"):
            raise DamagedSourceError("is a PDF", where=name, expected=wanted)
        return "pdf", _differs(named, "pdf", suffix)
    if signature.endswith("picture"):
        if named:
            raise DamagedSourceError(
                f"is a {signature}, whatever its name says",
                where=name,
                do="give it its right ending, or fetch the right file",
            )
        raise NoTextLayerError(
            f"is a {signature} without text",
            where=name,
            do="read it with an OCR engine first, or key its text",
        )
    if signature in ("ZIP archive", "old Office file"):
        if suffix in _BOOKS or wanted == "sheet" or _holds_sheets(seen):
            return "sheet", _differs(named, "sheet", suffix)
        if signature == "ZIP archive" and (
            suffix == ".docx" or b"word/" in seen.head or b"word/" in seen.tail
        ):
            return "text", _differs(named, "text", suffix)
        if signature == "old Office file" and is_locked(seen.path):
            raise EncryptedSourceError(
                "is locked with a password", where=name, do="save it unlocked"
            )
        raise DamagedSourceError(
            f"is a {signature}, not a source", where=name, do="unpack it, or save it as PDF or text"
        )
    if signature:
        raise DamagedSourceError(
            f"is a {signature}, not a source", where=name, do="save it as PDF or text"
        )
    if named == "pdf" or wanted == "pdf":
        raise DamagedSourceError(
            "does not begin as a PDF does", where=name, do="fetch the file again"
        )
    if suffix in _BOOKS:
        raise DamagedSourceError(
            "does not begin as a workbook does", where=name, do="save it again, or as CSV"
        )
    found = wanted or named or "text"
    head = seen.head.lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if head.startswith(b"webvtt"):
        found = "captions"
    elif not wanted and head.startswith((b"<!doctype html", b"<html")):
        found = "html"
    return found, _differs(named, found, suffix) if not wanted else ()


def _holds_sheets(seen: Look) -> bool:
    return b"xl/" in seen.head or b"xl/" in seen.tail or b"opendocument.spreadsheet" in seen.head


def _differs(named: str, found: str, suffix: str) -> tuple[str, ...]:
    if not named or named == found:
        return ()
    return (f"named {suffix}, but its content is of the kind {found!r}; read as that",)
