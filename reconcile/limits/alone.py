"""One figure of a short text: what its few other words, or the caller, settle about it.

A manual's page says what a figure measures many times over; a single line says it once or
not at all. Where neither its words nor the usage of its tradition settle what a pressure is
counted from, that stays unknown here, however likely a guess would be.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from reconcile.errors import UnknownUnitError
from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.limits.sense import is_plausible
from reconcile.limits.subjects import named
from reconcile.limits.terms import reference_form, subject_kinds
from reconcile.measure.datums import datums
from reconcile.measure.units import UnitRow, unit_row
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense, Trie, split_form, walk
from reconcile.notation.tokens import FRACTION, NUMBER, WORD, Tokens, read_tokens
from reconcile.notation.values import COMPOUNDS, ValueReader
from reconcile.reference import load_rows


class Words(NamedTuple):
    """What the text's words say about one figure of kind `role`."""

    tries: dict[str, Trie]
    defaults: dict[tuple[str, str], str]


@cache
def _words() -> Words:
    tries: dict[str, Trie] = {}
    defaults: dict[tuple[str, str], str] = {}
    for row in load_rows("notation/bare-words"):
        if not row["forms"]:
            for tradition in row["traditions"].split():
                defaults[row["role"], tradition] = row["value"]
            continue
        for form in row["forms"].split("|"):
            node = tries.setdefault(row["role"], {})
            for piece in split_form(form):
                node = node.setdefault(piece, {})
            node.setdefault("", []).append(row["value"])
    return Words(tries, defaults)


def say(tokens: Tokens, role: str, owner: list[int] | None = None) -> tuple[str, ...]:
    """Everything the words of a text say about `role`; those of a figure's own (its `owner`
    not below 0), as "gauge" in "mm water gauge", left out."""
    trie = _words().tries[role]
    found: list[str] = []
    i = 0
    while i < len(tokens):
        match = walk(trie, tokens, i) if tokens.norm[i] in trie else None
        if match is None or (owner is not None and owner[i] >= 0):
            i += 1
            continue
        found += match.what
        i = match.end
    return tuple(found)


def is_named(ctx: Context, meaning: Meaning) -> bool:
    """Whether the words, and not only the unit or the size, say what a figure measures."""
    if not meaning.subject:
        return bool(meaning.parameter) and meaning.condition not in {"", "total", "reserve"}
    if any(spot.value == meaning.subject for spot in ctx.roles.get("subject", ())):
        return True
    return bool(meaning.draft.sign) and meaning.parameter == "boost"


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


def stated_form(ctx: Context) -> str:
    """Reference form that the words state outright; "unknown" where they do not."""
    said = say(ctx.t, "form", ctx.owner)
    return said[0] if len(set(said)) == 1 else "unknown"


def is_below_zero(tokens: Tokens, draft: Draft) -> bool:
    """Whether words after a temperature turn its sign: "10° below zero"."""
    trie = _words().tries["sign"]
    return any(
        k < len(tokens) and tokens.norm[k] in trie and walk(trie, tokens, k) is not None
        for k in (draft.j, draft.j + 1)
    )


def scale_said(tokens: Tokens, draft: Draft) -> Sense | None:
    """The scale that the words name for a temperature whose unit is a bare degree."""
    said = dict.fromkeys(say(tokens, "scale"))
    if len(said) != 1 or not any(sense.kind != "temperature" for sense in draft.senses):
        return None  # more than one, or the unit itself has its scale
    return Sense(next(iter(said)), "temperature", "", frozenset(), "after", 1)


def datum_said(ctx: Context, meanings: list[Meaning], chosen: Meaning) -> str:
    """Slug of the fixed datum that the text gives its boost: "(datum 14.7 lb/in2)"."""
    if not say(ctx.t, "datum"):
        return ""
    for other in meanings:
        value = other.draft.nominal
        if other is not chosen and other.sense.kind == "pressure" and value is not None:
            pressure = unit_row(other.sense.unit, kind="pressure").to_si(value)
            if slug := datum_of(pressure):
                return slug
    return ""


def datum_of(pressure: Fraction | None) -> str:
    """Slug of the fixed datum of that pressure [Pa]; blank where none is."""
    near = [d for d in datums() if pressure is not None and abs(d.pressure - pressure) < _NEAR]
    return min(near, key=lambda d: abs(d.pressure - (pressure or 0))).slug if near else ""


_NEAR = Fraction(1, 20)
"""How far a datum may be from the one meant [Pa]; 760 mm Hg is 0.014 Pa from the atmosphere."""


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
_MATTER = frozenset({"of", "fuel", "oil", "petrol", "air", "(", ")", "us", "u", "s", "imp", "."})
_PER = frozenset({"per", "je", "pro", "par", "毎"})


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
    return any(
        0 <= i - spot.j <= 3 and _LINKS.issuperset(ctx.t.norm[spot.j : i])
        for role in ("change", "change-noun")
        for spot in ctx.roles.get(role, ())
    )


_LINKS = frozenset({
    "of", "in", "by", "temperature", "temp", ".", ":", "=", "...", "about", "approx", "von", "um",
    "de", "di", "на", "not", "over", "max",
})  # fmt: skip
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


def relative_density(tokens: Tokens, tradition: str) -> str:
    """Slug of the unit row of a specific gravity: "number" where it is no density of fuel."""
    said = say(tokens, "water")
    for value in ("number", "specific-gravity-4c", "specific-gravity-60-60f"):
        if value in said:
            return value
    return _words().defaults.get(("water", tradition), "specific-gravity-60-60f")


def country_said(text: str) -> str:
    """Tradition that the words name outright, as in "85 gallons a side (Imperial)"."""
    tokens = read_tokens(text)
    trie = _words().tries["country"]
    said = {
        what
        for i in range(len(tokens))
        if tokens.norm[i] in trie and (len(tokens.norm[i]) > 3 or tokens.raw(i).isupper())
        for match in [walk(trie, tokens, i)]
        if match is not None
        for what in match.what
    }
    return said.pop() if len(said) == 1 else "unknown"


def partner(tokens: Tokens) -> str:
    """What a differential pressure counts from; blank where the words do not say."""
    said = say(tokens, "partner")
    return said[0] if said else ""


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
    trie = _words().tries["height"]
    for back in range(1, 5):
        if i - back < 0:
            break
        match = walk(trie, ctx.t, i - back) if ctx.t.norm[i - back] in trie else None
        if match is not None and match.end == i:
            return True
    return False


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
