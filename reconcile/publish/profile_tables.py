"""Finds the performance tables among the rows of a limit table.

A table is a run of printed lines on one page whose figures stand under the same headings,
entered by a column that ascends or descends throughout (a height, a weight, a speed).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from typing import Any

from reconcile.publish.side import Cells
from reconcile.reference import load_rows

_FEWEST = 3
"""Points; with two, nothing says how far the curve leaves the line."""
_FARTHEST = 4
"""Lines of print between two lines of one table."""


@cache
def _abscissas() -> tuple[str, ...]:
    return tuple(row["parameter"] for row in load_rows("publish/abscissas"))


@cache
def _sea_level() -> tuple[re.Pattern[str], ...]:
    return tuple(
        re.compile(row["pattern"])
        for row in load_rows("publish/profile-terms")
        if row["role"] == "sea_level"
    )


def _is_sea_level(row: Cells) -> bool:
    # A row's path may begin with the heading of its own column ("Height; Sea level").
    labels = [part.strip().casefold() for part in str(row.get("row_header", "")).split(";")]
    return any(pattern.search(label) for label in labels for pattern in _sea_level())


def _single(row: Cells) -> bool:
    return "si_nominal" in row and "si_lo" not in row and "si_hi" not in row


def _lines(rows: Iterable[Cells]) -> dict[tuple[str, int], dict[int, dict[str, Cells]]]:
    """Rows of tables by (source, page), then by line, then by column heading."""
    pages: dict[tuple[str, int], dict[int, dict[str, Cells]]] = {}
    for row in rows:
        if "column_header" in row and "parameter" in row:
            lines = pages.setdefault((row["source_id"], row["page"]), {})
            lines.setdefault(row["line"], {}).setdefault(row["column_header"], row)
    return pages


def _blocks(lines: dict[int, dict[str, Cells]]) -> list[list[dict[str, Cells]]]:
    """Runs of lines that stand under the same headings."""
    blocks: list[list[dict[str, Cells]]] = []
    last = None
    for number in sorted(lines):
        cells = lines[number]
        near = last is not None and number - last <= _FARTHEST
        if near and len(blocks[-1][-1].keys() & cells.keys()) >= 2:
            blocks[-1].append(cells)
        else:
            blocks.append([cells])
        last = number
    return [block for block in blocks if len(block) >= _FEWEST]


def _abscissa(block: list[dict[str, Cells]]) -> tuple[str, str] | None:
    """Column and parameter a block is entered by."""
    heads = list(dict.fromkeys(head for cells in block for head in cells))
    for parameter in _abscissas():
        for head in heads:
            column = [cells[head] for cells in block if head in cells]
            if all(row["parameter"] == parameter and _single(row) for row in column):
                values = [row["si_nominal"] for row in column]
                steps = [b - a for a, b in pairwise(values)]
                if len(values) >= _FEWEST - 1 and (
                    all(step > 0 for step in steps) or all(step < 0 for step in steps)
                ):
                    return head, parameter
    return None


def find_tables(rows: list[Cells], used: set[str]) -> list[dict[str, Any]]:
    """Performance tables as plain data (the fields of `performance.PerformanceTable`).

    Parameters
    ----------
    rows : list of dict
        Every row of the limit table, whatever its standing: a line that is left out still
        has to be known, or the gap it leaves would be filled unseen.
    used : set of str
        Ids of the rows that may be taken.
    """
    out: list[dict[str, Any]] = []
    pages = _lines(sorted(rows, key=lambda row: row["position"]))
    for (source_id, page), lines in pages.items():
        for block in _blocks(lines):
            entry = _abscissa(block)
            if entry is None:
                continue
            for head in dict.fromkeys(head for cells in block for head in cells):
                if head != entry[0]:
                    table = _column(block, entry, head, used)
                    if table is not None:
                        name = f"{table['parameter']} by {entry[1]}, {head}"
                        place = {"source_id": source_id, "page": page, "heading": head}
                        out.append({"name": name, **table, **place})
    return out


def _column(
    block: list[dict[str, Cells]], entry: tuple[str, str], head: str, used: set[str]
) -> dict[str, Any] | None:
    """One column as a function of the block's entry, or None where it is none."""
    points: list[tuple[float, Cells] | None] = []  # None: a printed line not to be taken
    x_unit = next(cells[entry[0]]["si_unit"] for cells in block if entry[0] in cells)
    for cells in block:
        x_row, row = cells.get(entry[0]), cells.get(head)
        x: float | None = None
        if x_row is not None:
            x = x_row["si_nominal"] if x_row["row_id"] in used else None
        elif entry[1] == "altitude" and row is not None and _is_sea_level(row):
            x = 0.0
        taken = x is not None and row is not None and row["row_id"] in used and _single(row)
        points.append((x, row) if taken else None)  # type: ignore[arg-type]
    good = [point for point in points if point is not None]
    if len(good) >= 2 and good[0][0] > good[-1][0]:
        points.reverse()
        good.reverse()
    kept = [row for _, row in good]
    same = {(row["parameter"], row["si_unit"], row["reference_form"]) for row in kept}
    xs = [x for x, _ in good]
    if len(kept) < _FEWEST or len(same) != 1 or any(b <= a for a, b in pairwise(xs)):
        return None
    gaps, count = [], 0
    for point in points:
        if point is not None:
            count += 1
        elif 0 < count < len(kept) and count - 1 not in gaps:
            gaps.append(count - 1)
    first = kept[0]
    conditions = {row.get("condition") for row in kept}
    return {
        "parameter": first["parameter"],
        "condition": conditions.pop() if len(conditions) == 1 else None,
        "x_parameter": entry[1],
        "x_unit": x_unit,
        "x": xs,
        "unit": first["si_unit"],
        "reference_form": first["reference_form"],
        "y": [row["si_nominal"] for row in kept],
        "u": [row.get("si_standard_uncertainty") for row in kept],
        "gap_after": gaps,
        "row_ids": [row["row_id"] for row in kept],
    }
