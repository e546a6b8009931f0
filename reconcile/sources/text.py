"""Typed text and Markdown: one page a form feed, streamed line by line."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from reconcile.errors import DamagedSourceError, EmptySourceError
from reconcile.records import Page

MAX_PAGE = 200_000
"""A page without form feeds is cut at the first blank line beyond this length [characters]."""

_PAGE_NUMBER = re.compile(
    r"[\s\-–—.(\[]*(?:page |seite |стр\. ?)?(\d{1,4}|[ivxlc]{1,6})[\s\-–—.)\]]*", re.IGNORECASE
)


def printed_number(text: str) -> str:
    """Page number that stands alone on the first or last line, or an empty string."""
    body = text.strip()
    first, last = body.partition("\n")[0], body.rpartition("\n")[2]
    for line in (last, first):
        if (match := _PAGE_NUMBER.fullmatch(line)) and line != body:
            return match[1]
    return ""


def read_lines(path: Path, encoding: str) -> Iterator[str]:
    """Lines of a text file with ``\\n`` endings, decoded strictly.

    Raises
    ------
    DamagedSourceError
        Some bytes do not belong to the encoding.
    """
    # Windows-1252 leaves five bytes without a letter; they are kept as control characters.
    errors = "cp1252-keep" if encoding == "cp1252" else "strict"
    number = 0
    try:
        with path.open(encoding=encoding, errors=errors, newline=None) as stream:
            for line in stream:
                number += 1
                yield line
    except (UnicodeError, ValueError):
        raise DamagedSourceError(
            f"cannot be read as {encoding}",
            where=f"{path.name}, after line {number}",
            do="name another encoding",
        ) from None
    except OSError as error:
        raise DamagedSourceError(
            f"reading stopped ({(error.strerror or 'input error').lower()})",
            where=f"{path.name}, after line {number}",
        ) from None


def read_text_pages(path: Path, source_id: str, encoding: str) -> Iterator[Page]:
    """Pages of a typed text.

    Parameters
    ----------
    path : Path
    source_id : str
    encoding : str

    Yields
    ------
    Page, numbered from 1; a form feed begins a page, and a very long text is cut into
    stretches at blank lines

    Raises
    ------
    EmptySourceError
        The text holds blanks only.
    """
    number = 0
    held: list[str] = []
    size = 0

    def page(lines: list[str]) -> Page:
        text = "".join(lines).rstrip("\n\x1a")
        return Page(source_id, number, text, printed_number=printed_number(text))

    seen = False
    for line in read_lines(path, encoding):
        while "\f" in line:
            before, _, line = line.partition("\f")
            held.append(before)
            if number or any(part.strip() for part in held):
                number += 1
                seen = seen or any(part.strip() for part in held)
                yield page(held)
            held, size = [], 0
        held.append(line)
        size += len(line)
        if size > MAX_PAGE and (line.isspace() or size > 2 * MAX_PAGE):
            number += 1
            seen = seen or any(part.strip() for part in held)
            yield page(held)
            held, size = [], 0
    if any(part.strip() for part in held):
        number += 1
        seen = True
        yield page(held)
    if not seen:
        raise EmptySourceError("holds blanks only", where=path.name)


def _keep(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return error.object[error.start : error.end].decode("latin-1"), error.end


def _register() -> None:
    import codecs

    codecs.register_error("cp1252-keep", _keep)


_register()
