"""Words of a PDF page's text layer with their boxes, through pdfium."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable
from functools import cache
from itertools import groupby
from typing import TYPE_CHECKING, Any

from reconcile.records import Box
from reconcile.sources.pdf_frame import PageFrame, PdfWord
from reconcile.sources.pdf_glyphs import Chars, is_odd, is_uneven, plain_letters, read_carefully

if TYPE_CHECKING:
    import pypdfium2

_WORD = re.compile(r"\S+")
SAMPLE = 12
"""So many words at least are asked for the direction they run in."""


def page_words(
    page: pypdfium2.PdfPage, textpage: pypdfium2.PdfTextPage
) -> list[tuple[PageFrame, list[PdfWord]]]:
    """Words in the order of the text layer, by the way they are turned.

    Raised digits become superscript characters ("in²", "3,000¹"), and a small fraction
    is held apart from its whole number ("4 1/2"): glued, they would read as other numbers.

    Returns
    -------
    groups : list of (PageFrame, list of PdfWord)
        The page's main direction first. Boxes are those of the page turned so that the
        group's words stand upright, as a table set sideways has to be read.
    """
    count = textpage.count_chars()
    if count <= 0:
        return []
    text = textpage.get_text_range()
    if len(text) != count:
        text = _by_character(textpage, count)
    spans = [match.span() for match in _WORD.finditer(text)]
    if not spans:
        return []
    # A few words tell the page's direction; a word that does not run along it shows that
    # there are others, and only then every character is asked for its own.
    sample = spans[:: max(1, len(spans) // SAMPLE)]
    main = Counter(_turn(textpage, start) for start, _ in sample).most_common(1)[0][0]
    frame = PageFrame(page, main)
    words = _words(text, spans, Chars(textpage, frame))
    if words is not None:
        return [(frame, words)] if words else []
    by_turn: dict[int, list[tuple[int, int]]] = {}
    for start, end in spans:
        for turn, run in groupby(range(start, end), lambda i: _turn(textpage, i)):
            held = list(run)
            by_turn.setdefault(turn, []).append((held[0], held[-1] + 1))
    groups = []
    for turn in sorted(by_turn, key=lambda turn: -len(by_turn[turn])):
        frame = PageFrame(page, turn)
        words = _words(text, by_turn[turn], Chars(textpage, frame), one_way=True)
        if words:
            groups.append((frame, words))
    return groups


def _turn(textpage: pypdfium2.PdfTextPage, index: int) -> int:
    """Clockwise quarter turn [degrees] of the page that sets a character upright."""
    angle = _angle_of()(textpage.raw, index)
    if not angle:
        return 0
    return round(-angle * 2 / math.pi) * 90 % 360


@cache
def _angle_of() -> Callable[[Any, int], float]:
    import pypdfium2.raw as raw

    function: Callable[[Any, int], float] = raw.FPDFText_GetCharAngle
    return function


def _words(
    text: str, spans: list[tuple[int, int]], chars: Chars, *, one_way: bool = False
) -> list[PdfWord] | None:
    """Words at `spans`; None where some run in another direction, unless `one_way`."""
    words: list[PdfWord] = []
    for start, end in spans:
        first, last = chars.loose(start), chars.loose(end - 1)
        if first is None or last is None:
            continue
        word = text[start:end]
        if not one_way and end - start > 1 and _strays(first, last):
            return None
        tall = first[3] - first[1]
        if (
            last[0] < first[0] - 1
            or abs(last[3] - first[3]) > 0.5 * tall
            or (any(map(str.isdigit, word)) and is_uneven(word, start, first, chars))
        ):
            words.extend(read_carefully(word, start, chars))
            continue
        if is_odd(word):
            word = plain_letters(word)
            if not word:
                continue
        words.append(PdfWord(
            word, min(first[0], last[0]), min(first[1], last[1]),
            max(first[2], last[2]), max(first[3], last[3]),
        ))  # fmt: skip
    return words


def _strays(first: Box, last: Box) -> bool:
    """True if a word's last character is more above or below its first than beside it."""
    rise = abs(first[1] + first[3] - last[1] - last[3])
    return rise > abs(first[0] + first[2] - last[0] - last[2]) and rise > first[3] - first[1]


def _by_character(textpage: pypdfium2.PdfTextPage, count: int) -> str:
    # Characters beyond the basic plane, or left out by pdfium, upset the numbering.
    import pypdfium2.raw as raw

    codes = (raw.FPDFText_GetUnicode(textpage.raw, i) for i in range(count))
    return "".join(chr(code) if 0 < code <= 0x10FFFF else "\ufffd" for code in codes)
