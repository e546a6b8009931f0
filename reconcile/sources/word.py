"""Word-processor documents (.docx): paragraphs as lines, tables with bars."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from reconcile.errors import DamagedSourceError, EmptySourceError, OversizeSourceError
from reconcile.records import Page
from reconcile.sources.sheet import check_archive, lay_out
from reconcile.sources.text import printed_number

MAX_XML = 60_000_000
"""A longer document [bytes of XML] is refused."""
PART = "word/document.xml"
NOTES = ("word/footnotes.xml", "word/endnotes.xml")
ASIDE = "running heads and feet of the document were not read"

_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


def open_word_pages(path: Path, source_id: str) -> Iterator[Page]:
    """Pages of a document; a page break the writer set begins one.

    Raises
    ------
    DamagedSourceError, EncryptedSourceError, OversizeSourceError, EmptySourceError
    """
    check_archive(path)
    try:
        with zipfile.ZipFile(path) as archive:
            body = _part(archive, PART, path)
            names = archive.namelist()
            notes = [
                line
                for part in NOTES
                if part in names
                for line in _notes(_part(archive, part, path))
            ]
    except (KeyError, zipfile.BadZipFile, ElementTree.ParseError):
        raise _damaged(path) from None
    except OversizeSourceError:
        raise
    except (OSError, ValueError):
        raise _damaged(path) from None
    text = "".join(block for item in body.iter(f"{_W}body") for block in _blocks(item))
    if not text.strip("\f\n \t"):
        raise EmptySourceError("holds no words", where=path.name)
    if notes:
        text = text.rstrip("\n") + "\n\n" + "\n".join(notes)
    aside = any(name.startswith(("word/header", "word/footer")) for name in names)
    return _pages(text, source_id, (ASIDE,) if aside else ())


def _part(archive: zipfile.ZipFile, part: str, path: Path) -> ElementTree.Element:
    if archive.getinfo(part).file_size > MAX_XML:
        raise OversizeSourceError(
            f"holds more than {MAX_XML // 1_000_000} MB of text",
            where=path.name,
            do="save it in parts",
        )
    data = archive.read(part)
    if b"<!DOCTYPE" in data[:4096]:  # no word processor writes one; entities could swell
        raise ElementTree.ParseError("document type")
    return ElementTree.fromstring(data)


def _damaged(path: Path) -> DamagedSourceError:
    return DamagedSourceError(
        "is a damaged document", where=path.name, do="save it again, or as plain text"
    )


def _notes(part: ElementTree.Element) -> Iterator[str]:
    """Foot- or endnotes, each with its number raised as in the text."""
    for note in part:
        if note.get(f"{_W}type") is None:  # the others are rules between text and notes
            words = " ".join(_words(p).strip() for p in note.iter(f"{_W}p")).strip()
            yield f"{note.get(f'{_W}id', '').translate(_RAISED)} {words}"


def _pages(text: str, source_id: str, notes: tuple[str, ...]) -> Iterator[Page]:
    for number, part in enumerate(text.strip("\n").split("\f"), 1):
        page = part.strip("\n")
        yield Page(
            source_id, number, page, printed_number=printed_number(page),
            notes=notes if number == 1 else (),
        )  # fmt: skip


def _blocks(parent: ElementTree.Element) -> Iterator[str]:
    """Text of paragraphs and tables in order, each ending its line."""
    for item in parent:
        if item.tag == f"{_W}p":
            yield _words(item) + "\n"
        elif item.tag == f"{_W}tbl":
            yield "\n" + lay_out(_rows(item)) + "\n\n"
        elif item.tag in (f"{_W}sdt", f"{_W}sdtContent", f"{_W}ins"):
            yield from _blocks(item)


def _rows(table: ElementTree.Element) -> list[list[str]]:
    rows = []
    for row in table.iter(f"{_W}tr"):
        cells: list[str] = []
        for cell in row.findall(f"{_W}tc"):
            style = cell.find(f"{_W}tcPr")
            across, goes_on = 1, False
            if style is not None:
                span, merge = style.find(f"{_W}gridSpan"), style.find(f"{_W}vMerge")
                value = span.get(f"{_W}val", "1") if span is not None else "1"
                across = min(int(value), 50) if value.isdigit() else 1
                goes_on = merge is not None and merge.get(f"{_W}val", "continue") == "continue"
            words = "" if goes_on else " ".join(_words(p) for p in cell.iter(f"{_W}p"))
            cells += [words, *[""] * (max(1, across) - 1)]
        rows.append(cells)
    return rows


def _words(paragraph: ElementTree.Element) -> str:
    """Words of a paragraph as they are shown; struck out by a reviser, they are not."""
    out: list[str] = []
    for run in paragraph.iter(f"{_W}r"):
        style = run.find(f"{_W}rPr/{_W}vertAlign")
        raised = style is not None and style.get(f"{_W}val") == "superscript"
        for item in run:
            if item.tag == f"{_W}t":
                words = item.text or ""
                out.append(words.translate(_RAISED) if raised and words.isdigit() else words)
            elif item.tag in (f"{_W}footnoteReference", f"{_W}endnoteReference"):
                out.append(item.get(f"{_W}id", "").translate(_RAISED))
            elif item.tag == f"{_W}tab":
                out.append("\t")
            elif item.tag == f"{_W}noBreakHyphen":
                out.append("-")
            elif item.tag in (f"{_W}br", f"{_W}cr"):
                out.append("\f" if item.get(f"{_W}type") == "page" else "\n")
    return "".join(out)
