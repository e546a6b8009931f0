"""Tables that are lists: one value a row, its unit and its condition in columns of their own.

A sheet often has columns "parameter, condition, value, unit". What stands in the last is no
value but the last deck of the value's heading, and what stands in the second is a label of
the row; said so in the paths, such a table reads as any other.
"""

from __future__ import annotations

from dataclasses import replace

from reconcile.notation.grid_lines import marks_of
from reconcile.notation.grid_records import Grid, GridCell, Span


def adopt_columns(text: str, grid: Grid) -> Grid:
    """The grid with its unit and condition columns made headings of the other cells.

    Cells of those columns that hold a digit are values after all, and stay.
    """
    units, conditions = marks_of("unit head"), marks_of("condition head")
    roles: dict[int, str] = {}
    for cell in grid.cells:
        if cell.at[1] and cell.at[1] not in roles and cell.column:
            head = text[slice(*cell.column[-1])].strip(" :.").casefold()
            named = {head, head + "."}
            roles[cell.at[1]] = (
                "unit" if named & units else "condition" if named & conditions else ""
            )
    if not any(roles.values()):
        return grid
    unit_at: dict[int, Span] = {}
    label_at: dict[int, list[Span]] = {}
    kept: list[GridCell] = []
    for cell in grid.cells:
        role = roles.get(cell.at[1], "")
        words = not any(c.isdigit() for c in text[slice(*cell.span)])
        if role == "unit":
            unit_at[cell.at[0]] = cell.span
        elif role == "condition" and words and not cell.ditto:
            label_at.setdefault(cell.at[0], []).append(cell.span)
        else:
            kept.append(cell)
    values = {cell.at[1] for cell in kept}
    # A unit column beside several columns of values says whose unit it is in no way.
    adopt = unit_at if len(values) == 1 else {}
    if unit_at and not adopt:
        kept = [c for c in grid.cells if c in kept or roles.get(c.at[1]) == "unit"]
    cells = tuple(
        replace(
            cell,
            row=(*cell.row, *label_at.get(cell.at[0], ())),
            column=(*cell.column, adopt[cell.at[0]]) if cell.at[0] in adopt else cell.column,
        )
        for cell in kept
    )
    adopted = [*adopt.values(), *(s for spans in label_at.values() for s in spans)]
    return replace(grid, cells=cells, headings=tuple(sorted({*grid.headings, *adopted})))
