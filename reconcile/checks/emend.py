"""Emendation: what a figure most likely ought to read, given all that it must agree with.

Candidates come from the damage model and from unit and form confusions; each is weighed by
the prior odds of its fault and by every check it would satisfy or break. "It stands as
printed" is among the answers. Nothing is applied: the answer is a list for a person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from reconcile.checks.compare import figure_reading
from reconcile.checks.context import Context, read_context
from reconcile.checks.damage import Supposition, suppose
from reconcile.checks.mislabels import suppose_label
from reconcile.checks.rounding import judge
from reconcile.checks.sides import Side, side_of
from reconcile.checks.weigh import cause_rows, credibility, roundness
from reconcile.records import Emendation, Figure, Finding

BROKEN = 0.02
"""Likelihood, against a satisfied one, of a check that a reading breaks. Judged."""
STANDS = 0.05
"""Prior of a figure that stands although a check speaks against it. Judged."""
_LEAST = 1e-3


@dataclass(frozen=True, slots=True)
class Constraint:
    """Something the right reading should satisfy."""

    check: str
    holds: Callable[[Side], bool]
    broken: float = BROKEN


def emend_figure(
    figure: Figure, witnesses: Iterable[Figure] = (), *, context: str = ""
) -> tuple[Emendation, ...]:
    """Likeliest readings of `figure`, given other figures that state the same value.

    Parameters
    ----------
    figure : Figure
    witnesses : iterable of Figure
        Its twin in another unit, the same limit in other sources.
    context : str
        Plain words about it, as for `reconcile.compare`.

    Returns
    -------
    emendations : tuple of Emendation, likeliest first
        A reading that stands as printed has ``proposed`` None and cause
        ``different_condition``: the others then state something else.
    """
    side = side_of(figure)
    if side is None:
        return ()
    constraints = []
    for other in witnesses:
        theirs = side_of(other)
        if theirs is not None and theirs.kind == side.kind:
            slug = "twins" if theirs.unit != side.unit else "witnesses"
            constraints.append(agreement(slug, theirs))
    return tuple(
        emend(figure, side, constraints, context=read_context(context), parameter=figure.parameter)
    )


def agreement(check: str, other: Side) -> Constraint:
    """The constraint that a reading agrees with `other`."""
    return Constraint(
        check,
        lambda side: len(side.ends) == len(other.ends) and judge(side, other) != "contradicts",
    )


def emend(
    figure: Figure,
    side: Side,
    constraints: Sequence[Constraint],
    *,
    context: Context | None = None,
    parameter: str | None = None,
) -> list[Emendation]:
    """Readings of one figure that satisfy more of `constraints` than the printed one.

    The odds are relative: they include the printed reading, which is not listed where no
    constraint is broken by it.
    """
    context = context or Context()
    as_printed = _satisfied(side, constraints)
    if all(as_printed):
        return []
    weights: list[tuple[Supposition | None, float, list[bool]]] = []
    for one in (*suppose(side), *suppose_label(side)):
        held = _satisfied(one.side, constraints)
        if sum(held) <= sum(as_printed):
            continue
        weight = float(Fraction(cause_rows()[one.cause]["prior_witness"])) * one.weight
        weight *= context.weights.get(one.cause, 1.0) * credibility(one.side, parameter)
        weight *= max(roundness(end, one.side.place) for end in one.side.ends)
        weights.append((one, weight * _likelihood(held, constraints), held))
    stands = STANDS * credibility(side, parameter) * context.weights.get("different_condition", 1.0)
    stands *= max(roundness(end, side.place) for end in side.ends)
    weights.append((None, stands * _likelihood(as_printed, constraints), as_printed))
    return _ranked(figure, weights, constraints)


def _satisfied(side: Side, constraints: Sequence[Constraint]) -> list[bool]:
    return [constraint.holds(side) for constraint in constraints]


def _likelihood(held: Sequence[bool], constraints: Sequence[Constraint]) -> float:
    like = 1.0
    for ok, constraint in zip(held, constraints):
        like *= 1.0 if ok else constraint.broken
    return like


def _ranked(
    figure: Figure,
    weights: list[tuple[Supposition | None, float, list[bool]]],
    constraints: Sequence[Constraint],
) -> list[Emendation]:
    total = sum(weight for _, weight, _ in weights)
    best: dict[str, Emendation] = {}
    for one, weight, held in sorted(weights, key=lambda w: -w[1]):
        odds = weight / total if total else 0.0
        cause = one.cause if one else "different_condition"
        if cause in best:
            best[cause] = replace(best[cause], odds=best[cause].odds + odds)
            continue
        satisfied = tuple(dict.fromkeys(c.check for ok, c in zip(held, constraints) if ok))
        if one is None:
            reason = "it stands as printed, and holds for something else"
            best[cause] = Emendation(cause, None, odds, reason, satisfied)
        else:
            proposed = figure_reading(figure, one.side, one.reason)
            best[cause] = Emendation(cause, proposed, odds, one.reason, satisfied)
    ranked = sorted(best.values(), key=lambda e: -e.odds)
    return [e for e in ranked if e.odds >= _LEAST]


def weigh_again(findings: Sequence[Finding], sides: dict[str, Side]) -> list[Finding]:
    """Findings whose emendations are weighed by all the other findings on their figures.

    A proposal gains where it also agrees with the figure's twin and with other witnesses,
    and loses where it breaks what agreed before.

    Parameters
    ----------
    findings : sequence of Finding
    sides : dict of str to Side
        By figure id.
    """
    partners: dict[str, list[tuple[str, str]]] = {}
    for finding in findings:
        if finding.check in ("twins", "witnesses") and len(finding.figure_ids) == 2:
            a, b = finding.figure_ids
            partners.setdefault(a, []).append((finding.check, b))
            partners.setdefault(b, []).append((finding.check, a))
    out = []
    for finding in findings:
        if finding.check in ("twins", "witnesses") and finding.emendations:
            finding = _reweighed(finding, partners, sides)
        out.append(finding)
    return out


def _reweighed(
    finding: Finding, partners: dict[str, list[tuple[str, str]]], sides: dict[str, Side]
) -> Finding:
    a, b = finding.figure_ids
    outside = [
        (slug, own, other)
        for own in (a, b)
        for slug, other in partners.get(own, ())
        if other not in (a, b) and own in sides and other in sides
    ]
    if not outside:
        return finding
    weighed = []
    for one in finding.emendations:
        like, satisfied = 1.0, list(one.agrees_with)
        for slug, own, other in outside:
            side = sides[own]
            if one.proposed is not None and one.proposed.id == own:
                mended = side_of(one.proposed)
                side = mended or side
            theirs = sides[other]
            ok = len(side.ends) == len(theirs.ends) and judge(side, theirs) != "contradicts"
            like *= 1.0 if ok else 0.1
            if ok and one.proposed is not None and one.proposed.id == own:
                satisfied.append(slug)
        weighed.append(
            replace(one, odds=one.odds * like, agrees_with=tuple(dict.fromkeys(satisfied)))
        )
    total = sum(e.odds for e in weighed)
    if not total:
        return finding
    ranked = sorted(weighed, key=lambda e: -e.odds)
    return replace(finding, emendations=tuple(replace(e, odds=e.odds / total) for e in ranked))


def scaled(found: Sequence[Emendation]) -> tuple[Emendation, ...]:
    """Emendations of several figures on one list, odds summing to one."""
    total = sum(e.odds for e in found)
    ranked = sorted(found, key=lambda e: -e.odds)
    return tuple(replace(e, odds=e.odds / total) for e in ranked) if total else ()
