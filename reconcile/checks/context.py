"""What plain words about a pair of figures say: causes made likelier, the copy named, the height.

The words are rows of tables/checks/context.csv; longer phrases are taken first and their
words not counted twice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, lru_cache

from reconcile.checks.words import words
from reconcile.reference import Row, load_rows

_MOST = 400.0
"""The most that words may multiply a cause's odds."""
_HEIGHT = re.compile(
    r"(?:\bat|\babove|\bheight(?: of)?|\baltitude(?: of)?)\s+(\d{1,3}(?:[, ]\d{3})+|\d{3,5})"
    r"\s*(ft|feet|m|metres|meters)\b\.?"
)
_METRES = {"ft": 0.3048, "feet": 0.3048, "m": 1.0, "metres": 1.0, "meters": 1.0}


@dataclass(frozen=True, slots=True)
class Context:
    """The words, weighed."""

    weights: dict[str, float] = field(default_factory=dict)
    """Factor on the prior odds by cause."""
    copy: int | None = None
    """Which of the two is a reproduction: 0, 1 or None."""
    height_m: float | None = None
    words: tuple[str, ...] = ()
    """The phrases that counted."""


@cache
def _phrases() -> tuple[tuple[re.Pattern[str], tuple[Row, ...]], ...]:
    by_word: dict[str, list[Row]] = {}
    for row in load_rows("checks/context"):
        by_word.setdefault(row["word"], []).append(row)
    longest_first = sorted(by_word, key=lambda w: (-len(w), w))
    return tuple(
        (re.compile(rf"(?<![^\W_]){re.escape(word)}"), tuple(by_word[word]))
        for word in longest_first
    )


@lru_cache(maxsize=1024)
def read_context(text: str) -> Context:
    """Weigh the words of `text`.

    Parameters
    ----------
    text : str
        Plain words about the pair: "amendment list 3 raised it", "typed copy".

    Returns
    -------
    context : Context
    """
    low = text.lower()
    if not low.strip():
        return Context()
    weights: dict[str, float] = {}
    copies: list[int] = []
    originals: list[int] = []
    words = []
    left = low
    for pattern, rows in _phrases():
        found = pattern.search(left)
        if not found:
            continue
        words.append(found.group())
        for row in rows:
            if row["cause"]:
                cause = row["cause"]
                weights[cause] = weights.get(cause, 1.0) * float(Fraction(row["weight"]))
            if row["side"] == "copy":
                copies.append(found.start())
            elif row["side"] == "original":
                originals.append(found.start())
        # Masked, so that "second edition" is not also met as "edition".
        left = pattern.sub(lambda m: "\0" * len(m.group()), left)
    weights = {c: min(_MOST, w) for c, w in weights.items()}
    return Context(weights, _copy_side(low, copies, originals), _height(low), tuple(words))


def _copy_side(low: str, copies: list[int], originals: list[int]) -> int | None:
    """0 or 1 where the words say which of the two was copied from the other."""
    if not copies:
        return None
    at = min(copies)
    # "the first is a typed copy of the second": the ordinal next before the word counts.
    before = [
        (m.start(), side)
        for side, pattern in enumerate((words("first"), words("second")))
        for m in pattern.finditer(low[max(0, at - 40) : at])
    ]
    if before:
        return max(before)[1]
    if originals:
        return 0 if at < min(originals) else 1
    return 1


def _height(low: str) -> float | None:
    found = _HEIGHT.search(low)
    if not found:
        return None
    return float(re.sub(r"[, ]", "", found.group(1))) * _METRES[found.group(2)]
