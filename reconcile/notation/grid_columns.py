"""Which column a cell of fixed-width type stands in, and which columns a heading covers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from reconcile.notation.grid_lines import Seg, kind_of

NEAR = 4
"""A heading this far [characters] from a column with nothing over it still belongs to it."""


@dataclass(slots=True)
class Column:
    """Where the cells of one column begin and end on their lines."""

    lo: int
    hi: int
    starts: set[int] = field(default_factory=set)
    ends: set[int] = field(default_factory=set)

    def take(self, seg: Seg, *, grow: bool = True) -> None:
        """Let `seg` count as a cell of this column."""
        self.starts.add(seg.lo)
        self.ends.add(seg.hi)
        if grow:
            self.lo = min(self.lo, seg.lo)
            self.hi = max(self.hi, seg.hi)

    def distance(self, seg: Seg) -> int:
        """Blank columns between cell and column; below zero where they overlap."""
        return max(self.lo - seg.hi, seg.lo - self.hi)

    def edge_distance(self, seg: Seg) -> float:
        """How far the nearest of left edges, right edges and centres are apart."""
        return min(
            abs(seg.lo - self.lo),
            abs(seg.hi - self.hi),
            abs(seg.lo + seg.hi - self.lo - self.hi) / 2,
        )


def place_cells(
    rows: list[list[Seg]], heads: Sequence[Seg] = ()
) -> tuple[list[Column], list[dict[int, Seg]]]:
    """Give every cell of `rows` its column.

    Parameters
    ----------
    rows : list of list of Seg, the cells of each row without the label
    heads : sequence of Seg, optional
        The fullest deck of headings: where a row has as many cells, each has its heading,
        however they were shifted; where no row has, the headings tell the columns.

    Returns
    -------
    columns, cells : columns left to right; for each row its cells by column number
    """
    count = max((len(row) for row in rows), default=0)
    if not count:
        return [], [{} for _ in rows]
    if all(len(row) in (0, count) for row in rows):
        columns = [_column([row[j] for row in rows if row]) for j in range(count)]
        if all(a.hi <= b.lo for a, b in pairwise(columns)) or count == 1:
            return columns, [dict(enumerate(row)) for row in rows]
    homes: list[list[tuple[Column, Seg]]] = [[] for _ in rows]
    order = sorted(range(len(rows)), key=lambda i: -len(rows[i]))
    if len(heads) > count > 1:
        columns = [_column([seg]) for seg in heads]
    elif len(heads) == count:
        full = [row for row in rows if len(row) == count]
        columns = [_column([row[j] for row in full]) for j in range(count)]
        if any(a.lo >= b.lo or a.hi >= b.hi for a, b in pairwise(columns)):
            columns = [_column([seg]) for seg in full[0]]
        else:
            for i in order[: len(full)]:
                homes[i] = list(zip(columns, rows[i]))
            order = order[len(full) :]
    else:
        columns = [_column([seg]) for seg in next(row for row in rows if len(row) == count)]
    for i in order:
        if len(heads) == len(columns) and (fit := _best_fit(columns, rows[i])):
            homes[i] = fit
            continue
        used = -1
        for seg in rows[i]:
            used = _home(columns, seg, used)
            homes[i].append((columns[used], seg))
    number = {id(column): j for j, column in enumerate(columns)}
    return columns, [{number[id(c)]: seg for c, seg in home} for home in homes]


def _best_fit(columns: list[Column], row: list[Seg]) -> list[tuple[Column, Seg]]:
    """Cells in the columns, in order, that they stand nearest to as a whole.

    Empty where some cell is far from every column that it could have.
    """
    count, wide = len(row), len(columns)
    if not count or count > wide:
        return []
    # best[j]: least cost of the cells so far with the last one in column j or before
    best = [0.0] * (wide + 1)
    steps: list[list[bool]] = []
    for seg in row:
        new = [float("inf")] * (wide + 1)
        taken = [False] * (wide + 1)
        for j, column in enumerate(columns):
            aligned = seg.lo in column.starts or seg.hi in column.ends
            cost = best[j] + (0.0 if aligned else 1.0 + column.edge_distance(seg))
            taken[j + 1] = cost < new[j]
            new[j + 1] = min(cost, new[j])
        best = new
        steps.append(taken)
    fit: list[tuple[Column, Seg]] = []
    j = wide
    for seg, taken in zip(reversed(row), reversed(steps)):
        while j > 0 and not taken[j]:
            j -= 1
        if j == 0:
            return []
        j -= 1
        fit.append((columns[j], seg))
    if any(column.distance(seg) > 2 * NEAR for column, seg in fit):
        return []
    for column, seg in fit:
        column.take(seg, grow=False)
    return fit[::-1]


def _column(segs: list[Seg]) -> Column:
    column = Column(segs[0].lo, segs[0].hi)
    for seg in segs:
        column.take(seg)
    return column


def _home(columns: list[Column], seg: Seg, used: int) -> int:
    """Number of the column right of `used` that `seg` belongs to; may add a column."""
    best, best_key = -1, (False, False, -2.0)
    covered = 0
    for j in range(used + 1, len(columns)):
        column = columns[j]
        distance = column.distance(seg)
        covered += distance < 0
        aligned = seg.lo in column.starts or seg.hi in column.ends
        key = (aligned, distance < 0, -column.edge_distance(seg))
        if (aligned or distance <= 1) and (best < 0 or key > best_key):
            best, best_key = j, key
    if best < 0:
        best = used + 1
        while best < len(columns) and columns[best].hi <= seg.lo:
            best += 1
        columns.insert(best, _column([seg]))
    else:
        columns[best].take(seg, grow=covered <= 1)
    return best


def part_of(seg: Seg, at: int, text: str) -> Seg:
    start, lo = seg.start + at, seg.lo + at
    return Seg(start, start + len(text), lo, lo + len(text), text, kind_of(text))


def head_columns(
    segs: list[Seg], columns: list[Column], *, upper: Mapping[int, Seg] | None = None
) -> dict[int, Seg]:
    """Which columns each heading of one deck covers.

    Parameters
    ----------
    segs : list of Seg, the deck without the stub head
    columns : list of Column
    upper : mapping of int to Seg, optional
        Headings by column in the decks further down; given for decks above the fullest
        one, since a heading set over others may reach beyond its own width.

    Returns
    -------
    heads : heading by column number; a spanning head stands under several
    """
    if any(seg.text.startswith("&") for seg in segs):
        return _shifted(segs, columns)
    if len(segs) == len(columns):
        return dict(enumerate(segs))
    if upper is not None and (blocks := _repeated(segs, len(columns), upper)):
        return blocks
    claims: dict[int, Seg] = {}
    free: list[Seg] = []
    for seg in segs:
        over = [j for j, column in enumerate(columns) if column.distance(seg) < 0]
        if upper is None and len(over) > 1:
            over = _own(seg, over, columns)
        for j in over:
            old = claims.get(j)
            if old is None or columns[j].edge_distance(seg) < columns[j].edge_distance(old):
                claims[j] = seg
        if not over:
            free.append(seg)
    for seg in segs:
        if seg not in free and not any(held is seg for held in claims.values()):
            free.append(seg)
    for seg in free:
        near = [
            (columns[j].distance(seg), j)
            for j in range(len(columns))
            if j not in claims and columns[j].distance(seg) <= NEAR
        ]
        if near:
            claims[min(near)[1]] = seg
            near = near if upper is not None else []
            for distance, j in near:  # a narrow head centred over the gap between two
                if j not in claims and distance == min(near)[0]:
                    claims[j] = seg
    if upper is not None:
        _spread_over_numbers(claims, columns, upper)
        _spread(claims, columns, upper)
    return claims


def _repeated(segs: list[Seg], count: int, lower: Mapping[int, Seg]) -> dict[int, Seg]:
    """Headings over blocks of columns that repeat below each: as many blocks as headings."""
    if len(segs) < 2:
        return {}
    names = [lower[j].text if j in lower else "" for j in range(count)]
    for first in range(count - 2 * len(segs) + 1):
        for last in range(count, first + 2 * len(segs) - 1, -1):
            size, over = divmod(last - first, len(segs))
            part = names[first:last]
            if over or len(set(part)) != size or "" in part:
                continue
            if part == part[:size] * len(segs):
                return {first + k: segs[k // size] for k in range(last - first)}
    return {}


def _own(seg: Seg, over: list[int], columns: list[Column]) -> list[int]:
    """Of the columns a lowest heading reaches over, those it does more than graze."""
    shares = {
        j: -columns[j].distance(seg) / max(1, min(seg.hi - seg.lo, columns[j].hi - columns[j].lo))
        for j in over
    }
    kept = [j for j in over if shares[j] >= 0.5]
    return kept or [max(over, key=lambda j: shares[j])]


def _spread_over_numbers(
    claims: dict[int, Seg], columns: list[Column], lower: Mapping[int, Seg]
) -> None:
    """Let a heading centred over one number of a series ("30,000  34,000  36,500") have all."""
    for j, seg in list(claims.items()):
        if j not in lower or lower[j].kind != "number":
            continue
        lo = hi = j
        while lo - 1 in lower and lo - 1 not in claims and lower[lo - 1].kind == "number":
            lo -= 1
        while hi + 1 in lower and hi + 1 not in claims and lower[hi + 1].kind == "number":
            hi += 1
        off = abs(seg.lo + seg.hi - columns[lo].lo - columns[hi].hi)
        if off <= max(4, columns[hi].hi - columns[lo].lo - (seg.hi - seg.lo)) // 2:
            for k in range(lo, hi + 1):
                claims[k] = seg


def widen(columns: list[Column], heads: dict[int, Seg]) -> None:
    """Let columns be as wide as their own headings, for the decks above these."""
    for j, seg in heads.items():
        if sum(other is seg for other in heads.values()) > 1:
            continue
        lo = columns[j - 1].hi + 1 if j else 0
        hi = columns[j + 1].lo - 1 if j + 1 < len(columns) else seg.hi
        columns[j].lo = min(columns[j].lo, max(lo, seg.lo))
        columns[j].hi = max(columns[j].hi, min(hi, seg.hi))


def _spread(claims: dict[int, Seg], columns: list[Column], upper: Mapping[int, Seg]) -> None:
    """Let spanning heads reach the outer columns they are centred over."""
    for j in range(len(columns)):
        if j in claims or j not in upper:
            continue
        for beside in (j - 1, j + 1):
            seg = claims.get(beside)
            if seg is None:
                continue
            held = [k for k, other in claims.items() if other is seg]
            lo = min(columns[k].lo for k in held)
            hi = max(columns[k].hi for k in held)
            wide_lo, wide_hi = min(lo, columns[j].lo), max(hi, columns[j].hi)
            now = abs(seg.lo + seg.hi - lo - hi)
            then = abs(seg.lo + seg.hi - wide_lo - wide_hi)
            close = columns[j].distance(seg) <= NEAR
            sticks_out = seg.lo < lo if j < beside else seg.hi > hi
            flush = abs(seg.lo - lo) <= 1 if j < beside else abs(seg.hi - hi) <= 1
            if (
                (len(held) == 1 and close and sticks_out)
                or then < min(now, 3)  # centred to a character
                or (len(held) == 1 and then < now and close and not flush)
                or (sticks_out and _centred_on_ground(seg, columns, [*held, j], held))
            ):
                claims[j] = seg
                break


def _centred_on_ground(seg: Seg, columns: list[Column], wide: list[int], held: list[int]) -> bool:
    """True if a heading is centred over the room of the columns rather than over their cells.

    The room of a column runs to the next one; short figures at its left end do not show it.
    """

    def off(covered: list[int]) -> int:
        first, last = min(covered), max(covered)
        if last + 1 < len(columns):
            end = columns[last + 1].lo - 2
        else:
            end = columns[last].lo + (columns[last].lo - columns[last - 1].lo) - 2 if last else 0
        return abs(seg.lo + seg.hi - columns[first].lo - max(end, columns[last].hi))

    return off(wide) <= 4 and off(wide) < off(held)


def _shifted(segs: list[Seg], columns: list[Column]) -> dict[int, Seg]:
    # A typist's "&" parts cells of which one is blank, so what follows stands further on.
    cells: list[Seg | None] = []
    for seg in segs:
        before = 0
        for piece in seg.text.split("&"):
            body = piece.strip()
            at = seg.text.index(piece, before) + len(piece) - len(piece.lstrip())
            cells.append(part_of(seg, at, body) if body else None)
            before += len(piece) + 1
    if len(cells) == len(columns):
        return {j: cell for j, cell in enumerate(cells) if cell is not None}
    heads: dict[int, Seg] = {}
    shift = 0
    for seg in segs:
        near = min(range(len(columns)), key=lambda j: columns[j].distance(seg))
        if seg.text.startswith("&"):
            shift += 1
            rest = seg.text[1:].lstrip()
            if not rest:
                continue
            seg = part_of(seg, len(seg.text) - len(rest), rest)
        heads.setdefault(min(near + shift, len(columns) - 1), seg)
    return heads
