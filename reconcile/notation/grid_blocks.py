"""Where a text's tables begin and end, and what in them is heading, body and note."""

from __future__ import annotations

import re
from dataclasses import replace

from reconcile.notation.grid_build import build
from reconcile.notation.grid_fixed import Memory, Paragraph, read_fixed_tables
from reconcile.notation.grid_heads import caption_of, group_head
from reconcile.notation.grid_legend import find_lettered, lettered_line
from reconcile.notation.grid_lines import (
    Line,
    Seg,
    cut_line,
    is_continued,
    is_page_number,
    looks_tabular,
)
from reconcile.notation.grid_records import Grid, Span
from reconcile.notation.grid_ruled import ruled_table

MAX_CAPTION = 90
MAX_GAP = 8
"""A table does not go on over more blank lines than this."""
_BREAK = re.compile(r"[\n\f]")
_NUMBERED = re.compile(r"\s*\d{1,3}[A-Z]?\. +[A-Z]")
_NOTE = re.compile(
    r"\s*(?:note )?([*]+|[†‡§¶]+|\((?:\d|[a-z])\)|[¹²³⁴⁵⁶⁷⁸⁹])[ \t]*[:.=–-]?[ \t]*(?=\S)",
    re.IGNORECASE,
)


def find_blocks(text: str) -> list[Grid]:
    """Grids of `text`; see `reconcile.notation.grid.find_grids`."""
    if "\n" not in text and ".." not in text and "…" not in text and "(a)" not in text:
        return []  # most texts of one line, at no cost
    grids: list[Grid] = []
    memory = Memory()
    paragraph: Paragraph = []
    worth = False
    at = gap = 0
    for raw in _BREAK.split(text):
        line = raw[:-1] if raw.endswith("\r") else raw
        if line and not line.isspace():
            if gap and paragraph and not (gap == 1 and _goes_on(paragraph, line)):
                _headed(paragraph, worth, grids, memory)
                paragraph, worth = [], False
            if gap > 2:
                memory.above = []
            if gap > MAX_GAP:
                memory.forget()
            paragraph.append((at, line, gap > 0))
            gap = 0
            if not worth:
                worth = _worth(line, len(paragraph))
        else:
            gap += 1
        at += len(raw) + 1
    if paragraph:
        _headed(paragraph, worth, grids, memory)
    return [_with_notes(text, grid) for grid in grids]


def _goes_on(paragraph: Paragraph, line: str) -> bool:
    """True if a table typed with blank lines between its rows may go on with `line`."""
    last = paragraph[-1][1].strip()
    if ("|" in line or "│" in line) != ("|" in last or "│" in last):
        return False  # a ruled table and what is not are never one
    alone = len(paragraph) <= 3 and len(last) <= MAX_CAPTION  # a caption, or one heading
    return looks_tabular(line.strip()) and (alone or looks_tabular(last))


def _worth(line: str, number: int) -> bool:
    """True if a paragraph with this line is worth a closer look."""
    body = line.strip()
    return looks_tabular(body) or "(a)" in body or (number > 1 and line[:6].isspace())


def _passes_over(paragraph: Paragraph) -> bool:
    return len(paragraph) <= 2 and all(
        is_continued(line) or is_page_number(line) for _, line, _ in paragraph
    )


def _headed(paragraph: Paragraph, worth: bool, grids: list[Grid], memory: Memory) -> None:
    """Find the grids of a paragraph; a heading alone above it is the caption of the first."""
    known = len(grids)
    _paragraph(paragraph, worth, grids, memory)
    above = _heads_next(memory.above) if memory.above and len(grids) > known else None
    if above is not None:
        end = grids[known].span[1]
        for i in range(known, len(grids)):
            if grids[i].caption is None and grids[i].span[0] < end:  # tables side by side
                grids[i] = replace(grids[i], caption=above)
    memory.above = paragraph


def _heads_next(paragraph: Paragraph) -> Span | None:
    """The heading that a paragraph ends in, for a table after a blank line."""
    last = paragraph[-1][1]
    body = last.strip()
    if len(body) > MAX_CAPTION or looks_tabular(body) or _NOTE.match(last):
        return None
    colon = body.endswith((":", "："))
    if not (colon or len(paragraph) == 1 or _NUMBERED.match(last)):
        return None
    head = group_head([cut_line(at, line) for at, line, _ in paragraph[-3:]])
    return head.span if head is not None else None


def _paragraph(paragraph: Paragraph, worth: bool, grids: list[Grid], memory: Memory) -> None:
    """Find the grids of one run of lines without a blank one."""
    if _passes_over(paragraph):
        return
    if not worth:
        memory.forget()
        return
    if any(lettered_line(line) for _, line, _ in paragraph):
        found = find_lettered([(at, line) for at, line, _ in paragraph])
        if found:
            grids.extend(found)
            return
    lines = [cut_line(at, line, apart=apart) for at, line, apart in paragraph]
    barred = sum(line.bars for line in lines)
    if barred >= 2:
        head = next(i for i, line in enumerate(lines) if line.bars)
        ruled = [line for line in lines if line.bars or line.rule]
        table = ruled_table(ruled, caption_of(lines[:head]))
        if table is not None:
            grids.extend(build(table))
            memory.forget()
            return
    tabbed = sum(line.tabs for line in lines)
    if tabbed >= 2:
        table = ruled_table(
            [_at_tabs(line) for line in lines if line.tabs],
            caption_of([line for line in lines if not line.tabs][:2]),
        )
        if table is not None:
            grids.extend(build(table))
            memory.forget()
            return
    read_fixed_tables(lines, grids, memory)


def _at_tabs(line: Line) -> Line:
    # Runs of tabs are one gap unless the row would lose its place; single tabs are cells.
    parts = line.text.split("\t")
    segs, at = [], line.start
    for part in parts:
        lo = at + len(part) - len(part.lstrip())
        body = part.strip()
        segs.append(
            Seg(
                lo,
                lo + len(body),
                lo - line.start,
                lo - line.start + len(body),
                body,
                next((s.kind for s in line.segs if s.start == lo), "text") if body else "",
            )
        )
        at += len(part) + 1
    return Line(line.start, line.text, segs, bars=True)


def _with_notes(text: str, grid: Grid) -> Grid:
    """`grid` with the explanations of its note marks, found in the lines below it."""
    wanted = {mark for cell in grid.cells for mark in cell.note.split(" ") if mark}
    if not wanted:
        return grid
    notes: dict[str, Span] = {}
    at = text.find("\n", grid.span[1]) + 1
    open_mark, indent, ended = "", 0, False
    for _ in range(16):
        if at <= 0 or at >= len(text):
            break
        end = text.find("\n", at)
        end = len(text) if end < 0 else end
        line = text[at:end]
        match = _NOTE.match(line)
        if match and match[1] in wanted and match[1] not in notes:
            open_mark = match[1]
            indent = match.end()
            notes[open_mark] = (at + match.end(), at + len(line.rstrip()))
            ended = line.rstrip().endswith(".")
        elif not line.strip() or len(line) > 1000:
            open_mark = ""
        elif open_mark:
            deeper = len(line) - len(line.lstrip()) >= indent
            if (ended and not deeper) or looks_tabular(line.strip()) or _NUMBERED.match(line):
                open_mark = ""
            else:
                notes[open_mark] = (notes[open_mark][0], at + len(line.rstrip()))
                ended = line.rstrip().endswith(".")
        at = end + 1
    return replace(grid, notes=notes) if notes else grid
