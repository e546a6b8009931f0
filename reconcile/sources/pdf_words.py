"""Words of a PDF page's text layer with their boxes, through pdfium."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from typing import TYPE_CHECKING, Any

from reconcile.records import Box

if TYPE_CHECKING:
    import pypdfium2

_WORD = re.compile(r"\S+")
RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_LIGATURES = str.maketrans({
    "ﬀ": "ff", "ﬁ": "fi", "ﬂ": "fl", "ﬃ": "ffi", "ﬄ": "ffl",
    "\u0002": "-", "\ufffe": "-", "\u00ad": "-", "\u00a0": " ", "\u2007": " ", "\0": " ",
})  # fmt: skip
_ODD = re.compile("[ﬀﬁﬂﬃﬄ\u0002\ufffe\u00ad\u00a0\u2007\0]")
SAMPLE = 12
"""So many words at least are asked for the direction they run in."""
MIN_HEIGHT = 1.0
"""Type lower than this [pt] has no true height."""
SMALL = 0.85
"""A character this much lower than its neighbour is set in smaller type."""


@dataclass(slots=True)
class PdfWord:
    """One word; box from the page's upper left corner in points."""

    text: str
    x0: float
    top: float
    x1: float
    bottom: float

    @property
    def box(self) -> Box:
        return (round(self.x0, 2), round(self.top, 2), round(self.x1, 2), round(self.bottom, 2))

    @property
    def height(self) -> float:
        return self.bottom - self.top


class PageFrame:
    """How a page's own coordinates become points from its upper left corner.

    Parameters
    ----------
    page : PdfPage
    turn : int, optional
        Clockwise turn [degrees] of the page; as it is shown where not given.
    """

    def __init__(self, page: pypdfium2.PdfPage, turn: int | None = None) -> None:
        self.left, self.low, self.right, self.high = page.get_bbox()
        self.turn = (page.get_rotation() if turn is None else turn) % 360
        wide, tall = self.right - self.left, self.high - self.low
        self.width, self.height = (tall, wide) if self.turn in (90, 270) else (wide, tall)

    def box(self, left: float, low: float, right: float, high: float) -> Box:
        """A box with its origin moved and turned."""
        x0, x1 = left - self.left, right - self.left
        y0, y1 = low - self.low, high - self.low
        if self.turn == 0:
            return x0, self.height - y1, x1, self.height - y0
        if self.turn == 90:
            return y0, x0, y1, x1
        if self.turn == 180:
            return self.width - x1, y0, self.width - x0, y1
        return self.width - y1, self.height - x1, self.width - y0, self.height - x0

    def own(self, box: Box) -> Box:
        """The box in the page's own coordinates (left, low, right, high)."""
        a0, b0, a1, b1 = box
        if self.turn == 0:
            x0, y0, x1, y1 = a0, self.height - b1, a1, self.height - b0
        elif self.turn == 90:
            x0, y0, x1, y1 = b0, a0, b1, a1
        elif self.turn == 180:
            x0, y0, x1, y1 = self.width - a1, b0, self.width - a0, b1
        else:
            x0, y0, x1, y1 = self.height - b1, self.width - a1, self.height - b0, self.width - a0
        return x0 + self.left, y0 + self.low, x1 + self.left, y1 + self.low


class _Chars:
    """Boxes of a text page's characters, looked up one by one."""

    def __init__(self, textpage: pypdfium2.PdfTextPage, frame: PageFrame) -> None:
        import pypdfium2.raw as raw

        self._raw = textpage.raw
        self._get = raw.FPDFText_GetLooseCharBox
        self._rect = raw.FS_RECTF()
        self._frame = frame

    def loose(self, index: int) -> Box | None:
        """Box as tall as the font."""
        rect = self._rect
        if not self._get(self._raw, index, rect):
            return None
        return solid(self._frame.box(rect.left, rect.bottom, rect.right, rect.top))


def solid(box: Box) -> Box:
    """A box of some height: fonts drawn by procedures may state none."""
    if box[3] - box[1] >= MIN_HEIGHT:
        return box
    return box[0], box[3] - 8.0, box[2], box[3] + 1.0


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
    words = _words(text, spans, _Chars(textpage, frame))
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
        words = _words(text, by_turn[turn], _Chars(textpage, frame), one_way=True)
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
    text: str, spans: list[tuple[int, int]], chars: _Chars, *, one_way: bool = False
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
        if last[0] < first[0] - 1 or (
            any(map(str.isdigit, word)) and _is_uneven(start, end, first, chars)
        ):
            words.extend(_careful(word, start, chars))
            continue
        if _ODD.search(word):
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


def _is_uneven(start: int, end: int, first: Box, chars: _Chars) -> bool:
    """True if a character of a word differs in size from the first one."""
    tall = first[3] - first[1]
    for i in range(end - 1, start, -1):
        box = chars.loose(i)
        if box is not None and abs(tall - (box[3] - box[1])) > 0.1 * tall:
            return True
    return False


def plain_letters(word: str) -> str:
    """Joined letters taken apart, and pdfium's mark for a line-end hyphen set back."""
    return word.translate(_LIGATURES).strip()


def _by_character(textpage: pypdfium2.PdfTextPage, count: int) -> str:
    # Characters beyond the basic plane, or left out by pdfium, upset the numbering.
    import pypdfium2.raw as raw

    codes = (raw.FPDFText_GetUnicode(textpage.raw, i) for i in range(count))
    return "".join(
        chr(c) if 0 < c <= 0x10FFFF and not 0xD800 <= c < 0xE000 else "\ufffd" for c in codes
    )


def _careful(text: str, start: int, chars: _Chars) -> list[PdfWord]:
    """A word whose characters differ in size or run backwards, cut where it has to be."""
    pieces: list[tuple[str, Box]] = []
    for i, char in enumerate(text):
        box = chars.loose(start + i)
        if box is not None and box[2] - box[0] > -1:
            pieces.append((char.translate(_LIGATURES), box))
    if not pieces:
        return []
    tall = max(box[3] - box[1] for _, box in pieces)
    middle = next((box[1] + box[3]) / 2 for _, box in pieces if box[3] - box[1] > SMALL * tall)
    runs: list[list[tuple[str, Box]]] = []
    for char, box in pieces:
        if runs:
            before = runs[-1][-1]
            turned_back = box[0] < before[1][0] - 1
            fraction = (
                box[3] - box[1] < SMALL * (before[1][3] - before[1][1])
                and char.isdigit()
                and before[0].isdigit()
                and "/" in text
            )
            if not turned_back and not fraction:
                runs[-1].append((char, box))
                continue
        runs.append([(char, box)])
    words = []
    for run in runs:
        sizes = [box[3] - box[1] < SMALL * tall for _, box in run]
        raised = [
            small and (box[1] + box[3]) / 2 < middle - 0.08 * tall
            for small, (_, box) in zip(sizes, run)
        ]
        fraction = "/" in "".join(char for small, (char, _) in zip(sizes, run) if small)
        chars_of = "".join(char for char, _ in run)
        if not fraction and not all(raised):
            chars_of = _raised_text(chars_of, raised)
        words.append(PdfWord(
            chars_of, min(b[0] for _, b in run), min(b[1] for _, b in run),
            max(b[2] for _, b in run), max(b[3] for _, b in run),
        ))  # fmt: skip
    return [word for word in words if word.text.strip()]


def _raised_text(text: str, raised: list[bool]) -> str:
    """Text with raised digits as superscripts, and a raised o after a number as a degree."""
    out = []
    for i, char in enumerate(text):
        if not raised[i]:
            out.append(char)
        elif (
            char in "oO0"
            and i
            and text[i - 1].isdigit()
            and not raised[i - 1]
            and (i + 1 == len(text) or not raised[i + 1])
        ):
            out.append("°")
        else:
            out.append(char.translate(RAISED))
    return "".join(out)
