"""Numbers that typing or scanning has pulled apart: "2 4 0 0 rpm", "12 ,4OO lbs"."""

from __future__ import annotations

from typing import NamedTuple

from reconcile.notation.tokens import BLUR, MISREAD, NUMBER, SURE, WORD, Tokens

_NOUGHTS = frozenset({"OOO", "ООО", "0OO", "OO0", "O0O"})
_ONES = frozenset({"l", "I", "ll", "lI", "Il", "II"})


class Joined(NamedTuple):
    """The figures of one number, ending before token `end`."""

    end: int
    raw: str
    sure: bool
    """A thousands comma shows how the parts belong together."""
    needs_unit: bool


def figures_of(tokens: Tokens, i: int) -> str:
    """Token `i` as plain figures, "" where it has others than digits and their look-alikes."""
    kind = tokens.kind[i]
    if kind == NUMBER:
        return tokens.norm[i]
    if kind == WORD and tokens.raw(i) in _NOUGHTS:
        return "000"
    if kind == BLUR or (kind == WORD and tokens.raw(i) in _ONES):
        raw = tokens.raw(i)
        if all(c.isdigit() or c in SURE or c in ".," for c in raw):
            return "".join(MISREAD.get(c, c) for c in raw)
    return ""


def join_spaced(tokens: Tokens, i: int) -> Joined | None:
    """The number at token `i` that goes on after a blank, or None."""
    n = tokens.n
    first = figures_of(tokens, i)
    if not first or i + 1 >= n:
        return None
    gap, norm = tokens.gap, tokens.norm
    after = norm[i + 1]
    if gap[i + 1] == 1 and after[0] == "," and len(after) == 4 and after[1:].isdigit():
        if first.isdigit() and len(first) <= 3:
            return Joined(i + 2, first + after, True, False)  # "10 ,000"
        return None
    if (
        gap[i + 1] == 1
        and after[0] == ","
        and after[1:].isdigit()
        and first.isdigit()
        and (len(after) in {2, 3} and len(first) <= 3)
    ):
        return Joined(i + 2, first + after, False, False)  # "3 ,75"
    if norm[i + 1] in {",", "."} and i + 2 < n and gap[i + 1] <= 1 and gap[i + 2] <= 1:
        spaced = gap[i + 1] + gap[i + 2] > 0 or tokens.kind[i] == WORD
        rest = figures_of(tokens, i + 2)
        if spaced and rest.isdigit() and first.isdigit():
            mark = norm[i + 1]
            if i and norm[i - 1] == "/" and gap[i + 2] == 1:
                return None  # "1900/28, 155 kts"
            signed = i > 0 and norm[i - 1] in {"+", "-"} and not gap[i] and gap[i + 2] == 1
            if mark == "," and len(rest) == 3 and len(first) <= 3 and not signed:
                return Joined(i + 3, f"{first},{rest}", True, gap[i + 2] == 1 and not gap[i + 1])
            if first == "0" and gap[i + 2] == 1 and len(rest) < 4:
                return Joined(i + 3, f"0{mark}{rest}", False, True)  # "0, 25 mm"
            begins = i == 0 or gap[i] >= 3  # it may be the number of an item: "1. 5 gallons"
            near = gap[i + 1] == 1 and gap[i + 2] <= 1
            if mark == "." and (near or (len(rest) == 1 and not begins)) and len(first) <= 3:
                return Joined(i + 3, f"{first}.{rest}", False, True)
        return None
    if gap[i + 1] != 1 or not first.replace(".", "").replace(",", "").isdigit():
        return None
    parts = [first]
    j = i + 1
    while j < n and gap[j] == 1 and len(parts) < 6:
        part = figures_of(tokens, j)
        noughts = j > i and part == "000"
        if not part or not part.isdigit() or (tokens.kind[j] == WORD and not noughts):
            break
        parts.append(part)
        j += 1
    if len(parts) < 2:
        return None
    whole = "".join(parts)
    single = all(len(p) == 1 for p in parts)
    last_lost = len(parts) == 2 and parts[1] == "0" and first.isdigit() and len(first) < 4
    if (
        single
        or last_lost
        or (
            len(parts) == 2
            and len(first) <= 3
            and len(parts[1]) in {2, 3}
            and (len(whole.replace(".", "")) <= 5)
        )
    ):
        return Joined(j, whole, False, True)
    return None
