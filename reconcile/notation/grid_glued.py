"""Cells that a lost blank ran together, taken apart where the table itself says how."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from reconcile.notation.grid_columns import Column, part_of
from reconcile.notation.grid_lines import Line, Seg, kind_of

_INNER = re.compile(r"\d{3}(?!\d)|\d+/\d|[½¼¾⅛⅜⅝⅞⅓⅔]")
_DIGITS = re.compile(r"\d+")


def cut_glued(line: Line, columns: list[Column], first: int) -> list[Seg]:
    """Cut segments that a single blank glued over a column's edge.

    Only at a blank whose right neighbour stands exactly on the left or right edge of a
    column, and looks like a value; `first` is where the value columns begin.
    """
    out: list[Seg] = []
    for seg in line.segs:
        rest = seg
        for column in columns:
            if not (rest.lo < column.lo - 1 and rest.hi > column.lo):
                continue
            at = _cut_at(rest, column)
            if at is None:
                continue
            left, right = rest.text[:at].rstrip(), rest.text[at:]
            out.append(part_of(rest, 0, left))
            rest = part_of(rest, at, right)
        out.append(rest)
    return out


def _is_one_number(text: str, at: int) -> bool:
    """True if a blank before `at` stands inside a number: "+ 6", "2 850", "4 1/2"."""
    left, right = text[: at - 1].rstrip(), text[at:]
    if not left or left[-1] in "+-–—−±":
        return True
    return left[-1].isdigit() and _INNER.match(right) is not None


def _cut_at(seg: Seg, column: Column) -> int | None:
    text = seg.text
    for at in range(max(1, column.lo - 2 - seg.lo), min(len(text), column.hi - seg.lo)):
        if text[at - 1] != " " or _is_one_number(text, at):
            continue
        stop = text.find(" ", at)
        end = seg.lo + (len(text) if stop < 0 else stop)
        if (
            (seg.lo + at in column.starts or end in column.ends)
            and kind_of(text[at:]) in ("number", "ditto", "none")
            and text[at] not in "(["
        ):
            return at
    return None


def shape_of(text: str) -> str:
    """A cell's look with its digits made alike: "1,48" and "2,850" are both "9,9"."""
    return _DIGITS.sub("9", text)


def cut_by_shape(
    lines: Sequence[Line], cells: Sequence[dict[int, Seg]], first: int, count: int
) -> bool:
    """Cut cells that look like the cells of two neighbouring columns in the other rows.

    Parameters
    ----------
    lines : sequence of Line, whose segments are cut in place
    cells : sequence of dict, the cells of each line by column
    first : int
        Where the values begin; what begins left of it is a label.
    count : int
        Number of columns.

    Returns
    -------
    cut : bool, True if anything was
    """
    shapes: list[dict[str, int]] = [{} for _ in range(count)]
    for placed in cells:
        for j, seg in placed.items():
            shape = shape_of(seg.text)
            shapes[j][shape] = shapes[j].get(shape, 0) + 1
    done = False
    for line, placed in zip(lines, cells):
        if not placed or len(placed) >= count:
            continue
        labelled = line.indent < first - 2
        cut = _full_by_order(line.segs, shapes, labelled)
        if cut is None:
            cut = _by_place(line.segs, placed, shapes, labelled)
        if cut is not None:
            k, at = cut
            seg = line.segs[k]
            left = seg.text[:at].rstrip()
            line.segs[k : k + 1] = [part_of(seg, 0, left), part_of(seg, at, seg.text[at:])]
            done = True
    return done


def _full_by_order(
    segs: list[Seg], shapes: list[dict[str, int]], labelled: bool
) -> tuple[int, int] | None:
    """The one cut after which every cell of a full row looks like its column's others."""
    if len(segs) - labelled != len(shapes) - 1:
        return None
    found = None
    for k, seg in enumerate(segs):
        for at in _value_starts(seg.text):
            left, right = seg.text[:at].rstrip(), seg.text[at:]
            if k == 0 and labelled:
                texts = [right, *(other.text for other in segs[1:])]
                if not any(char.isalpha() for char in left):
                    continue
            else:
                texts = [other.text for other in segs[labelled:]]
                texts[k - labelled : k - labelled + 1] = [left, right]
            if all(_known(text, shapes[j]) for j, text in enumerate(texts)):
                if found is not None:
                    return None  # more than one way
                found = k, at
    return found


def _known(text: str, shapes: dict[str, int]) -> bool:
    return shape_of(text) in shapes or kind_of(text) in ("none", "ditto")


def _value_starts(text: str) -> Iterator[int]:
    """Offsets after a blank at which a value of its own may begin."""
    for at in range(1, len(text)):
        if (
            text[at - 1] == " "
            and not _is_one_number(text, at)
            and kind_of(text[at:]) in ("number", "ditto", "none")
        ):
            yield at


def _by_place(
    segs: list[Seg], placed: dict[int, Seg], shapes: list[dict[str, int]], labelled: bool
) -> tuple[int, int] | None:
    """A cut of a cell that has an empty column to its right."""
    taken = sorted(placed)
    for n, j in enumerate([-1, *taken] if labelled else taken):
        rank = n if labelled else n + 1
        stop = taken[rank] if rank < len(taken) else len(shapes)
        seg = segs[0] if j < 0 else placed[j]
        at = _shape_cut(seg, shapes, j, stop)
        if at:
            return segs.index(seg), at
    return None


def _shape_cut(seg: Seg, shapes: list[dict[str, int]], j: int, stop: int) -> int:
    """Where to cut a cell of column `j` (-1: a label), the next one being `stop`; 0 nowhere."""
    text = seg.text
    if " " not in text or stop - j < 2:
        return 0
    whole = shapes[j].get(shape_of(text), 0) if j >= 0 else 0
    for at in _value_starts(text):
        left, right = text[:at].rstrip(), text[at:]
        if j >= 0 and shapes[j].get(shape_of(left), 0) < whole:
            continue  # more of the other cells look like the whole
        if j < 0 and not any(char.isalpha() for char in left):
            continue
        if shape_of(right) in shapes[j + 1]:
            return at
    return 0


def join_unit_dittos(lines: Sequence[Line]) -> None:
    """Join a number and the ditto mark set under the unit of the cell above to one cell.

    In ``3,000 r.p.m.`` over ``2,850   ,,`` the mark repeats the unit only, so that it is no
    cell of its own.
    """
    for above, line in pairwise(lines):
        k = 1
        while k < len(line.segs):
            number, mark = line.segs[k - 1], line.segs[k]
            if (
                mark.kind == "ditto"
                and number.kind == "number"
                and any(
                    seg.kind == "number"
                    and seg.lo - 2 <= number.lo
                    and mark.lo < seg.hi
                    and " " in seg.text
                    for seg in above.segs
                )
            ):
                text = line.text[number.start - line.start : mark.end - line.start]
                line.segs[k - 1 : k + 1] = [
                    Seg(number.start, mark.end, number.lo, mark.hi, text, "number")
                ]
            else:
                k += 1
