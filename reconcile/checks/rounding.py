"""Could one true value have been printed as both? The logic of roundings, before any statistics.

Two classes, the second weaker: *agrees* when the two lie within half the last printed
place of the coarser figure; *agrees within rounding* when they lie within the sum of the
half-steps both were likely rounded to. Period writers rounded to handy steps (5, 10, 50)
much more coarsely than the last place suggests; the handy step is read off the number.
"""

from __future__ import annotations

from fractions import Fraction

from reconcile.checks.sides import Side
from reconcile.records import Verdict

SLOPPY_SHARE = Fraction(1, 100)
"""Half a handy step may be this share of the value. Common practice, no source."""
SLOPPY_KELVIN = Fraction(5, 2)
"""Half a handy step of a temperature, [K]. Common practice, no source."""
_SLACK = Fraction(1, 10**9)
_WORSE: tuple[Verdict, ...] = ("agrees", "agrees within rounding", "contradicts")


def last_place_half(side: Side) -> Fraction:
    """Half the last printed place, in SI."""
    return abs(side.scale.factor) * side.place / 2


def handy_step(number: Fraction, side: Side) -> Fraction:
    """The largest step 1, 2 or 5 x 10^k last places that `number` may be rounded to.

    The step divides the printed number, and its half stays within 1 % of the value (of
    the absolute value for a boost) or within 2.5 K for a temperature; never less than
    the last place itself.
    """
    factor = abs(side.scale.factor)
    if side.kind == "temperature":
        most = SLOPPY_KELVIN / factor
    elif side.form == "fixed_datum":
        most = SLOPPY_SHARE * abs(side.scale.si(number)) / factor
    else:
        most = SLOPPY_SHARE * abs(number)
    places = number / side.place
    best, power = side.place, 1
    while side.place * power / 2 <= most:
        for digit in (1, 2, 5):
            step = digit * power
            if side.place * step / 2 <= most and places % step == 0:
                best = max(best, side.place * step)
        power *= 10
    return best


def handy_half(number: Fraction, side: Side) -> Fraction:
    """Half the handy step of `number`, in SI."""
    return abs(side.scale.factor) * handy_step(number, side) / 2


def judge_ends(x: Fraction, a: Side, y: Fraction, b: Side) -> Verdict:
    """Verdict on number `x` of side `a` against number `y` of side `b`."""
    sx, sy = a.scale.si(x), b.scale.si(y)
    gap = abs(sx - sy)
    slack = _SLACK * max(abs(sx), abs(sy))
    if gap <= max(last_place_half(a), last_place_half(b)) + slack:
        return "agrees"
    if gap <= handy_half(x, a) + handy_half(y, b) + slack:
        return "agrees within rounding"
    return "contradicts"


def judge(a: Side, b: Side) -> Verdict:
    """Verdict on two sides of one kind, end by end; the worse holds.

    A single number against a range is *in doubt* where it lies in the range or at an end
    of it: both can be true, but they do not say the same.
    """
    if len(a.ends) == len(b.ends):
        ends = zip(_in_order(a), _in_order(b))
        return max((judge_ends(x, a, y, b) for x, y in ends), key=_WORSE.index)
    if len(a.ends) > len(b.ends):
        a, b = b, a
    low, high = _in_order(b)
    number = a.ends[0]
    at_end = any(judge_ends(number, a, end, b) != "contradicts" for end in (low, high))
    inside = b.scale.si(low) <= a.scale.si(number) <= b.scale.si(high)
    return "in doubt" if at_end or inside else "contradicts"


def _in_order(side: Side) -> list[Fraction]:
    # Suction counts downwards: order by SI, so that like ends meet.
    return sorted(side.ends, key=side.scale.si)
