"""The columns of an issued limit table, once for every format.

A column is its name, its Table Schema type, what it says, and how it is taken from a row.
The order, names and types are frozen for a schema version; a test holds them against the
schema file kept for that version.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Context, Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from reconcile.measure.units import unit_row
from reconcile.publish.rows import Row
from reconcile.records import BOUNDS, FORMS, STATUSES

_WIDE = Context(prec=40)


class Column(NamedTuple):
    """One column of the limit table."""

    name: str
    type: str
    """Table Schema type: "string", "number", "integer" or "boolean"."""
    description: str
    get: Callable[[Row], Any]
    required: bool = False
    enum: tuple[str, ...] = ()


def exact_decimal(value: Fraction | None) -> Decimal | None:
    """The number as a decimal; one that never ends is given to 40 figures.

    The exact value of such a number (a third of a unit, say) still follows from
    `as_written`; no printed resolution comes near the fortieth figure.
    """
    if value is None:
        return None
    return _WIDE.divide(Decimal(value.numerator), Decimal(value.denominator)).normalize(_WIDE)


def _has_value(row: Row) -> bool:
    q = row.figure.quantity
    return not (q.nominal is None and q.lo is None and q.hi is None)


def _si(name: str) -> Callable[[Row], Any]:
    return lambda row: getattr(row.figure.si, name) if _has_value(row) else None


def _absolute(name: str) -> Callable[[Row], Any]:
    """Absolute pressure where no ambient is needed to know it."""

    def get(row: Row) -> Any:
        if row.figure.reference_form not in ("absolute", "fixed_datum") or not _has_value(row):
            return None
        return getattr(row.figure.absolute(), name)

    return get


def _box(index: int) -> Callable[[Row], Any]:
    return lambda row: (
        None if row.figure.place.box is None else round(row.figure.place.box[index], 2)
    )


def _joined(words: tuple[str, ...]) -> str | None:
    return "; ".join(words) or None


def _candidates(row: Row) -> str | None:
    parts = []
    for candidate in row.figure.candidates:
        q = candidate.quantity
        ends = [str(exact_decimal(v)) for v in (q.nominal, q.lo, q.hi) if v is not None]
        parts.append(f"{' to '.join(ends)} {q.unit} ({candidate.odds:.2f}: {candidate.reason})")
    return _joined(tuple(parts))


COLUMNS: tuple[Column, ...] = (
    Column(
        "row_id", "string", "Identity of the row, the same in every format.", lambda r: r.id, True
    ),
    Column("limit_id", "string", "Limit the figure belongs to.", lambda r: r.limit_id, True),
    Column(
        "group",
        "string",
        "Rows of different witnesses that state the same limit share it.",
        lambda r: r.group,
        True,
    ),
    Column(
        "lead",
        "boolean",
        "True for the group's row that programs should take.",
        lambda r: r.lead,
        True,
    ),
    Column(
        "standing",
        "string",
        "What is known of the row: only 'verified' has been proved.",
        lambda r: r.standing,
        True,
        ("verified", "unverified", "in doubt", "contradicted", "rejected"),
    ),
    Column("reason", "string", "Why it has that standing.", lambda r: r.reason, True),
    Column("parameter", "string", "What is limited.", lambda r: r.parameter),
    Column(
        "condition",
        "string",
        "When it is limited; blank where the paper states none.",
        lambda r: r.condition,
    ),
    Column("bound", "string", "Which side is limited.", lambda r: r.bound, True, BOUNDS),
    Column(
        "time_limit_s",
        "number",
        "How long it may last, in seconds.",
        lambda r: exact_decimal(r.time_limit_s),
    ),
    Column(
        "time_unlimited",
        "boolean",
        "The paper says the time is not limited.",
        lambda r: r.time_unlimited,
        True,
    ),
    Column(
        "as_written",
        "string",
        "The figure's exact characters.",
        lambda r: r.figure.as_written,
        True,
    ),
    Column(
        "reading_status", "string", "How it was read.", lambda r: r.figure.status, True, STATUSES
    ),
    Column(
        "nominal",
        "number",
        "Single value in the written unit.",
        lambda r: exact_decimal(r.figure.nominal),
    ),
    Column("lo", "number", "Lower end in the written unit.", lambda r: exact_decimal(r.figure.lo)),
    Column("hi", "number", "Upper end in the written unit.", lambda r: exact_decimal(r.figure.hi)),
    Column(
        "plus_minus",
        "number",
        "Symmetric printed tolerance in the written unit.",
        lambda r: exact_decimal(r.figure.plus_minus),
    ),
    Column(
        "resolution",
        "number",
        "Step of the last printed place, in the written unit.",
        lambda r: exact_decimal(r.figure.resolution),
    ),
    Column("unit", "string", "UCUM code of the written unit.", lambda r: r.figure.unit),
    Column("kind", "string", "Quantity kind.", lambda r: r.figure.kind, True),
    Column(
        "quantity_kind",
        "string",
        "QUDT name of the quantity kind.",
        lambda r: unit_row(r.figure.unit).qudt_kind if r.figure.unit else None,
    ),
    Column(
        "reference_form",
        "string",
        "Zero a pressure is counted from; 'none' for all else.",
        lambda r: r.figure.reference_form,
        True,
        FORMS,
    ),
    Column(
        "datum",
        "string",
        "Fixed datum a pressure is read against.",
        lambda r: r.figure.quantity.datum or None,
    ),
    Column("si_unit", "string", "UCUM code of the SI unit.", _si("unit")),
    Column(
        "si_nominal",
        "number",
        "Single value in SI, in the row's own reference form.",
        _si("nominal"),
    ),
    Column("si_lo", "number", "Lower end in SI.", _si("lo")),
    Column("si_hi", "number", "Upper end in SI.", _si("hi")),
    Column("si_half_width", "number", "Half the printed step, in SI.", _si("half_width")),
    Column(
        "si_standard_uncertainty",
        "number",
        "Standard uncertainty in SI.",
        _si("standard_uncertainty"),
    ),
    Column(
        "absolute_pa",
        "number",
        "Absolute pressure in pascal, where no ambient is needed.",
        _absolute("nominal"),
    ),
    Column("absolute_lo_pa", "number", "Lower end, absolute, in pascal.", _absolute("lo")),
    Column("absolute_hi_pa", "number", "Upper end, absolute, in pascal.", _absolute("hi")),
    Column("checks", "string", "Checks that agree.", lambda r: _joined(r.checks)),
    Column("source_id", "string", "Source the figure stands in.", lambda r: r.source.id, True),
    Column("page", "integer", "Page in the source.", lambda r: r.figure.place.page, True),
    Column("line", "integer", "Line on the page.", lambda r: r.figure.place.line, True),
    Column(
        "time_s",
        "number",
        "Time in a timed transcript, in seconds.",
        lambda r: r.figure.place.time_s,
    ),
    Column(
        "span_start",
        "integer",
        "First character in the page's text, counted from 0.",
        lambda r: r.figure.span[0],
        True,
    ),
    Column(
        "span_end", "integer", "Character after the last one.", lambda r: r.figure.span[1], True
    ),
    Column("box_left", "number", "Place on the page, in points from its upper left.", _box(0)),
    Column("box_top", "number", "See box_left.", _box(1)),
    Column("box_right", "number", "See box_left.", _box(2)),
    Column("box_bottom", "number", "See box_left.", _box(3)),
    Column(
        "row_header",
        "string",
        "Row heading of a figure in a table.",
        lambda r: _joined(r.figure.place.row),
    ),
    Column(
        "column_header",
        "string",
        "Column heading of a figure in a table.",
        lambda r: _joined(r.figure.place.column),
    ),
    Column(
        "qualifiers",
        "string",
        "Words that qualify the figure, as written.",
        lambda r: _joined(r.figure.qualifiers),
    ),
    Column(
        "applies_to",
        "string",
        "Marks, modifications, fuels or heights it holds for.",
        lambda r: _joined(r.applies_to),
    ),
    Column("notes", "string", "Notes and exceptions.", lambda r: _joined(r.notes)),
    Column(
        "repairs",
        "string",
        "What was changed or supposed in reading it.",
        lambda r: _joined(r.figure.repairs),
    ),
    Column("candidates", "string", "Other readings, with their odds.", _candidates),
    Column(
        "ruling",
        "integer",
        "Number of the ruling in force.",
        lambda r: r.ruling.number if r.ruling else None,
    ),
    Column("ruled_by", "string", "Who made it.", lambda r: r.ruling.who if r.ruling else None),
)


def as_cells(row: Row) -> dict[str, Any]:
    """A row's values by column name; missing ones are None."""
    return {column.name: column.get(row) for column in COLUMNS}
