"""The number of a lone figure: as printed, and whether all of it was read."""

from __future__ import annotations

from reconcile.errors import UnknownUnitError
from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.limits.sense import is_plausible
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import FRACTION, NUMBER, WORD, Tokens
from reconcile.notation.values import COMPOUNDS, ValueReader
from reconcile.notation.wordsets import word_set


def cut_short(tokens: Tokens, draft: Draft) -> str:
    """What goes on after a unit as if it were part of it: "/ft" of "5 lb/ft"; else blank."""
    j = draft.j
    if draft.unit_end != j:
        return ""
    while j < len(tokens) and j - draft.j < 4 and tokens.norm[j] in _MATTER:
        j += 1  # "lb. of fuel per ..."
    if j + 1 >= len(tokens):
        return tokens.raw(j) if j < len(tokens) and _dangles(tokens, draft, j) else ""
    if tokens.gap[j] > 1:
        return ""
    if _dangles(tokens, draft, j):
        return tokens.raw(j)
    stroke = tokens.norm[j] == "/" and tokens.gap[j] == 0 and tokens.gap[j + 1] == 0
    if not stroke and not (tokens.norm[j] in _PER and tokens.gap[j + 1] == 1):
        return ""
    if tokens.kind[j + 1] != WORD and tokens.norm[j + 1] != "(":
        return ""
    return tokens.text[tokens.start[j] : tokens.end[j + 1]]


def _dangles(tokens: Tokens, draft: Draft, j: int) -> bool:
    """Whether a number stands at token `j` as the smaller part of a compound: "5 ft 3"."""
    major = any(sense.unit in _MAJOR for sense in draft.senses)
    return major and j == draft.j and tokens.kind[j] in {NUMBER, FRACTION} and tokens.gap[j] < 2


_MAJOR = frozenset(pair[0] for pair in COMPOUNDS)
_MATTER = word_set("matter-of-rates")
_PER = word_set("per-in-print")


def specific_gravity_apart(ctx: Context, meanings: list[Meaning], start: int) -> Draft | None:
    """The number of a specific gravity that its temperature keeps from its name:
    "sp. gr. 60/60 °F 0.720"."""
    subjects = ctx.roles.get("subject", ())
    if not any(spot.value == "specific gravity" for spot in subjects) or not all(
        meaning.sense.kind == "temperature" for meaning in meanings
    ):
        return None
    for draft in ctx.drafts:
        step = draft.resolution
        if draft.start >= start and not draft.senses and step is not None and step < 1:
            return draft
    return None


def is_compound(reader: ValueReader, draft: Draft) -> bool:
    """Whether a number is put together of several units: "3 cwt. 2 qr. 5 lb."."""
    if draft.lo is not None or draft.plus_minus is not None or not draft.senses:
        return False
    return any(
        reader.number_at(i) is not None and reader.t.kind[i] != WORD
        for i in range(max(draft.unit_at, draft.i + 1), draft.j)
    )


def take_unit_before(ctx: Context, start: int) -> bool:
    """Give a lone bare number the unit printed before it, as in "Ladedruck (ata) 1,42"."""
    for draft in ctx.drafts:
        if draft.start < start or draft.senses or draft.value is None:
            continue
        before = [units for units in ctx.units if units.j <= draft.i]
        if before:
            draft.senses = before[-1].senses
            return True
    return False


def as_printed(draft: Draft) -> bool:
    """Take a point in an English number for the decimal one it is by rule.

    "2.850" in a table of engine speeds is 2,850 misprinted; alone it has three decimals.
    Returns whether the number could be read the other way.
    """
    if draft.other is None or not draft.odd_mark:
        return draft.other is not None
    was = (draft.nominal, draft.lo, draft.hi, draft.resolution)
    draft.nominal, draft.lo, draft.hi, draft.resolution = draft.other
    draft.other = None if was[3] is None else (*was[:3], was[3])
    draft.odd_mark = False
    return True


def mended_by_size(draft: Draft, unit: str, parameter: str) -> None:
    """Let the size in a unit the caller names decide between two readings of a mark."""
    if draft.other is None:
        return
    other = draft.other[0] if draft.other[0] is not None else draft.other[2]
    try:
        wrong = not is_plausible(draft.value, unit, parameter)
        right = is_plausible(other, unit, parameter)
    except UnknownUnitError:
        return
    if wrong and right:
        draft.nominal, draft.lo, draft.hi, draft.resolution = draft.other
        draft.notes.append("the mark in the number read the other way, as the size demands")
