"""Printed lines of a page, and the order in which its columns of text are read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from reconcile.sources.pdf_frame import PdfWord
from reconcile.sources.pdf_glyphs import RAISED, SMALL

MIN_SPACED = 6
"""So many letters apart at least are a spaced word, not signs in a row."""
MIN_PAIRED = 12
"""So many lines at least stand side by side on a page set in two columns."""
MIN_GUTTER = 9.0
"""Least width [pt] of the white between two columns of text."""


@dataclass(slots=True)
class TextLine:
    """Words of one printed line, left to right."""

    words: list[PdfWord]
    top: float
    bottom: float

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


def group_lines(words: Iterable[PdfWord]) -> list[TextLine]:
    """Printed lines from top to bottom, their words put right.

    Stacked fractions are joined, words printed twice are one, lone raised numbers are
    superscripts, spaced letters are closed up; such words are new objects.
    """
    lines = cluster_lines(words)
    for line in lines:
        line.words = _untangle(line.words, line.bottom - line.top)
        line.words = _closed_up([_noted(word, line) for word in line.words])
    return lines


def cluster_lines(words: Iterable[PdfWord]) -> list[TextLine]:
    """Printed lines from top to bottom, of the same word objects.

    A word joins the line it overlaps most; raised and lowered small type joins its line.
    """
    lines: list[TextLine] = []
    open_from = 0
    for word in sorted(words, key=lambda w: w.top + w.bottom):
        best, most = None, 0.5
        while open_from < len(lines) and lines[open_from].bottom < word.top - 40:
            open_from += 1
        for line in reversed(lines[max(open_from, len(lines) - 8) :]):
            shared = min(line.bottom, word.bottom) - max(line.top, word.top)
            share = shared / max(0.1, min(line.bottom - line.top, word.bottom - word.top))
            if share > most:
                best, most = line, share
                if share > 0.95:
                    break
        if best is None:
            lines.append(TextLine([word], word.top, word.bottom))
        else:
            best.words.append(word)
            if word.height > 1.2 * (best.bottom - best.top):  # began with a raised mark
                best.top, best.bottom = word.top, word.bottom
    for line in lines:
        line.words.sort(key=lambda w: w.x0)
    lines.sort(key=lambda line: line.middle)
    return lines


def _noted(word: PdfWord, line: TextLine) -> PdfWord:
    """A small raised number by itself is a note mark, not a figure."""
    tall = line.bottom - line.top
    if (
        word.height < SMALL * tall
        and word.text.isdigit()
        and (word.top + word.bottom) / 2 < line.middle - 0.08 * tall
    ):
        return replace(word, text=word.text.translate(RAISED))
    return word


def _closed_up(words: list[PdfWord]) -> list[PdfWord]:
    """Words set with spaced letters for stress ("S p e r r u n g") closed up again.

    Leader dots and rows of single figures are signs apart too, and stay as they are.
    """
    lone = [word for word in words if len(word.text) == 1 and word.text.isalnum()]
    letters = sum(word.text.isalpha() for word in lone)
    if len(lone) < MIN_SPACED or 4 * len(lone) < 3 * len(words) or 2 * letters < len(lone):
        return words
    gaps = sorted(b.x0 - a.x1 for a, b in pairwise(words))
    usual = gaps[len(gaps) // 3]
    if usual > 0.4 * words[0].height:
        return words
    wide = 1.6 * usual
    out = [words[0]]
    for word in words[1:]:
        last = out[-1]
        if word.x0 - last.x1 < wide:
            out[-1] = PdfWord(
                last.text + word.text, last.x0, min(last.top, word.top),
                word.x1, max(last.bottom, word.bottom),
            )  # fmt: skip
        else:
            out.append(word)
    return out


def _untangle(words: list[PdfWord], height: float) -> list[PdfWord]:
    """Stacked fractions made "1/2", and words printed twice for weight made one."""
    out: list[PdfWord] = []
    for word in words:
        if out:
            last = out[-1]
            shared = min(last.x1, word.x1) - max(last.x0, word.x0)
            if shared > 0.5 * min(last.x1 - last.x0, word.x1 - word.x0):
                if last.text == word.text and abs(last.top - word.top) < 0.3 * height:
                    continue
                small = max(last.height, word.height) < 0.9 * height
                if small and last.text.isdigit() and word.text.isdigit():
                    over, under = sorted((last, word), key=lambda w: w.top)
                    out[-1] = PdfWord(
                        f"{over.text}/{under.text}",
                        min(last.x0, word.x0),
                        over.top,
                        max(last.x1, word.x1),
                        under.bottom,
                    )
                    continue
        out.append(word)
    return out


def reading_order(words: Sequence[PdfWord], lines: Sequence[TextLine]) -> list[Sequence[PdfWord]]:
    """Words in parts to be read one after the other: columns of running text, top to bottom.

    A page counts as set in two columns where a white strip runs down its middle past a
    dozen lines or more of running words, not figures, that fill their measure on both
    sides; the second column may be a short one.
    """
    if len(lines) < MIN_PAIRED:
        return [words]
    left = min(line.words[0].x0 for line in lines)
    right = max(line.words[-1].x1 for line in lines)
    votes: Counter[int] = Counter()
    for line in lines:
        for a, b in pairwise(line.words):
            if b.x0 - a.x1 >= MIN_GUTTER:
                votes.update(range(int(a.x1) + 3, int(b.x0) - 2))
    middle = range(int(left + 0.35 * (right - left)), int(left + 0.65 * (right - left)))
    at = max(middle, key=lambda x: (votes[x], -abs(2 * x - left - right)), default=0)
    if votes[at] < 2:
        return [words]
    crossing = [any(w.x0 < at < w.x1 for w in line.words) or _bridged(line, at) for line in lines]
    kept = [line for line, over in zip(lines, crossing) if not over]
    if len(kept) < MIN_PAIRED or 3 * sum(crossing) > len(lines) or not _reads_as_columns(kept, at):
        return [words]
    parts: list[Sequence[PdfWord]] = []
    sides: tuple[list[PdfWord], list[PdfWord]] = ([], [])
    over_before = False
    for line, over in zip(lines, crossing):
        if over:
            parts += [side for side in sides if side]
            sides = ([], [])
            if parts and over_before:
                parts[-1] = [*parts[-1], *line.words]
            else:
                parts.append(line.words)
        else:
            for word in line.words:
                sides[word.x0 > at].append(word)
        over_before = over
    return parts + [side for side in sides if side]


def _bridged(line: TextLine, at: int) -> bool:
    """True if the white strip is only a word space of this line."""
    return any(a.x1 <= at <= b.x0 and b.x0 - a.x1 < MIN_GUTTER for a, b in pairwise(line.words))


def _reads_as_columns(lines: list[TextLine], at: int) -> bool:
    """True if both sides hold running words that fill their measure, as no table does."""
    words = [word for line in lines for word in line.words]
    figures = sum(any(char.isdigit() for char in word.text) for word in words)
    values = paired = 0  # lines whose right-hand part begins with a figure
    for line in lines:
        first = next((word.text for word in line.words if word.x0 > at), "")
        values += first.lstrip("+-–±(")[:1].isdigit()
        paired += bool(first)
    return (
        3 * figures < len(words)
        and 3 * values < paired
        and all(_fills_measure([w for w in words if (w.x0 > at) is side]) for side in (False, True))
    )


def _fills_measure(words: list[PdfWord]) -> bool:
    """True if most lines of one side run on to its right edge, and are not mere labels."""
    lines = group_lines(words)
    if not lines or sum(len(w.text) for w in words) < 18 * len(lines):
        return False
    left = min(line.words[0].x0 for line in lines)
    right = sorted(line.words[-1].x1 for line in lines)[-1 - len(lines) // 10]
    if len(lines) < 4:
        return True  # the few lines at the head of a last column
    full = sum(line.words[-1].x1 >= left + 0.75 * (right - left) for line in lines)
    return 10 * full >= 6 * len(lines)
