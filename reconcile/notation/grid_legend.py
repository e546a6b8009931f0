"""Lettered cells with a legend, and lists that hang under a label."""

from __future__ import annotations

import re

from reconcile.notation.grid_build import Row, Table, build
from reconcile.notation.grid_lines import Line, Seg, kind_of
from reconcile.notation.grid_records import Grid, GridCell, Span

_LETTERED = re.compile(r"(?<![\w)])\(([a-l])\)[ \t]*")
_LEGEND = re.compile(r"\s*\(?([a-l])\)[ \t]*[-–—=:.]?[ \t]*(?=\S)")
_HANGING = re.compile(r"[:–—-] +(?=\S)")
MIN_HANG = 6
"""An indent this deep [characters] is set under something, not a new paragraph."""


def lettered_line(line: str) -> bool:
    """True if the line holds lettered cells in order, beginning with (a)."""
    if "(a)" not in line or "(b)" not in line:
        return False
    letters = [m[1] for m in _LETTERED.finditer(line)]
    return letters == [chr(ord("a") + i) for i in range(len(letters))]


def find_lettered(paragraph: list[tuple[int, str]]) -> list[Grid]:
    """Grid of lines such as "(a) Climb (b) 2,850 (c) +9" under a legend of that form."""
    rows: list[dict[str, Seg]] = []
    leads: list[Seg | None] = []
    for at, line in paragraph:
        marks = list(_LETTERED.finditer(line))
        if not marks:
            continue
        cells = {}
        for mark, after in zip(marks, [*marks[1:], None]):
            lo, hi = mark.end(), after.start() if after else len(line)
            body = line[lo:hi].rstrip().rstrip(";,").rstrip()
            if body:
                cells[mark[1]] = Seg(
                    at + lo, at + lo + len(body), lo, lo + len(body), body, kind_of(body)
                )
        if len(marks) >= 2 and marks[0][1] == "a":
            rows.append(cells)
            leads.append(_lead(at, line[: marks[0].start()]))
        elif rows and marks[0][1] not in rows[-1]:
            rows[-1].update(cells)  # the row runs over two lines
        elif len(marks) == 1 and marks[0][1] == "a":
            rows.append(cells)
            leads.append(None)
    if len(rows) < 2 or any(seg.kind == "number" for seg in rows[0].values()):
        return []
    if not any(seg.kind in ("number", "digits") for row in rows[1:] for seg in row.values()):
        return []
    labelled = all(leads[1:])  # "Take-off  (a) 14,700  (b) 700"
    zero = ord("a") - labelled
    decks = [{ord(k) - zero: seg for k, seg in rows[0].items()}]
    filled: list[Row] = []
    for row, lead in zip(rows[1:], leads[1:], strict=True):
        label = lead if labelled else row.pop("a", None)
        filled.append(Row(label, {ord(k) - zero: seg for k, seg in row.items()}))
    return build(Table(decks, filled, None))


def _lead(at: int, text: str) -> Seg | None:
    """The words before the first lettered cell of a line, if there are any."""
    body = text.strip().rstrip(".:").rstrip()
    if not body:
        return None
    lo = len(text) - len(text.lstrip())
    return Seg(at + lo, at + lo + len(body), lo, lo + len(body), body, kind_of(body))


def read_legend(lines: list[Line]) -> dict[str, Span]:
    """Legend lines "(a) condition" above a table, by letter; empty if out of order."""
    legend: dict[str, Span] = {}
    for line in lines:
        marks = list(_LETTERED.finditer(line.text))
        for mark, after in zip(marks, [*marks[1:], None]):
            hi = after.start() if after else len(line.text)
            body = line.text[mark.end() : hi].rstrip().rstrip(";,")
            if body:
                legend.setdefault(
                    mark[1], (line.start + mark.end(), line.start + mark.end() + len(body))
                )
    return legend if "a" in legend and "b" in legend else {}


def find_hanging(lines: list[Line]) -> list[Grid]:
    """Grids of one column that hang under a label: ``Limits: Flaps up 150`` / ``Down 120``."""
    grids = []
    i = 1
    while i < len(lines):
        line, head = lines[i], lines[i - 1]
        if len(line.segs) != 1 or line.indent < MIN_HANG or head.indent >= line.indent:
            i += 1
            continue
        cut = next(
            (m.end() for m in _HANGING.finditer(head.text) if abs(m.end() - line.indent) <= 1), 0
        )
        label_at = head.indent
        label = head.text[label_at:cut].rstrip()
        if not cut or not label or not line.segs[0].text[0].isalnum():
            i += 1
            continue
        span = (head.start + label_at, head.start + label_at + len(label))
        held = [(head.start + cut, head.start + len(head.text.rstrip()))]
        while i < len(lines) and len(lines[i].segs) == 1 and abs(lines[i].indent - cut) <= 1:
            held.append(lines[i].segs[0].span)
            i += 1
        texts = [line.text for line in lines[i - len(held) : i]]
        if sum(any(c.isdigit() for c in t) for t in texts) < 2:
            continue
        cells = tuple(GridCell(s, (span,), (), False, "", (n, 1)) for n, s in enumerate(held))
        grids.append(Grid((span[0], held[-1][1]), cells, None, {}, (span,)))
    return grids
