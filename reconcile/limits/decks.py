"""Headings of a table read deck by deck: units they state, numbers they are.

A heading that is itself a number ("30,000" under "Weight, lb.") takes the unit over it, or
under it, for its own, and leaves none to the cells below.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from reconcile.limits.context import Context, Deck
from reconcile.limits.sense import is_plausible
from reconcile.limits.terms import default_parameter, subject_kinds
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid
from reconcile.notation.lexicon import Sense, unit_words
from reconcile.notation.tokens import read_tokens
from reconcile.notation.unitwords import PER, read_unit
from reconcile.notation.wordsets import word_set

Span = tuple[int, int]
Senses = tuple[Sense, ...]


def innermost(ctx: Context, decks: list[Deck]) -> Deck | None:
    """The deck nearest the cells that states units for them."""
    number: Fraction | None = None
    for deck in reversed(decks):
        if deck.units:
            if number is None:
                return deck
            rest = _without_unit_of(ctx, deck, number)
            if rest.units:
                return rest
            number = None
        elif deck.bare:
            number = deck.number
    return None


def _without_unit_of(ctx: Context, deck: Deck, number: Fraction) -> Deck:
    """`deck` without the unit that the number under it takes: "Speed, m.p.h., at height, ft."."""
    own = [units for units in deck.units if can_be(ctx, number, units)]
    if len(deck.units) < 2 or len(own) != 1:
        return deck._replace(units=())
    return deck._replace(units=tuple(units for units in deck.units if units is not own[0]))


def can_be(ctx: Context, number: Fraction | None, senses: Senses) -> bool:
    """Whether a number of that size is possible in a unit, whatever it measures."""
    for sense in senses:
        usual = default_parameter(sense.kind, sense.unit, ctx.tradition)
        if usual and is_plausible(number, sense.unit, usual):
            return True
    return False


def read_decks(ctx: Context, path: tuple[Span, ...]) -> list[Deck]:
    decks: list[Deck] = []
    i = 0
    while i < len(path):
        spans: tuple[Span, ...] = (path[i],)
        while i + 1 < len(path) and _runs_on(ctx, path[i], path[i + 1]):
            i += 1
            spans = (*spans, path[i])
        decks.append(deck_of(ctx, spans))
        i += 1
    return decks


def _runs_on(ctx: Context, outer: Span, inner: Span) -> bool:
    """Whether a heading goes on in the deck below: it ends in, or that begins with, "per"."""
    i, j = ctx.token_range(outer)
    m, n = ctx.token_range(inner)
    if j <= i or n <= m:
        return False
    norm = ctx.t.norm
    return norm[j - 1] in _PER or (norm[m] in _PER and n - m > 1 and bool(ctx.units_in(outer)))


_PER = PER - word_set("per-but-common")


def deck_of(ctx: Context, spans: tuple[Span, ...]) -> Deck:
    found = ctx.decks.get(spans)
    if found is None:
        found = ctx.decks[spans] = _read_deck(ctx, spans)
    return found


def _read_deck(ctx: Context, spans: tuple[Span, ...]) -> Deck:
    if len(spans) == 1:
        units = tuple(u.senses for u in ctx.units_in(spans[0]) if _stands(ctx, u.i, u.j, spans[0]))
        units = units or _letter(ctx, spans[0])
    else:
        units = _read_joined(ctx, " ".join(ctx.t.text[a:b] for a, b in spans))
    i, j = ctx.token_range(spans[-1])
    owner = ctx.owner[i] if i < j else -1
    if not units and len(spans) == 1:
        for k in ctx.drafts_between(i, j):
            if is_multiplier(ctx, k):
                draft = ctx.drafts[k]
                return Deck((draft.senses,), False, times=int(draft.nominal or 1))
    bare = owner >= 0 and not (ctx.drafts[owner].senses or ctx.drafts[owner].words_only)
    return Deck(units, bare, ctx.drafts[owner].value if bare else None)


def _stands(ctx: Context, i: int, j: int, span: Span) -> bool:
    """Whether a unit word in a heading is the unit of the cells.

    Not what a quantity is counted per ("per minute"), and not "Min." for a minimum, as a
    "Max." elsewhere shows.
    """
    norm = ctx.t.norm
    first, last = ctx.token_range(span)
    if i > first and norm[i - 1] in _PER and norm[i - 1] != "/":
        return False
    lone = len(norm[i]) == 1 and norm[i].isalpha() and set(norm[i + 1 : j]) <= {"."}
    if lone and i == first + 1 and norm[first] == "(" and j + 1 < last and norm[j] == ")":
        return False  # "(c) boost, lb./sq.in."
    if lone and norm[i - 1 : i] != ["("] and (i > first or j < last):
        return False  # "Part V. Drills"
    if lone and norm[i] in _SMALL and ctx.t.raw(i).isupper() and not ctx.spots_in("subject", span):
        return False  # "Low gear (M)"
    if j - i > 2 or norm[i] != "min":
        return True
    text, start = ctx.t.text, ctx.t.start[i]
    line = (text.rfind("\n", 0, start) + 1, (text.find("\n", start) + 1 or len(text) + 1) - 1)
    return not any(spot.value == "max" for spot in ctx.spots_in("bound", line))


_SMALL = frozenset("mshglt")


def _letter(ctx: Context, span: Span) -> tuple[Senses, ...]:
    """The unit of a heading that ends in a single small letter: "m", "Höhe m"."""
    i, j = ctx.token_range(span)
    last = j - 1 if j > i and ctx.t.norm[j - 1] != "." else j - 2
    if last < i or ctx.t.raw(last) not in _SMALL:
        return ()
    match = read_unit(ctx.t, last, ctx.tradition, apart=True)
    if match is None or (last > i and not measures(ctx, span, {s.kind for s in match.senses})):
        return ()
    return (match.senses,)


def _read_joined(ctx: Context, text: str) -> tuple[Senses, ...]:
    tokens = read_tokens(text, unit_words())
    found = []
    i = 0
    while i < len(tokens):
        match = read_unit(tokens, i, ctx.tradition, apart=True)
        if match is None:
            i += 1
            continue
        found.append(match.senses)
        i = match.end
    return tuple(found)


def is_multiplier(ctx: Context, k: int) -> bool:
    """Whether "1,000 ft." in a heading only says what its column is to be multiplied by.

    It is no height when the numbers under it are small, and no other heading of the table
    holds a number of the kind.
    """
    draft = ctx.drafts[k]
    if not ctx.grids or not draft.senses or draft.sign or ctx.cell_of[k] is not None:
        return False
    if draft.nominal not in _TIMES:
        return False
    place = _heading_of(ctx, draft)
    if place is None:
        return False
    grid, span = place
    first, last = ctx.token_range(span)
    norm = ctx.t.norm
    before, after = norm[first : draft.i], norm[draft.j : last]
    if not set(before) <= _TIMES_MARKS or not set(after) <= {")", "."}:
        return False
    under = [cell for cell in grid.cells if span in cell.column]
    values = [ctx.drafts[m] for cell in under for m in drafts_in(ctx, cell.span)]
    if len(values) < 2 or any(d.senses or d.value is None or d.value >= 100 for d in values):
        return False
    kinds = {sense.kind for sense in draft.senses}
    others = (ctx.drafts[m] for head in grid.headings for m in drafts_in(ctx, head))
    return not any(d is not draft and kinds & {s.kind for s in d.senses} for d in others)


_TIMES = frozenset({10, 100, 1000, 10000})
_TIMES_MARKS = word_set("times-marks")


def drafts_in(ctx: Context, span: Span) -> range:
    return ctx.drafts_between(*ctx.token_range(span))


def over_heading(ctx: Context, draft: Draft) -> tuple[Span, ...]:
    """Headings over the heading that a number stands in."""
    place = _heading_of(ctx, draft)
    if place is None:
        return ()
    path = ctx.heads[id(place[0])][place[1]]
    return path[: path.index(place[1])]


def caption_over(ctx: Context, draft: Draft) -> Span | None:
    """The caption of the table in whose headings a number stands."""
    place = _heading_of(ctx, draft)
    return None if place is None else place[0].caption


def unit_beneath(ctx: Context, draft: Draft) -> Senses:
    """The unit in the deck under a number that heads a column, if it is the number's own."""
    place = _heading_of(ctx, draft)
    if place is None:
        return ()
    path = ctx.heads[id(place[0])][place[1]]
    below = path[path.index(place[1]) + 1 :]
    return _own_unit(ctx, place[1], below[0]) if below else ()


def free_path(ctx: Context, path: tuple[Span, ...]) -> tuple[Span, ...]:
    """`path` without numbers that have their unit in the deck below, and that deck."""
    kept: list[Span] = []
    i = 0
    while i < len(path):
        if i + 1 < len(path) and _own_unit(ctx, path[i], path[i + 1]):
            i += 2
            continue
        kept.append(path[i])
        i += 1
    return tuple(kept)


def _own_unit(ctx: Context, number: Span, unit: Span) -> Senses:
    """The unit that heads no cells but belongs to the number over it: "2,850" over "r.p.m."."""
    if not deck_of(ctx, (number,)).bare:
        return ()
    senses = lone_unit(ctx, unit)
    return senses if can_be(ctx, deck_of(ctx, (number,)).number, senses) else ()


def lone_unit(ctx: Context, span: Span) -> Senses:
    """The unit that is all a heading consists of, or nothing."""
    i, j = ctx.token_range(span)
    found = ctx.units_in(span)
    if len(found) != 1 or found[0].i != i or found[0].j < j - 1:
        return ()
    return found[0].senses


def _heading_of(ctx: Context, draft: Draft) -> tuple[Grid, Span] | None:
    """The table and the column heading a number stands in, or None."""
    last = bisect_right(ctx.grid_starts, draft.start)
    for grid in reversed(ctx.grids[max(0, last - 4) : last]):
        if not grid.span[0] <= draft.start < grid.span[1]:
            continue
        heads = ctx.heads.get(id(grid))
        if heads is None:
            heads = ctx.heads[id(grid)] = {
                span: cell.column for cell in grid.cells for span in cell.column
            }
        for span in heads:
            if span[0] <= draft.start < span[1]:
                return grid, span
    return None


def measures(ctx: Context, span: Span, kinds: set[str]) -> bool:
    """Whether something named in `span` comes in one of `kinds`."""
    known = subject_kinds()
    return any(kinds & set(known.get(s.value, ())) for s in ctx.spots_in("subject", span))
