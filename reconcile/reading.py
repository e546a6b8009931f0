"""Reads figures and limits out of text: the notation, limits and measure rooms joined."""

from __future__ import annotations

from dataclasses import replace
from hashlib import blake2b

from reconcile.errors import ReconcileError, UnknownTermError, UsageError
from reconcile.limits.alone import (
    SIZES_UNTOLD,
    as_printed,
    bare_form,
    cut_short,
    datum_of,
    datum_said,
    first_of,
    form_for,
    is_below_zero,
    is_change,
    is_compound,
    is_named,
    kinds_of,
    measures_alike,
    mended_by_size,
    partner,
    relative_density,
    rivals,
    scale_said,
    settled_form,
    specific_gravity_apart,
    stated_height,
    unit_for,
)
from reconcile.limits.candidates import Option, find_options
from reconcile.limits.context import Context
from reconcile.limits.interpret import interpret
from reconcile.limits.meaning import Meaning
from reconcile.limits.terms import default_parameter
from reconcile.limits.terms import reference_form as usual_form
from reconcile.measure.datums import find_datum
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import unit_row
from reconcile.notation.drafts import Draft
from reconcile.notation.grammar import find_drafts
from reconcile.notation.grid import GridCell
from reconcile.notation.lexicon import Mention, Sense, lexicon, unit_words
from reconcile.notation.tokens import Tokens, read_tokens
from reconcile.notation.tradition import Manner, detect
from reconcile.notation.values import ValueReader
from reconcile.records import (
    FORMS,
    TRADITIONS,
    Candidate,
    Figure,
    Limit,
    Place,
    Reading,
    Span,
    Status,
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
    manner, ctx, meanings = _interpreted(text, tradition)
    digest = _digest(text)
    figures = []
    limits = []
    cells = {id(draft): place for draft, place in zip(ctx.drafts, ctx.cell_of) if place}
    for meaning in meanings:
        figure = _figure(text, digest, meaning, ctx)
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


def _digest(text: str) -> str:
    return blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).hexdigest()


def _interpreted(
    text: str, tradition: str, head: str = ""
) -> tuple[Manner, Context, list[Meaning]]:
    """Meanings of every figure in `head` and `text`; the manner is that of `text` alone."""
    manner = detect(text, tradition)
    languages = manner.languages
    if head and "english" not in languages:
        languages = (*languages, "english")  # names of parameters are English
    tokens, mentions, reader = _reader(head + text, manner, languages)
    ctx = Context(tokens, mentions, find_drafts(reader), manner.tradition)
    ctx.speech = manner.speech  # type: ignore[attr-defined]
    return manner, ctx, interpret(ctx)


def _reader(
    text: str, manner: Manner, languages: tuple[str, ...]
) -> tuple[Tokens, list[Mention], ValueReader]:
    lex = lexicon(languages)
    tokens = read_tokens(
        text, unit_words(), spaced=manner.continental, known=lex.words,
        split=lex.split if {"german", "russian"} & set(languages) else None,
    )  # fmt: skip
    mentions = lex.find_terms(tokens)
    reader = ValueReader(
        tokens, {m.i: m for m in reversed(mentions)}, manner.tradition, manner.continental,
        languages, manner.speech,
    )  # fmt: skip
    return tokens, mentions, reader


def _place(text: str, span: Span, cell: GridCell) -> Place:
    """Where in a table a figure stands: its headings, outermost first."""
    row, column = (tuple(text[a:b] for a, b in path) for path in (cell.row, cell.column))
    return Place(span=span, row=row, column=column)


def _figure(text: str, digest: str, meaning: Meaning, ctx: Context) -> Figure:
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
            Candidate(_quantity(option, quantity), odds, option.reason)
            for option, odds in find_options(meaning)
        )
    return Figure(
        f"{digest}-{d.start}-{d.end}", span, text[d.start : d.end], quantity,
        meaning.status, candidates,  # type: ignore[arg-type]
        tuple(d.notes + d.supposed),
    )  # fmt: skip


def _quantity(option: Option, like: Quantity) -> Quantity:
    return replace(
        like, nominal=option.nominal, lo=option.lo, hi=option.hi, plus_minus=option.plus_minus,
        resolution=option.resolution, unit=option.unit, kind=option.kind,
        form=option.form,  # type: ignore[arg-type]
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
    found = _first_figure(text, tradition, parameter, unit)
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
    if quantity.form != "unknown" and _UNSETTLED in repairs:
        repairs = tuple(r for r in repairs if r != _UNSETTLED)
        if not repairs and not found.candidates:
            status = "read"
    quantity = replace(quantity, year=year)
    return replace(found, quantity=quantity, status=status, repairs=repairs)


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


_UNSETTLED = "nothing says what the pressure is counted from"


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


def _first_figure(text: str, tradition: str, parameter: str, unit: str | None) -> Figure:
    """The text's first figure, with all that its words and the caller's settle about it."""
    # What the caller says it measures goes before the text as a heading would.
    head = f"{parameter}: " if parameter else ""
    for lead in dict.fromkeys((head, "")):
        manner, ctx, meanings = _interpreted(text, tradition, lead)
        meanings = [m for m in meanings if m.draft.start >= len(lead)]
        chosen = first_of(ctx, meanings, parameter)
        if chosen is not None:
            break
    else:
        chosen = None
    if unit is not None:
        return _in_unit(
            text, tradition, manner, ctx, meanings, chosen, len(lead), parameter, unit
        )  # fmt: skip
    if (apart := specific_gravity_apart(ctx, meanings, len(lead))) is not None:
        return _made(
            text, manner, ctx, meanings, None, apart, len(lead), "specific gravity", "none", _RATIO
        )  # fmt: skip
    if chosen is None:
        raise UsageError(
            f"no figure in {text[:60]!r}" if text.strip() else "an empty text",
            expected="a number with its unit, such as '80 lb./sq. in.'",
            do="name what it measures or its unit: parameter=, unit=",
        )
    sense, draft = chosen.sense, chosen.draft
    untold = sense.kind in SIZES_UNTOLD or sense.form in {"gauge", "below_ambient"}
    if not parameter and untold and not is_named(ctx, chosen):
        # Nothing is known that could make five pounds and a quarter too small.
        _, _, reader = _reader(ctx.t.text, manner, manner.languages)
        printed = next((d for d in find_drafts(reader) if d.start == draft.start), draft)
        printed.senses = draft.senses
        if printed.odd_mark and as_printed(printed):
            printed.supposed.append("the point may stand for the comma of thousands")
        draft, chosen.status, chosen.parameter = printed, "read", ""
    if sense.kind == "temperature" and (scale := scale_said(ctx.t, draft)) is not None:
        sense = scale
        draft.senses = (scale,)
    form = settled_form(ctx, chosen, _told(tradition, manner))
    named = chosen.parameter
    if parameter:
        if chosen.parameter != parameter or form == "unknown":
            form = form_for(sense, draft, parameter, manner.tradition)
        named = parameter
    elif form == "unknown" and not is_named(ctx, chosen):
        named = ""
    return _made(text, manner, ctx, meanings, chosen, draft, len(lead), named, form, sense)


def _told(tradition: str, manner: Manner) -> str:
    """The tradition as far as the caller or the language tells it, and not the unit alone."""
    if tradition == "unknown" and manner.languages[:1] == ("english",):
        return "unknown"
    return manner.tradition


_RATIO = Sense("1", "ratio", "", frozenset(), "after", 1)


def _made(
    text: str,
    manner: Manner,
    ctx: Context,
    meanings: list[Meaning],
    chosen: Meaning | None,
    draft: Draft,
    lead: int,
    parameter: str,
    form: str,
    sense: Sense,
    tokens: Tokens | None = None,
    slug: str = "",
) -> Figure:
    """The figure of one draft, all settled; `tokens` are the draft's own, if not the context's."""
    own_unit = tokens is None
    tokens = ctx.t if tokens is None else tokens
    unit, kind = sense.unit, sense.kind
    if parameter == "specific gravity" and unit == "1" and not slug:
        found = relative_density(ctx.t, manner.tradition)
        kind, slug = ("ratio", "") if found == "number" else ("density", found)
    if kind != "pressure":
        form = "none"
    difference = kind == "temperature" and (
        parameter == "temperature interval" or (chosen is not None and is_change(ctx, chosen))
    )
    if difference and parameter:
        parameter = "temperature interval"
    above = draft.value is not None and draft.value > 0
    if kind == "temperature" and not draft.sign and above and is_below_zero(tokens, draft):
        draft.nominal = None if draft.nominal is None else -draft.nominal
        draft.lo, draft.hi = (None if x is None else -x for x in (draft.hi, draft.lo))
        draft.sign = "-"
    numbers = (draft.nominal, draft.lo, draft.hi, draft.plus_minus)
    if draft.void:
        numbers = (None, None, None, None)
    quantity = Quantity(
        *numbers, unit, kind, form,  # type: ignore[arg-type]
        None if draft.void else draft.resolution, unit_slug=slug, is_difference=difference,
        country=manner.tradition,
        datum=datum_said(ctx, meanings, chosen) if chosen and form == "fixed_datum" else "",
        partner=partner(ctx.t) if form == "differential" else "",
        height_m=stated_height(ctx, meanings, chosen) if kind == "pressure" else None,
    )  # fmt: skip
    rival = () if slug or chosen is None else rivals(draft, sense, manner.tradition)
    candidates = tuple(
        Candidate(replace(quantity, unit=u), 1 / (1 + len(rival)), "the tradition is not known")
        for u in ((unit, *rival) if rival else ())
    )
    supposed = [s for s in draft.supposed if s != _UNSETTLED]
    if own_unit and (rest := cut_short(tokens, draft)):
        supposed.append(f"{rest!r} after the unit is not read")
    kinds = kinds_of(parameter)
    if kinds and kind not in kinds and not slug and not difference:
        supposed.append(f"a {kind.replace('_', ' ')} is no {parameter}")
    usual = usual_form(parameter, manner.tradition)
    if form == "below_ambient" and sense.form == form and usual not in {"unknown", form}:
        supposed.append("'below ambient' stands where a pressure of another form is usual")
    if form == "unknown":
        supposed.append(_UNSETTLED)
    repairs = tuple(draft.notes + supposed)
    status: Status = "read"
    doubted = chosen is not None and chosen.status == "ambiguous"
    if draft.void:
        status = "unread"
    elif candidates or supposed or doubted or (draft.notes and draft.doubtful):
        status = "ambiguous"
    elif draft.notes:
        status = "repaired"
    start, end = draft.start - lead, draft.end - lead
    return Figure(
        f"{_digest(text)}-{start}-{end}", (start, end), text[start:end], quantity, status,
        candidates, repairs, parameter=parameter or None,
        condition=(chosen.condition or None) if chosen is not None else None,
    )  # fmt: skip


def _in_unit(
    text: str,
    tradition: str,
    manner: Manner,
    ctx: Context,
    meanings: list[Meaning],
    chosen: Meaning | None,
    lead: int,
    parameter: str,
    unit: str,
) -> Figure:
    """The text's first number, in a unit that the caller names.

    The number is read afresh, as printed: what it means in the unit the words suggest is
    no guide to it.
    """
    tokens, _, reader = _reader(text, manner, manner.languages)
    drafts = [d for d in find_drafts(reader) if d.value is not None]
    at = -1
    if chosen is not None and measures_alike(unit, chosen.sense):
        at = chosen.draft.start - lead
    # Else a number with no unit of its own, before one that has another.
    free = [d for d in drafts if not d.senses] or drafts
    draft = next((d for d in drafts if d.start == at), free[0] if free else None)
    if draft is None:
        raise UsageError(
            f"no number in {text[:60]!r}" if text.strip() else "an empty text",
            expected="a number, such as '80' or '6 1/4'",
        )
    measures = parameter or (
        chosen.parameter if chosen is not None and is_named(ctx, chosen) else ""
    )
    row, kind = unit_for(unit, measures, chosen.sense.kind if chosen is not None else "")
    code = row.ucum or row.slug
    sense = Sense(code, kind, "", frozenset(), "after", 1)
    if kind == "pressure" and chosen is not None and chosen.sense.kind == "pressure":
        sense = sense._replace(form=chosen.sense.form)
    own = {s.unit for s in draft.senses}
    if is_compound(reader, draft) and code not in own:
        raise UsageError(
            f"{text[draft.start : draft.end]!r} has several units of its own, none of them {unit}",
            expected=" or ".join(sorted(own)),
            do="leave unit= out",
        )
    as_printed(draft)
    usual = "" if kind in SIZES_UNTOLD else default_parameter(kind, code, manner.tradition)
    mended_by_size(draft, code, measures or usual)
    form = form_for(sense, draft, measures, manner.tradition)
    if form == "unknown" and kind == "pressure" and not measures:
        form = bare_form(code, _told(tradition, manner))
    if parameter == "" and kind != (chosen.sense.kind if chosen is not None else kind):
        measures = ""
    draft.start += lead
    draft.end += lead
    slug = row.slug if unit_row(code, kind=kind).slug != row.slug else ""
    if chosen is not None and draft.start - lead != at:
        chosen = None  # the figure of the words is another one
    elif chosen is not None:
        chosen.status = "read"  # what its own unit made of it does not count
    return _made(
        text, manner, ctx, meanings, chosen, draft, lead, measures, form, sense, tokens, slug
    )  # fmt: skip
