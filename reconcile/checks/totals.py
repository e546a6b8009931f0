"""Which figures are totals, and how often a part counts in one."""

from __future__ import annotations

import re
from functools import cache

from reconcile.checks.material import Entry
from reconcile.reference import load_rows

_MULTIPLE = re.compile(r"^\s*(\d)\s*[x×]\s", re.IGNORECASE)


@cache
def _words() -> tuple[tuple[str, ...], tuple[str, ...]]:
    rows = load_rows("checks/total_words")
    return (
        tuple(r["word"] for r in rows if r["means"] == "total"),
        tuple(r["word"] for r in rows if r["means"] == "each"),
    )


def is_total(entry: Entry) -> bool:
    """Whether the entry's condition, headings or qualifiers call it a total."""
    place = entry.figure.place
    said = (entry.limit.condition or "", *place.row, *place.column, *entry.figure.qualifiers)
    return any(word in part.lower() for part in said for word in _words()[0])


def multiplicity(entry: Entry) -> int:
    """How many times a part counts: "2 x 145 l", or 2 for "each" (a pair is usual)."""
    if found := _MULTIPLE.match(entry.figure.as_written):
        return int(found.group(1))
    said = (*entry.figure.qualifiers, *entry.limit.notes, *entry.figure.place.row)
    return 2 if any(w in part.lower() for part in said for w in _words()[1]) else 1
