"""Tables that go on over the page."""

from __future__ import annotations

import pytest

from reconcile.notation.grid import find_grids
from reconcile.notation.grid_pages import carry_headings

BEFORE = """\
LIMITS
              R.p.m.   Boost   Temp. °C.
Rating                 lb.     Cool.   Oil
Take-off      3,000    +12     -       -
Climb         2,850    +9      125     90

                     17
"""
AFTER = """\
PART III                     LIMITATIONS

Rich          2,650    +7      105     90
Weak          2,650    +4      105     85

The text goes on here with +6 lb.
"""


def test_headings_are_carried() -> None:
    """Rows on the next page stand under the headings of the page before, at their own offsets."""
    carried = carry_headings(BEFORE, AFTER)
    assert carried.size
    grid = find_grids(carried.text)[0]
    seen = []
    for cell in grid.cells:
        column = [carried.text[slice(*span)] for span in cell.column]
        start = carried.back(cell.span[0])
        end = carried.back(cell.span[1])
        assert start is not None
        seen.append((AFTER[start:end], *column))
    assert seen[:4] == [
        ("2,650", "R.p.m."), ("+7", "Boost", "lb."),
        ("105", "Temp. °C.", "Cool."), ("90", "Temp. °C.", "Oil"),
    ]  # fmt: skip
    assert carried.back(carried.at) is None
    assert carried.back(0) == 0


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("Prose only, at 2,850 r.p.m.", AFTER),
        (BEFORE, "Prose only, at 2,850 r.p.m."),
        (BEFORE, BEFORE),
        (BEFORE + "\nProse goes on below the table, and the page ends in it, as most do.\n", AFTER),
        (BEFORE, "Tank A .... 5 gallons\nTank B .... 6 gallons\nTank C .... 6 gallons\n"),
        (BEFORE, "Line\n" * 8 + AFTER),
        ("Main tank .... 47 gallons\nReserve ...... 12 gallons\n", AFTER),
        ("", ""),
    ],
)
def test_nothing_is_carried_where_no_table_goes_on(before: str, after: str) -> None:
    """No table at the foot, no rows at the head, or other columns: the page stays as it is."""
    carried = carry_headings(before, after)
    assert (carried.text, carried.size) == (after, 0)
