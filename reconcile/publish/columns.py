"""The columns of an issued limit table, once for every format.

A column is its name, its Table Schema type, what it says, the unit its numbers stand in, and
how it is taken from a row. The order, names and types are frozen for a schema version; a test
holds them against the schema files kept for that version under ``tables/schemas``.

Numbers are issued to 15 significant figures, which every format and every reader carries
without loss, and which no printed figure comes near.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Context, Decimal
from fractions import Fraction
from functools import cached_property
from typing import Any, NamedTuple

from reconcile.errors import MeasureError
from reconcile.measure.display import describe
from reconcile.publish.equivalents import Equivalent, figure_equivalents
from reconcile.publish.rows import STANDINGS, Row
from reconcile.records import BOUNDS, FORMS, STATUSES

_WIDE = Context(prec=40)

# Characters that no XML file and few other programs can hold: shown by their pictures.
_PICTURES = {code: 0x2400 + code for code in range(0x20) if chr(code) not in "\t\n"}
_PICTURES |= {0x7F: 0x2421, 0xFFFE: 0xFFFD, 0xFFFF: 0xFFFD}
_PICTURES |= dict.fromkeys(range(0xD800, 0xE000), 0xFFFD)


def printable(text: str | None) -> str | None:
    """Text as every format can hold it; nothing at all becomes None.

    A control character is shown by its picture (U+2400 and on), so that nothing vanishes.
    """
    if not text:
        return None
    if text.isprintable():
        return text
    return text.translate(_PICTURES)


def number_15(value: Any) -> float | None:
    """A number to the 15 significant figures that issued files carry.

    Parameters
    ----------
    value : int, float, Fraction or None

    Returns
    -------
    float or None
    """
    # Adding zero turns a negative zero into the plain one.
    return None if value is None else float(f"{float(value):.15g}") + 0.0


def exact_decimal(value: Fraction | None) -> Decimal | None:
    """The number as a decimal; one that never ends is given to 40 figures.

    The exact value of such a number (a third of a unit, say) still follows from
    `as_written`; no printed resolution comes near the fortieth figure.
    """
    if value is None:
        return None
    return _WIDE.divide(Decimal(value.numerator), Decimal(value.denominator)).normalize(_WIDE)


class View:
    """A row with what several columns need of it, computed once."""

    __slots__ = ("__dict__", "figure", "place", "position", "row")

    def __init__(self, row: Row, position: int = 0) -> None:
        self.row = row
        self.position = position
        self.figure = row.figure
        self.place = row.figure.place

    @cached_property
    def si(self) -> Any:
        """The SI value in the figure's own reference form, or None where there is none."""
        q = self.figure.quantity
        if not q.is_read or not (q.unit or q.unit_slug):
            return None
        try:
            return q.si
        except MeasureError:
            # A reading the unit's scale cannot have: kept as written, without a value.
            return None

    @cached_property
    def absolute(self) -> Any:
        """Absolute pressure, where no ambient is needed to know it."""
        if self.figure.reference_form not in ("absolute", "fixed_datum") or self.si is None:
            return None
        try:
            return self.figure.absolute()
        except MeasureError:
            return None

    @cached_property
    def equivalents(self) -> tuple[Equivalent, ...]:
        """In modern units, rounded to the safe side; none where the figure is not sure."""
        return figure_equivalents(self.figure, self.row.bound)


Get = Callable[[View], Any]


class Column(NamedTuple):
    """One column of the limit table."""

    name: str
    type: str
    """Table Schema type: "string", "number", "integer" or "boolean"."""
    description: str
    get: Get
    required: bool = False
    enum: tuple[str, ...] = ()
    unit: str = ""
    """UCUM code of its numbers, or "column:NAME" where each row says its own."""
    uncertainty: str = ""
    """Column that holds the standard uncertainty of its numbers."""


def _si(name: str) -> Get:
    return lambda v: number_15(getattr(v.si, name)) if v.si is not None else None


def _absolute(name: str) -> Get:
    return lambda v: number_15(getattr(v.absolute, name)) if v.absolute is not None else None


def _box(index: int) -> Get:
    return lambda v: None if v.place.box is None else round(v.place.box[index], 2)


def _joined(words: tuple[str, ...]) -> str | None:
    return "; ".join(words) or None


def _quantity_kind(view: View) -> str | None:
    q = view.figure.quantity
    if not (q.unit_slug or q.unit):
        return None
    return q.row.qudt_kind or None


def _unit_slug(view: View) -> str | None:
    q = view.figure.quantity
    return q.row.slug if q.unit or q.unit_slug else None


def _candidates(view: View) -> str | None:
    parts = []
    for candidate in view.figure.candidates:
        parts.append(f"{describe(candidate.quantity)} ({candidate.odds:.2f}: {candidate.reason})")
    return _joined(tuple(parts))


def _text(name: str, description: str, get: Get, **more: Any) -> Column:
    return Column(name, "string", description, lambda v: printable(get(v)), **more)


def _number(name: str, description: str, get: Get, unit: str, **more: Any) -> Column:
    return Column(name, "number", description, get, unit=unit, **more)


_WRITTEN, _SI, _POINT = "column:unit", "column:si_unit", "[pnt]"

COLUMNS: tuple[Column, ...] = (
    _text(
        "row_id",
        "Identity of the row, the same in every format.",
        lambda v: v.row.id,
        required=True,
    ),
    _text("limit_id", "Limit the figure belongs to.", lambda v: v.row.limit_id, required=True),
    _text("figure_id", "Figure the row states.", lambda v: v.figure.id, required=True),
    _text(
        "group",
        "Rows of different witnesses that state the same limit share it.",
        lambda v: v.row.group,
        required=True,
    ),
    Column(
        "position",
        "integer",
        "Place of the row in the order of the sources, counted from 1.",
        lambda v: v.position,
        True,
    ),
    Column(
        "lead",
        "boolean",
        "True for the group's row that programs should take.",
        lambda v: v.row.lead,
        True,
    ),
    _text(
        "standing",
        "What is known of the row: only 'verified' has been proved.",
        lambda v: v.row.standing,
        required=True,
        enum=STANDINGS,
    ),
    _text("reason", "Why it has that standing.", lambda v: v.row.reason),
    _text("parameter", "What is limited.", lambda v: v.row.parameter),
    _text(
        "condition",
        "When it is limited; blank where the paper states none.",
        lambda v: v.row.condition,
    ),
    _text("bound", "Which side is limited.", lambda v: v.row.bound, required=True, enum=BOUNDS),
    _number("time_limit_s", "How long it may last.", lambda v: number_15(v.row.time_limit_s), "s"),
    Column(
        "time_unlimited",
        "boolean",
        "The paper says the time is not limited.",
        lambda v: v.row.time_unlimited,
        True,
    ),
    _text(
        "as_written",
        "The figure's exact characters; control characters are shown by their pictures.",
        lambda v: v.figure.as_written,
    ),
    _text(
        "reading_status",
        "How it was read.",
        lambda v: v.figure.status,
        required=True,
        enum=STATUSES,
    ),
    _number(
        "nominal",
        "Single value in the written unit.",
        lambda v: number_15(v.figure.nominal),
        _WRITTEN,
    ),
    _number("lo", "Lower end in the written unit.", lambda v: number_15(v.figure.lo), _WRITTEN),
    _number("hi", "Upper end in the written unit.", lambda v: number_15(v.figure.hi), _WRITTEN),
    _number(
        "plus_minus",
        "Symmetric printed tolerance in the written unit.",
        lambda v: number_15(v.figure.plus_minus),
        _WRITTEN,
    ),
    _number(
        "resolution",
        "Step of the last printed place, in the written unit.",
        lambda v: number_15(v.figure.resolution),
        _WRITTEN,
    ),
    _text("unit", "UCUM code of the written unit.", lambda v: v.figure.unit),
    _text(
        "unit_slug",
        "Row of the unit table used, which tells period definitions apart.",
        _unit_slug,
    ),
    _text("kind", "Quantity kind.", lambda v: v.figure.kind, required=True),
    _text("quantity_kind", "QUDT name of the quantity kind.", _quantity_kind),
    _text(
        "reference_form",
        "Zero a pressure is counted from; 'none' for all else.",
        lambda v: v.figure.reference_form,
        required=True,
        enum=FORMS,
    ),
    _text(
        "datum",
        "Fixed datum a pressure is read against; blank for 101 325 Pa.",
        lambda v: v.figure.quantity.datum,
    ),
    Column(
        "difference",
        "boolean",
        "True for a difference of temperature, false for a temperature.",
        lambda v: v.figure.quantity.is_difference,
        True,
    ),
    _text("si_unit", "UCUM code of the SI unit.", lambda v: v.si.unit if v.si else None),
    _number(
        "si_nominal",
        "Single value in SI, in the row's own reference form.",
        _si("nominal"),
        _SI,
        uncertainty="si_standard_uncertainty",
    ),
    _number("si_lo", "Lower end in SI.", _si("lo"), _SI, uncertainty="si_standard_uncertainty"),
    _number("si_hi", "Upper end in SI.", _si("hi"), _SI, uncertainty="si_standard_uncertainty"),
    _number("si_half_width", "Half the printed step, in SI.", _si("half_width"), _SI),
    _number(
        "si_standard_uncertainty",
        "Standard uncertainty in SI; blank where none is known.",
        _si("standard_uncertainty"),
        _SI,
    ),
    _number(
        "absolute_pa",
        "Absolute pressure, where no ambient is needed to know it.",
        _absolute("nominal"),
        "Pa",
        uncertainty="absolute_standard_uncertainty_pa",
    ),
    _number(
        "absolute_lo_pa",
        "Lower end, absolute.",
        _absolute("lo"),
        "Pa",
        uncertainty="absolute_standard_uncertainty_pa",
    ),
    _number(
        "absolute_hi_pa",
        "Upper end, absolute.",
        _absolute("hi"),
        "Pa",
        uncertainty="absolute_standard_uncertainty_pa",
    ),
    _number(
        "absolute_standard_uncertainty_pa",
        "Standard uncertainty of the absolute pressure, the datum's share in it.",
        _absolute("standard_uncertainty"),
        "Pa",
    ),
    _text(
        "equivalents",
        "In modern units, rounded so that no limit grows; blank where the figure is not sure.",
        lambda v: _joined(tuple(map(str, v.equivalents))),
    ),
    _text("checks", "Checks that agree.", lambda v: _joined(v.row.checks)),
    _text("source_id", "Source the figure stands in.", lambda v: v.row.source.id, required=True),
    Column("page", "integer", "Page in the source.", lambda v: v.place.page, True),
    Column("line", "integer", "Line on the page.", lambda v: v.place.line, True),
    _number("time_s", "Time in a timed transcript.", lambda v: number_15(v.place.time_s), "s"),
    Column(
        "span_start",
        "integer",
        "First character in the page's text, counted from 0.",
        lambda v: v.figure.span[0],
        True,
    ),
    Column(
        "span_end", "integer", "Character after the last one.", lambda v: v.figure.span[1], True
    ),
    _number("box_left", "Place on the page, from its upper left corner.", _box(0), _POINT),
    _number("box_top", "See box_left.", _box(1), _POINT),
    _number("box_right", "See box_left.", _box(2), _POINT),
    _number("box_bottom", "See box_left.", _box(3), _POINT),
    _text("how", "How the page was read.", lambda v: v.place.how),
    _number(
        "confidence",
        "Confidence an OCR engine gave, 0 to 1.",
        lambda v: number_15(v.place.confidence),
        "1",
    ),
    _text("row_header", "Row heading of a figure in a table.", lambda v: _joined(v.place.row)),
    _text(
        "column_header",
        "Column heading of a figure in a table.",
        lambda v: _joined(v.place.column),
    ),
    _text(
        "qualifiers",
        "Words that qualify the figure, as written.",
        lambda v: _joined(v.figure.qualifiers),
    ),
    _text(
        "applies_to",
        "Marks, modifications, fuels or heights it holds for.",
        lambda v: _joined(v.row.applies_to),
    ),
    _text("notes", "Notes and exceptions.", lambda v: _joined(v.row.notes)),
    _text(
        "repairs",
        "What was changed or supposed in reading it.",
        lambda v: _joined(v.figure.repairs),
    ),
    _text("candidates", "Other readings, with their odds.", _candidates),
    Column(
        "ruling",
        "integer",
        "Number of the ruling in force.",
        lambda v: v.row.ruling.number if v.row.ruling else None,
    ),
    _text("ruled_by", "Who made it.", lambda v: v.row.ruling.who if v.row.ruling else None),
)

NAMES: tuple[str, ...] = tuple(column.name for column in COLUMNS)
_GETS = tuple((column.name, column.get) for column in COLUMNS)


def cells_of(view: View) -> dict[str, Any]:
    """A row's values by column name; blanks are left out."""
    cells = {}
    for name, get in _GETS:
        value = get(view)
        if value is not None:
            cells[name] = value
    return cells


def as_cells(row: Row) -> dict[str, Any]:
    """A row's values by column name; missing ones are None."""
    view = View(row)
    return {name: get(view) for name, get in _GETS}
