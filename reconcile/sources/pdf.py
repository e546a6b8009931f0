"""PDF with a text layer: pages streamed, each let go before the next is read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from reconcile.errors import DamagedSourceError, EncryptedSourceError, NoTextLayerError
from reconcile.records import Page, Word
from reconcile.sources.opening import Look
from reconcile.sources.pdf_fractions import join_fractions
from reconcile.sources.pdf_frame import PageFrame
from reconcile.sources.pdf_layout import RuledTable, lay_out_page
from reconcile.sources.pdf_rules import Rule, find_cells, page_rules
from reconcile.sources.pdf_tables import fill_tables
from reconcile.sources.pdf_words import page_words
from reconcile.sources.text import printed_number

if TYPE_CHECKING:
    import pypdfium2

NO_TEXT = "no text layer"
"""`Page.how` of a page that is a picture only."""

UNREADABLE = "unreadable"
"""`Page.how` of a page that is damaged."""
HIDDEN = "the text layer lies unseen over a picture: an OCR engine made it"
GARBLED = "many letters of the text layer have no known meaning"

_PASSWORD, _SECURITY = 4, 5  # FPDF_ERR_PASSWORD, FPDF_ERR_SECURITY


def open_pdf(seen: Look) -> pypdfium2.PdfDocument:
    """The document, checked as far as can be without reading its pages.

    Raises
    ------
    EncryptedSourceError
        It needs a password.
    DamagedSourceError
        It is truncated or damaged, or holds no page.
    """
    import pypdfium2

    name = seen.path.name
    # pdfium mends files that lack their end by guessing at the pages: some may be lost.
    cut = b"%%EOF" not in seen.tail
    try:
        document = pypdfium2.PdfDocument(seen.path)
    except pypdfium2.PdfiumError as error:
        if getattr(error, "err_code", 0) in (_PASSWORD, _SECURITY):
            raise EncryptedSourceError(
                "is locked with a password", where=name, do="save an unlocked copy and read that"
            ) from None
        raise _damaged(name, cut) from None
    except (OSError, ValueError):
        raise _damaged(name, cut) from None
    if cut or len(document) == 0:
        document.close()
        raise _damaged(name, cut)
    return document


def _damaged(name: str, cut: bool) -> DamagedSourceError:
    what = "the end of the file is missing" if cut else "is damaged"
    return DamagedSourceError(what, where=name, do="fetch it again, or mend it in a PDF editor")


def open_pdf_pages(seen: Look, source_id: str) -> Iterator[Page]:
    """Open a PDF and stream its pages.

    A page that pdfium cannot load among others that it can is yielded empty, with
    ``how="unreadable"`` and a note, so that one bad page does not cost the others.

    Raises
    ------
    EncryptedSourceError, DamagedSourceError
        As `open_pdf`; also where no page can be loaded.
    NoTextLayerError
        No page of the file has text.
    """
    document = open_pdf(seen)
    try:
        lost = 0
        for index in range(len(document)):
            spoken = _has_words(document, index)
            if spoken:
                return _pages(document, source_id)
            lost += spoken is None
        count = len(document)
    except BaseException:
        document.close()
        raise
    document.close()
    if lost == count:
        raise _damaged(seen.path.name, False)
    raise NoTextLayerError(
        f"none of its {count} pages has a text layer"
        if count > 1
        else "its one page has no text layer",
        where=seen.path.name,
        do="run an OCR engine over it first, or key its text",
    )


def _has_words(document: pypdfium2.PdfDocument, index: int) -> bool | None:
    """True if a page has words; None if it cannot be loaded."""
    import pypdfium2

    try:
        page = document[index]
        try:
            textpage = page.get_textpage()
            try:
                return bool(textpage.count_chars() and textpage.get_text_range().strip())
            finally:
                textpage.close()
        finally:
            page.close()
    except pypdfium2.PdfiumError:
        return None


def _pages(document: pypdfium2.PdfDocument, source_id: str) -> Iterator[Page]:
    import pypdfium2

    try:
        for number in range(1, len(document) + 1):
            try:
                yield _page(document, number, source_id)
            except pypdfium2.PdfiumError:
                note = "the page is damaged; nothing was read from it"
                yield Page(source_id, number, "", how=UNREADABLE, notes=(note,))
    finally:
        document.close()


def _page(document: pypdfium2.PdfDocument, number: int, source_id: str) -> Page:
    notes: tuple[str, ...] = ()
    level: list[Rule] = []
    upright: list[Rule] = []
    page = document[number - 1]
    try:
        shown = PageFrame(page)
        textpage = page.get_textpage()
        try:
            groups = page_words(page, textpage)
        finally:
            textpage.close()
        if groups:
            level, upright = page_rules(page, groups[0][0])
            notes = (HIDDEN,) if _is_hidden(page) else ()
    finally:
        page.close()
    size = {"width": round(shown.width, 2), "height": round(shown.height, 2)}
    if not groups:
        return Page(source_id, number, "", how=NO_TEXT, **size)
    text = folio = ""
    placed: list[Word] = []
    for n, (frame, words) in enumerate(groups):
        tables: list[RuledTable] = []
        rest = words
        if n == 0:
            rest = join_fractions(words, level)
            tables, rest = fill_tables(find_cells(level, upright), rest)
        part, part_words = lay_out_page(rest, tables)
        folio = folio or printed_number(part)
        if n:
            text += "\n\n"
        placed += _shown(part_words, frame, shown, len(text))
        text += part
    if is_garbled(text):
        notes += (GARBLED,)
    return Page(
        source_id, number, text, tuple(placed), how="text layer",
        printed_number=folio, notes=notes, **size,
    )  # fmt: skip


def _shown(
    words: tuple[Word, ...], frame: PageFrame, shown: PageFrame, after: int
) -> Iterable[Word]:
    """Words moved `after` characters on, with boxes as the page is shown."""
    if frame.turn == shown.turn and not after:
        return words
    moved = []
    for word in words:
        left, top, right, bottom = shown.box(*frame.own(word.box))
        box = (round(left, 2), round(top, 2), round(right, 2), round(bottom, 2))
        moved.append(replace(word, start=word.start + after, end=word.end + after, box=box))
    return moved


def _is_hidden(page: pypdfium2.PdfPage) -> bool:
    """True if the page's first words are drawn invisibly."""
    import pypdfium2.raw as raw

    for i in range(min(60, raw.FPDFPage_CountObjects(page.raw))):
        item = raw.FPDFPage_GetObject(page.raw, i)
        if raw.FPDFPageObj_GetType(item) == raw.FPDF_PAGEOBJ_TEXT:
            mode = raw.FPDFTextObj_GetTextRenderMode(item)
            return bool(mode == raw.FPDF_TEXTRENDERMODE_INVISIBLE)
    return False


def is_garbled(text: str) -> bool:
    """True if a tenth of the letters are of private use or unknown, as from a faulty font."""
    odd = sum("\ue000" <= char <= "\uf8ff" or char == "\ufffd" for char in text)
    return odd * 10 > len(text) - text.count(" ")
