"""Could one true value have been printed as both? The logic of roundings, before any statistics.

Two classes, the second weaker: *agrees* when the two lie within half the last printed
place of the coarser figure; *agrees within rounding* when they lie within the sum of the
half-steps both were likely rounded to. Period writers rounded to steps (5, 10, 50)
much more coarsely than the last place suggests; the rounding step is read off the number.

Two prints of one limit in one unit are held to the print: there, no conversion was rounded.
"""

from __future__ import annotations

from fractions import Fraction

from reconcile.checks.sides import Side
from reconcile.records import Verdict

SLOPPY_SHARE = Fraction(1, 100)
"""Half a rounding step may be this share of the value. Common practice, no source."""
SLOPPY_KELVIN = Fraction(5, 2)
"""Half a rounding step of a temperature, [K]. Common practice, no source."""
_SLACK = Fraction(1, 10**9)
_WORSE: tuple[Verdict, ...] = ("agrees", "agrees within rounding", "contradicts")


def last_place_half(side: Side) -> Fraction:
    """Half the last printed place, in SI."""
    return side.half_place


def handy_places(number: Fraction, side: Side) -> int:
    """The largest step 1, 2 or 5 x 10^k, in last places, that `number` may be rounded to.

    The step divides the printed number, and its half stays within 1 % of the value (of
    the absolute value for a boost) or within 2.5 K for a temperature; never less than 1.
    """
    places = number / side.place
    if places.denominator != 1:
        return 1
    count = abs(places.numerator)
    if side.kind == "temperature":
        most = int(SLOPPY_KELVIN / side.half_place)
    elif side.form == "fixed_datum":
        most = int(SLOPPY_SHARE * abs(side.scale.si(number)) / side.half_place)
    else:
        most = count // 50  # half a step within 1 %
    best, power = 1, 1
    while power <= most:
        for digit in (1, 2, 5):
            step = digit * power
            if step <= most and count % step == 0:
                best = step
        power *= 10
    return best


def handy_step(number: Fraction, side: Side) -> Fraction:
    """`handy_places` in the written unit."""
    return side.place * handy_places(number, side)


def handy_half(number: Fraction, side: Side) -> Fraction:
    """Half the rounding step of `number`, in SI."""
    return last_place_half(side) * handy_places(number, side)


def judge_ends(x: Fraction, a: Side, y: Fraction, b: Side) -> Verdict:
    """Verdict on number `x` of side `a` against number `y` of side `b`."""
    sx = a.si[a.ends.index(x)]
    sy = b.si[b.ends.index(y)]
    gap = abs(sx - sy)
    slack = _SLACK * max(abs(sx), abs(sy))
    if gap <= max(last_place_half(a), last_place_half(b)) + slack:
        return "agrees"
    if gap <= handy_half(x, a) + handy_half(y, b) + slack:
        return "agrees within rounding"
    return "contradicts"


def may_agree(x: Fraction, a: Side, y: Fraction, b: Side) -> bool:
    """A quick look in floats: False only where `judge_ends` would find a contradiction."""
    size_a, size_b = a.scale.slope * float(x), b.scale.slope * float(y)
    si_a, si_b = size_a + a.scale.start, size_b + b.scale.start
    places = abs(a.scale.slope) * float(a.place) + abs(b.scale.slope) * float(b.place)
    most = places + 0.011 * (max(abs(size_a), abs(si_a)) + max(abs(size_b), abs(si_b)))
    if a.kind == "temperature":
        most += 2.1 * float(SLOPPY_KELVIN)
    return abs(si_a - si_b) <= most


def judge(a: Side, b: Side) -> Verdict:
    """Verdict on two sides of one kind, end by end; the worse holds.

    A single number against a range is *in doubt* where it lies in the range or at an end
    of it: both can be true, but they do not say the same.
    """
    if len(a.ends) == len(b.ends) == 1:
        return judge_ends(a.ends[0], a, b.ends[0], b)
    if len(a.ends) == len(b.ends):
        ends = zip(a.in_order, b.in_order)
        return max((judge_ends(x, a, y, b) for x, y in ends), key=_WORSE.index)
    if len(a.ends) > len(b.ends):
        a, b = b, a
    low, high = b.in_order
    number = a.ends[0]
    at_end = any(judge_ends(number, a, end, b) != "contradicts" for end in (low, high))
    inside = b.scale.si(low) <= a.scale.si(number) <= b.scale.si(high)
    return "in doubt" if at_end or inside else "contradicts"


def is_same_print(a: Side, b: Side) -> bool:
    """Whether two sides print the same numbers in one unit, counted from one zero."""
    return a.scale == b.scale and a.ends == b.ends


def judge_prints(a: Side, b: Side, *, copied: bool = False) -> Verdict:
    """Verdict on one limit printed twice: in one unit, the numbers must be the same.

    Where they are not, two papers are *in doubt* within their roundings, since a figure may
    have been amended; a copy (`copied`) contradicts its model. In two units `judge` holds.
    """
    verdict = judge(a, b)
    if a.scale != b.scale or len(a.ends) != len(b.ends):
        return verdict
    if a.ends == b.ends:
        return "agrees"
    return "contradicts" if copied or verdict == "contradicts" else "in doubt"
