"""Reads figures and limits out of text: the notation, limits and measure rooms joined."""

from __future__ import annotations

from dataclasses import replace
from hashlib import blake2b

from reconcile.errors import UnknownTermError, UsageError
from reconcile.limits.context import Context
from reconcile.limits.interpret import Meaning, interpret
from reconcile.measure.datums import find_datum
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import unit_row
from reconcile.notation.grammar import find_drafts
from reconcile.notation.grid import GridCell
from reconcile.notation.lexicon import lexicon, unit_words
from reconcile.notation.tokens import read_tokens
from reconcile.notation.tradition import detect
from reconcile.notation.values import ValueReader
from reconcile.records import FORMS, TRADITIONS, Figure, Limit, Place, Reading, Span


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
    manner = detect(text, tradition)
    lex = lexicon(manner.languages)
    tokens = read_tokens(
        text, unit_words(), spaced=manner.continental, known=lex.words,
        split=lex.split if "german" in manner.languages else None,
    )  # fmt: skip
    mentions = lex.find_terms(tokens)
    reader = ValueReader(
        tokens, {m.i: m for m in reversed(mentions)}, manner.tradition, manner.continental,
        manner.languages, manner.speech,
    )  # fmt: skip
    drafts = find_drafts(reader)
    ctx = Context(tokens, mentions, drafts, manner.tradition)
    ctx.speech = manner.speech
    digest = blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).hexdigest()
    figures = []
    limits = []
    cells = {id(draft): place for draft, place in zip(drafts, ctx.cell_of) if place}
    for meaning in interpret(ctx):
        figure = _figure(text, digest, meaning)
        if id(meaning.draft) in cells:
            figure = replace(figure, place=_place(text, figure.span, cells[id(meaning.draft)][1]))
        figures.append(figure)
        limits.append(
            Limit(
                "L" + figure.id,
                meaning.parameter or None,
                meaning.condition or None,
                meaning.bound,  # type: ignore[arg-type]
                (figure.id,),
                meaning.time_limit,
            )
        )
    return Reading(tuple(figures), tuple(limits), manner.tradition, manner.odds)


def _place(text: str, span: Span, cell: GridCell) -> Place:
    """Where in a table a figure stands: its headings, outermost first."""
    row, column = (tuple(text[a:b] for a, b in path) for path in (cell.row, cell.column))
    return Place(span=span, row=row, column=column)


def _figure(text: str, digest: str, meaning: Meaning) -> Figure:
    d = meaning.draft
    span = (d.start, d.end)
    if d.void:
        quantity = Quantity(
            None, None, None, None, meaning.sense.unit, meaning.sense.kind, meaning.form
        )
    else:
        quantity = Quantity(
            d.nominal, d.lo, d.hi, d.plus_minus, meaning.sense.unit, meaning.sense.kind,
            meaning.form, d.resolution,
        )  # fmt: skip
    return Figure(
        f"{digest}-{d.start}-{d.end}", span, text[d.start : d.end], quantity, meaning.status, (),
        tuple(d.notes + d.supposed),
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
        Year of the paper; chooses the period's definition of the unit.

    Returns
    -------
    figure : Figure
        Its parameter and condition are filled in where the words or the keyword say them.

    Raises
    ------
    UsageError
        No figure in the text, or a keyword outside its closed list.
    UnknownUnitError
        No such unit; near misses are named.

    Examples
    --------
    >>> f = figure("+6 lb./sq. in. boost")
    >>> round(f.absolute().nominal)
    142694
    """
    for word, allowed, name in (
        (tradition, TRADITIONS, "tradition"),
        (reference_form, (None, *FORMS), "reference form"),
    ):
        if word not in allowed:
            raise UnknownTermError(
                f"{word!r} is not a {name}", expected=", ".join(a for a in allowed if a)
            )
    found, limit = _first_figure(text, tradition, parameter, unit)
    quantity = _overruled(found.quantity, unit, reference_form, datum)
    if year is not None or quantity.country == "":
        quantity = replace(quantity, year=year, country=_country(tradition, quantity))
    return replace(
        found,
        quantity=quantity,
        parameter=parameter or (limit.parameter if limit else None),
        condition=limit.condition if limit else None,
    )


def _first_figure(
    text: str, tradition: str, parameter: str | None, unit: str | None
) -> tuple[Figure, Limit | None]:
    """The text's first figure; a bare number is tried with the parameter and unit given."""
    # What the keywords say is put before or behind the text as a heading or a unit would
    # stand there; offsets are brought back to the caller's own text.
    before = f"{parameter}: " if parameter else ""
    behind = f" {unit_row(unit).symbol}" if unit else ""
    if unit:
        unit_row(unit)
    for head, tail in ((before, ""), ("", ""), (before, behind), ("", behind)):
        reading = read_text(f"{head}{text}{tail}", tradition)
        ours = [f for f in reading.figures if len(head) <= f.span[0] < len(head) + len(text)]
        if not ours:
            continue
        found = ours[0]
        start = found.span[0] - len(head)
        end = min(found.span[1] - len(head), len(text))
        limit = next((m for m in reading.limits if found.id in m.figure_ids), None)
        return replace(found, span=(start, end), as_written=text[start:end]), limit
    raise UsageError(
        f"no figure in {text!r}" if text.strip() else "an empty text",
        expected="a number with its unit, such as '80 lb./sq. in.'",
        do="name what it measures or its unit: parameter=, unit=",
    )


def _overruled(
    quantity: Quantity, unit: str | None, form: str | None, datum: str | None
) -> Quantity:
    if unit is not None:
        row = unit_row(unit)
        if row.ucum != quantity.unit and row.slug != quantity.unit_slug:
            kind = quantity.kind if unit_row(quantity.unit).si_unit == row.si_unit else row.kind
            quantity = replace(
                quantity, unit=row.ucum, unit_slug=row.slug, kind=kind,
                form=quantity.form if kind == quantity.kind else "none",
            )  # fmt: skip
            if kind == "pressure" and quantity.form == "none":
                quantity = replace(quantity, form="unknown")
    if form is not None:
        quantity = replace(quantity, form=form)  # type: ignore[arg-type]
    if datum is not None:
        quantity = replace(quantity, datum=find_datum(datum).slug)
    return quantity


def _country(tradition: str, quantity: Quantity) -> str:
    return quantity.country or tradition
