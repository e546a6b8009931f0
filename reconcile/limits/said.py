"""What the other words of a short text say about its one figure, by a table of phrases."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.measure.datums import datums
from reconcile.measure.units import unit_row
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense, Trie, split_form, walk
from reconcile.notation.tokens import Tokens, read_tokens
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


def heights() -> Trie:
    """Phrases that lead in the height a figure holds at."""
    return _words().tries["height"]
