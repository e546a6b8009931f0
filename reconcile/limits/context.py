"""Where everything stands in relation to everything else: the ground a figure is read on.

Distance between two tokens is not counted in tokens alone: a full stop, a semicolon or a
line end keeps things apart, so each token carries the sum of all such barriers before it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from fractions import Fraction
from typing import Any, NamedTuple

from reconcile.limits.cells import clip_units
from reconcile.limits.terms import subject_kinds
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell, find_grids
from reconcile.notation.lexicon import Mention, Sense
from reconcile.notation.misprints import GOES_ON, read_misprinted_unit
from reconcile.notation.tokens import SIGN, WORD, Tokens
from reconcile.notation.unitwords import read_unit
from reconcile.notation.wordsets import word_meanings, word_set

STOP, LINE, PARAGRAPH = 6.0, 3.0, 9.0
_MARKS = {
    ",": 1.0, ";": 3.0, ":": 0.4, "(": 0.4, ")": 0.4, "|": 1.5, "!": STOP, "?": STOP, "/": 0.2,
    "...": 0.2, "[": 0.4, "]": 0.4, "*": 0.1, "=": 0.1, '"': 0.1, "«": 0.1, "»": 0.1,
}  # fmt: skip
_LINKS = {word: float(of) for word, of in word_meanings("link-weights").items()}


class Spot(NamedTuple):
    """A phrase of one role where it stands: tokens `i` to `j`."""

    i: int
    j: int
    value: str
    group: str
    only: tuple[str, ...]


class Units(NamedTuple):
    """A unit printed apart from any number, as in a heading."""

    i: int
    j: int
    senses: tuple[Sense, ...]


class Deck(NamedTuple):
    """What one heading of a table states: a heading may go on in the deck below it."""

    units: tuple[tuple[Sense, ...], ...]
    bare: bool
    """It is a number without a unit of its own."""
    number: Fraction | None = None
    """That number."""
    times: int = 1
    """What the cells are to be multiplied by, as under "1,000 ft."."""


class Context:
    """Everything known about one text while its figures are being interpreted."""

    def __init__(
        self, tokens: Tokens, mentions: list[Mention], drafts: list[Draft], tradition: str
    ) -> None:
        self.t = tokens
        self.mentions = mentions
        self.grids: list[Grid] = find_grids(tokens.text) if "\n" in tokens.text else []
        self.grid_starts = [g.span[0] for g in self.grids]
        if self.grids:
            clip_units(tokens, drafts, self.grids)
        self.drafts = drafts
        self.tradition = tradition
        n = tokens.n
        owner = [-1] * (n + 1)
        for k, draft in enumerate(drafts):
            for i in range(draft.i, draft.j):
                owner[i] = k
            if 0 <= draft.unit_at < draft.i:
                for i in range(draft.unit_at, draft.i):
                    owner[i] = k
        self.owner = owner
        self.draft_starts = [d.i for d in drafts]
        self.roles: dict[str, list[Spot]] = {}
        roles = self.roles
        for i, j, terms in mentions:
            inside = owner[i]
            if inside >= 0 and owner[j - 1] == inside:
                continue
            unit_word = i and (
                (tokens.norm[i - 1] == "/" and not tokens.gap[i]) or tokens.norm[i - 1] in _PER
            )
            for role, value, group, only in terms:
                if unit_word and role == "bound":
                    continue  # the "min" of "rev/min"
                if role == "subject" and tokens.norm[j - 1] == "in" and _leads_on(tokens, j):
                    value = value.removesuffix(" inlet")  # "oil temperature in climb"
                spots = roles.get(role)
                if spots is None:
                    spots = roles[role] = []
                spots.append(Spot(i, j, value, group, only))
        self.starts = {role: [s.i for s in spots] for role, spots in roles.items()}
        self._barriers()
        self.cell_of: list[tuple[Grid, GridCell] | None] = [None] * len(drafts)
        if self.grids:
            self._place_cells()
        self.decks: dict[tuple[tuple[int, int], ...], Deck] = {}
        self.memo: dict[tuple[Any, ...], Any] = {}
        """What was found out about tables, so that no column is looked at row by row."""
        self.heads: dict[int, dict[tuple[int, int], tuple[tuple[int, int], ...]]] = {}
        self._spans: dict[tuple[int, int], tuple[int, int]] = {}
        self._found: dict[tuple[str, tuple[int, int]], list[Spot]] = {}
        self.subjects = {spot.value for spot in roles.get("subject", ())}
        self._units: list[Units] | None = None

    # -- barriers ----------------------------------------------------------------------

    def _barriers(self) -> None:
        t = self.t
        norm, kind, gap, text, start = t.norm, t.kind, t.gap, t.text, t.start
        n = len(norm)
        before = [0.0] * (n + 1)  # up to token i, its own gap included
        after = [0.0] * (n + 1)  # up to token i, its own gap not included
        sentence = [0] * (n + 1)
        total = 0.0
        number = 0
        owner = self.owner
        marks, links = _MARKS, _LINKS
        bounding = {s.j for s in self.roles.get("bound", ()) if s.group == "pre"}
        stopped = False
        for i in range(n):
            # a unit's own stop may end the sentence, and then keeps what follows away
            after[i] = after[i - 1] if stopped else total
            stopped = False
            g = gap[i]
            if g >= 2 and i:
                if g == 2:
                    total += 0.4
                elif g == 4:
                    total += PARAGRAPH
                    number += 1
                elif _continues(text[start[i]], norm[i - 1]) or (
                    owner[i] >= 0 and (i in bounding or norm[i - 1] in _LEADING)
                ):
                    total += 0.3
                else:
                    total += LINE
                    number += 1
            before[i] = total
            sentence[i] = number
            k = kind[i]
            if k == WORD:
                link = links.get(norm[i])
                if link is not None and owner[i] < 0:
                    total += link
            elif k == SIGN:
                mark = norm[i]
                if mark == ".":
                    stopped = owner[i] >= 0
                    weight = self._stop(i, n)
                    total += weight
                    number += weight > 3
                elif owner[i] < 0:
                    if mark == "-" and gap[i] and i + 1 < n and gap[i + 1]:
                        total += 0.8
                    else:
                        total += marks.get(mark, 0.0)
        before[n] = after[n] = total
        sentence[n] = number
        self.before, self.after, self.sentence = before, after, sentence

    def _stop(self, i: int, n: int) -> float:
        """How much the full stop at token `i` keeps apart."""
        t = self.t
        if i + 1 >= n:
            return 0.0
        full = t.text[t.start[i]] == "。"
        first = t.text[t.start[i + 1]]
        if full:
            return STOP
        if t.gap[i + 1] < 1 or first.islower():
            return 0.0
        if self.owner[i] >= 0 or (i and len(t.norm[i - 1]) < 4):
            # an abbreviation's stop, which may end the sentence too
            return 3.5 if first.isupper() and t.norm[i + 1] not in _UNITISH else 0.4
        if first.isupper() or first in "([«":
            return STOP
        return 1.0

    def barrier(self, end: int, start: int) -> float:
        """Sum of barriers between a phrase that ends before token `end` and one at `start`."""
        return self.before[start] - self.after[end]

    # -- drafts ------------------------------------------------------------------------

    def drafts_between(self, i: int, j: int) -> range:
        """Indices of the drafts that begin between tokens `i` and `j`."""
        return range(bisect_left(self.draft_starts, i), bisect_left(self.draft_starts, j))

    def _place_cells(self) -> None:
        starts = self.grid_starts
        for k, draft in enumerate(self.drafts):
            last = bisect_right(starts, draft.start)
            for grid in reversed(self.grids[max(0, last - 4) : last]):
                if grid.span[0] <= draft.start < grid.span[1]:
                    cell = grid.cell_at(draft.start)
                    if cell is not None:
                        self.cell_of[k] = (grid, cell)
                        break

    def column_path(self, grid: Grid, cell: GridCell) -> tuple[tuple[int, int], ...]:
        """Headings over a cell; under "oil °C | inlet  outlet" the outlet is oil's as well."""
        key = ("path", id(cell))
        found: tuple[tuple[int, int], ...] | None = self.memo.get(key)
        if found is None:
            found = self.memo[key] = self._column_path(grid, cell)
        return found

    def row_of(self, grid: Grid, cell: GridCell) -> tuple[GridCell, ...]:
        """All cells of the row `cell` stands in, itself included."""
        key = ("row", id(grid), cell.at[0])
        found: tuple[GridCell, ...] | None = self.memo.get(key)
        if found is None:
            found = self.memo[key] = grid.row_cells(cell)
        return found

    def _column_path(self, grid: Grid, cell: GridCell) -> tuple[tuple[int, int], ...]:
        own = cell.column
        alone, named = self._heading_traits(own)
        if alone:
            return own
        text = self.t.text
        line = text.rfind("\n", 0, own[-1][0])
        best: GridCell | None = None
        for other in self.row_of(grid, cell):
            if other.at[1] >= cell.at[1]:
                break
            if len(other.column) > 1 and text.rfind("\n", 0, other.column[-1][0]) == line:
                best = other
        if best is None or (named and self.spots_in("subject", best.column[0])):
            return own
        return (best.column[0], *own)

    def _heading_traits(self, own: tuple[tuple[int, int], ...]) -> tuple[bool, bool]:
        """Whether headings stand by themselves, and whether they name a subject."""
        traits: tuple[bool, bool] | None = self.memo.get(("traits", own))
        if traits is None:
            traits = self.memo["traits", own] = (
                not own or any(self.units_in(s) for s in own),
                any(self.spots_in("subject", s) for s in own),
            )
        return traits

    # -- phrases inside a span of the text ---------------------------------------------

    def token_range(self, span: tuple[int, int]) -> tuple[int, int]:
        """Tokens inside a span of characters."""
        found = self._spans.get(span)
        if found is None:
            found = (bisect_left(self.t.start, span[0]), bisect_left(self.t.start, span[1]))
            self._spans[span] = found
        return found

    def spots_in(self, role: str, span: tuple[int, int]) -> list[Spot]:
        """Phrases of `role` inside a span of characters."""
        starts = self.starts.get(role)
        if not starts:
            return _NO_SPOTS
        found = self._found.get((role, span))
        if found is None:
            i, j = self.token_range(span)
            found = self.roles[role][bisect_left(starts, i) : bisect_left(starts, j)]
            self._found[role, span] = found
        return found

    @property
    def units(self) -> list[Units]:
        """Units printed apart from numbers, in order."""
        if self._units is None:
            self._units = self._find_units()
        return self._units

    def _find_units(self) -> list[Units]:
        t, owner = self.t, self.owner
        found = []
        i, n = 0, t.n
        while i < n:
            if owner[i] >= 0 or t.kind[i] not in {WORD, SIGN} or t.norm[i] in {"-", '"', "'"}:
                i += 1
                continue
            if (
                t.norm[i] in _MINIMA
                and t.norm[i + 1 : i + 2] == ["."]
                and (i + 2 < n and owner[i + 2] >= 0 and t.gap[i + 2] < 2)
            ):
                i += 1  # the "min." of "(min. 3)" is a bound
                continue
            if t.norm[i] in _MINIMA and owner[i - 1] < 0 and i > 1 and self._beside_most(i):
                i += 1  # "220 (min.), 300 (max.)"
                continue
            if t.norm[i] in _MINIMA and self._names_gauge(i):
                i += 1  # "Oil pressure min" at the head of a row
                continue
            match = read_unit(t, i, self.tradition, apart=True)
            if t.kind[i] == WORD and i + 2 < n and t.norm[i + 1] in GOES_ON:
                match = read_misprinted_unit(t, i, self.tradition, match, speech=False) or match
            stop = match is not None and match.end == i + 2 and t.norm[i + 1] == "."
            if match is None or (
                (match.end == i + 1 or stop)
                and len(t.norm[i]) < 2
                and "\u3000" > t.norm[i] != "°"
                and not _bracketed(t, i)
            ):
                i += 1
                continue
            worded = i > 0 and t.kind[i - 1] == WORD and t.gap[i] == 1
            if t.norm[i] == "in" and worded and t.norm[i + 1 : i + 2] != ["."]:
                i += 1  # "all in lb. per sq. in."
                continue
            if i > 1 and t.norm[i - 1] == "." and t.norm[i - 2] in _POWERS and t.gap[i] < 3:
                i += 1  # the inches of "l b./sq. in."
                continue
            if match.end == i + 1 and t.norm[i] in _TOO_COMMON:
                i += 1
                continue
            found.append(Units(i, match.end, match.senses))
            i = match.end
        return found

    def bracketed_other(self, draft: Draft, spot: Spot) -> bool:
        """Whether words behind a figure are said of another of its kind, in brackets with it.

        "120 C (combat 135)", "10 lb (min. 6)".
        """
        t = self.t
        opening = -1
        for i in range(draft.j, spot.i):
            if t.norm[i] == "(":
                opening = i
            elif t.norm[i] == ")":
                opening = -1
        if opening < 0:
            return False
        at = bisect_left(self.draft_starts, opening)
        for other in self.drafts[at : at + 4]:
            if ")" in t.norm[opening : other.i]:
                return False
            units = {sense.unit for sense in other.senses}
            twin = other.i == opening + 1 and units and not units & {s.unit for s in draft.senses}
            if other.kind in {draft.kind, ""} and not other.void and not twin:
                return True
        return False

    def _names_gauge(self, i: int) -> bool:
        """Whether a pressure or temperature is named right before token `i`."""
        starts = self.starts.get("subject", [])
        at = bisect_left(starts, i) - 1
        if at < 0:
            return False
        spot = self.roles["subject"][at]
        kinds = subject_kinds().get(spot.value, {})
        named = not _GAUGED.isdisjoint(kinds) and "time" not in kinds
        close = self.t.gap[i] < 2 and self.t.gap[spot.j] < 2  # in one cell
        return named and close and i - spot.j <= (self.t.norm[spot.j] == "(")

    def _beside_most(self, i: int) -> bool:
        """Whether "min." in brackets behind a figure has "max." in brackets beside it."""
        t = self.t
        if t.norm[i - 1] != "(" or self.owner[i - 2] < 0:
            return False
        starts = self.starts.get("bound", [])
        first, last = bisect_left(starts, i - 12), bisect_left(starts, i + 13)
        return any(
            spot.value == "max" and spot.i and t.norm[spot.i - 1] == "("
            and self.owner[spot.i - 2] >= 0
            for spot in self.roles.get("bound", [])[first:last]
        )  # fmt: skip

    def units_near(self, draft: Draft, before: float, after: float) -> list[Units]:
        """Units printed apart from numbers, up to so many barriers before and after a draft."""
        units = self.units
        lo = hi = bisect_left(units, draft.i, key=_begin)
        while lo and hi - lo < _NEAR and self.barrier(units[lo - 1].j, draft.i) <= before:
            lo -= 1
        most = min(len(units), hi + _NEAR)
        while hi < most and self.barrier(draft.j, units[hi].i) <= after:
            hi += 1
        return units[lo:hi]

    def units_in(self, span: tuple[int, int]) -> list[Units]:
        """Units printed apart from numbers inside a span of characters."""
        i, j = self.token_range(span)
        units = self.units
        return units[bisect_left(units, i, key=_begin) : bisect_left(units, j, key=_begin)]


def _leads_on(t: Tokens, j: int) -> bool:
    """Whether a word follows close behind "in": it is then no inlet."""
    return j < t.n and t.kind[j] == WORD and t.gap[j] == 1 and t.norm[j] not in _SCALES


_SCALES = word_set("behind-an-inlet")
_PER = word_set("before-a-minute")
"""Words before "min." that make it a minute."""
_GAUGED = frozenset({"pressure", "temperature"})
_MINIMA = word_set("min-of-minute-or-least")
_NO_SPOTS: list[Spot] = []
_NEAR = 64
"""Units a side that are looked at, however little keeps them apart."""


def _begin(units: Units) -> int:
    return units.i


_LEADING = word_set("never-last")
"""Words that no sentence ends with: what they lead to stands on the next line."""
_UNITISH = word_set("unit-remains")


def _continues(first: str, previous: str) -> bool:
    return first.islower() or (previous not in ".:;)" and not first.isupper() and first in "(")


def _bracketed(t: Tokens, i: int) -> bool:
    return i > 0 and t.norm[i - 1] in "(,/|" and i + 1 < t.n and t.norm[i + 1] in "),/|."


_TOO_COMMON = word_set("never-units-apart")
_POWERS = word_set("words-of-powers")
