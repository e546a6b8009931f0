"""One figure of a short text: what its few other words, or the caller, settle about it.

A manual's page says what a figure measures many times over; a single line says it once or
not at all. Where neither its words nor the usage of its tradition settle what a pressure is
counted from, that stays unknown here, however likely a guess would be.
"""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from functools import cache

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.limits.said import heights, say, stated_form
from reconcile.limits.senses import named
from reconcile.limits.terms import reference_form, subject_kinds
from reconcile.measure.units import UnitRow, unit_row
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense, walk
from reconcile.notation.wordsets import word_set
from reconcile.reference import load_rows


def is_named(ctx: Context, meaning: Meaning) -> bool:
    """Whether the words, and not only the unit or the size, say what a figure measures."""
    if not meaning.subject:
        return bool(meaning.parameter) and meaning.condition not in {"", "total", "reserve"}
    if any(spot.value == meaning.subject for spot in ctx.roles.get("subject", ())):
        return True
    return bool(meaning.draft.sign) and meaning.parameter == "boost"


def only_subject(ctx: Context, kind: str) -> str:
    """Parameter of the one thing the words name, whether the size is likely or not."""
    found = {
        name
        for spot in ctx.roles.get("subject", ())
        if (name := subject_kinds().get(spot.value, {}).get(kind))
    }
    return found.pop() if len(found) == 1 else ""


@cache
def bare_form(unit: str, tradition: str) -> str:
    """Reference form that a unit settles by itself in a tradition; "unknown" if none."""
    for row in load_rows("notation/bare-forms"):
        if row["unit"] == unit and (
            not row["traditions"] or tradition in row["traditions"].split()
        ):
            return row["form"]
    return "unknown"


def settled_form(ctx: Context, meaning: Meaning, tradition: str) -> str:
    """Reference form of a lone figure's pressure, of a paper of `tradition`."""
    if meaning.sense.kind != "pressure":
        return "none"
    if meaning.sense.form:
        return meaning.sense.form
    if is_named(ctx, meaning):
        if not meaning.draft.sign or meaning.form != "absolute":
            return meaning.form
        # A plus or minus has no place on an absolute pressure: this one counts from somewhere.
        return "fixed_datum" if meaning.subject == "boost" else stated_form(ctx)
    said = stated_form(ctx)
    return bare_form(meaning.sense.unit, tradition) if said == "unknown" else said


def kinds_of(parameter: str) -> tuple[str, ...]:
    """Kinds of quantity that a parameter can be of."""
    return tuple(
        dict.fromkeys(
            kind
            for kinds in subject_kinds().values()
            for kind, name in kinds.items()
            if name == parameter
        )
    )


def unit_for(code: str, parameter: str, kind: str) -> tuple[UnitRow, str]:
    """Row of a unit that the caller names, and the kind of quantity it then measures.

    Parameters
    ----------
    code : str
        UCUM code or slug.
    parameter : str
        What the figure measures, if known: a code can be a pressure's and a loading's.
    kind : str
        Kind that the text alone would give the figure.
    """
    row = unit_row(code)
    if code == row.slug:
        return row, kind if _fits(row, kind) else row.kind
    for wanted in dict.fromkeys((*kinds_of(parameter), kind)):
        there = unit_row(code, kind=wanted)
        if there.kind == wanted or (_fits(there, wanted) and there.si_unit == row.si_unit):
            return there, wanted
    return row, row.kind


SIZES_UNTOLD = frozenset({"mass", "volume", "volume_flow", "mass_flow", "distance", "force"})
"""Kinds that come in any size, so long as nothing says of what they are."""


def measures_alike(code: str, sense: Sense) -> bool:
    """Whether a unit could stand in the place of the written one."""
    here = unit_row(sense.unit, kind=sense.kind)
    return any(
        row.si_unit == here.si_unit for row in (unit_row(code), unit_row(code, kind=sense.kind))
    )


_LIKE = {"altitude": "length", "distance": "length"}


def _fits(row: UnitRow, kind: str) -> bool:
    return row.kind == _LIKE.get(kind, kind)


def form_for(sense: Sense, draft: Draft, parameter: str, tradition: str) -> str:
    """Reference form of a pressure that the caller says is `parameter`."""
    if sense.form:
        return sense.form
    if sense.kind != "pressure":
        return "none"
    # Boost in inches is an absolute pressure under another name.
    form = reference_form(named(parameter, sense, tradition, draft), tradition)
    if form == "absolute" and draft.sign:
        return "fixed_datum" if parameter == "boost" else "unknown"
    return form


def is_change(ctx: Context, meaning: Meaning) -> bool:
    """Whether a temperature is a rise, a fall or a step, and no reading."""
    if meaning.parameter == "temperature interval":
        return True
    i = meaning.draft.i
    for role in ("change", "change-noun"):
        spots = ctx.roles.get(role, [])
        here = bisect_left(ctx.starts.get(role, []), i)
        for spot in spots[max(0, here - 4) : here]:
            if 0 <= i - spot.j <= 3 and _LINKS.issuperset(ctx.t.norm[spot.j : i]):
                return True
    return False


_LINKS = word_set("after-rise")
"""Words that may stand between "rise" and how much it is; "to" is not among them."""


def rivals(draft: Draft, chosen: Sense, tradition: str) -> tuple[str, ...]:
    """Other units that the same written one stands for in other countries."""
    if tradition != "unknown" or not chosen.traditions:
        return ()
    return tuple(
        dict.fromkeys(
            sense.unit
            for sense in draft.senses
            if sense.rank == 1
            and sense.kind == chosen.kind
            and sense.unit != chosen.unit
            and sense.traditions
        )
    )


def stated_height(ctx: Context, meanings: list[Meaning], chosen: Meaning | None) -> Fraction | None:
    """Height [m] that the text says the chosen figure holds at, if it says one."""
    for other in meanings:
        if other is chosen or not leads_in_height(ctx, other):
            continue
        value = other.draft.nominal
        if value is not None:
            return unit_row(other.sense.unit).to_si(value)
    return Fraction(0) if say(ctx.t, "level") else None


def leads_in_height(ctx: Context, meaning: Meaning) -> bool:
    """Whether a figure is the height another holds at: "at 20,000 ft"."""
    if meaning.sense.kind not in {"altitude", "length", "distance"}:
        return False
    if meaning.parameter not in {"altitude", "", "distance"} and any(
        spot.value == meaning.parameter for spot in ctx.roles.get("subject", ())
    ):
        return False  # "cabin altitude 8,000 ft"
    i = meaning.draft.i
    trie = heights()
    for back in range(1, 5):
        if i - back < 0:
            break
        match = walk(trie, ctx.t, i - back) if ctx.t.norm[i - back] in trie else None
        if match is not None and match.end == i:
            return True
    return False


def first_of(ctx: Context, meanings: list[Meaning], parameter: str) -> Meaning | None:
    """The first figure that may be meant: of the caller's parameter, and no mere condition."""
    free = [m for m in meanings if not only_says_where(ctx, meanings, m)] or meanings
    kinds = kinds_of(parameter) if parameter else ()
    return next((m for m in free if m.sense.kind in kinds), free[0] if free else None)


def only_says_where(ctx: Context, meanings: list[Meaning], meaning: Meaning) -> bool:
    """Whether a figure only says at which height, or temperature, another one holds."""
    if len(meanings) < 2:
        return False
    if meaning.sense.kind == "temperature":
        return any(m.parameter == "specific gravity" for m in meanings)
    return leads_in_height(ctx, meaning)
