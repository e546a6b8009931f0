"""Words on paper set back into lines of fixed-width text, so that columns stay columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from reconcile.records import Word
from reconcile.sources.pdf_words import PdfWord

GAP = 0.72
"""A gap this wide, in heights of the line, holds columns apart; less is a word space."""
MAX_COLUMN = 240
"""Rightmost column text is laid out to."""
MAX_BLANK_LINES = 2


@dataclass(slots=True)
class TextLine:
    """Words of one printed line, left to right."""

    words: list[PdfWord]
    top: float
    bottom: float

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


@dataclass(slots=True)
class RuledRow:
    """One line of a ruled table: the words of each cell."""

    cells: list[list[PdfWord]]


@dataclass(slots=True)
class RuledTable:
    """A ruled table's lines and where it begins and ends on the page."""

    rows: list[RuledRow]
    top: float
    bottom: float


@dataclass(slots=True)
class _Text:
    parts: list[str] = field(default_factory=list)
    size: int = 0
    words: list[Word] = field(default_factory=list)
    line_start: int = 0

    def put(self, text: str) -> None:
        self.parts.append(text)
        self.size += len(text)

    def word(self, word: PdfWord) -> None:
        self.words.append(Word(self.size, self.size + len(word.text), word.box))
        self.put(word.text)

    @property
    def column(self) -> int:
        return self.size - self.line_start

    def end_line(self) -> None:
        self.put("\n")
        self.line_start = self.size


def group_lines(words: Iterable[PdfWord]) -> list[TextLine]:
    """Printed lines from top to bottom.

    A word joins the line it overlaps most; raised and lowered small type joins its line.
    """
    lines: list[TextLine] = []
    open_from = 0
    for word in sorted(words, key=lambda w: w.top + w.bottom):
        best, most = None, 0.5
        while open_from < len(lines) and lines[open_from].bottom < word.top - 40:
            open_from += 1
        for line in lines[max(open_from, len(lines) - 8) :]:
            shared = min(line.bottom, word.bottom) - max(line.top, word.top)
            share = shared / max(0.1, min(line.bottom - line.top, word.height))
            if share > most:
                best, most = line, share
        if best is None:
            lines.append(TextLine([word], word.top, word.bottom))
        else:
            best.words.append(word)
            if word.height > 1.2 * (best.bottom - best.top):  # began with a raised mark
                best.top, best.bottom = word.top, word.bottom
    for line in lines:
        line.words.sort(key=lambda w: w.x0)
        line.words = _untangle(line.words, line.bottom - line.top)
    lines.sort(key=lambda line: line.middle)
    return lines


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


def cut_segments(line: TextLine) -> list[list[PdfWord]]:
    """Words of a line in runs that gaps wider than a word space hold apart."""
    segments: list[list[PdfWord]] = []
    wide = GAP * (line.bottom - line.top)
    for word in line.words:
        if segments and word.x0 - segments[-1][-1].x1 < wide:
            segments[-1].append(word)
        else:
            segments.append([word])
    return segments


def lay_out_page(
    words: Sequence[PdfWord], tables: Sequence[RuledTable] = ()
) -> tuple[str, tuple[Word, ...]]:
    """Text of a page in its layout, and where each word stands in it.

    Parameters
    ----------
    words : sequence of PdfWord, those outside all ruled tables
    tables : sequence of RuledTable, with their own words

    Returns
    -------
    text, words : str and tuple of Word
        Columns are apart by two or more blanks, cells of ruled tables by ``" | "``.
        Offsets ascend.
    """
    lines = group_lines(words)
    cut = [cut_segments(line) for line in lines]
    left = min((line.words[0].x0 for line in lines), default=0.0)
    pitch = _pitch(cut, left)
    leading = _leading(lines)
    out = _Text()
    blocks: list[tuple[float, float, list[list[PdfWord]] | RuledTable]] = [
        (line.top, line.bottom, segments) for line, segments in zip(lines, cut)
    ]
    blocks += [(table.top, table.bottom, table) for table in tables]
    blocks.sort(key=lambda block: block[0] + min(block[1] - block[0], leading))
    before: float | None = None
    for top, bottom, block in blocks:
        if before is not None:
            blank = round((top - before) / leading) if leading else 0
            if isinstance(block, RuledTable) or (out.parts and out.parts[-1] == "\n\n"):
                blank = max(blank, 1)
            for _ in range(min(MAX_BLANK_LINES, max(0, blank))):
                if not (out.parts[-1:] == ["\n"] and out.parts[-2:-1] == ["\n"]):
                    out.end_line()
        if isinstance(block, RuledTable):
            _write_table(out, block)
            out.end_line()
        else:
            _write_line(out, block, left, pitch)
        before = bottom
    text = "".join(out.parts).rstrip("\n")
    return text, tuple(out.words)


def _pitch(cut: list[list[list[PdfWord]]], left: float) -> float:
    """Width of a text column [pt]: so narrow that no cell runs into the next one's place."""
    widths = [
        (word.x1 - word.x0) / len(word.text)
        for segments in cut
        for segment in segments
        for word in segment
        if len(word.text) > 1
    ]
    if not widths:
        return 5.0
    usual = median(widths)
    pitch = usual
    for segments in cut:
        for a, b in pairwise(segments):
            length = sum(len(word.text) + 1 for word in a) + 2
            pitch = min(pitch, (b[0].x0 - a[0].x0) / length)
    right = max(segments[-1][-1].x1 for segments in cut)
    return max(pitch, 0.45 * usual, (right - left) / MAX_COLUMN, 0.5)


def _leading(lines: list[TextLine]) -> float:
    steps = [b.top - a.top for a, b in pairwise(lines) if b.top - a.top > 1]
    heights = [line.bottom - line.top for line in lines]
    if not heights:
        return 12.0
    usual = median(heights)
    close = [step for step in steps if step < 2.2 * usual]
    return median(close) if close else 1.2 * usual


def _write_line(out: _Text, segments: list[list[PdfWord]], left: float, pitch: float) -> None:
    for n, segment in enumerate(segments):
        target = round((segment[0].x0 - left) / pitch)
        least = out.column + 2 if n else 0
        out.put(" " * (max(target, least) - out.column))
        for m, word in enumerate(segment):
            if m and not _touches(segment[m - 1], word):
                out.put(" ")
            out.word(word)
    out.end_line()


def _touches(left: PdfWord, right: PdfWord) -> bool:
    """True if glyphs are set tight against each other ("3,000" and a raised "*")."""
    glued = left.text[-1].isalnum() and right.text[0].isalnum()
    return not glued and right.x0 - left.x1 <= 0.08 * right.height


def _write_table(out: _Text, table: RuledTable) -> None:
    width: list[int] = []
    for row in table.rows:
        width += [0] * (len(row.cells) - len(width))
        for i, cell in enumerate(row.cells):
            width[i] = max(width[i], _length(cell))
    for row in table.rows:
        for i, cell in enumerate(row.cells):
            if i:
                out.put(" | ")
            begin = out.size
            for m, word in enumerate(cell):
                if m:
                    out.put(" ")
                out.word(word)
            if i + 1 < len(row.cells):
                out.put(" " * (width[i] - (out.size - begin)))
        out.end_line()


def _length(cell: list[PdfWord]) -> int:
    return sum(len(word.text) + 1 for word in cell) - 1 if cell else 0
