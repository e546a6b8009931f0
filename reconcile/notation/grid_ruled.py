"""Tables whose cells are held apart by bars (ruled or Markdown) or single tabs."""

from __future__ import annotations

from collections import Counter

from reconcile.notation.grid_build import Row, Table
from reconcile.notation.grid_lines import Line, Seg
from reconcile.notation.grid_records import Span


def ruled_table(lines: list[Line], caption: Span | None) -> Table | None:
    """Table of barred lines; None if they do not make one.

    The place of a cell is its number on the line. A rule after the first rows (the
    ``|---|`` of Markdown among them) ends the headings; else the first row with values does.
    """
    grid = [line for line in lines if not line.rule]
    if len(grid) < 2:
        return None
    _drop_outer(grid)
    width, votes = Counter(len(line.segs) for line in grid).most_common(1)[0]
    if width < 2 or not all(line.segs for line in grid) or votes * 2 < len(grid):
        return None
    top = _first_body(lines, grid)
    if top is None:
        return None
    while top and _heads_group(grid[top - 1], grid[top]):
        top -= 1
    decks = _decks(grid[:top])
    rows: list[Row] = []
    indent0 = min((line.segs[0].lo for line in grid[top:] if line.segs[0].text), default=0)
    for line in grid[top:]:
        label = line.segs[0] if line.segs[0].text else None
        cells = {j: seg for j, seg in enumerate(line.segs) if j and seg.text}
        if label is None and not cells:
            continue
        if not cells and rows and rows[-1].cells and label is not None and label.text[:1].islower():
            rows[-1].tail.append(label)  # the label runs over two lines
            continue
        rows.append(Row(label, cells, label.lo - indent0 if label else 0))
    if not any(row.cells for row in rows):
        return None
    return Table(decks, rows, caption)


def _heads_group(line: Line, below: Line) -> bool:
    """True for a label alone over a row that is set in further: it heads that row's group."""
    label, other = line.segs[0], below.segs[0]
    alone = bool(label.text) and not any(seg.text for seg in line.segs[1:])
    return alone and bool(other.text) and other.lo > label.lo


def _drop_outer(lines: list[Line]) -> None:
    """Drop the blank beyond an outer bar, where all lines have that bar.

    A single line that begins or ends with a bar only has a blank cell there.
    """
    if all(line.segs and not line.segs[0].text for line in lines):
        for line in lines:
            line.segs = line.segs[1:]
    if all(line.segs and not line.segs[-1].text for line in lines):
        for line in lines:
            line.segs = line.segs[:-1]


def _first_body(lines: list[Line], grid: list[Line]) -> int | None:
    seen = 0
    by_rule = None
    for line in lines:
        if line.rule:
            if 0 < seen < len(grid) and by_rule is None:
                by_rule = seen
        else:
            seen += 1
    rules = sum(line.rule for line in lines)
    if by_rule is not None and rules <= 3:
        return by_rule
    for i, line in enumerate(grid):
        rest = [seg for seg in line.segs[1:] if seg.text]
        good = sum(seg.valued for seg in rest)
        labelled = bool(line.segs[0].text) or i + 1 == len(grid)
        if rest and labelled and good and good * 3 >= len(rest):
            return i
    return None


def _decks(lines: list[Line]) -> list[dict[int, Seg]]:
    """Decks; a blank right of a heading over filled cells is covered by that heading."""
    decks: list[dict[int, Seg]] = []
    filled_below: set[int] = set()
    for line in reversed(lines):
        deck = {j: seg for j, seg in enumerate(line.segs) if seg.text}
        own = set(deck)
        if filled_below:
            last: Seg | None = None
            for j in range(1, len(line.segs)):
                if j in deck:
                    last = deck[j] if j in filled_below else None
                elif last is not None and j in filled_below:
                    deck[j] = last
        filled_below |= own
        decks.append(deck)
    return decks[::-1]
