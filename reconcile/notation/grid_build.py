"""A table's decks and rows put together into a grid: paths, groups, dittos, notes."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from itertools import pairwise

from reconcile.notation.grid_lines import Seg, note_marks
from reconcile.notation.grid_records import Grid, GridCell, Span

_LETTER = re.compile(r"\(?([a-z])\)")


@dataclass(slots=True)
class Row:
    """One line of a table's body; no `cells` on a line that heads a group of rows."""

    label: Seg | None
    cells: dict[int, Seg] = field(default_factory=dict)
    indent: int = 0
    tail: list[Seg] = field(default_factory=list)
    """Further lines of the label."""


@dataclass(slots=True)
class Table:
    """Decks of headings (column 0 is the stub) and rows; value columns from 1."""

    decks: list[dict[int, Seg]]
    rows: list[Row]
    caption: Span | None = None
    legend: dict[str, Span] = field(default_factory=dict)
    """What a lettered column holds, by letter."""


def build(table: Table) -> list[Grid]:
    """Grids of one table: several where tables stand side by side."""
    parts = _split(table)
    return [grid for part in parts if (grid := _assemble(part)) is not None]


def _split(table: Table) -> list[Table]:
    filled = [row for row in table.rows if row.cells]
    last = max((j for row in filled for j in row.cells), default=0)
    cuts = [j for j in range(2, last) if _labels_anew(table, filled, j)]
    if not cuts:
        return [table]
    tables = [
        Table(
            _cut(table.decks, 0, cuts[0]),
            [Row(r.label, _part(r.cells, 0, cuts[0]), r.indent, r.tail) for r in table.rows],
            table.caption,
            table.legend,
        )
    ]
    for lo, hi in zip(cuts, [*cuts[1:], last + 1]):
        rows = []
        for row in filled:
            cells = _part(row.cells, lo, hi)
            label = cells.pop(0, None)
            if cells or label:
                rows.append(Row(label, cells, label.lo if label else 0))
        base = min((row.indent for row in rows if row.label), default=0)
        for row in rows:
            row.indent -= base
        tables.append(Table(_cut(table.decks, lo, hi), rows, table.caption, table.legend))
    return tables


def _part(cells: dict[int, Seg], lo: int, hi: int) -> dict[int, Seg]:
    return {j - lo: seg for j, seg in cells.items() if lo <= j < hi}


def _cut(decks: list[dict[int, Seg]], lo: int, hi: int) -> list[dict[int, Seg]]:
    return [_part(deck, lo, hi) for deck in decks]


def _labels_anew(table: Table, rows: list[Row], j: int) -> bool:
    """True if column `j` holds the row labels of a second table beside the first."""
    cells = [row.cells[j] for row in rows if j in row.cells]
    if len(cells) < 2 or any(cell.valued for cell in cells):
        return False
    after = [row.cells[j + 1] for row in rows if j + 1 in row.cells]
    if not after or not any(cell.valued for cell in after):
        return False
    if sum(cell.leads for cell in cells) * 2 > len(cells):
        return True
    same = sum(
        row.label is not None
        and j in row.cells
        and row.cells[j].text.casefold() == row.label.text.casefold()
        for row in rows
    )
    if same >= 2 and same * 5 >= len(cells) * 3:
        return True
    low = table.decks[-1] if table.decks else {}
    if 0 in low and j in low and low[0].text.casefold() == low[j].text.casefold():
        return True
    if any(cell.kind != "text" for cell in cells):
        return False
    before = [row.cells[j - 1] for row in rows if j - 1 in row.cells]
    if not any(cell.valued for cell in before):
        return False
    headed = [any(k in deck for deck in table.decks) for k in (j - 1, j, j + 1)]
    return not headed[1] and ((headed[0] and headed[2]) or not any(headed))


def _label_columns(rows: list[Row], decks: list[dict[int, Seg]]) -> int:
    """Number of leading columns of words without a heading: they label the row too.

    So does one with a heading where the rows are only numbered before it.
    """
    count = 0
    numbered = _are_numbered(rows)
    last = max((j for row in rows for j in row.cells), default=0)
    while count + 1 < last:
        cells = [row.cells[count + 1] for row in rows if count + 1 in row.cells]
        if not cells or any(cell.kind not in ("text", "ditto") for cell in cells):
            break
        if any(count + 1 in deck for deck in decks) and not (numbered and not count):
            break
        count += 1
    return count


def _are_numbered(rows: list[Row]) -> bool:
    """Whether the rows' labels only count them: 3, 4, 5."""
    labels = [row.label.text.rstrip(".") for row in rows if row.label is not None]
    if len(labels) < 2 or any(not label.isdigit() or len(label) > 2 for label in labels):
        return False
    numbers = [int(label) for label in labels]
    return all(b == a + 1 for a, b in pairwise(numbers))


def _unit_column(rows: list[Row], decks: list[dict[int, Seg]], last: int) -> int:
    """Number of a last column of short words without a heading: the units of the rows."""
    cells = [row.cells[last] for row in rows if last in row.cells]
    if last < 2 or not decks or any(last in deck for deck in decks):
        return 0
    words = all(cell.kind in ("text", "ditto") and len(cell.text) <= 16 for cell in cells)
    return last if words else 0


def _assemble(table: Table) -> Grid | None:
    filled = [row for row in table.rows if row.cells]
    last = max((j for row in filled for j in row.cells), default=0)
    stubs = tuple(deck[0].span for deck in table.decks if 0 in deck)
    columns = [_column_head(table, j, stubs) for j in range(last + 1)]
    labels = _Labels(filled, table.decks, last)
    cells: list[GridCell] = []
    used: set[Span] = set(stubs)
    number = 0
    for row, path in zip(table.rows, _row_paths(table.rows)):
        used.update(seg.span for seg in path)
        if not row.cells:
            continue
        heads = labels.of_row(row, path)
        full = stubs + tuple(heads)
        row_marks = [mark for seg in path for mark in note_marks(seg.text)]
        if row.label is not None and labels.is_figure(row.label):
            seg = row.label
            groups = tuple(s.span for s in path if s is not seg and s.kind != "number")
            ditto = seg.kind == "ditto"
            cells.append(GridCell(seg.span, groups, stubs, ditto, _join(row_marks), (number, 0)))
        for j in sorted(row.cells):
            seg = row.cells[j]
            if seg.kind in ("none", "") or seg.start == seg.end:
                continue
            span = seg.span
            column, column_marks = columns[j]
            marks = _join([*note_marks(seg.text), *row_marks, *column_marks])
            used.update(column)
            own = full if span not in heads else tuple(s for s in full if s != span)
            cells.append(GridCell(span, own, column, seg.kind == "ditto", marks, (number, j)))
        number += 1
    if not cells:
        return None
    ends = [*(cell.span for cell in cells), *used]
    whole = min(start for start, _ in ends), max(end for _, end in ends)
    return Grid(whole, tuple(cells), table.caption, {}, tuple(sorted(used)))


def _column_head(
    table: Table, j: int, stubs: tuple[Span, ...]
) -> tuple[tuple[Span, ...], list[str]]:
    """Headings of a column, outermost first, and the note marks on them."""
    segs = {deck[j].span: deck[j] for deck in table.decks if j in deck}
    heads = [seg for span, seg in segs.items() if span not in stubs]
    spans = tuple(span for seg in heads for span in _explained(seg, table.legend))
    return spans, [mark for seg in heads for mark in note_marks(seg.text)]


class _Labels:
    """Headings of rows beside their label: words in columns of their own, units."""

    def __init__(self, rows: list[Row], decks: list[dict[int, Seg]], last: int) -> None:
        self._inner = _label_columns(rows, decks)
        self._units = _unit_column(rows, decks, last)
        self._carried: dict[int, Span] = {}
        self._figured = False

    def of_row(self, row: Row, path: tuple[Seg, ...]) -> list[Span]:
        """Spans that head `row`, outermost first; blank ones are carried down."""
        spans = [seg.span for seg in path]
        if row.label is not None:
            self._carried.clear()
        for j in range(1, self._inner + 1):
            seg = row.cells.get(j)
            if seg is not None and seg.kind == "text":
                self._carried[j] = seg.span
                for k in range(j + 1, self._inner + 1):
                    self._carried.pop(k, None)
            if j in self._carried:
                spans.append(self._carried[j])
        if self._units and self._units in row.cells:
            spans.append(row.cells[self._units].span)
        return spans

    def is_figure(self, label: Seg) -> bool:
        """True if the label is a figure too: a height, a weight, or a ditto below one."""
        if label.kind not in ("number", "ditto"):
            return False
        if label.kind == "number":
            self._figured = label.text[0] not in "(["
        return self._figured


def _explained(head: Seg, legend: dict[str, Span]) -> list[Span]:
    match = _LETTER.fullmatch(head.text)
    if match and match[1] in legend:
        return [legend[match[1]], head.span]
    return [head.span]


def _join(marks: list[str]) -> str:
    return " ".join(dict.fromkeys(marks))


def _runs_on(label: Seg | None) -> bool:
    return label is not None and (label.text[0].islower() or label.text[0] == "(")


def _row_paths(rows: list[Row]) -> list[tuple[Seg, ...]]:
    """Headings of each row: group heads above it, its label, or the label carried down."""
    paths: list[tuple[Seg, ...]] = []
    stack: list[tuple[int, bool, tuple[Seg, ...]]] = []
    path: tuple[Seg, ...] = ()
    for row, after in zip(rows, [*rows[1:], None]):
        if row.label is None:
            paths.append(path)
            continue
        # A heading over rows that are not set in stays in force until the next heading.
        # One over rows set further in holds for those; a label that runs over two lines
        # holds for its own row.
        heading = not row.cells and not (
            after and (after.indent > row.indent or _runs_on(after.label))
        )
        while stack and (
            stack[-1][0] > row.indent
            or (stack[-1][0] == row.indent and (not row.cells or not stack[-1][1]))
        ):
            stack.pop()
        own = (row.label, *row.tail)
        if row.label.kind == "ditto":
            own = paths[-1][len(stack) :] or own if paths else own
        path = tuple(seg for _, _, segs in stack for seg in segs) + own
        paths.append(path)
        stack.append((row.indent, heading, own))
    return paths
