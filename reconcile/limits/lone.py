"""The one figure of a short text, with all that its words and the caller settle about it."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

from reconcile.errors import UsageError
from reconcile.limits.alone import (
    SIZES_UNTOLD,
    bare_form,
    first_of,
    form_for,
    is_change,
    is_named,
    kinds_of,
    measures_alike,
    only_subject,
    rivals,
    settled_form,
    stated_height,
    unit_for,
)
from reconcile.limits.candidates import find_options
from reconcile.limits.context import Context
from reconcile.limits.interpret import interpret
from reconcile.limits.look import digest_of, interpreted, option_quantity, reader_of
from reconcile.limits.meaning import Meaning
from reconcile.limits.printed import (
    as_printed,
    cut_short,
    is_compound,
    mended_by_size,
    specific_gravity_apart,
    take_unit_before,
)
from reconcile.limits.said import (
    country_said,
    datum_said,
    is_below_zero,
    partner,
    relative_density,
    scale_said,
)
from reconcile.limits.terms import default_parameter, reference_form
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import unit_row
from reconcile.notation.drafts import Draft
from reconcile.notation.grammar import find_drafts
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import Tokens
from reconcile.notation.tradition import Manner
from reconcile.records import Candidate, Figure, Status

UNSETTLED = "nothing says what the pressure is counted from"


def first_figure(text: str, tradition: str, parameter: str, unit: str | None) -> Figure:
    """The text's first figure, with all that its words and the caller's settle about it."""
    # What the caller says it measures goes before the text as a heading would.
    head = f"{parameter}: " if parameter else ""
    if tradition == "unknown":
        tradition = country_said(text)
    # A line with no number in figures may be someone talking: "boost plus fourteen".
    spoken = (False,) if any(c.isdigit() for c in text) else (False, True)
    for lead, speech in product(dict.fromkeys((head, "")), spoken):
        manner, ctx, meanings = interpreted(text, tradition, lead, sure=True, speech=speech)
        meanings = [m for m in meanings if m.draft.start >= len(lead)]
        if not meanings and take_unit_before(ctx, len(lead)):
            meanings = [m for m in interpret(ctx) if m.draft.start >= len(lead)]
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
            do="name what it measures, or its unit",
        )
    sense, draft = chosen.sense, chosen.draft
    untold = sense.kind in SIZES_UNTOLD or sense.form in {"gauge", "below_ambient"}
    told = "" if parameter or is_named(ctx, chosen) else only_subject(ctx, sense.kind)
    if told:
        parameter = told  # the size speaks against it; the words are plain
        draft.supposed.append(f"an unusual size for {told}")
    elif not parameter and untold and not is_named(ctx, chosen):
        # Nothing is known that could make five pounds and a quarter too small.
        _, _, reader = reader_of(ctx.t.text, manner, manner.languages)
        printed = next((d for d in find_drafts(reader) if d.start == draft.start), draft)
        printed.senses = draft.senses
        if printed.odd_mark and as_printed(printed):
            printed.supposed.append("the point may stand for the comma of thousands")
        draft, chosen.status, chosen.parameter = printed, "read", ""
    elif chosen.status == "ambiguous":
        # A point supposed lost is a candidate; the number stays as it stands.
        _, _, reader = reader_of(ctx.t.text, manner, manner.languages)
        printed = next((d for d in find_drafts(reader) if d.start == draft.start), draft)
        if not printed.odd_mark and printed.value != draft.value:
            draft.notes = [f"as printed, an unusual size for {chosen.parameter or sense.kind}"]
            draft.doubtful = True
            draft.nominal, draft.lo, draft.hi = printed.nominal, printed.lo, printed.hi
            draft.plus_minus, draft.resolution = printed.plus_minus, printed.resolution
    if sense.kind == "temperature" and (scale := scale_said(ctx.t, draft)) is not None:
        sense = scale
        draft.senses = (scale,)
    said = country_said(text)
    if sense.traditions and said not in {"unknown", tradition, *sense.traditions}:
        draft.supposed.append(f"the words name {said} units, the paper is {tradition}")
    form = settled_form(ctx, chosen, _told(tradition, manner))
    named = chosen.parameter
    if form == "fixed_datum" and chosen.form == "absolute":
        # Plus or minus so much of boost: the size of an absolute pressure is no guide to it.
        draft.notes = [n for n in draft.notes if not n.startswith("hardly possible")]
        chosen.status, named = "read", "boost"
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
    supposed = [s for s in draft.supposed if s != UNSETTLED]
    if own_unit and (rest := cut_short(tokens, draft)):
        supposed.append(f"{rest!r} after the unit is not read")
    kinds = kinds_of(parameter)
    if kinds and kind not in kinds and not slug and not difference:
        supposed.append(f"a {kind.replace('_', ' ')} is no {parameter}")
    usual = reference_form(parameter, manner.tradition)
    if form == "below_ambient" and sense.form == form and usual not in {"unknown", form}:
        supposed.append("'below ambient' stands where a pressure of another form is usual")
    if form == "unknown":
        supposed.append(UNSETTLED)
    repairs = tuple(draft.notes + supposed)
    status: Status = "read"
    doubted = chosen is not None and chosen.status == "ambiguous"
    if UNSETTLED in draft.supposed and form != "unknown" and not supposed and not draft.notes:
        doubted = False
    if draft.void:
        status = "unread"
    elif candidates or supposed or doubted or (draft.notes and draft.doubtful):
        status = "ambiguous"
    elif draft.notes:
        status = "repaired"
    if status == "ambiguous" and not candidates and chosen is not None and draft is chosen.draft:
        chosen.form = form
        candidates = tuple(
            Candidate(option_quantity(option, quantity), odds, option.reason)
            for option, odds in find_options(chosen)
        )
    start, end = draft.start - lead, draft.end - lead
    return Figure(
        f"{digest_of(text)}-{start}-{end}", (start, end), text[start:end], quantity, status,
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
    tokens, _, reader = reader_of(text, manner, manner.languages)
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
