"""Tables set in fixed-width type: by blanks, or by leader dots from label to value."""

from __future__ import annotations

from collections import Counter

from reconcile.notation.grid_build import Row, Table, build
from reconcile.notation.grid_columns import Column, place_cells
from reconcile.notation.grid_glued import cut_by_shape, cut_glued, join_unit_dittos
from reconcile.notation.grid_heads import (
    MAX_HEAD,
    caption_of,
    full_deck,
    group_head,
    is_first_row,
    is_title,
    read_headings,
)
from reconcile.notation.grid_legend import find_hanging, read_legend
from reconcile.notation.grid_lines import Line, Seg, is_continued, is_page_number
from reconcile.notation.grid_records import Grid, Span

Paragraph = list[tuple[int, str, bool]]
"""Offset and text of each line, and whether a blank line comes before it."""


class Memory:
    """What earlier paragraphs leave for later ones."""

    def __init__(self) -> None:
        self.table: Table | None = None
        """The last table, which may go on after a page break, and its columns."""
        self.columns: list[Column] = []
        self.above: Paragraph = []
        """The last paragraph, which may end in a heading."""
        self.legend: dict[str, Span] = {}
        """Legend "(a) condition (b) r.p.m." that explains lettered headings to come."""

    def forget(self) -> None:
        self.table, self.columns = None, []


def _is_body(line: Line) -> bool:
    """True for a line that looks like a row of values."""
    rest = line.segs[1:]
    if not rest or line.rule or line.sentences:
        return False
    good = sum(seg.valued for seg in rest)
    if line.leader:
        return any(seg.kind in ("number", "digits", "ditto", "none") for seg in rest)
    return good >= 1 and good * 3 >= len(rest)


def read_fixed_tables(lines: list[Line], grids: list[Grid], memory: Memory) -> None:
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
        top = next((i for i in body if _labels(lines[i], first, margin)), body[0])
        top = _past_unit_line(lines, _past_number_line(lines, body, top))
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


def _past_number_line(lines: list[Line], body: list[int], top: int) -> int:
    """First row of the body, where the line taken for it heads columns by numbers.

    "R.p.m.  +4  +2  0" over rows whose labels are numbers: it labels them by its first word.
    """
    here = lines[top].segs
    below = [lines[i].segs for i in body if i > top]
    if lines[top].leader or here[0].kind != "text" or len(below) < 2:
        return top
    if any(seg.kind != "number" for seg in here[1:]):
        return top
    above = next((line.segs for line in reversed(lines[:top]) if not line.rule), [])
    if len(above) >= max(2, len(here) - 1):
        return top  # the columns have their headings already: "Sea level" over heights
    if any(segs[0].kind != "number" or len(segs) != len(here) for segs in below):
        return top
    return next(i for i in body if i > top)


def _past_unit_line(lines: list[Line], top: int) -> int:
    """First row of the body, where the line taken for it is a heading of numbers.

    "Height  2,850  2,650" over "ft.  r.p.m.  r.p.m.": units under numbers head columns.
    """
    below = lines[top + 1 : top + 3]
    if len(below) < 2 or not _is_body(below[1]) or below[0].leader or below[0].rule:
        return top
    here, units = lines[top].segs, below[0].segs
    if any(seg.kind != "number" for seg in here[1:]) or len(units) < max(2, len(here) - 1):
        return top
    short = all(seg.kind == "text" and len(seg.text) <= 10 for seg in units)
    marked = sum(seg.text[-1] == "." or "/" in seg.text for seg in units)
    return top + 2 if short and 2 * marked >= len(units) else top


def _labels(line: Line, first: int, margin: int) -> bool:
    """Whether a row begins with a label left of the values that begin at `first`."""
    if line.indent >= first - 2:
        return False
    lead = line.segs[0]
    return not (lead.kind == "number" and line.indent > margin + 6 and lead.hi > first)


def _end_of_body(lines: list[Line], top: int, first: int) -> int:
    """Number of the line after the table's last row."""
    end = top + 1
    loose = 0
    for i in range(top + 1, len(lines)):
        line = lines[i]
        if line.rule:
            continue
        if len(line.segs) >= 2 and not line.sentences:
            texts = not any(seg.valued for seg in line.segs[1:]) and not line.leader
            near = lines[i + 1 : i + (4 if line.apart else 2)]
            if texts and (loose or line.apart) and any(_is_body(below) for below in near):
                return end  # a heading of its own: another table begins
            if texts and any(len(seg.text) > 40 for seg in line.segs):
                loose += 1
                continue
            end, loose = i + 1, 0
        elif len(line.segs) == 1 and line.segs[0].lo >= first - 2 and len(line.segs[0].text) <= 40:
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
    join_unit_dittos(body)
    rows_of = [_values(line, first) for line in body]
    heads = full_deck(lines[:top], body, first)
    columns, _ = place_cells(rows_of, heads)
    for line, values in zip(body, rows_of):
        if values is not None and len(values) < len(columns) and len(line.segs) <= len(columns):
            line.segs = cut_glued(line, columns, first)
    columns, cells = place_cells([_values(line, first) for line in body], heads)
    if cut_by_shape(body, cells, first, len(columns)):
        columns, cells = place_cells([_values(line, first) for line in body], heads)
    rows: list[Row] = []
    before: Row | None = None
    coming = _indents_to_come(body, cells)
    for i, (line, placed) in enumerate(zip(body, cells)):
        label = line.segs[0] if line.segs and line.indent < first - 2 else None
        if label is not None and not placed:
            if is_page_number(label.text) or is_continued(label.text):
                continue
            if before is not None and line.indent > before.indent and coming[i] <= before.indent:
                before.tail.append(label)
                continue
            if not is_title(label.text):
                continue  # a line of prose between two lists
        row = Row(label, {j + 1: seg for j, seg in placed.items()}, line.indent)
        rows.append(row)
        if label is not None and placed:
            before = row
    _level_right_hand_labels(rows)
    zone = max((row.label.hi for row in rows if row.label and row.cells), default=first)
    decks, above = read_headings(
        lines[:top], columns, first, min(first - 3, zone + 1), body_apart=lines[top].apart
    )
    if is_first_row(decks, columns):
        rows.insert(0, Row(None, {j: seg for j, seg in decks.pop().items() if j}, first))
    if above and not decks and rows and len(above[-1].segs) == 1:
        head = group_head(above)
        if head is not None and above[-1].indent < rows[0].indent:
            rows.insert(0, Row(head, {}, above[-1].indent))
            above = []
    return Table(decks, rows, caption_of(above)), columns, first


def _indents_to_come(body: list[Line], cells: list[dict[int, Seg]]) -> list[int]:
    """For each line the indent of the next row with values after it, or -1."""
    out, last = [-1] * len(body), -1
    for i in range(len(body) - 1, -1, -1):
        out[i] = last
        if cells[i]:
            last = body[i].indent
    return out


def _level_right_hand_labels(rows: list[Row]) -> None:
    """Undo the indents of labels set flush right or of numbers: they make no sub-rows."""
    labelled = [row for row in rows if row.label is not None and row.cells]
    if len(labelled) < 2:
        return
    ends = Counter(row.label.hi for row in labelled if row.label)
    starts = {row.label.lo for row in labelled if row.label}
    flush = ends.most_common(1)[0][1] * 3 >= len(labelled) * 2 and len(starts) >= 3
    least = min(row.indent for row in labelled)
    for row in labelled:
        label = row.label
        numeric = label is not None and label.kind in ("number", "ditto")
        if flush or (numeric and label is not None and label.text[0] not in "(["):
            row.indent = least


def _values(line: Line, first: int) -> list[Seg]:
    if not line.segs:
        return []
    return line.segs[1:] if line.indent < first - 2 else line.segs


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
    marks = Counter([mark for seg in (*values, *heads) for mark in _edges(seg)])
    held = 0
    for row in filled:
        edges = [_edges(seg) for seg in row.cells.values()]
        own = Counter([mark for three in edges for mark in three])
        for three in edges:
            near = [m for mark in three for m in (mark, mark - 3, mark + 3) if m in marks]
            # What stands there in this row itself does not count.
            held += any([marks[m] > (own[m] if m in own else 0) for m in near])  # noqa: C419, SIM401
    return held * 2 >= len(values)


def _edges(seg: Seg) -> tuple[int, int, int]:
    """Left edge, right edge and centre, which line up in a table in one way or another.

    Three numbers a column: edges of one sort in neighbouring columns are 3 apart.
    """
    return 3 * seg.lo, 3 * seg.hi + 1, 3 * ((seg.lo + seg.hi) // 2) + 2


def _fits(columns: list[Column], before: list[Column]) -> bool:
    """True if the columns stand where those of the table before the break stood."""
    if len(columns) != len(before):
        return False
    return all(max(a.lo, b.lo) < min(a.hi, b.hi) + 2 for a, b in zip(columns, before))
