"""Rules drawn on a PDF page, and the cells they enclose.

The paths come straight from pdfium, which has the page open anyway. pdfplumber finds the
same cells, and tests hold this module against it; but it parses the whole page again,
which costs ten times as much as everything else done to a page, and gives up on files
with faults that pdfium mends.
"""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from reconcile.records import Box
from reconcile.sources.pdf_frame import PageFrame

if TYPE_CHECKING:
    import pypdfium2

SNAP = 3.0
"""Rules this near [pt] to each other or to a crossing count as one, or as touching."""
LONG = 12.0
"""A level rule shorter than this [pt], or an upright one of half of it, holds no cell."""
OPEN = 15.0
"""Level rules that reach this far [pt] past the last upright one leave a side open."""
MAX_CELLS = 6000
"""Rules that would enclose more cells are the net of a graph."""
MAX_RULES = 4000
"""A page with more paths than this is a drawing."""

_Matrix = tuple[float, float, float, float, float, float]
_UNIT: _Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(slots=True)
class Rule:
    """A straight rule: `at` across it, from `lo` to `hi` along it [pt]."""

    at: float
    lo: float
    hi: float


def page_rules(page: pypdfium2.PdfPage, frame: PageFrame) -> tuple[list[Rule], list[Rule]]:
    """Level and upright rules of a page, from the page's upper left corner.

    Returns
    -------
    level, upright : list of Rule
        Joined where they touch, short ones among them; both empty for a drawing.
    """
    import pypdfium2.raw as raw

    level: list[Rule] = []
    upright: list[Rule] = []
    for number, (path, matrix) in enumerate(_paths(page.raw, raw, _UNIT, 0)):
        if number > MAX_RULES:
            return [], []
        for x0, y0, x1, y1 in _strokes(path, matrix, raw):
            left, top, right, bottom = frame.box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
            if bottom - top <= 1.0 and right - left > bottom - top:
                level.append(Rule((top + bottom) / 2, left, right))
            elif right - left <= 1.0:
                upright.append(Rule((left + right) / 2, top, bottom))
    return _joined(level), _joined(upright)


def _paths(parent: Any, raw: Any, matrix: _Matrix, depth: int) -> Iterator[tuple[Any, _Matrix]]:
    """Path objects of a page or of a form drawn on it, with their placing."""
    count = raw.FPDFPage_CountObjects if depth == 0 else raw.FPDFFormObj_CountObjects
    get = raw.FPDFPage_GetObject if depth == 0 else raw.FPDFFormObj_GetObject
    kind_of = raw.FPDFPageObj_GetType
    for i in range(count(parent)):
        item = get(parent, i)
        kind = kind_of(item)
        if kind == raw.FPDF_PAGEOBJ_PATH:
            yield item, _times(_matrix(item, raw), matrix)
        elif kind == raw.FPDF_PAGEOBJ_FORM and depth < 4:
            yield from _paths(item, raw, _times(_matrix(item, raw), matrix), depth + 1)


def _matrix(item: Any, raw: Any) -> _Matrix:
    held = raw.FS_MATRIX()
    if not raw.FPDFPageObj_GetMatrix(item, held):
        return _UNIT
    return held.a, held.b, held.c, held.d, held.e, held.f


def _times(m: _Matrix, n: _Matrix) -> _Matrix:
    """First `m`, then `n`."""
    return (
        m[0] * n[0] + m[1] * n[2], m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2], m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4], m[4] * n[1] + m[5] * n[3] + n[5],
    )  # fmt: skip


def _strokes(path: Any, m: _Matrix, raw: Any) -> Iterator[tuple[float, float, float, float]]:
    """Straight pieces of a path as drawn; a thin filled box is one piece, along its middle."""
    fill, stroke = ctypes.c_int(), ctypes.c_int()
    raw.FPDFPath_GetDrawMode(path, fill, stroke)
    if not fill.value and not stroke.value:
        return
    count = raw.FPDFPath_CountSegments(path)
    if count > 2000:
        return
    x, y = ctypes.c_float(), ctypes.c_float()
    lines: list[tuple[float, float, float, float]] = []
    begin = here = (0.0, 0.0)
    for i in range(count):
        piece = raw.FPDFPath_GetPathSegment(path, i)
        raw.FPDFPathSegment_GetPoint(piece, x, y)
        point = (
            m[0] * x.value + m[2] * y.value + m[4], m[1] * x.value + m[3] * y.value + m[5],
        )  # fmt: skip
        kind = raw.FPDFPathSegment_GetType(piece)
        if kind == raw.FPDF_SEGMENT_MOVETO:
            begin = point
        elif kind == raw.FPDF_SEGMENT_LINETO:
            lines.append((*here, *point))
        here = point
        if raw.FPDFPathSegment_GetClose(piece):
            lines.append((*here, *begin))
            here = begin
    if lines and not stroke.value:
        left, right = min(s[0] for s in lines), max(s[0] for s in lines)
        low, high = min(s[1] for s in lines), max(s[1] for s in lines)
        if high - low < SNAP and right - left > high - low:
            yield left, (low + high) / 2, right, (low + high) / 2
        elif right - left < SNAP:
            yield (left + right) / 2, low, (left + right) / 2, high
        return  # a larger box is shading, not a rule
    yield from lines


def _joined(rules: list[Rule]) -> list[Rule]:
    """Rules on one line made one where they touch, after setting near ones in line."""
    rules.sort(key=lambda rule: rule.at)
    groups: list[list[Rule]] = []
    for rule in rules:
        if groups and rule.at - groups[-1][-1].at <= SNAP:
            groups[-1].append(rule)
        else:
            groups.append([rule])
    out: list[Rule] = []
    for group in groups:
        at = sum(rule.at for rule in group) / len(group)
        group.sort(key=lambda rule: rule.lo)
        held = Rule(at, group[0].lo, group[0].hi)
        for rule in group[1:]:
            if rule.lo <= held.hi + SNAP:
                held.hi = max(held.hi, rule.hi)
            else:
                out.append(held)
                held = Rule(at, rule.lo, rule.hi)
        out.append(held)
    return out


Cells = list[list[Box | None]]
"""Rows of cells; None where a cell above or to the left reaches over."""


def find_cells(level: list[Rule], upright: list[Rule]) -> list[Cells]:
    """Cells of each ruled table, a table being rules that touch each other.

    A box without inner uprights is no table. Where the level rules reach past the outer
    uprights, the table's sides are open, and the cells there are closed by thought.
    """
    tables = []
    level = [rule for rule in level if rule.hi - rule.lo > LONG]
    upright = [rule for rule in upright if rule.hi - rule.lo > LONG / 2]
    for rows, columns in _touching(level, upright):
        ys = _distinct([rule.at for rule in rows])
        xs = _distinct([rule.at for rule in columns])
        left, right = min(rule.lo for rule in rows), max(rule.hi for rule in rows)
        if xs[0] - left > OPEN:
            xs.insert(0, left)
        if right - xs[-1] > OPEN:
            xs.append(right)
        top, bottom = min(rule.lo for rule in columns), max(rule.hi for rule in columns)
        if ys[0] - top > OPEN:
            ys.insert(0, top)
        if bottom - ys[-1] > OPEN:
            ys.append(bottom)
        if len(xs) >= 3 and len(ys) >= 2 and len(xs) * len(ys) <= MAX_CELLS:
            tables.append(_cells(xs, ys, rows, columns))
    return sorted(tables, key=_top)


def _top(cells: Cells) -> float:
    return min((box[1] for row in cells for box in row if box), default=0.0)


def _touching(level: list[Rule], upright: list[Rule]) -> list[tuple[list[Rule], list[Rule]]]:
    """Groups of rules that cross or touch, those with both kinds only."""
    group = list(range(len(level) + len(upright)))

    def root(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    for i, row in enumerate(level):
        for j, column in enumerate(upright):
            if (
                row.lo - SNAP <= column.at <= row.hi + SNAP
                and column.lo - SNAP <= row.at <= column.hi + SNAP
            ):
                group[root(i)] = root(len(level) + j)
    parts: dict[int, tuple[list[Rule], list[Rule]]] = {}
    for i, row in enumerate(level):
        parts.setdefault(root(i), ([], []))[0].append(row)
    for j, column in enumerate(upright):
        parts.setdefault(root(len(level) + j), ([], []))[1].append(column)
    return [part for part in parts.values() if part[0] and part[1]]


def _distinct(values: list[float]) -> list[float]:
    out: list[float] = []
    for value in sorted(values):
        if not out or value - out[-1] > SNAP:
            out.append(value)
    return out


def _cells(xs: list[float], ys: list[float], rows: list[Rule], columns: list[Rule]) -> Cells:
    wide, tall = len(xs) - 1, len(ys) - 1
    on_row = [[rule for rule in rows if abs(rule.at - y) <= SNAP] for y in ys]
    on_column = [[rule for rule in columns if abs(rule.at - x) <= SNAP] for x in xs]
    middles_x = [(a + b) / 2 for a, b in pairwise(xs)]
    middles_y = [(a + b) / 2 for a, b in pairwise(ys)]
    owner = list(range(wide * tall))

    def root(k: int) -> int:
        while owner[k] != k:
            owner[k] = owner[owner[k]]
            k = owner[k]
        return k

    for i in range(tall):
        for j in range(wide):
            here = i * wide + j
            if j and not _covers(on_column[j], middles_y[i]):
                a, b = root(here), root(here - 1)
                owner[max(a, b)] = min(a, b)
            if i and not _covers(on_row[i], middles_x[j]):
                a, b = root(here), root(here - wide)
                owner[max(a, b)] = min(a, b)
    boxes: list[Box | None] = [None] * (wide * tall)
    for i in range(tall):
        for j in range(wide):
            k = root(i * wide + j)
            box = boxes[k] or (xs[j], ys[i], xs[j + 1], ys[i + 1])
            boxes[k] = (
                min(box[0], xs[j]), min(box[1], ys[i]),
                max(box[2], xs[j + 1]), max(box[3], ys[i + 1]),
            )  # fmt: skip
    return [boxes[i * wide : (i + 1) * wide] for i in range(tall)]


def _covers(rules: list[Rule], middle: float) -> bool:
    return any(rule.lo - SNAP <= middle <= rule.hi + SNAP for rule in rules)
