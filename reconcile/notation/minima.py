"""Tells "min." the bound from "min." the unit of time."""

from __future__ import annotations

from functools import lru_cache

from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import BLUR, FRACTION, KANJI, NUMBER
from reconcile.notation.unitwords import UnitMatch, read_unit
from reconcile.notation.values import ValueReader
from reconcile.notation.wordsets import word_set
from reconcile.reference import load_rows

NUMERIC = frozenset({NUMBER, BLUR, FRACTION, KANJI})


def unbind_minimum(reader: ValueReader, drafts: list[Draft]) -> None:
    """Give "min" back as a bound where it stands beside "max": "40 min - 95 max"."""
    t = reader.t
    for k, draft in enumerate(drafts):
        at = draft.unit_at
        if at < draft.i or not draft.senses or t.norm[at] != "min" or t.norm[at - 1] == "-":
            continue
        if draft.unit_end - at > 2 or draft.senses[0].kind != "time":
            continue
        if bounding := _bounds_next(reader, draft):
            draft.senses = bounding.senses if bounding is not _BARE else ()
            draft.j = at
            draft.end = t.end[at - 1]
            draft.unit_at = draft.unit_end = -1
            continue
        if draft.i and (t.norm[draft.i - 1] == "(" or t.norm[draft.i - 1] in _MAXIMA):
            continue
        follow = range(draft.unit_end, min(t.n, draft.unit_end + 3))
        bare = any(t.kind[m] in NUMERIC for m in follow if t.gap[m] < 3)
        window = range(draft.unit_end, min(t.n, draft.unit_end + 5))
        opened = draft.i and t.norm[draft.i - 1] in _NORMAL
        if k and not drafts[k - 1].senses and draft.i - drafts[k - 1].j <= 3:
            # "70-85 desired, 40 min. for take-off, 100 max."
            ahead = range(draft.unit_end + 1, min(t.n, draft.unit_end + 9))
            if any(t.norm[m] in _MAXIMA and t.kind[m - 1] in NUMERIC for m in ahead):
                bare = opened = True
        behind = read_unit(t, draft.unit_end, reader.tradition)
        if behind is not None and behind.end - draft.unit_end > 2 and "per" not in t.norm[at]:
            draft.senses = behind.senses  # "20 min. lb./sq. in."
            draft.j = at
            draft.unit_at, draft.unit_end = draft.unit_end, behind.end
            draft.end = t.end[at - 1]
        elif bare and (opened or any(t.norm[m] in _MAXIMA for m in window)):
            draft.senses = ()
            draft.j = at
            draft.unit_at = draft.unit_end = -1
            draft.end = t.end[at - 1]


_NORMAL = word_set("words-of-normal")

_MAXIMA = word_set("words-of-most")


def _bounds_next(reader: ValueReader, draft: Draft) -> UnitMatch | None:
    """Unit of the less that "min" puts behind a figure: "max. 90 min. 60 lb", "75-90 MIN 55".

    What is named before must be a pressure or a temperature, and what follows no more than
    the figure itself; else it is minutes. `_BARE` where the less has no unit either.
    """
    t = reader.t
    j = draft.unit_end
    if j >= t.n or t.gap[j] >= 3 or not _of_gauge(reader, draft):
        return None
    signed = reader.signed_at(j)
    if signed is None:
        return None
    _, number = signed
    most = draft.hi if draft.hi is not None else draft.nominal
    if most is None or number.numeral.value > most:
        return None
    unit = read_unit(t, number.end, reader.tradition)
    if unit is None:
        return _BARE
    kinds = {sense.kind for sense in unit.senses}
    return unit if kinds & _GAUGED else None


_BARE = UnitMatch(0, ())

_GAUGED = frozenset({"pressure", "temperature"})
"""Kinds that have a least on a gauge."""


def _of_gauge(reader: ValueReader, draft: Draft) -> bool:
    """Whether a pressure or temperature, and no rating, is named right before a figure."""
    t = reader.t
    for i in range(draft.i - 1, max(-1, draft.i - 9), -1):
        if t.gap[i + 1] >= 3 or t.kind[i] in NUMERIC or t.norm[i] in _LASTING:
            return False
        found = reader.mentions.get(i)
        if found is None:
            continue
        for term in found.terms:
            if term.role == "subject" and term.value in _gauged_subjects():
                return True
            if term.role == "condition":
                return False
    return False


_LASTING = word_set("before-times")
"""Words before a time."""


@lru_cache(maxsize=1)
def _gauged_subjects() -> frozenset[str]:
    """Subjects that have a pressure or a temperature, and no time."""
    rows = load_rows("notation/subjects")
    timed = {row["subject"] for row in rows if row["kind"] == "time"}
    return frozenset(
        row["subject"] for row in rows if row["kind"] in _GAUGED and row["subject"] not in timed
    )
