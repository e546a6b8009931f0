"""Posterior odds of every explanation of a disagreement.

For each supposition: prior odds of its cause (tables/checks/causes.csv, by whether the
two are twins or witnesses) x what the words about the pair say x the probability of just
that slip x how well it makes the two agree x whether such a value is credible x how round
it is, since figures are set in round numbers and converted into odd ones. Bayes' theorem
over a closed list; the answer is a proposal, never a change.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from reconcile.checks.context import Context
from reconcile.checks.damage import Supposition, printed_digits, suppose
from reconcile.checks.mislabels import (
    cause_of_confusion,
    converted,
    label_is_named,
    suppose_conversion,
    suppose_label,
)
from reconcile.checks.rounding import handy_half, judge_ends, may_agree
from reconcile.checks.sides import Side
from reconcile.measure.units import unit_row
from reconcile.reference import Row, load_rows

STEPS = ((1, 0.7), (2, 0.04), (5, 0.1), (10, 0.1), (20, 0.02), (50, 0.03), (100, 0.01))
"""Steps, in last places, that converted numbers are rounded to, and how often. Judged, no
source."""
_CARELESS = 0.03
"""Probability that a number was rounded to no step at all, yet within what its look allows."""
_CONVERTED_SECOND = 0.92
"""Probability that, of a figure and its twin, the second was worked out from the first."""
_NO_WORDS = Context()
BOTH = frozenset({"edition_amended", "different_condition"})
_COPY_AMENDS = 0.1
"""Share of the prior left to "both stand" between a copy and its model. Judged."""
_SECOND_FAULTY = {"damage": 0.55, "unit": 0.65, "both": 0.5}
_INCREDIBLE, _UNUSUAL = 0.002, 0.15
_SPREAD = 0.3
"""Amended figures differ by about this share (standard deviation of the log ratio)."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """One explanation, weighed."""

    cause: str
    faulty: int | None
    """Index of the side at fault; None where both may stand."""
    side: Side | None
    """The faulty side as it ought to read."""
    odds: float
    reason: str


@cache
def cause_rows() -> dict[str, Row]:
    """Rows of tables/checks/causes by slug."""
    return {row["slug"]: row for row in load_rows("checks/causes")}


@cache
def _bounds() -> dict[str, tuple[tuple[float, float, float, float], str]]:
    found = {}
    for row in load_rows("checks/plausible"):
        low, usual_low, usual_high, high = (
            float(Fraction(row[c])) for c in ("low", "usual_low", "usual_high", "high")
        )
        found[row["subject"]] = ((low, usual_low, usual_high, high), row["unit"])
    return found


def subject_named(text: str) -> str | None:
    """The longest parameter of the table of bounds that plain words name."""
    low = text.lower()
    return max((s for s in _bounds() if s in low and " " in s), key=len, default=None)


def bounds_of(side: Side, parameter: str | None = None) -> tuple[float, float, float, float] | None:
    """Lowest credible, usual low, usual high and highest credible value in comparable SI."""
    bounds = _bounds()
    unit = unit_row(side.unit).si_unit
    for subject in (parameter or "", f"{side.kind}/{side.form}", side.kind):
        found = bounds.get(subject)
        if found is not None and found[1] == unit:
            return found[0]
    return None


def credibility(side: Side, parameter: str | None = None) -> float:
    """Relative credibility of the side's values, 1 where they are usual."""
    bounds = bounds_of(side, parameter)
    if bounds is None or side.is_difference:
        return 1.0
    worst = 1.0
    for si in side.si:
        value = float(si)
        if not bounds[0] <= value <= bounds[3]:
            worst = min(worst, _INCREDIBLE)
        elif not bounds[1] <= value <= bounds[2]:
            worst = min(worst, _UNUSUAL)
    return worst


def roundness(number: Fraction, place: Fraction) -> float:
    """How likely a figure set by hand is to be just this number, relative to a one-digit one."""
    digits = printed_digits(number, place) or printed_digits(number, Fraction(1, 10**6))
    digits = digits.replace(".", "").strip("0")
    if not digits:
        return 1.0
    share = 6.0 ** (1 - len(digits))
    if len(digits) > 1:
        share *= {"5": 2.0}.get(digits[-1], 1.0 if digits[-1] in "2468" else 0.6)
    return share


def fit(a: Side, b: Side) -> float:
    """Probability of the two printed numbers, given that one was rounded from the other."""
    if len(a.ends) != len(b.ends):
        return 0.0
    product = 1.0
    one = len(a.ends) == 1
    pairs = [(a.ends[0], b.ends[0])] if one else zip(a.in_order, b.in_order)
    for x, y in pairs:
        if not may_agree(x, a, y, b) or judge_ends(x, a, y, b) == "contradicts":
            return 0.0
        if a.scale == b.scale:
            rounder = max(roundness(x, a.place), roundness(y, b.place))
            product *= rounder * (1.0 if x == y else 0.03)
        else:
            product *= max(
                roundness(x, a.place) * _rounded(a.scale.si(x), y, b),
                roundness(y, b.place) * _rounded(b.scale.si(y), x, a),
            )
    return product


def _rounded(si: Fraction, printed: Fraction, side: Side) -> float:
    """Probability that `si` is printed as `printed` on `side`."""
    exact = side.scale.number(si)
    off = abs(exact - printed)
    half = handy_half(printed, side) / abs(side.scale.factor)
    share = 0.0
    for step, often in STEPS:
        width = step * side.place
        if width / 2 > max(half, side.place / 2):
            break
        if (printed / width).denominator == 1 and off <= width / 2:
            share += often
    choices = max(2.0, 2 * float(half / side.place))
    return max(share, _CARELESS / choices)


def explain(
    a: Side,
    b: Side,
    *,
    twins: bool,
    context: Context = _NO_WORDS,
    parameter: str | None = None,
    natural_form: str = "",
    conditions_differ: bool = False,
    copy: int | None = None,
) -> list[Explanation]:
    """Explanations of why `a` and `b` disagree, likeliest first; odds sum to one.

    Parameters
    ----------
    a, b : Side
        The two as printed.
    twins : bool
        The same value printed twice in two units, not two witnesses of a figure.
    context : Context
        Words about the pair, weighed.
    parameter : str, optional
        What the figures limit; narrows what is credible.
    natural_form : str
        Reference form such pressures have by nature, where that is known.
    conditions_differ : bool
        The two are known to stand under different conditions.
    copy : int, optional
        Side known to be a reproduction of the other; overrules the words.

    Returns
    -------
    explanations : list of Explanation
    """
    column = "prior_twin" if twins else "prior_witness"
    copy = context.copy if copy is None else copy
    prior = {
        slug: float(Fraction(row[column])) * context.weights.get(slug, 1.0)
        for slug, row in cause_rows().items()
    }
    if copy is not None:
        for cause in BOTH:
            prior[cause] *= _COPY_AMENDS
    if conditions_differ:
        prior["different_condition"] *= 100
    found: list[Explanation] = []
    sides = (a, b)
    standing = (credibility(a, parameter), credibility(b, parameter))
    for faulty, other in ((0, 1), (1, 0)):
        for one in _of_side(sides[faulty], sides[other], twins, context):
            like = fit(one.side, sides[other])
            if not like:
                continue
            if one.printed and one.printed[0] == _digits(sides[other]):
                like *= 3.0
            weight = prior[one.cause] * one.weight * like * _at_fault(one.cause, faulty, copy)
            weight *= credibility(one.side, parameter) * standing[other]
            # Intake pressures have two natural forms, boost and absolute; the rest have one.
            if natural_form == "gauge" and one.side.form != sides[faulty].form:
                weight *= 5.0 if one.side.form == natural_form else 0.1
            found.append(Explanation(one.cause, faulty, one.side, weight, one.reason))
        for one, misfit in suppose_conversion(sides[faulty], sides[other]):
            # The source of a conversion is the figure that was set, so it is the round one.
            source = math.prod(roundness(e, sides[other].place) for e in sides[other].ends)
            weight = prior[one.cause] * one.weight * 0.5 * (1.0 - 0.6 * misfit) * source
            weight *= credibility(one.side, parameter) * standing[other]
            if sides[faulty].ends == sides[other].ends:
                weight *= 0.1  # the number was copied: its label is wrong, not its conversion
            weight *= _CONVERTED_SECOND if faulty == 1 else 1 - _CONVERTED_SECOND
            found.append(Explanation(one.cause, faulty, one.side, weight, one.reason))
    found += _both_slipped(sides, prior, parameter)
    found += _labels_swapped(sides, prior, parameter)
    found += _both_stand(sides, standing, prior, twins)
    return _posterior(found)


def exact_only(ranked: list[Explanation], a: Side, b: Side) -> list[Explanation]:
    """Explanations of two prints in one unit that leave no difference between them."""
    sides = (a, b)
    kept = [
        one
        for one in ranked
        if one.faulty is None
        or one.side is None
        or one.side.scale != sides[1 - one.faulty].scale
        or one.side.ends == sides[1 - one.faulty].ends
    ]
    total = sum(one.odds for one in kept)
    return [replace(one, odds=one.odds / total) for one in kept] if total else []


def _of_side(faulty: Side, right: Side, twins: bool, context: Context) -> Iterable[Supposition]:
    """Everything that may be wrong with one side, given the other."""
    yield from suppose(faulty)
    foreign = context.weights.get("imperial_us_gallon", 1.0) > 1
    for one in suppose_label(faulty):
        named = label_is_named(faulty, one.cause)
        share = 2.0 if foreign and one.cause == "imperial_us_gallon" else 0.3 if named else 0.7
        if one.cause == "wrong_unit_label":
            share = 1.0
        elif one.cause == "gauge_absolute" and "fixed_datum" not in (faulty.form, right.form):
            share = 1.5
        if faulty.ends == right.ends and one.side.scale == right.scale:
            share *= 6.0  # the very same number under two units: chance would not do that
        yield Supposition(one.cause, one.side, one.weight * share, one.reason)
    if faulty.scale == right.scale:
        # Same label on both: the other number would be right under another label, and
        # this one was copied from it without conversion.
        for one in suppose_label(right):
            if one.cause != "wrong_unit_label" and fit(faulty, one.side):
                reason = f"one of the two was not converted: {one.reason}"
                meant = converted(faulty, right)
                yield Supposition(one.cause, meant, 0.15 * one.weight, reason)


def _digits(side: Side) -> str:
    return printed_digits(side.ends[0], side.place) if len(side.ends) == 1 else ""


def _at_fault(cause: str, faulty: int, copy: int | None) -> float:
    row = cause_rows()[cause]
    if copy is not None:
        share = float(Fraction(row["in_copying"]))
        return share if faulty == copy else 1 - share
    second = _SECOND_FAULTY[row["group"]]
    return second if faulty == 1 else 1 - second


_TOGETHER = frozenset({"degree_mark_as_zero", "lost_decimal_point", "lost_sign"})


def _both_slipped(
    sides: Sequence[Side], prior: dict[str, float], parameter: str | None
) -> Iterable[Explanation]:
    """Neither is right: one habit spoilt both alike."""
    firsts = [s for s in suppose(sides[0]) if s.cause in _TOGETHER]
    seconds = [s for s in suppose(sides[1]) if s.cause in _TOGETHER]
    for one in firsts:
        for two in seconds:
            if one.cause != two.cause or sides[0].scale == sides[1].scale:
                continue
            like = fit(one.side, two.side)
            if like:
                weight = 0.4 * prior[one.cause] * one.weight * two.weight * like
                weight *= credibility(one.side, parameter) * credibility(two.side, parameter)
                reason = f"both are spoilt: {one.reason}; {two.reason}"
                yield Explanation(one.cause, 0, one.side, weight, reason)


def _labels_swapped(
    sides: Sequence[Side], prior: dict[str, float], parameter: str | None
) -> Iterable[Explanation]:
    """Each number stands beside the other's unit."""
    a, b = sides
    cause = cause_of_confusion(a, b)
    if not cause or a.form != b.form:
        return
    one, two = a.relabelled(unit=b.unit), b.relabelled(unit=a.unit)
    like = fit(one, two)
    if like:
        weight = 0.15 * prior[cause] * like
        weight *= credibility(one, parameter) * credibility(two, parameter)
        yield Explanation(cause, 0, one, weight, "the two units changed places")


def _both_stand(
    sides: Sequence[Side], standing: Sequence[float], prior: dict[str, float], twins: bool
) -> Iterable[Explanation]:
    a, b = sides
    round_a = math.prod(roundness(e, a.place) for e in a.ends)
    round_b = math.prod(roundness(e, b.place) for e in b.ends)
    like = round_a * round_b * standing[0] * standing[1]
    for x, y in zip(a.si, b.si):
        if x == -y or (a.scale == b.scale and a.ends[0] == -b.ends[0]):
            like *= 0.01  # chance would seldom give the same number with the other sign
        elif a.ends == b.ends:
            like *= 0.02  # nor the same number in another unit
        elif x > 0 and y > 0:
            like *= max(1e-4, math.exp(-(math.log(x / y) ** 2) / (2 * _SPREAD**2)))
        else:
            like *= 0.3
    for cause in sorted(BOTH):
        yield Explanation(cause, None, None, prior[cause] * like, cause_rows()[cause]["title"])


def _posterior(found: Iterable[Explanation]) -> list[Explanation]:
    """The same reading by the same cause counts once; odds sum to one."""
    best: dict[tuple[object, ...], Explanation] = {}
    for one in found:
        side = one.side
        key = (one.cause, one.faulty, side and (side.ends, side.unit, side.form))
        if key not in best or best[key].odds < one.odds:
            best[key] = one
    total = sum(one.odds for one in best.values())
    if not total:
        return []
    ranked = sorted(best.values(), key=lambda one: -one.odds)
    return [
        Explanation(one.cause, one.faulty, one.side, one.odds / total, one.reason) for one in ranked
    ]
