"""Repeat signs under a figure, and the figure above that they stand for."""

from __future__ import annotations

import re

from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import Tokens
from reconcile.notation.values import ValueReader
from reconcile.notation.wordsets import word_set


def read_repeat(reader: ValueReader, i: int) -> Draft | None:
    """A ditto mark at the head of a cell that is all it holds: it repeats the figure above."""
    t = reader.t
    end = ditto_end(reader, i)
    if not end or not figure_above(t, i):
        return None
    draft = Draft(i, end)
    draft.repeats = True
    draft.start, draft.end = t.start[i], t.end[end - 1]
    return draft


def ditto_end(reader: ValueReader, i: int) -> int:
    """End of a ditto mark that fills its cell, at token `i`; 0 where there is none."""
    t = reader.t
    n = t.n
    end = 0
    if t.norm[i] in _REPEATS:
        end = i + 1
    elif t.norm[i] == "d" and i + 1 < n and t.norm[i + 1] == "°":
        end = i + 2
    else:
        found = reader.mentions.get(i) if "ditto" in reader.roles else None
        if found is not None and found.has("ditto"):
            end = found.j
    if not end:
        return 0
    if end < n and t.norm[end] == "." and t.gap[end] == 0:
        end += 1
    return 0 if end < n and t.gap[end] < 2 and t.norm[end] != "|" else end


def figure_above(t: Tokens, i: int) -> bool:
    """Whether a figure, and not a unit, stands in the lines above token `i`."""
    text = t.text
    line = text.rfind("\n", 0, t.start[i]) + 1
    column = t.start[i] - line
    for _ in range(6):
        if not line:
            return False
        above = text.rfind("\n", 0, line - 1) + 1
        row = text[above : line - 1]
        line = above
        cell = ""
        for margin in (0, 2, 5):
            found = [
                m.group()
                for m in _CELL.finditer(row)
                if m.start() <= column + margin and m.end() > column - margin
            ]
            if found:
                cell = found[-1]
                break
        if any(c.isdigit() or c in "〇一二三四五六七八九十" for c in cell):
            return True
        if cell.strip(" .") and cell.strip(" .").lower() not in _MARKS_AND_WORDS:
            return False
    return False


_CELL = re.compile(r"то же|\S+")

_MARKS_AND_WORDS = word_set("ditto-cells")

_REPEATS = word_set("dittos-in-text")
