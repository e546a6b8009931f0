"""Characters of a PDF's text layer: sizes, raised type, joined letters.

A text layer says which characters stand on the page, not that a "1" is a raised note
number or the top of a fraction. Their boxes do; read without them, "3,000" with note 1
would be 30,001, and 4 1/2 would be 41/2.
"""

from __future__ import annotations

import ctypes
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING

from reconcile.records import Box
from reconcile.sources.pdf_frame import PageFrame, PdfWord

if TYPE_CHECKING:
    import pypdfium2

MIN_HEIGHT = 1.0
"""Type lower than this [pt] has no true height."""
SMALL = 0.85
"""A character this much lower than its neighbour is set in smaller type."""
RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
BASE = 0.62
"""Ink that ends above this share of the font's height does not stand on the line."""

_LETTERS = str.maketrans({
    "ﬀ": "ff", "ﬁ": "fi", "ﬂ": "fl", "ﬃ": "ffi", "ﬄ": "ffl", "\u2044": "/",
    "\u0002": "-", "\ufffe": "-", "\u00ad": "-", "\u00a0": " ", "\u2007": " ", "\0": " ",
})  # fmt: skip
_ODD = frozenset(map(chr, _LETTERS))


class Chars:
    """Boxes of a text page's characters, looked up one by one."""

    def __init__(self, textpage: pypdfium2.PdfTextPage, frame: PageFrame) -> None:
        import pypdfium2.raw as raw

        self._raw = textpage.raw
        self._get_loose = raw.FPDFText_GetLooseCharBox
        self._get_tight = raw.FPDFText_GetCharBox
        self._rect = raw.FS_RECTF()
        self._edges = tuple(ctypes.c_double() for _ in range(4))
        self._frame = frame

    def loose(self, index: int) -> Box | None:
        """Box as tall as the font."""
        rect = self._rect
        if not self._get_loose(self._raw, index, rect):
            return None
        return solid(self._frame.box(rect.left, rect.bottom, rect.right, rect.top))

    def tight(self, index: int) -> Box | None:
        """Box of the ink."""
        left, right, low, high = self._edges
        if not self._get_tight(self._raw, index, left, right, low, high):
            return None
        return self._frame.box(left.value, low.value, right.value, high.value)


def solid(box: Box) -> Box:
    """A box of some height: fonts drawn by procedures may state none."""
    if box[3] - box[1] >= MIN_HEIGHT:
        return box
    return box[0], box[3] - 8.0, box[2], box[3] + 1.0


def is_odd(word: str) -> bool:
    """True if a word holds characters that `plain_letters` would change."""
    return (
        (
            not word.isascii()
            and any(
                char in _ODD or "\ud800" <= char <= "\udfff" or char > "\uffff" for char in word
            )
        )
        or "\u0002" in word
        or "\0" in word
    )


def plain_letters(word: str) -> str:
    """Joined letters taken apart, mathematical letters made plain, line-end hyphens set back."""
    if any("\ud800" <= char <= "\udfff" for char in word):
        word = word.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    word = word.translate(_LETTERS)
    if any("\U0001d400" <= char <= "\U0001d7ff" for char in word):
        word = unicodedata.normalize("NFKC", word)
    return word.strip()


def is_uneven(text: str, start: int, first: Box, chars: Chars) -> bool:
    """True if characters of a word with digits differ in size, or some digit is raised."""
    tall = first[3] - first[1]
    for i, char in enumerate(text):
        box = first if not i else chars.loose(start + i)
        if box is None:
            continue
        if abs(tall - (box[3] - box[1])) > 0.1 * tall:
            return True
        if char in "0123456789oO" and _floats(chars.tight(start + i), first):
            return True
    return False


def _floats(ink: Box | None, line: Box) -> bool:
    """True if ink hangs in the upper part of its line, off the ground the letters stand on."""
    if ink is None or ink[3] <= ink[1]:
        return False
    return ink[3] < line[1] + BASE * (line[3] - line[1])


@dataclass(slots=True)
class _Glyph:
    char: str
    box: Box
    small: bool = False
    raised: bool = False


def read_carefully(text: str, start: int, chars: Chars) -> list[PdfWord]:
    """A word whose characters differ in size or leave the line, cut where it has to be."""
    glyphs: list[_Glyph] = []
    for i, char in enumerate(text):
        box = chars.loose(start + i)
        if box is not None:
            glyphs.append(_Glyph(char, box))
    if not glyphs:
        return []
    tall = max(glyph.box[3] - glyph.box[1] for glyph in glyphs)
    line = next(g.box for g in glyphs if g.box[3] - g.box[1] > SMALL * tall)
    middle = (line[1] + line[3]) / 2
    for i, glyph in enumerate(glyphs):
        glyph.small = glyph.box[3] - glyph.box[1] < SMALL * tall
        over = (glyph.box[1] + glyph.box[3]) / 2 < middle - 0.08 * tall
        floats = glyph.char in "0123456789oO" and _floats(chars.tight(start + i), line)
        same_line = abs(glyph.box[3] - line[3]) < 0.6 * tall
        glyph.raised = (glyph.small and over) or (floats and same_line)
    runs: list[list[_Glyph]] = []
    for i, glyph in enumerate(glyphs):
        if i and not _cut_before(glyphs, i, tall):
            runs[-1].append(glyph)
        else:
            runs.append([glyph])
    words = []
    for run in runs:
        word = plain_letters(_text_of(run))
        if word:
            words.append(PdfWord(
                word, min(g.box[0] for g in run), min(g.box[1] for g in run),
                max(g.box[2] for g in run), max(g.box[3] for g in run),
            ))  # fmt: skip
    return words


def _cut_before(glyphs: list[_Glyph], i: int, tall: float) -> bool:
    before, here = glyphs[i - 1], glyphs[i]
    if here.box[0] < before.box[0] - 1 or abs(here.box[3] - before.box[3]) > 0.8 * tall:
        return True  # the text layer ran two lines together
    if not (before.char.isdigit() and here.char.isdigit()):
        return False
    if (here.raised, here.small) == (before.raised, before.small):
        return False
    return not before.raised and _over_stripe(glyphs[i:])


def _over_stripe(glyphs: list[_Glyph]) -> bool:
    """True if the digits that begin here are the upper part of a fraction."""
    rest = iter(glyphs)
    return next((g.char for g in rest if not g.char.isdigit()), "") in ("/", "\u2044")


def _text_of(run: list[_Glyph]) -> str:
    """Text with raised digits as superscripts, and a raised o after a number as a degree."""
    if (
        any(glyph.char in ("/", "\u2044") for glyph in run)
        and run[0].char.isdigit()
        and all(glyph.char.isdigit() or glyph.char in ("/", "\u2044") for glyph in run[:-1])
    ):
        return "".join(glyph.char for glyph in run)  # a fraction
    out = []
    for i, glyph in enumerate(run):
        char = glyph.char
        if (
            glyph.raised
            and char in "oO0"
            and i
            and run[i - 1].char.isdigit()
            and not (run[i - 1].raised or (i + 1 < len(run) and run[i + 1].raised))
        ):
            out.append("°")
        else:
            out.append(char.translate(RAISED) if glyph.raised else char)
    return "".join(out)
