"""What the headings of a table say its cells are measured in.

A column's unit stands in its own headings, or in those of its row, or over the whole
table. A heading that is itself a number ("30,000" under "Weight, lb.") takes the unit
over it for its own, and leaves none to the cells below.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from typing import NamedTuple

from reconcile.limits.context import Context, Deck, Spot
from reconcile.limits.sense import is_plausible
from reconcile.limits.terms import default_parameter, subject_kinds
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.lexicon import Sense, unit_words
from reconcile.notation.tokens import read_tokens
from reconcile.notation.unitwords import PER, read_unit

Span = tuple[int, int]
Senses = tuple[Sense, ...]


class Stated(NamedTuple):
    """Units that headings state: one, or one for each number of a cell in turn."""

    units: tuple[Senses, ...]
    where: str
    """ "column", "row" or "table"."""
    times: int = 1
    """What the number is to be multiplied by."""


def stated_units(ctx: Context, k: int) -> Stated | None:
    """Units that the headings over and beside draft `k` state, or None."""
    place = ctx.cell_of[k]
    if place is None:
        outer = over_heading(ctx, ctx.drafts[k])
        beneath = _unit_beneath(ctx, ctx.drafts[k])
        if beneath:
            return Stated((beneath,), "column")
        deck = _innermost(ctx, _decks(ctx, outer)) if outer else None
        if deck is not None and len(deck.units) > 1:
            own = [units for units in deck.units if _can_be(ctx, ctx.drafts[k].value, units)]
            deck = deck._replace(units=tuple(own[:1])) if len(own) == 1 else deck
        return _by(deck, "column")
    grid, cell = place
    own = own_headings(ctx, grid, cell)
    deck = _innermost(ctx, _decks(ctx, _free(ctx, ctx.column_path(grid, cell))))
    if deck is not None and deck.units and _agrees(ctx, own, deck):
        return _by(deck, "column")
    if not cell.at[1]:
        return None  # a row's number goes by the heading of the rows alone
    labelled = label_heads(ctx, grid)
    deck = _innermost(ctx, _decks(ctx, tuple(span for span in cell.row if span not in labelled)))
    if deck is not None and (_agrees(ctx, cell.row, deck) or _agrees(ctx, own, deck)):
        return _by(deck, "row")
    for title in (grid.caption, *_titles(ctx, grid, cell)):
        if title is None:
            continue
        found = _deck(ctx, (title,)).units
        if len(found) > 1 and len(found) == len(figures_in(ctx, k, cell)):
            return Stated(found, "table")  # "in. Hg / rpm" over "46/2500"
        if len(found) == 1 and _suits(ctx, grid, cell, found[0]):
            return Stated(found, "table")
    return None


def figures_in(ctx: Context, k: int, cell: GridCell) -> range:
    """Indices of the drafts that stand in the cell of draft `k`."""
    first = last = k
    while first and ctx.drafts[first - 1].start >= cell.span[0]:
        first -= 1
    while last + 1 < len(ctx.drafts) and ctx.drafts[last + 1].start < cell.span[1]:
        last += 1
    return range(first, last + 1)


def column_subjects(ctx: Context, k: int) -> frozenset[str]:
    """Subjects that the headings over draft `k`'s cell name."""
    place = ctx.cell_of[k]
    if place is None:
        return frozenset()
    spans = own_headings(ctx, *place)
    return frozenset(spot.value for span in spans for spot in _named_in(ctx, span))


def _named_in(ctx: Context, span: Span) -> list[Spot]:
    """What a heading names outright, and not only as part of a rating's name."""
    ratings = [s for s in ctx.spots_in("condition", span) if s.group in {"rating", "phase"}]
    return [
        spot
        for spot in ctx.spots_in("subject", span)
        if not spot.group and not any(r.i <= spot.i < r.j for r in ratings)
    ]


def paired_subject(ctx: Context, k: int) -> str:
    """What the heading names for draft `k` alone: "R.p.m. / Boost" over "3,000 / +12"."""
    place = ctx.cell_of[k]
    if place is None:
        return ""
    grid, cell = place
    own = own_headings(ctx, grid, cell)
    figures = figures_in(ctx, k, cell)
    if len(figures) < 2 or not own:
        return ""
    named = [spot.value for spot in ctx.spots_in("subject", own[-1]) if not spot.group]
    return named[k - figures[0]] if len(named) == len(figures) else ""


def _agrees(ctx: Context, own: tuple[Span, ...], deck: Deck) -> bool:
    """Whether what a column is headed can come in the units found for it.

    "Boost" under "Low gear (M)" is not in metres.
    """
    kinds = {sense.kind for senses in deck.units for sense in senses}
    named = [span for span in own if _named_in(ctx, span)]
    return not named or any(_measures(ctx, span, kinds) for span in named)


def _titles(ctx: Context, grid: Grid, cell: GridCell) -> list[Span]:
    """Words in a first line that was taken for a row, though it only heads the others.

    It holds no figure, or such only as bring their own units.
    """
    if not grid.cells or cell.at[0] == grid.cells[0].at[0]:
        return []
    first = grid.row_cells(grid.cells[0])
    figures = [ctx.drafts[m] for c in first for m in _drafts_in(ctx, c.span)]
    if not figures:
        return [c.span for c in first]
    if all(draft.senses for draft in figures) and first[0].row:
        return [first[0].row[-1]]
    return []


def unit_of(ctx: Context, k: int, stated: Stated) -> Senses:
    """Of the units a heading states, that of draft `k`: the second number takes the second."""
    units = stated.units
    place = ctx.cell_of[k]
    if len(units) == 1 or place is None:
        return units[0]
    return units[min(k - figures_in(ctx, k, place[1])[0], len(units) - 1)]


def own_headings(ctx: Context, grid: Grid, cell: GridCell) -> tuple[Span, ...]:
    """Column headings of a cell, without those that only say what a number under them is.

    Of "30,000" under "Weight, lb." neither measures the cell: both say when it holds.
    """
    path = ctx.column_path(grid, cell)
    found: tuple[Span, ...] | None = ctx.memo.get(("own", path))
    if found is None:
        found = ctx.memo["own", path] = _own_headings(ctx, path)
    return found


def _own_headings(ctx: Context, path: tuple[Span, ...]) -> tuple[Span, ...]:
    kept: list[Span] = []
    owed = False
    for span in reversed(_free(ctx, path)):
        deck = _deck(ctx, (span,))
        if deck.bare:
            owed = True
        elif not owed:
            kept.append(span)
        elif deck.units or ctx.spots_in("subject", span):
            owed = False
    return tuple(reversed(kept))


def _by(deck: Deck | None, where: str) -> Stated | None:
    return None if deck is None else Stated(deck.units, where, deck.times)


def _innermost(ctx: Context, decks: list[Deck]) -> Deck | None:
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
    own = [units for units in deck.units if _can_be(ctx, number, units)]
    if len(deck.units) < 2 or len(own) != 1:
        return deck._replace(units=())
    return deck._replace(units=tuple(units for units in deck.units if units is not own[0]))


def _can_be(ctx: Context, number: Fraction | None, senses: Senses) -> bool:
    """Whether a number of that size is possible in a unit, whatever it measures."""
    for sense in senses:
        usual = default_parameter(sense.kind, sense.unit, ctx.tradition)
        if usual and is_plausible(number, sense.unit, usual):
            return True
    return False


def _decks(ctx: Context, path: tuple[Span, ...]) -> list[Deck]:
    decks: list[Deck] = []
    i = 0
    while i < len(path):
        spans: tuple[Span, ...] = (path[i],)
        while i + 1 < len(path) and _runs_on(ctx, path[i], path[i + 1]):
            i += 1
            spans = (*spans, path[i])
        decks.append(_deck(ctx, spans))
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


_PER = PER - {"a", "an", "the", "в", "на", "à", "al", "all"}


def _deck(ctx: Context, spans: tuple[Span, ...]) -> Deck:
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
    if match is None or (last > i and not _measures(ctx, span, {s.kind for s in match.senses})):
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


def label_heads(ctx: Context, grid: Grid) -> frozenset[Span]:
    """Headings over the row labels, where those are numbers: their unit is the labels' own."""
    key = ("label heads", id(grid))
    found: frozenset[Span] | None = ctx.memo.get(key)
    if found is None:
        found = frozenset(span for cell in grid.cells if cell.at[1] == 0 for span in cell.column)
        ctx.memo[key] = found
    return found


def is_multiplier(ctx: Context, k: int) -> bool:
    """Whether "1,000 ft." in a heading only says what its column is to be multiplied by.

    It is no height when the numbers under it are small, and no other heading of the table
    holds a number of the kind.
    """
    draft = ctx.drafts[k]
    if draft.nominal not in _TIMES or not draft.senses or draft.sign or ctx.cell_of[k] is not None:
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
    values = [ctx.drafts[m] for cell in under for m in _drafts_in(ctx, cell.span)]
    if len(values) < 2 or any(d.senses or d.value is None or d.value >= 100 for d in values):
        return False
    kinds = {sense.kind for sense in draft.senses}
    others = (ctx.drafts[m] for head in grid.headings for m in _drafts_in(ctx, head))
    return not any(d is not draft and kinds & {s.kind for s in d.senses} for d in others)


_TIMES = frozenset({10, 100, 1000, 10000})
_TIMES_MARKS = frozenset({"x", "×", "х", "(", "in", "of", ","})


def _drafts_in(ctx: Context, span: Span) -> range:
    return ctx.drafts_between(*ctx.token_range(span))


def over_heading(ctx: Context, draft: Draft) -> tuple[Span, ...]:
    """Headings over the heading that a number stands in."""
    place = _heading_of(ctx, draft)
    if place is None:
        return ()
    path = ctx.heads[id(place[0])][place[1]]
    return path[: path.index(place[1])]


def _unit_beneath(ctx: Context, draft: Draft) -> Senses:
    """The unit in the deck under a number that heads a column, if it is the number's own."""
    place = _heading_of(ctx, draft)
    if place is None:
        return ()
    path = ctx.heads[id(place[0])][place[1]]
    below = path[path.index(place[1]) + 1 :]
    return _own_unit(ctx, place[1], below[0]) if below else ()


def _free(ctx: Context, path: tuple[Span, ...]) -> tuple[Span, ...]:
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
    if not _deck(ctx, (number,)).bare:
        return ()
    senses = lone_unit(ctx, unit)
    return senses if _can_be(ctx, _deck(ctx, (number,)).number, senses) else ()


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


def _suits(ctx: Context, grid: Grid, cell: GridCell, senses: Senses) -> bool:
    """Whether a unit over the whole table can be a cell's: no heading speaks against it."""
    kinds = {sense.kind for sense in senses}
    caption = grid.caption or (0, 0)
    generic = any(s.value in kinds for s in ctx.spots_in("generic", caption))
    if generic or _measures(ctx, caption, kinds):
        return True
    for span in (*reversed(own_headings(ctx, grid, cell)), *reversed(cell.row)):
        if ctx.spots_in("subject", span):
            return _measures(ctx, span, kinds)
    return True


def _measures(ctx: Context, span: Span, kinds: set[str]) -> bool:
    """Whether something named in `span` comes in one of `kinds`."""
    known = subject_kinds()
    return any(kinds & set(known.get(s.value, ())) for s in ctx.spots_in("subject", span))
