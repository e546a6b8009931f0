"""Reads figures and limits out of text: the notation, limits and measure rooms joined."""

from __future__ import annotations

from dataclasses import replace
from hashlib import blake2b

from reconcile.limits.context import Context
from reconcile.limits.interpret import Meaning, interpret
from reconcile.measure.quantity import Quantity
from reconcile.notation.grammar import find_drafts
from reconcile.notation.grid import GridCell
from reconcile.notation.lexicon import lexicon, unit_words
from reconcile.notation.tokens import read_tokens
from reconcile.notation.tradition import detect
from reconcile.notation.values import ValueReader
from reconcile.records import Figure, Limit, Place, Reading, Span


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
    tokens = read_tokens(text, unit_words(), spaced=manner.continental, known=lex.words)
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
