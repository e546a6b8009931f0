"""Emendation: what a figure most likely ought to read, given all that it must agree with.

Candidates come from the damage model and from unit and form confusions; each is weighed by
the prior odds of its fault and by every check it would satisfy or break. "It stands as
printed" is among the answers. Nothing is applied: the answer is a list for a person.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from reconcile.checks.context import Context, read_context
from reconcile.checks.damage import Supposition, suppose
from reconcile.checks.mislabels import suppose_label
from reconcile.checks.proposals import figure_reading, likeliest, said_of
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
    suspect = Suspect(figure, side, constraints, figure.parameter)
    return emend([suspect], context=read_context(context))


def agreement(check: str, other: Side) -> Constraint:
    """The constraint that a reading agrees with `other`."""
    return Constraint(
        check,
        lambda side: len(side.ends) == len(other.ends) and judge(side, other) != "contradicts",
    )


@dataclass(frozen=True, slots=True)
class Suspect:
    """A figure that may be at fault, and what its right reading should satisfy."""

    figure: Figure
    side: Side
    constraints: Sequence[Constraint]
    parameter: str | None = None


def emend(suspects: Sequence[Suspect], *, context: Context | None = None) -> tuple[Emendation, ...]:
    """Which one of `suspects` slipped, and what it ought to read.

    Parameters
    ----------
    suspects : sequence of Suspect
        Figures that some check finds to disagree together.
    context : Context, optional
        Words about them, weighed.

    Returns
    -------
    emendations : tuple of Emendation
        One a figure and cause, likeliest first, odds summing to one. "It stands as
        printed" is among them; empty where nothing is broken.
    """
    context = context or Context()
    best: dict[tuple[str, str], Emendation] = {}
    broken = 1.0
    for suspect in suspects:
        as_printed = _satisfied(suspect.side, suspect.constraints)
        if all(as_printed):
            continue
        broken = min(broken, _likelihood(as_printed, suspect.constraints))
        for one, weight, held in _readings(suspect, as_printed, context):
            at = (suspect.figure.id, one.cause)
            if at in best and best[at].odds >= weight:
                best[at] = replace(best[at], odds=best[at].odds + weight)
                continue
            before = best[at].odds if at in best else 0.0
            best[at] = Emendation(
                one.cause,
                figure_reading(suspect.figure, one.side, said_of(one.cause, one.reason)),
                before + weight,
                said_of(one.cause, one.reason),
                tuple(dict.fromkeys(c.check for ok, c in zip(held, suspect.constraints) if ok)),
            )
    if broken == 1.0:
        return ()
    stands = STANDS * broken * context.weights.get("different_condition", 1.0)
    reason = "all stand as printed, and hold for something else"
    found = [*best.values(), Emendation("different_condition", None, stands, reason)]
    total = sum(e.odds for e in found)
    ranked = sorted((replace(e, odds=e.odds / total) for e in found), key=lambda e: -e.odds)
    return tuple(e for e in ranked if e.odds >= _LEAST)


def _readings(
    suspect: Suspect, as_printed: list[bool], context: Context
) -> Iterator[tuple[Supposition, float, list[bool]]]:
    """Readings that satisfy more than the printed one, each with its weight.

    Weights are relative to the printed reading's own roundness and credibility, so that
    those of different figures compare.
    """
    side = suspect.side
    base = credibility(side, suspect.parameter) * _round(side)
    for one in (*suppose(side), *suppose_label(side)):
        held = _satisfied(one.side, suspect.constraints)
        if sum(held) <= sum(as_printed):
            continue
        weight = float(Fraction(cause_rows()[one.cause]["prior_witness"])) * one.weight
        weight *= context.weights.get(one.cause, 1.0)
        weight *= credibility(one.side, suspect.parameter) * _round(one.side) / base
        yield one, weight * _likelihood(held, suspect.constraints), held


def _round(side: Side) -> float:
    return max(roundness(end, side.place) for end in side.ends)


def _satisfied(side: Side, constraints: Sequence[Constraint]) -> list[bool]:
    return [constraint.holds(side) for constraint in constraints]


def _likelihood(held: Sequence[bool], constraints: Sequence[Constraint]) -> float:
    like = 1.0
    for ok, constraint in zip(held, constraints):
        like *= 1.0 if ok else constraint.broken
    return like


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
        if finding.emendations:
            finding = _reweighed(finding, partners, sides)
        out.append(finding)
    return out


def _reweighed(
    finding: Finding, partners: dict[str, list[tuple[str, str]]], sides: dict[str, Side]
) -> Finding:
    inside = set(finding.figure_ids)
    outside = [
        (slug, own, other)
        for own in finding.figure_ids
        for slug, other in partners.get(own, ())
        if other not in inside and own in sides and other in sides
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
    again = tuple(replace(e, odds=e.odds / total) for e in ranked)
    # The evidence names the cause that is now the likeliest.
    before, after = likeliest(finding.emendations), likeliest(again)
    evidence = finding.evidence.removesuffix(before)
    if evidence != finding.evidence:
        evidence += after
    return replace(finding, evidence=evidence, emendations=again)
