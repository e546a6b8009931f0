"""Words on paper set back into lines of fixed-width text, so that columns stay columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from reconcile.records import Word
from reconcile.sources.pdf_frame import PdfWord
from reconcile.sources.pdf_lines import TextLine, group_lines, reading_order

GAP = 0.72
"""A gap this wide, in heights of the line, holds columns apart; less is a word space."""
MAX_COLUMN = 240
"""Rightmost column text is laid out to."""
MAX_BLANK_LINES = 2
MIN_DRIVEN = 4
"""So many wide gaps in a line raise the question whether it was only driven out."""


@dataclass(slots=True)
class RuledRow:
    """One line of a ruled table: the words of each cell."""

    cells: list[list[PdfWord]]
    under: bool = False
    """The line stands below a heading in the same ruled cell."""


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


def cut_segments(
    line: TextLine, right: float = 0.0, beside: Sequence[TextLine] = ()
) -> list[list[PdfWord]]:
    """Words of a line in runs that gaps wider than a word space hold apart.

    Parameters
    ----------
    line : TextLine
    right : float
        Right edge of the text [pt]; a line driven out to it by even gaps is running text.
    beside : sequence of TextLine
        The lines above and below; gaps that go on through them are columns all the same.
    """
    drawn = sum(word.x1 - word.x0 for word in line.words)
    letter = drawn / sum(len(word.text) for word in line.words)
    wide = max(GAP * (line.bottom - line.top), 1.6 * letter)  # typewriter blanks are wide
    gaps = [b.x0 - a.x1 for a, b in pairwise(line.words)]
    if (
        sum(gap >= wide for gap in gaps) >= MIN_DRIVEN
        and _is_driven_out(line, gaps, right)
        and not any(_gaps_go_on(line, other, wide) for other in beside)
    ):
        wide = 1.5 * sorted(gaps)[len(gaps) // 2]
    segments = [line.words[:1]]
    for gap, word in zip(gaps, line.words[1:]):
        if gap < wide:
            segments[-1].append(word)
        else:
            segments.append([word])
    return segments


def _is_driven_out(line: TextLine, gaps: list[float], right: float) -> bool:
    """True if a line of words was spread evenly to fill the measure."""
    if line.words[-1].x1 < right - 3:
        return False
    words = sum(word.text.strip(".,;:()").isalpha() for word in line.words)
    usual = sorted(gaps)[len(gaps) // 2]
    even = sum(abs(gap - usual) <= 0.3 * usual for gap in gaps)
    return 3 * words >= 2 * len(line.words) and 4 * even >= 3 * len(gaps)


def _gaps_go_on(line: TextLine, other: TextLine, wide: float) -> bool:
    """True if at least half of the wide gaps of a line lie over wide gaps of another."""
    if other.top - line.bottom > 3 * wide or line.top - other.bottom > 3 * wide:
        return False
    theirs = [(a.x1, b.x0) for a, b in pairwise(other.words) if b.x0 - a.x1 >= wide]
    ours = [(a.x1, b.x0) for a, b in pairwise(line.words) if b.x0 - a.x1 >= wide]
    met = sum(any(lo < b and a < hi for a, b in theirs) for lo, hi in ours)
    return 2 * met >= len(ours)


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
        Offsets ascend. Running text set in two columns comes one column after the other.
    """
    out = _Text()
    whole = group_lines(words)
    parts = reading_order(words, whole)
    waiting = sorted(tables, key=lambda table: table.top)
    for n, part in enumerate(parts):
        lines = whole if part is words else group_lines(part)
        last = n + 1 == len(parts)
        here = [t for t in waiting if last or t.bottom <= lines[-1].bottom + 1]
        waiting = [table for table in waiting if table not in here]
        if n:
            out.end_line()
        _lay_out_part(out, lines, here)
    text = "".join(out.parts).rstrip("\n")
    return text, tuple(out.words)


def _lay_out_part(out: _Text, lines: list[TextLine], tables: Sequence[RuledTable]) -> None:
    right = max((line.words[-1].x1 for line in lines), default=0.0)
    left = min((line.words[0].x0 for line in lines), default=0.0)
    cut = [
        cut_segments(line, right, lines[max(0, n - 1) : n] + lines[n + 1 : n + 2])
        for n, line in enumerate(lines)
    ]
    pitch = _pitch(cut, left)
    leading = _leading(lines)
    blocks: list[tuple[float, float, list[list[PdfWord]] | RuledTable]] = [
        (line.top, line.bottom, segments) for line, segments in zip(lines, cut)
    ]
    blocks += [(table.top, table.bottom, table) for table in tables]
    blocks.sort(key=lambda block: block[0] + min(block[1] - block[0], leading))
    before: float | None = None
    for top, bottom, block in blocks:
        if before is not None:
            blank = round((top - before) / leading)
            blank = max(blank, 1) if isinstance(block, RuledTable) else blank
            for _ in range(min(MAX_BLANK_LINES, blank)):
                if out.parts[-2:] != ["\n", "\n"]:
                    out.end_line()
        if isinstance(block, RuledTable):
            _write_table(out, block)
            out.end_line()
        else:
            _write_line(out, block, left, pitch)
        before = bottom


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
            width[i] = max(width[i], _length(cell) + 2 * (row.under and not i))
    for row in table.rows:
        for i, cell in enumerate(row.cells):
            if i:
                out.put(" | ")
            begin = out.size
            if row.under and not i:
                out.put("  ")
            for m, word in enumerate(cell):
                if m:
                    out.put(" ")
                out.word(word)
            if i + 1 < len(row.cells):
                out.put(" " * (width[i] - (out.size - begin)))
        out.end_line()


def _length(cell: list[PdfWord]) -> int:
    return sum(len(word.text) + 1 for word in cell) - 1 if cell else 0
