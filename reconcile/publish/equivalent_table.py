"""The tables of equivalents: a limit's values in modern units, a row for each."""

from __future__ import annotations

from collections.abc import Sequence

from reconcile.publish.columns import number_15
from reconcile.publish.equivalents import ROUNDINGS, Equivalent
from reconcile.publish.side import Cells, Field, SideTable
from reconcile.records import FORMS

_FIELDS = (
    Field("row_id", "string", "Row of the limit table.", True),
    Field("rank", "integer", "Order within the row, from 1.", True),
    Field("unit", "string", "UCUM code of the modern unit.", True),
    Field("symbol", "string", "How people write it."),
    Field(
        "reference_form",
        "string",
        "Zero a pressure is counted from; 'none' for all else.",
        True,
        FORMS,
    ),
    Field("nominal", "number", "Single value.", unit="column:unit"),
    Field("lo", "number", "Lower end.", unit="column:unit"),
    Field("hi", "number", "Upper end.", unit="column:unit"),
    Field("step", "number", "Step it was rounded to.", True, unit="column:unit"),
    Field("rounded", "string", "Which way it was rounded.", True, ROUNDINGS),
)
EQUIVALENTS = SideTable(
    "equivalents",
    "The verified limits in modern units, rounded to the safe side",
    _FIELDS,
    ("row_id", "rank"),
    (("row_id", "limits", "row_id"),),
)
OTHER_EQUIVALENTS = SideTable(
    "equivalents_not_verified",
    "The limits that are not verified, in modern units, rounded to the safe side",
    _FIELDS,
    ("row_id", "rank"),
    (("row_id", "not_verified", "row_id"),),
)


def equivalent_rows(row_id: str, equivalents: Sequence[Equivalent]) -> list[Cells]:
    """Rows of an equivalents' table for one row of the limit table."""
    return [
        {
            "row_id": row_id,
            "rank": rank,
            "unit": one.unit,
            "symbol": one.symbol or None,
            "reference_form": one.form,
            "nominal": number_15(one.nominal),
            "lo": number_15(one.lo),
            "hi": number_15(one.hi),
            "step": number_15(one.step),
            "rounded": one.rounded,
        }
        for rank, one in enumerate(equivalents, 1)
    ]
