"""Check *order*: minimum below normal below maximum, and ratings in their order.

Needs: two limits of one parameter in one witness: bounds of the same condition, or the
same bound under two conditions that tables/checks/order ranks, or two time limits.
Abstains: for parameters the table does not rank, across gears, fuels, marks and heights.
Source: tables/checks/order (common practice). Agreement proves nothing and is not reported.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import pairwise

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import handy_half
from reconcile.checks.show import BOUND_WORDS, end_sentence, show_ends
from reconcile.checks.sides import Side
from reconcile.records import Emendation, Finding, Verdict
from reconcile.reference import load_rows

_LOWER, _UPPER = "min", "max"
_PROSE_LINES = 4
"""The same where they stand in no table: prose wanders from rating to rating."""
_BOUNDED = frozenset({"pressure", "temperature", "rotational_speed"})
_LINES = 12
"""Lines between two limits of one condition, or two rows of one table of ratings."""


@cache
def ranks() -> dict[tuple[str, str], int]:
    """Rank of a condition among the ratings of a parameter, by (parameter, condition)."""
    return {
        (row["parameter"], row["condition"]): int(row["rank"]) for row in load_rows("checks/order")
    }


def check_order(material: Material) -> Iterator[Finding]:
    """Findings where an order is broken by more than rounding."""
    for witness, named in zip(material.witnesses, material.by_parameter):
        if witness.source.role == "transcript":
            continue  # speech says limits in the order they come to mind
        for parameter, entries in named.items():
            groups: dict[tuple[object, ...], list[Entry]] = {}
            for entry in entries:
                at = (entry.figure.kind, entry.limit.applies_to, entry.figure.reference_form)
                groups.setdefault(at, []).append(entry)
            for group in groups.values():
                yield from _bounds(parameter, group)
                yield from _ratings(parameter, group)
                yield from _times(parameter, group)


def _size(side: Side, end: Fraction) -> Fraction:
    """What the bounds of such a figure are on: suction is counted downwards, and is the
    greater the lower the pressure."""
    return abs(side.scale.factor) * end if side.form == "below_ambient" else side.scale.si(end)


def _low(entry: Entry) -> tuple[Fraction, Fraction]:
    """Lowest value of an entry and its half-step, in SI."""
    side = entry.side
    assert side is not None
    end = min(side.ends, key=lambda end: _size(side, end))
    return _size(side, end), handy_half(end, side)


def _high(entry: Entry) -> tuple[Fraction, Fraction]:
    side = entry.side
    assert side is not None
    end = max(side.ends, key=lambda end: _size(side, end))
    return _size(side, end), handy_half(end, side)


def _below(small: tuple[Fraction, Fraction], great: tuple[Fraction, Fraction]) -> bool:
    """Whether the first is above the second by more than rounding (the order is broken)."""
    return small[0] - great[0] > small[1] + great[1]


def _bounds(parameter: str, entries: list[Entry]) -> Iterator[Finding]:
    """A minimum above a maximum or a normal value of the same condition."""
    by_condition: dict[str | None, list[Entry]] = {}
    for entry in entries:
        by_condition.setdefault(entry.limit.condition, []).append(entry)
    for condition, group in by_condition.items():
        for page in {e.where for e in group}:
            here = [e for e in group if e.where == page and e.figure.kind in _BOUNDED]
            lows = [e for e in here if e.limit.bound == _LOWER]
            highs = [e for e in here if e.limit.bound == _UPPER]
            middles = [e for e in here if e.limit.bound in ("nominal", "range", "approx")]
            for below, above in ((lows, highs), (lows, middles), (middles, highs)):
                # Several of one bound are several limits that words here do not tell apart.
                if len(below) == len(above) == 1:
                    yield from _bound_pair(parameter, condition, below[0], above[0])


def _bound_pair(
    parameter: str, condition: str | None, least: Entry, greatest: Entry
) -> Iterator[Finding]:
    apart = abs(least.figure.place.line - greatest.figure.place.line)
    if apart > (_LINES if condition else 1) or not _below(_low(least), _high(greatest)):
        return
    yield _finding(
        least,
        greatest,
        "contradicts" if condition and not apart else "in doubt",
        f"{parameter}, {condition or 'no condition stated'}: the "
        f"{BOUND_WORDS[least.limit.bound]} {least.told} lies above the "
        f"{BOUND_WORDS[greatest.limit.bound]} {greatest.told}",
    )


def _ratings(parameter: str, entries: list[Entry]) -> Iterator[Finding]:
    """A lower rating that allows more than a higher one."""
    order = ranks()
    ranked: dict[object, dict[int, list[Entry]]] = {}
    for entry in entries:
        rank = order.get((parameter, entry.limit.condition or ""))
        if rank is None or entry.side is None:
            continue
        if entry.limit.bound in ("max", "nominal", "approx"):
            table = (*entry.where, entry.figure.place.column, entry.side.unit)
            ranked.setdefault(table, {}).setdefault(rank, []).append(entry)
    for by_rank in ranked.values():
        steps = sorted(by_rank)
        for lower, higher in pairwise(steps):
            small = max(by_rank[lower], key=_high)
            great = max(by_rank[higher], key=_high)
            lines = abs(small.figure.place.line - great.figure.place.line)
            tabled = small.figure.place.row and great.figure.place.row
            if lines <= (_LINES if tabled else _PROSE_LINES) and _below(_high(small), _high(great)):
                yield _finding(
                    small,
                    great,
                    "in doubt",
                    f"{parameter}: {small.told} for {small.limit.condition} is above "
                    f"{great.told} for {great.limit.condition}",
                )


def _times(parameter: str, entries: list[Entry]) -> Iterator[Finding]:
    """A longer time allowed at a higher value, between two ratings."""
    order = ranks()
    timed = [
        e
        for e in entries
        if e.limit.time_limit_s
        and e.limit.bound in ("max", "nominal")
        and (parameter, e.limit.condition or "") in order
    ]
    timed.sort(key=lambda e: (e.limit.time_limit_s or 0, _high(e)[0]))
    best: Entry | None = None
    for entry in reversed(timed):
        # Longest times first: nothing with less time may lie below the highest so far.
        if (
            best is not None
            and (entry.limit.time_limit_s or 0) < (best.limit.time_limit_s or 0)
            and best.where == entry.where
            and abs(best.figure.place.line - entry.figure.place.line) <= _LINES
            and _below(_high(best), _high(entry))
        ):
            yield _finding(
                best,
                entry,
                "in doubt",
                f"{best.told} is allowed for longer than {entry.told}, which is lower",
            )
        if best is None or _high(entry)[0] > _high(best)[0]:
            best = entry


def _emendations(one: Entry, other: Entry) -> tuple[Emendation, ...]:
    """Slips of either figure that would put the two in order."""
    a, b = one.side, other.side
    assert a is not None
    assert b is not None
    top, floor = _high(other)[0], _low(one)[0]
    lower = Constraint("order", lambda s: min(_size(s, end) for end in s.ends) <= top)
    higher = Constraint("order", lambda s: max(_size(s, end) for end in s.ends) >= floor)
    return emend(
        [
            Suspect(one.figure, a, [lower], one.limit.parameter),
            Suspect(other.figure, b, [higher], other.limit.parameter),
        ]
    )


def _finding(one: Entry, other: Entry, verdict: Verdict, evidence: str) -> Finding:
    return Finding(
        "order",
        verdict,
        end_sentence(evidence),
        limit_ids=tuple(dict.fromkeys((one.limit.id, other.limit.id))),
        figure_ids=(one.figure.id, other.figure.id),
        seen=one.told,
        expected=f"at most {other.told}",
        difference_si=float(_high(one)[0] - _high(other)[0]),
        emendations=_emendations(one, other),
        steps=(
            *(
                f"{e.told} ({e.limit.condition}, {e.limit.bound}): {show_ends(e.side)}"
                for e in (one, other)
                if e.side is not None
            ),
            "the first must not lie above the second (tables/checks/order)",
        ),
    )
