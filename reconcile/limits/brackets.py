"""Brackets that hold several figures with one unit: "65 lb./sq. in. (5.6 and 4.6 kg/cm2)"."""

from __future__ import annotations

from typing import NamedTuple

from reconcile.limits.context import Context


class Bracket(NamedTuple):
    """Drafts `first` to `last` (inclusive) that brackets hold, the last with their unit."""

    first: int
    last: int

    @property
    def size(self) -> int:
        """How many figures the brackets hold."""
        return self.last - self.first + 1


def bracket_of(ctx: Context, k: int) -> Bracket | None:
    """The brackets that draft `k` shares with others, if one unit is all they have."""
    found: dict[int, Bracket] | None = ctx.memo.get(("brackets",))
    if found is None:
        found = ctx.memo["brackets",] = {
            m: bracket for bracket in _find_brackets(ctx) for m in _members(bracket)
        }
    return found.get(k)


def _members(bracket: Bracket) -> range:
    return range(bracket.first, bracket.last + 1)


def _find_brackets(ctx: Context) -> list[Bracket]:
    found = []
    norm, drafts = ctx.t.norm, ctx.drafts
    first: int | None = None
    for k, draft in enumerate(drafts):
        if draft.i and norm[draft.i - 1] in _OPENS and not draft.senses:
            first = k
            continue
        if first is None:
            continue
        between = norm[drafts[k - 1].j : draft.i]
        parted = set(between) & _ENDS or ctx.barrier(drafts[k - 1].j, draft.i) > _LISTED
        if parted or draft.void or ctx.cell_of[k] is not None:
            first = None
        elif draft.senses:
            if norm[draft.j : draft.j + 1] == [_CLOSES[norm[drafts[first].i - 1]]]:
                found.append(Bracket(first, k))
            first = None
    return found


_OPENS = frozenset({"(", "["})
_CLOSES = {"(": ")", "[": "]"}
_ENDS = frozenset({"(", ")", "[", "]"})
_LISTED = 3.5
"""Barriers between two figures of a list: a comma, or a semicolon."""
