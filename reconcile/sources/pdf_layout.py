"""Words on paper set back into lines of fixed-width text, so that columns stay columns."""

from __future__ import annotations

from collections import Counter
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
MIN_DRIVEN = 4
"""So many wide gaps in a line raise the question whether it was only driven out."""
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


def cut_segments(line: TextLine, right: float = 0.0) -> list[list[PdfWord]]:
    """Words of a line in runs that gaps wider than a word space hold apart.

    Parameters
    ----------
    line : TextLine
    right : float
        Right edge of the text [pt]; a line driven out to it by even gaps is running text.
    """
    drawn = sum(word.x1 - word.x0 for word in line.words)
    letter = drawn / sum(len(word.text) for word in line.words)
    wide = max(GAP * (line.bottom - line.top), 1.6 * letter)  # typewriter blanks are wide
    gaps = [b.x0 - a.x1 for a, b in pairwise(line.words)]
    if sum(gap >= wide for gap in gaps) >= MIN_DRIVEN and _is_driven_out(line, gaps, right):
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


def reading_order(words: Sequence[PdfWord], lines: Sequence[TextLine]) -> list[Sequence[PdfWord]]:
    """Words in parts to be read one after the other: columns of running text, top to bottom.

    A page counts as set in two columns where a white strip runs down its middle past a
    dozen lines or more that have running words, not figures, on both sides.
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
    if votes[at] < MIN_PAIRED:
        return [words]
    crossing = [any(w.x0 < at < w.x1 for w in line.words) or _bridged(line, at) for line in lines]
    paired = [line for line, over in zip(lines, crossing) if not over]
    if not _reads_as_columns(paired, at) or 3 * sum(crossing) > len(lines):
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
    words = [word for line in lines for word in line.words]
    figures = sum(any(char.isdigit() for char in word.text) for word in words)
    sides = [sum(len(w.text) for w in words if (w.x0 > at) is side) for side in (False, True)]
    values = 0  # lines whose right-hand part begins with a figure, as in a table
    for line in lines:
        first = next((word.text for word in line.words if word.x0 > at), "")
        values += first.lstrip("+-–±(")[:1].isdigit()
    return 3 * figures < len(words) and 3 * values < len(lines) and min(sides) > 18 * len(lines)


def _lay_out_part(out: _Text, lines: list[TextLine], tables: Sequence[RuledTable]) -> None:
    right = max((line.words[-1].x1 for line in lines), default=0.0)
    left = min((line.words[0].x0 for line in lines), default=0.0)
    cut = [cut_segments(line, right) for line in lines]
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
