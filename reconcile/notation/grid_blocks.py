"""Where a text's tables begin and end, and what in them is heading, body and note."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from reconcile.notation.grid_build import Row, Table, build
from reconcile.notation.grid_columns import Column, cut_glued, head_columns, place_cells, widen
from reconcile.notation.grid_legend import find_hanging, find_lettered, lettered_line, read_legend
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

MAX_DECKS = 6
MAX_CAPTION = 90
MAX_HEAD = 70
MAX_GAP = 8
"""A table does not go on over more blank lines than this."""
_BREAK = re.compile(r"[\n\f]")
_NOTE = re.compile(
    r"\s*(?:note )?([*]+|[†‡§¶]+|\((?:\d|[a-z])\)|[¹²³⁴⁵⁶⁷⁸⁹])[ \t]*[:.=–-]?[ \t]*(?=\S)",
    re.IGNORECASE,
)


Paragraph = list[tuple[int, str, bool]]
"""Offset and text of each line, and whether a blank line comes before it."""


def find_blocks(text: str) -> list[Grid]:
    """Grids of `text`; see `reconcile.notation.grid.find_grids`."""
    grids: list[Grid] = []
    memory = _Memory()
    paragraph: Paragraph = []
    worth = False
    at = gap = 0
    for raw in _BREAK.split(text):
        line = raw[:-1] if raw.endswith("\r") else raw
        if line and not line.isspace():
            if gap and paragraph and not (gap == 1 and _goes_on(paragraph, line)):
                _paragraph(paragraph, worth, grids, memory)
                paragraph, worth = [], False
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
        _paragraph(paragraph, worth, grids, memory)
    return [_with_notes(text, grid) for grid in grids]


def _goes_on(paragraph: Paragraph, line: str) -> bool:
    """True if a table typed with blank lines between its rows may go on with `line`."""
    last = paragraph[-1][1].strip()
    alone = len(paragraph) <= 3 and len(last) <= MAX_CAPTION  # a caption, or one heading
    return looks_tabular(line.strip()) and (alone or looks_tabular(last))


def _worth(line: str, number: int) -> bool:
    """True if a paragraph with this line is worth a closer look."""
    body = line.strip()
    return looks_tabular(body) or "(a)" in body or (number > 1 and line[:6].isspace())


class _Memory:
    """What earlier paragraphs leave for later ones."""

    def __init__(self) -> None:
        self.table: Table | None = None
        """The last table, which may go on after a page break, and its columns."""
        self.columns: list[Column] = []
        self.legend: dict[str, Span] = {}
        """Legend "(a) condition (b) r.p.m." that explains lettered headings to come."""

    def forget(self) -> None:
        self.table, self.columns = None, []


def _passes_over(paragraph: Paragraph) -> bool:
    return len(paragraph) <= 2 and all(
        is_continued(line) or is_page_number(line) for _, line, _ in paragraph
    )


def _paragraph(paragraph: Paragraph, worth: bool, grids: list[Grid], memory: _Memory) -> None:
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
        table = ruled_table(ruled, _caption(lines[:head]))
        if table is not None:
            grids.extend(build(table))
            memory.forget()
            return
    tabbed = sum(line.tabs for line in lines)
    if tabbed >= 2:
        table = ruled_table(
            [_at_tabs(line) for line in lines if line.tabs],
            _caption([line for line in lines if not line.tabs][:2]),
        )
        if table is not None:
            grids.extend(build(table))
            memory.forget()
            return
    _fixed(lines, grids, memory)


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


def _is_body(line: Line) -> bool:
    """True for a line that looks like a row of values."""
    rest = line.segs[1:]
    if not rest or line.rule:
        return False
    good = sum(seg.valued for seg in rest)
    if line.leader:
        return any(seg.kind in ("number", "digits", "ditto", "none") for seg in rest)
    return good >= 1 and good * 3 >= len(rest)


def _fixed(lines: list[Line], grids: list[Grid], memory: _Memory) -> None:
    """Tables set by blanks or leader dots."""
    rejected = 0
    for line in lines:
        if line.bars:  # a lone one: its blank cells mean nothing
            line.segs = [seg for seg in line.segs if seg.text]
    while lines:
        body = [i for i, line in enumerate(lines) if _is_body(line)]
        if not body:
            break
        margin = min(lines[i].indent for i in body)
        labelled = [lines[i] for i in body if lines[i].indent <= margin + 6] or [lines[body[0]]]
        first = min(line.segs[1].lo for line in labelled)
        top = next((i for i in body if lines[i].indent < first - 2), body[0])
        stop = _end_of_body(lines, top, first)
        table, columns, first = _read_fixed(lines, top, stop, first)
        if not _accepted(lines[top:stop], table, columns):
            rejected += 1  # a few fresh starts only: the work must stay linear
            lines = lines[body[0] + 1 if rejected < 4 else max(stop, body[0] + 1) :]
            continue
        last = memory.table
        if last is not None and not table.decks and _fits(columns, memory.columns):
            table.decks, table.caption, table.legend = last.decks, last.caption, last.legend
        table.legend = table.legend or read_legend(lines[:top]) or memory.legend
        grids.extend(build(table))
        memory.table, memory.columns = table, columns
        lines = lines[stop:]
    if lines:
        memory.legend = read_legend(lines) or memory.legend
        grids.extend(find_hanging(lines))


def _end_of_body(lines: list[Line], top: int, first: int) -> int:
    """Number of the line after the table's last row."""
    end = top + 1
    loose = 0
    for i in range(top + 1, len(lines)):
        line = lines[i]
        if line.rule:
            continue
        if len(line.segs) >= 2:
            texts = not any(seg.valued for seg in line.segs[1:]) and not line.leader
            if texts and (loose or line.apart) and i + 1 < len(lines) and _is_body(lines[i + 1]):
                return end  # a heading of its own: another table begins
            if texts and any(len(seg.text) > 40 for seg in line.segs):
                loose += 1
                continue
            end, loose = i + 1, 0
        elif line.segs and line.segs[0].lo >= first - 2 and len(line.segs[0].text) <= 40:
            end = i + 1  # a lone value under a blank label
        else:
            loose += 1
            if loose > 3 or (line.segs and len(line.segs[0].text) > MAX_HEAD):
                break
    return end


def _read_fixed(
    lines: list[Line], top: int, stop: int, first: int
) -> tuple[Table, list[Column], int]:
    body = [line for line in lines[top:stop] if not line.rule]
    rows_of = [_values(line, first) for line in body]
    columns, _ = place_cells(rows_of)
    for line, values in zip(body, rows_of):
        if values is not None and len(values) < len(columns) and len(line.segs) <= len(columns):
            line.segs = cut_glued(line, columns, first)
    rows_of = [_values(line, first) for line in body]
    columns, cells = place_cells(rows_of)
    rows: list[Row] = []
    for i, (line, placed) in enumerate(zip(body, cells)):
        label = line.segs[0] if line.segs and line.indent < first - 2 else None
        if label is not None and not placed:
            if is_page_number(label.text) or is_continued(label.text):
                continue
            after = next((b.indent for b, c in zip(body[i + 1 :], cells[i + 1 :]) if c), -1)
            before = next((r for r in reversed(rows) if r.label and r.cells), None)
            if before is not None and line.indent > before.indent and after <= before.indent:
                before.tail.append(label)
                continue
        rows.append(Row(label, {j + 1: seg for j, seg in placed.items()}, line.indent))
    zone = max((row.label.hi for row in rows if row.label and row.cells), default=first)
    decks, above = _headings(lines[:top], columns, first, min(first - 3, zone + 1))
    head = above[-1] if above and not decks else None
    if head is not None and rows and len(head.segs) == 1 and head.indent < rows[0].indent:
        rows.insert(0, Row(head.segs[0], {}, head.indent))
        above = above[:-1]
    return Table(decks, rows, _caption(above)), columns, first


def _values(line: Line, first: int) -> list[Seg]:
    if not line.segs:
        return []
    return line.segs[1:] if line.indent < first - 2 else line.segs


def _headings(
    lines: list[Line], columns: list[Column], first: int, zone: int
) -> tuple[list[dict[int, Seg]], list[Line]]:
    """Decks of headings, uppermost first, and the lines above them."""
    picked: list[list[Seg]] = []
    i = len(lines) - 1
    while i >= 0 and len(picked) < MAX_DECKS:
        line = lines[i]
        if line.rule:
            i -= 1
            continue
        if len(line.segs) < 2 and (not line.segs or line.indent < zone):
            break
        if any(len(seg.text) > MAX_HEAD for seg in line.segs):
            break
        picked.append(line.segs)
        i -= 1
    picked.reverse()
    decks: list[dict[int, Seg]] = [{} for _ in picked]
    bare: list[list[Seg]] = []
    for deck, segs in zip(decks, picked):
        lead = segs[0]
        if lead.lo < zone and (lead.hi <= first or len(segs) == len(columns) + 1):
            deck[0] = lead
            segs = segs[1:]
        bare.append(segs)
    # The fullest deck says how wide the columns are; the others are laid against it.
    order = sorted(range(len(picked)), key=lambda n: (-len(bare[n]), -n))
    for n in order:
        under = {j - 1 for m in range(n + 1, len(decks)) for j in decks[m] if j}
        upper = under if under and n < order[0] else None
        heads = head_columns(bare[n], columns, upper=upper) if bare[n] else {}
        decks[n].update((j + 1, seg) for j, seg in heads.items())
        widen(columns, heads)
    return decks, lines[: i + 1]


def _caption(lines: Sequence[Line]) -> Span | None:
    """Up to two short lines right above the headings."""
    picked = [line for line in lines if not line.rule][-3:]
    picked = [line for line in picked if line.segs and len(line.text.strip()) <= MAX_CAPTION]
    picked = picked[-2:]
    if not picked:
        return None
    return picked[0].segs[0].start, picked[-1].segs[-1].end


def _accepted(body: list[Line], table: Table, columns: list[Column]) -> bool:
    """True if rows and columns hold together well enough to be a table, not prose."""
    filled = [row for row in table.rows if row.cells]
    leaders = sum(line.leader for line in body)
    values = [seg for row in filled for seg in row.cells.values()]
    good = sum(seg.valued for seg in values)
    if leaders >= 2 or (leaders and len(filled) >= 2):
        short = sum(seg.valued or (seg.kind == "digits" and len(seg.text) <= 40) for seg in values)
        return short * 2 >= len(values) > 0
    if leaders and any(line.text.count("..") > 1 or "...." in line.text for line in body):
        return True
    heads = [seg for deck in table.decks for j, seg in deck.items() if j]
    if len(filled) + bool(heads) < 2 or good * 5 < len(values) * 2:
        return False
    if sum(len(seg.text) for seg in values) > 28 * len(values):
        return False
    rows_at = [_edges(row.cells.values()) for row in filled] + [_edges(heads)]
    held = total = 0
    for n, row in enumerate(filled):
        others = set().union(*rows_at[:n], *rows_at[n + 1 :])
        for seg in row.cells.values():
            total += 1
            held += not others.isdisjoint(_edges([seg], 1))
    return held * 2 >= total


def _edges(segs: Iterable[Seg], near: int = 0) -> set[tuple[str, int]]:
    """Left edges, right edges and centres, which line up in a table in one way or another."""
    return {
        mark
        for seg in segs
        for x in range(-near, near + 1)
        for mark in (("l", seg.lo + x), ("r", seg.hi + x), ("c", (seg.lo + seg.hi) // 2 + x))
    }


def _fits(columns: list[Column], before: list[Column]) -> bool:
    """True if the columns stand where those of the table before the break stood."""
    if len(columns) != len(before):
        return False
    return all(max(a.lo, b.lo) < min(a.hi, b.hi) + 2 for a, b in zip(columns, before))


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
            indent = match.end() - len(match.group().lstrip())
            notes[open_mark] = (at + match.end(), at + len(line.rstrip()))
            ended = line.rstrip().endswith(".")
        elif not line.strip() or len(line) > 1000:
            open_mark = ""
        elif open_mark:
            deeper = len(line) - len(line.lstrip()) > indent
            if (ended and not deeper) or looks_tabular(line.strip()):
                open_mark = ""
            else:
                notes[open_mark] = (notes[open_mark][0], at + len(line.rstrip()))
                ended = line.rstrip().endswith(".")
        at = end + 1
    return replace(grid, notes=notes) if notes else grid
