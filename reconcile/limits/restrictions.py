"""What a limit is held to besides its condition: a supercharger gear, a band of height."""

from __future__ import annotations

from bisect import bisect_left
from functools import cache, lru_cache

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.wordsets import word_set
from reconcile.records import Span
from reconcile.reference import load_rows

_UNBOUND = frozenset({"altitude", "volume", "mass", "length", "area"})
"""Kinds of which no gear and no height is told."""
_UNITS = {"[ft_i]": "ft", "m": "m", "km": "km"}
_NEAR = 1.3


def find_restrictions(ctx: Context, meanings: list[Meaning]) -> list[tuple[str, ...]]:
    """Of each meaning: the gear and the heights it is said to hold for.

    Parameters
    ----------
    ctx : Context
    meanings : list of Meaning
        Of all figures of the text, with their conditions.

    Returns
    -------
    held : list of tuple of str
        For each meaning such as ``("S gear", "up to 10000 ft")``, empty where nothing is said.
    """
    cells = {id(draft): place for draft, place in zip(ctx.drafts, ctx.cell_of) if place}
    heights = [
        m
        for m in meanings
        if m.sense.kind == "altitude" and m.sense.unit in _UNITS and m.draft.value is not None
    ]
    held: list[tuple[str, ...]] = []
    for n, meaning in enumerate(meanings):
        if meaning.sense.kind in _UNBOUND:
            held.append(())
            continue
        place = cells.get(id(meaning.draft))
        said: list[str] = []
        if gear := _gear(ctx, meaning, place):
            said.append(gear)
        if meaning.twin is not None and held and meanings[n - 1] is meaning.twin:
            said += [words for words in held[n - 1] if words not in said]
        elif heights and (band := _band(ctx, meaning, place, heights, meanings)):
            said.append(band)
        held.append(tuple(said))
    return held


@cache
def _forms(role: str) -> dict[str, str]:
    return {
        form: row["value"]
        for row in load_rows("notation/restrictions")
        if row["role"] == role
        for form in row["forms"].split("|")
    }


@lru_cache(maxsize=4096)
def _plain(text: str) -> str:
    return " ".join(text.casefold().replace(".", " ").strip(" :-–—*†‡()").split())


def _gear(ctx: Context, meaning: Meaning, place: tuple[Grid, GridCell] | None) -> str:
    """Gear a figure's row, column or clause names, where its condition does not."""
    if meaning.condition and any(word in meaning.condition for word in _GEARED):
        return ""
    if place is None:
        return _gear_around(ctx, meaning.draft)
    grid, cell = place
    text = ctx.t.text
    for other in ctx.row_of(grid, cell):
        if other is cell or not other.column:
            continue
        heads = [_plain(text[a:b]) for a, b in other.column]
        if _forms("gear-heading").keys().isdisjoint((*heads, " ".join(heads))):
            continue
        if setting := _forms("gear-setting").get(_plain(text[slice(*other.span)])):
            return setting
    for span in (*reversed(cell.row), *reversed(cell.column)):
        if gear := _named_gear(ctx, span):
            return gear
        if setting := _forms("gear-setting").get(_plain(text[slice(*span)])):
            spans = cell.column if span in cell.column else cell.row
            heads = [_plain(text[a:b]) for a, b in spans]
            if not _forms("gear-heading").keys().isdisjoint(heads):
                return setting
    return ""


_GEARED = word_set("words-of-gears")


def _named_gear(ctx: Context, span: Span) -> str:
    for spot in ctx.spots_in("condition", span):
        if spot.group == "gear" and "change" not in spot.value and "check" not in spot.value:
            return spot.value
    return ""


def _gear_around(ctx: Context, draft: Draft) -> str:
    """Gear named in the same clause, with no figure of the kind between."""
    starts = ctx.starts.get("condition")
    if not starts:
        return ""
    spots = ctx.roles["condition"]
    here = bisect_left(starts, draft.i)
    for spot in (*spots[here : here + 2], *reversed(spots[max(0, here - 3) : here])):
        if spot.group != "gear" or "change" in spot.value or "check" in spot.value:
            continue
        i, j = (draft.j, spot.i) if spot.i >= draft.j else (spot.j, draft.i)
        if i > j or ctx.barrier(i, j) > _NEAR:
            continue
        between = ctx.drafts_between(i, j)
        if spot.i >= draft.j and (between or ctx.barrier(i, j) > 0.9):
            continue  # "2,850 r.p.m., +9 lb. in M gear" says nothing of the speed
        if not any(ctx.drafts[b].kind == draft.kind for b in between):
            return spot.value
    return ""


def _band(
    ctx: Context,
    meaning: Meaning,
    place: tuple[Grid, GridCell] | None,
    heights: list[Meaning],
    meanings: list[Meaning],
) -> str:
    """Heights a figure's row, column or clause holds it to."""
    if place is not None:
        for a, b in (*place[1].row, *place[1].column):
            at = bisect_left(heights, a, key=_start)
            if at < len(heights) and heights[at].draft.start < b:
                return _held(ctx, heights[at])
        return ""
    draft = meaning.draft
    at = bisect_left(heights, draft.start, key=_start)
    for height in heights[max(0, at - 2) : at + 2]:
        other = height.draft
        i, j = (draft.j, other.i) if other.i >= draft.j else (other.j, draft.i)
        if i > j or not _lead(ctx, height):
            continue
        # a line of its own binds a height in front of it to what the line leads to
        if ctx.barrier(i, j) > _NEAR or "\n" in ctx.t.text[ctx.t.end[i - 1] : ctx.t.start[j]]:
            continue
        between = ctx.drafts_between(i, j)
        if other.i >= draft.j:
            if all(_repeats(meanings, ctx.drafts[b], meaning) for b in between) and (
                other.i - draft.j <= 4 or between
            ):
                return _held(ctx, height)
        elif all(ctx.drafts[b].kind != draft.kind for b in between) and _begins(ctx, other):
            return _held(ctx, height)
    return ""


def _start(meaning: Meaning) -> int:
    return meaning.draft.start


def _repeats(meanings: list[Meaning], draft: Draft, meaning: Meaning) -> bool:
    at = bisect_left(meanings, draft.start, key=_start)
    return any(m.draft is draft and m.twin is meaning for m in meanings[at : at + 3])


def _begins(ctx: Context, draft: Draft) -> bool:
    """Whether a height stands at the head of its line, or of its clause."""
    t = ctx.t
    i = draft.i
    while i > 0 and draft.i - i < 5:
        if t.gap[i] >= 3 or t.norm[i - 1] in {".", ";", ":", ","}:
            return True
        i -= 1
    return i == 0


def _lead(ctx: Context, height: Meaning) -> str:
    """The word that makes a height a band: "below", "up to", "above"."""
    norm = ctx.t.norm
    i = height.draft.i
    for length in (2, 1, 3):
        if i >= length:
            found = _forms("band").get(" ".join(norm[i - length : i]))
            if found:
                return found
    return "to" if height.draft.nominal is None and height.draft.lo is not None else ""


def _held(ctx: Context, height: Meaning) -> str:
    """The words for a band; its height is then no limit itself."""
    if height.bound in {"max", "min"}:
        height.bound = "nominal"
    return _worded(ctx, height)


def _worded(ctx: Context, height: Meaning) -> str:
    draft, unit = height.draft, _UNITS[height.sense.unit]
    if draft.lo is not None and draft.hi is not None and draft.nominal is None:
        return f"{_plainly(draft.lo)} to {_plainly(draft.hi)} {unit}"
    lead = _lead(ctx, height) or "at"
    return f"{lead} {_plainly(draft.value)} {unit}"


def _plainly(value: object) -> str:
    number = float(value)  # type: ignore[arg-type]
    return f"{number:.0f}" if number.is_integer() else f"{number:g}"
