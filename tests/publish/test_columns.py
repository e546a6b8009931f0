"""Cells: numbers and text as every format can hold them, and what a figure reads."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reconcile.measure.quantity import Quantity
from reconcile.publish.columns import NAMES, as_cells, exact_decimal, number_15, printable
from reconcile.publish.rows import LimitTable
from reconcile.publish.side import reads
from reconcile.records import Figure

F = Fraction


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain", "plain"),
        ("", None),
        (None, None),
        ("a\x00b\x0cc\r\x7f", "a␀b␌c␍␡"),
        ("kept\t\n", "kept\t\n"),
        ("\ud800\ufffe\uffff", "\ufffd\ufffd\ufffd"),
        ("½ · °C — 日本", "½ · °C — 日本"),
    ],
)
def test_text_is_shown_whole(text: str | None, shown: str | None) -> None:
    """A control character is shown by its picture; nothing vanishes, and nothing else changes."""
    assert printable(text) == shown


@given(st.text())
def test_text_keeps_its_length(text: str) -> None:
    """Spans count in the shown text as they do in the source's."""
    assert len(printable(text) or "") == len(text)


@given(st.floats(-1e300, 1e300))
def test_numbers_survive_every_format(value: float) -> None:
    """Fifteen figures: what is issued is what any reader of decimal text makes of it."""
    issued = number_15(value)
    assert issued is not None
    assert issued == pytest.approx(value, rel=1e-14)
    for text in (repr(issued), f"{issued:.15g}", f"{issued:.16G}"):
        assert float(text) == issued
    assert str(number_15(-0.0)) == "0.0" and number_15(None) is None


def test_exact_numbers_are_decimals() -> None:
    """An exact number that ends is itself; one that does not has forty figures."""
    assert exact_decimal(F("0.45359237")) == Decimal("0.45359237")
    assert str(exact_decimal(F(1, 3))) == "0." + "3" * 40
    assert exact_decimal(None) is None


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        ({"nominal": F(6), "form": "fixed_datum"}, "+6 lb/in² over the datum"),
        ({"nominal": F(19, 2), "plus_minus": F(1, 4)}, "9.5 ± 0.25 lb/in²"),
        ({"lo": F(60), "hi": F(75), "form": "gauge"}, "60 to 75 lb/in² gauge"),
        ({"nominal": F(65), "lo": F(60), "hi": F(75)}, "65 (60 to 75) lb/in²"),
        ({"hi": F(75)}, "up to 75 lb/in²"),
        ({}, "not read"),
    ],
)
def test_a_figure_reads_as_people_say_it(quantity: dict[str, Any], said: str) -> None:
    """Number, tolerance or range, unit and reference form in one line."""
    figure = Figure("f", (0, 1), "x", Quantity(**quantity, unit="[psi]", kind="pressure"))
    assert reads(figure) == said


def test_cells_stand_in_the_order_of_the_columns(table: LimitTable) -> None:
    """Every row has every column, in order; an unread figure has no value in any unit."""
    for row in table.rows:
        cells = as_cells(row)
        assert tuple(cells) == NAMES
        if not row.figure.quantity.is_read:
            numbers = ("nominal", "lo", "hi", "si_nominal", "si_lo", "si_hi", "absolute_pa")
            assert [cells[name] for name in numbers] == [None] * 7


def test_a_reading_below_vacuum_has_no_absolute_value(table: LimitTable) -> None:
    """What cannot be is issued as written, without a value that would say it can."""
    from dataclasses import replace

    row = table.rows[0]
    deep = replace(row.figure.quantity, nominal=F(-20))
    cells = as_cells(replace(row, figure=replace(row.figure, quantity=deep)))
    assert cells["nominal"] == -20 and cells["si_nominal"] < -100000
    assert cells["absolute_pa"] is None
