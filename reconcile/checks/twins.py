"""Check *twins*: the same value printed in two units must be one value.

Needs: two figures of one kind in different units, side by side in a witness, that limit
the same thing. Abstains: where a figure is unread, where words stand between the two, or
where their conditions differ. Source: the conversion factors of tables/units.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from reconcile.checks.compare import compare_in
from reconcile.checks.context import Context
from reconcile.checks.material import Entry, Material
from reconcile.checks.mislabels import suppose_label
from reconcile.checks.rounding import judge
from reconcile.records import Finding

_APART = 14
"""Characters that may stand between a figure and its twin: a bracket, "or", "i.e."."""


def check_twins(material: Material) -> Iterator[Finding]:
    """Findings on every figure and its twin, agreeing or not."""
    plain = Context()
    for entries in material.entries:
        for one, other in find_twins(entries):
            finding = compare_in(
                one.figure, other.figure, plain, parameter=one.limit.parameter, twins=True
            )
            limits = dict.fromkeys((one.limit.id, other.limit.id))
            yield replace(finding, check="twins", limit_ids=tuple(limits))
        yield from _same_label(entries)


def _same_label(entries: list[Entry]) -> Iterator[Finding]:
    """Two numbers of one limit under one unit, which a wrong label would explain.

    Printed twins never share their unit; where the numbers are each other's conversion
    under a unit commonly confused, one of the labels is wrong. Otherwise nothing is said:
    the second may be an alternative.
    """
    for one, other in pairwise(entries):
        a, b = one.side, other.side
        if one.limit.id != other.limit.id or a is None or b is None or a.scale != b.scale:
            continue
        if a.ends == b.ends or not 0 <= other.start - one.end <= _APART:
            continue
        if not any(
            judge(s.side, t) != "contradicts" for x, t in ((a, b), (b, a)) for s in suppose_label(x)
        ):
            continue
        finding = compare_in(
            one.figure, other.figure, Context(), parameter=one.limit.parameter, twins=True
        )
        yield replace(finding, check="twins", limit_ids=(one.limit.id,))


def find_twins(entries: list[Entry]) -> Iterator[tuple[Entry, Entry]]:
    """Neighbouring entries that print one value twice."""
    paired: set[str] = set()
    for one, other in pairwise(entries):
        if one.figure.id in paired or not _are_twins(one, other):
            continue
        paired |= {one.figure.id, other.figure.id}
        yield one, other


def _are_twins(one: Entry, other: Entry) -> bool:
    a, b = one.figure, other.figure
    if a.id == b.id or a.kind != b.kind or one.where != other.where:
        return False
    if (a.unit, a.quantity.unit_slug) == (b.unit, b.quantity.unit_slug):
        return False
    same_limit = one.limit.id == other.limit.id or (
        one.limit.parameter == other.limit.parameter
        and one.limit.condition == other.limit.condition
        and one.limit.bound == other.limit.bound
    )
    if not same_limit:
        return False
    if a.place.column and b.place.column and a.place.row == b.place.row:
        return a.place.line == b.place.line
    return 0 <= other.start - one.end <= _APART
