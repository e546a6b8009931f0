"""Sheets with the unit and the condition in columns of their own."""

from __future__ import annotations

from reconcile.notation.grid import find_grids
from reconcile.reading import read_text

SHEET = """\
parameter               | condition | value | unit
Oil pressure min        | flight    | 55    | lb/sq.in.
Oil temperature max     | climb     | 194   | °F
Boost max               | take-off  | +9    | lb/sq.in.
Engine speed max        | take-off  | 3,000 | r.p.m.
"""


def test_units_and_conditions_become_headings() -> None:
    """The unit of a row is the last deck over its value, its condition a label of the row."""
    [grid] = find_grids(SHEET)
    cells = [SHEET[slice(*cell.span)] for cell in grid.cells]
    assert cells == ["55", "194", "+9", "3,000"]
    first = grid.cells[1]
    assert [SHEET[slice(*span)] for span in first.column] == ["value", "°F"]
    assert [SHEET[slice(*span)] for span in first.row][-2:] == ["Oil temperature max", "climb"]


def test_such_a_sheet_is_read_plainly() -> None:
    """Every value has the unit of its row, and nothing is supposed."""
    reading = read_text(SHEET, "british")
    limits = {limit.figure_ids[0]: limit for limit in reading.limits}
    assert [
        (f.as_written, f.unit, f.status, limits[f.id].parameter, limits[f.id].bound)
        for f in reading.figures
    ] == [
        ("55", "[psi]", "read", "oil pressure", "min"),
        ("194", "[degF]", "read", "oil temperature", "max"),
        ("+9", "[psi]", "read", "boost", "max"),
        ("3,000", "{rev}/min", "read", "engine speed", "max"),
    ]


def test_a_unit_column_beside_several_values_stays_a_column() -> None:
    """Whose unit it is cannot be told, so it is no heading."""
    text = SHEET.replace("| unit", "| limit | unit").replace("| lb/sq.in.", "| 60 | lb/sq.in.")
    grids = find_grids(text)
    assert all(len(cell.column) == 1 for grid in grids for cell in grid.cells)
