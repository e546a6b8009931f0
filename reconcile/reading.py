"""Reads figures and limits out of text: the notation, limits and measure rooms joined."""

from __future__ import annotations

from dataclasses import replace

from reconcile.errors import ReconcileError, UnknownTermError, UsageError
from reconcile.limits.alone import is_change
from reconcile.limits.candidates import find_options
from reconcile.limits.context import Context
from reconcile.limits.lone import UNSETTLED, first_figure
from reconcile.limits.look import digest_of, interpreted, option_quantity
from reconcile.limits.meaning import Meaning
from reconcile.limits.restrictions import find_restrictions
from reconcile.limits.said import datum_of
from reconcile.measure.datums import find_datum
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import unit_row
from reconcile.notation.grid import GridCell
from reconcile.records import (
    FORMS,
    TRADITIONS,
    Candidate,
    Figure,
    Limit,
    Place,
    Reading,
    Span,
)


def read_text(text: str, tradition: str = "unknown") -> Reading:
    """Read every figure of `text`, and what each limits.

    Parameters
    ----------
    text : str
        Running text, a table in fixed columns, or a transcript; layout is kept in mind.
    tradition : str
        "british", "american", "german", "soviet", "french", "italian", "japanese" or
        "unknown"; it decides gallons, decimal marks and reference forms.

    Returns
    -------
    reading : Reading

    Examples
    --------
    >>> reading = read_text("Oil pressure 80 lb./sq. in. normal, 45 minimum.", "british")
    >>> [(f.as_written, f.unit) for f in reading.figures]
    [('80 lb./sq. in.', '[psi]'), ('45', '[psi]')]
    """
    manner, ctx, meanings = interpreted(text, tradition)
    digest = digest_of(text)
    figures = []
    limits = []
    cells = {id(draft): place[1] for draft, place in zip(ctx.drafts, ctx.cell_of) if place}
    for meaning, held in zip(meanings, find_restrictions(ctx, meanings)):
        figure = _figure(text, digest, meaning, ctx, cells.get(id(meaning.draft)))
        figures.append(figure)
        limits.append(
            Limit(
                "L" + figure.id,
                meaning.parameter or None,
                meaning.condition or None,
                meaning.bound,  # type: ignore[arg-type]
                (figure.id,),
                meaning.time_limit,
                applies_to=held,
            )
        )
    return Reading(tuple(figures), tuple(limits), manner.tradition, manner.odds)


def _place(text: str, span: Span, cell: GridCell) -> Place:
    """Where in a table a figure stands: its headings, outermost first."""
    row = tuple([text[a:b] for a, b in cell.row])
    column = tuple([text[a:b] for a, b in cell.column])
    return Place(span=span, row=row, column=column)


_NOWHERE = Place()


def _figure(
    text: str, digest: str, meaning: Meaning, ctx: Context, cell: GridCell | None
) -> Figure:
    d = meaning.draft
    span = (d.start, d.end)
    if d.void:
        quantity = Quantity(
            None, None, None, None, meaning.sense.unit, meaning.sense.kind,
            meaning.form,  # type: ignore[arg-type]
        )  # fmt: skip
    else:
        quantity = Quantity(
            d.nominal, d.lo, d.hi, d.plus_minus, meaning.sense.unit, meaning.sense.kind,
            meaning.form, d.resolution,  # type: ignore[arg-type]
            is_difference=meaning.sense.kind == "temperature" and is_change(ctx, meaning),
        )  # fmt: skip
    candidates: tuple[Candidate, ...] = ()
    if meaning.status == "ambiguous":
        candidates = tuple(
            Candidate(option_quantity(option, quantity), odds, option.reason)
            for option, odds in find_options(meaning)
        )
    return Figure(
        f"{digest}-{d.start}-{d.end}", span, text[d.start : d.end], quantity,
        meaning.status, candidates,  # type: ignore[arg-type]
        tuple(dict.fromkeys((*d.notes, *d.supposed))), (),
        _NOWHERE if cell is None else _place(text, span, cell),
    )  # fmt: skip


def figure(
    text: str,
    *,
    tradition: str = "unknown",
    parameter: str | None = None,
    unit: str | None = None,
    reference_form: str | None = None,
    datum: str | None = None,
    year: int | None = None,
) -> Figure:
    """Read the first figure of a short text, whose other words say what it is.

    Parameters
    ----------
    text : str
        For example ``"oil pressure 80 lb./sq. in."`` or ``"85 gallons (Imperial)"``.
    tradition : str
        As for `read_text`.
    parameter : str, optional
        What it measures; overrules the words.
    unit : str, optional
        UCUM code or slug of the unit; overrules the words.
    reference_form : str, optional
        Reference form of a pressure; overrules the words.
    datum : str, optional
        Fixed datum of boost: ``"101325 Pa"``, ``"14.7 lb/in2"``, ``"30 in.Hg"``.
    year : int, optional
        Year of the paper; with the tradition it chooses the period's definition of the
        unit. Without it, today's.

    Returns
    -------
    figure : Figure
        Its parameter and condition are filled in where the words or the keyword say them.
        A pressure of which nothing says what it is counted from has the form "unknown". A
        height said with it ("at 20,000 ft") is the figure's own, and no figure here.

    Raises
    ------
    UsageError
        No figure in the text, or a keyword that does not fit.
    UnknownTermError
        A tradition, reference form or datum outside its closed list.
    UnknownUnitError
        No such unit; near misses are named.

    Examples
    --------
    >>> f = figure("+6 lb./sq. in. boost")
    >>> round(f.absolute().nominal)
    142694
    """
    _check_keywords(text, tradition, reference_form, year)
    parameter = " ".join(parameter.split()).lower() if parameter else ""
    if unit is not None:
        unit_row(unit)  # an unknown one is the caller's mistake, whatever the text says
    slug = _datum(datum) if datum is not None else ""
    found = first_figure(text, tradition, parameter, unit)
    quantity = found.quantity
    if slug and quantity.kind == "pressure" and quantity.form == "unknown":
        quantity = replace(quantity, form="fixed_datum")
    if reference_form is not None:
        if reference_form != "none" and quantity.kind != "pressure":
            raise UsageError(
                f"{found.as_written!r} is a {quantity.kind.replace('_', ' ')}, "
                f"and has no reference form {reference_form!r}",
                expected="a pressure",
                do="leave reference_form out, or give the unit of a pressure",
            )
        quantity = replace(quantity, form=reference_form)  # type: ignore[arg-type]
    if quantity.form == "fixed_datum":
        quantity = replace(quantity, datum=slug or quantity.datum)
    elif quantity.datum:
        quantity = replace(quantity, datum="")
    if quantity.form != "differential":
        quantity = replace(quantity, partner="")
    status = found.status
    repairs = found.repairs
    if quantity.form != "unknown" and UNSETTLED in repairs:
        repairs = tuple(r for r in repairs if r != UNSETTLED)
        found = replace(found, candidates=())  # they were rival forms
        if not repairs:
            status = "read"
    quantity = replace(quantity, year=year)
    rivals = tuple(replace(c, quantity=replace(c.quantity, year=year)) for c in found.candidates)
    return replace(found, quantity=quantity, status=status, candidates=rivals, repairs=repairs)


def _datum(text: str) -> str:
    """Slug of a fixed datum, by one of its names or its value however written."""
    try:
        return find_datum(text).slug
    except UnknownTermError:
        try:
            value = figure(text, reference_form="absolute").quantity.exact_si()[0]
        except ReconcileError:
            value = None
        if not (slug := datum_of(value)):
            raise
        return slug


def _check_keywords(text: str, tradition: str, form: str | None, year: int | None) -> None:
    if not isinstance(text, str):
        raise UsageError(f"a {type(text).__name__} for a text", expected="text, such as '+6 lb'")
    for word, allowed, name in (
        (tradition, TRADITIONS, "tradition"),
        (form, (None, *FORMS), "reference form"),
    ):
        if word not in allowed:
            raise UnknownTermError(
                f"{word!r} is not a {name}", expected=", ".join(a for a in allowed if a)
            )
    if year is not None and (
        not isinstance(year, int) or isinstance(year, bool) or not 1000 <= year <= 3000
    ):
        raise UsageError(f"{year!r} is no year", expected="a year such as 1943")
