"""Fractions set with a bar, one figure above and one below it."""

from __future__ import annotations

from collections.abc import Sequence

from reconcile.sources.pdf_frame import PdfWord
from reconcile.sources.pdf_rules import Rule

LONGEST = 20.0
"""A longer rule [pt] is no fraction bar."""
ALONE = 12.0
"""A bar with another rule this near [pt] on its line is a dash of a broken rule."""


def join_fractions(words: Sequence[PdfWord], level: Sequence[Rule]) -> list[PdfWord]:
    """Words with each barred fraction made one word "1/2" on the bar's own line.

    Taken line by line the page would read 4 where 4 1/2 stands, with a stray 1 above and
    a stray 2 below.

    Parameters
    ----------
    words : sequence of PdfWord
    level : sequence of Rule, the page's level rules

    Returns
    -------
    words : list of PdfWord
    """
    out = list(words)
    for bar in level:
        if not 2.0 <= bar.hi - bar.lo <= LONGEST or _has_neighbour(bar, level):
            continue
        near = [
            word
            for word in out
            if word.text.isdigit()
            and len(word.text) <= 3
            and bar.lo - 2 <= (word.x0 + word.x1) / 2 <= bar.hi + 2
            and word.x1 - word.x0 <= bar.hi - bar.lo + 4
        ]
        over = [word for word in near if abs(word.bottom - bar.at) < 0.6 * word.height]
        under = [word for word in near if abs(word.top - bar.at) < 0.6 * word.height]
        if len(over) != 1 or len(under) != 1 or over[0] is under[0]:
            continue
        top, low = over[0], under[0]
        half = top.height / 2
        joined = PdfWord(
            f"{top.text}/{low.text}",
            min(top.x0, low.x0), bar.at - half, max(top.x1, low.x1), bar.at + half,
        )  # fmt: skip
        out[out.index(top)] = joined
        out.remove(low)
    return out


def _has_neighbour(bar: Rule, level: Sequence[Rule]) -> bool:
    return any(
        other is not bar
        and abs(other.at - bar.at) < 1.5
        and other.lo < bar.hi + ALONE
        and other.hi > bar.lo - ALONE
        for other in level
    )
