"""Relations between figures of one condition: products, quotients, formulas.

A relation is a row of tables/checks/relations: a result, its factors (parameters with
powers), a constant, and how far it may be missed. The arithmetic is in SI with every
figure's rounding carried; the checks *products* and *engine* share it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import handy_half
from reconcile.checks.show import show_difference, show_si
from reconcile.checks.sides import Side
from reconcile.measure.units import unit_row
from reconcile.records import Emendation, Finding, Verdict
from reconcile.reference import load_rows


@dataclass(frozen=True, slots=True)
class Relation:
    """result = constant x product of factors ** powers, within `slack`."""

    slug: str
    check: str
    result: str
    result_kind: str
    factors: tuple[tuple[str, str, float], ...]
    """(parameter, kind or kind:SI unit, power)."""
    constant: float
    slack: float
    """Relative share it may be missed by, beyond rounding."""
    kind: str
    """"equal", or "at most"."""
    formula: str
    source: str


@cache
def relations() -> tuple[Relation, ...]:
    """All relations of the table."""
    found = []
    for row in load_rows("checks/relations"):
        factors = []
        for part in row["factors"].split(";"):
            name, _, power = part.strip().partition("^")
            parameter, _, kind = name.partition("/")
            factors.append((parameter.strip(), kind.strip(), float(power or 1)))
        result, _, result_kind = row["result"].partition("/")
        found.append(
            Relation(
                row["slug"],
                row["check"],
                result.strip(),
                result_kind.strip(),
                tuple(factors),
                float(Fraction(row["constant"])),
                float(Fraction(row["slack"])),
                row["kind"],
                row["formula"],
                row["source"],
            )
        )
    return tuple(found)


def check_relations(material: Material, check: str) -> Iterator[Finding]:
    """Findings of all relations that belong to one check."""
    for named in material.by_parameter:
        for relation in relations():
            if relation.check == check and relation.result in named:
                yield from _apply(relation, named)


def _apply(relation: Relation, named: dict[str, list[Entry]]) -> Iterator[Finding]:
    for result in named[relation.result]:
        if result.figure.kind != relation.result_kind or not _single(result):
            continue
        factors = []
        for parameter, kind, _ in relation.factors:
            match = _matching(named.get(parameter, ()), kind, result)
            if match is None:
                break
            factors.append(match)
        if len(factors) == len(relation.factors):
            yield _judge(relation, result, factors)


def _single(entry: Entry) -> bool:
    return entry.side is not None and len(entry.side.ends) == 1


def _matching(entries: Sequence[Entry], kind: str, result: Entry) -> Entry | None:
    """The one entry of a kind that holds for the result's condition and marks.

    A figure without condition (a bore, a gear ratio) holds for all; where several would
    do, the check abstains.
    """
    kind, _, si_unit = kind.partition(":")
    able = [
        e
        for e in entries
        if e.figure.kind == kind
        and _single(e)
        and (not si_unit or e.side is None or unit_row(e.side.unit).si_unit == si_unit)
    ]
    same = [
        e
        for e in able
        if e.limit.condition == result.limit.condition
        and e.limit.applies_to == result.limit.applies_to
    ]
    same = same or [e for e in able if not e.limit.condition and not e.limit.applies_to]
    values = {e.side.si for e in same if e.side is not None}
    return same[0] if len(values) == 1 else None


def _log_half(side: Side) -> float:
    """Relative half-width of the rounding of a side's number."""
    value = abs(float(side.scale.factor * side.ends[0]))
    return float(handy_half(side.ends[0], side)) / value if value else 0.0


def _size(side: Side) -> float:
    """The quantity itself, without a reference form's zero."""
    if side.kind == "pressure":
        return float(side.scale.factor * side.ends[0])
    return float(side.si[0])


def _judge(relation: Relation, result: Entry, factors: list[Entry]) -> Finding:
    assert result.side is not None
    sides = [e.side for e in factors if e.side is not None]
    expected = relation.constant * math.prod(
        _size(s) ** p for s, (_, _, p) in zip(sides, relation.factors)
    )
    seen = _size(result.side)
    rounding = _log_half(result.side) + sum(
        abs(p) * _log_half(s) for s, (_, _, p) in zip(sides, relation.factors)
    )
    off = seen / expected - 1 if expected else math.inf
    verdict = _verdict(relation, off, rounding)
    entries = [result, *factors]
    emendations: tuple[Emendation, ...] = ()
    if verdict == "contradicts":
        emendations = _emendations(relation, entries)
    shown = show_difference(expected, result.side, printed=True)
    named = ", ".join(f"{e.limit.parameter} {e.told}" for e in factors)
    return Finding(
        relation.check,
        verdict,
        f"{relation.formula}: {named} give {shown} where {result.told} is printed "
        f"({off:+.1%}; roundings allow {rounding:.1%}).",
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in entries)),
        figure_ids=tuple(e.figure.id for e in entries),
        seen=result.told,
        expected=shown,
        difference_si=seen - expected,
        emendations=emendations,
        steps=(
            relation.formula,
            *(
                f"{e.limit.parameter}: {e.told} = {show_si(_size(s), s)}"
                for e, s in zip(factors, sides)
            ),
            f"expected {show_si(expected, result.side)}, printed {show_si(seen, result.side)}",
            f"allowed: {rounding:.2%} of rounding, {relation.slack:.2%} of practice",
            f"source: {relation.source}",
        ),
    )


def _verdict(relation: Relation, off: float, rounding: float) -> Verdict:
    if relation.kind == "at most":
        if off <= rounding + relation.slack:
            return "cannot tell"
        return "in doubt"
    if abs(off) <= rounding:
        return "agrees"
    if abs(off) <= rounding + relation.slack:
        return "agrees within rounding"
    return "contradicts"


def _emendations(relation: Relation, entries: list[Entry]) -> tuple[Emendation, ...]:
    """Single slips of any one of the figures that would mend the relation."""
    suspects = []
    for at, entry in enumerate(entries):
        if entry.side is None:
            continue

        def holds(side: Side, at: int = at) -> bool:
            sides = [side if i == at else e.side for i, e in enumerate(entries)]
            if any(s is None for s in sides):
                return False
            result, *factors = [s for s in sides if s is not None]
            expected = relation.constant * math.prod(
                _size(s) ** p for s, (_, _, p) in zip(factors, relation.factors)
            )
            rounding = _log_half(result) + sum(
                abs(p) * _log_half(s) for s, (_, _, p) in zip(factors, relation.factors)
            )
            off = _size(result) / expected - 1 if expected else math.inf
            return abs(off) <= rounding + relation.slack / 2

        constraint = Constraint(relation.check, holds)
        suspects.append(Suspect(entry.figure, entry.side, [constraint], entry.limit.parameter))
    return emend(suspects)
