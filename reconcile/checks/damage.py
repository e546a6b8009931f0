"""What else may have stood on the paper: readings one slip of type, eye or key away.

Each supposition says: these digits were seen, those were meant, by this cause. Its weight
is the probability of the one slip among all slips of that cause, so that a cause with
many ways to go wrong gains nothing by their number. No pair of figures is needed here:
the emender and the comparison share it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise

from reconcile.checks.sides import Side
from reconcile.checks.words import words
from reconcile.measure.quantity import show
from reconcile.reference import load_rows

_SIGN = re.compile(r"^\W*(?:[+\-−–]|plus\b|minus\b)", re.IGNORECASE)
_COMMA_GROUP = re.compile(r"(?<![\d.])\d{1,3}(?:,\d{3})+(?![\d.])")
_POINT_GROUP = re.compile(r"(?<![\d,])\d{1,3}\.\d{3}(?![\d,])")
_DIGITS = "0123456789"
_TENS = frozenset(10**k for k in range(1, 10))
_SIGNED_FORMS = ("fixed_datum",)
_SIGNED_KINDS = ("temperature", "angle")
_DIALLED = ("rotational_speed", "pressure", "altitude", "temperature")
"""Kinds read off dials with a multiplier."""


@dataclass(frozen=True, slots=True)
class Supposition:
    """One other reading of one side."""

    cause: str
    side: Side
    weight: float
    reason: str
    """What the cause's title does not say; may be blank."""
    printed: tuple[str, ...] = ()
    """The digits supposed on the paper, where the cause is one of digits."""


def printed_digits(number: Fraction, place: Fraction) -> str:
    """`number` as decimal digits down to `place`, unsigned; empty for vulgar fractions."""
    number = abs(number)
    if place.denominator > 1 and place.denominator not in _TENS:
        return ""
    for decimals in range(9):
        scaled = number * 10**decimals
        if scaled.denominator == 1 and (place * 10**decimals).denominator == 1:
            digits = str(scaled.numerator).rjust(decimals + 1, "0")
            return digits if not decimals else f"{digits[:-decimals]}.{digits[-decimals:]}"
    return ""


@cache
def digit_odds() -> dict[tuple[str, str], float]:
    """Probability that `seen` is read where `meant` stands and is misread, by (meant, seen)."""
    weights = {(m, s): 1.0 for m in _DIGITS for s in _DIGITS if m != s}
    for row in load_rows("checks/digits"):
        weights[row["meant"], row["seen"]] = float(row["weight"])
    total = {m: sum(w for (n, _), w in weights.items() if n == m) for m in _DIGITS}
    return {(m, s): w / total[m] for (m, s), w in weights.items()}


def suppose(side: Side) -> Iterator[Supposition]:
    """All readings of `side` that one slip of its characters would explain.

    A slip of one character touches one number; a slip of habit (a comma, a degree mark, a
    multiplier) most likely touches both ends of a range alike.
    """
    for at, end in enumerate(side.ends):
        share = 1 / len(side.ends)
        for one in _slips(side, end):
            ends = (*side.ends[:at], one.number, *side.ends[at + 1 :])
            yield _made(side, one, ends, one.weight * share)
    if len(side.ends) == 2:
        for low, high in zip(_habits(side, side.ends[0]), _habits(side, side.ends[1])):
            if low is None or high is None or low.cause != high.cause:
                continue
            yield _made(side, low, (low.number, high.number), 0.7 * low.weight)
    for at, end in enumerate(side.ends):
        share = 1.0 if len(side.ends) == 1 else 0.15
        for habit in _habits(side, end):
            if habit is not None:
                ends = (*side.ends[:at], habit.number, *side.ends[at + 1 :])
                yield _made(side, habit, ends, habit.weight * share)


@dataclass(frozen=True, slots=True)
class _Slip:
    cause: str
    number: Fraction
    weight: float
    reason: str
    place: Fraction
    digits: str = ""


def _made(side: Side, slip: _Slip, ends: tuple[Fraction, ...], weight: float) -> Supposition:
    printed = (slip.digits,) if slip.digits else ()
    return Supposition(slip.cause, side.renumbered(ends, slip.place), weight, slip.reason, printed)


def _slips(side: Side, end: Fraction) -> Iterator[_Slip]:
    digits = printed_digits(end, side.place)
    sign = -1 if end < 0 else 1
    if digits:
        yield from _misread(side, digits, sign)
        yield from _transposed(side, digits, sign)
    yield from _signs(side, end)


def _misread(side: Side, digits: str, sign: int) -> Iterator[_Slip]:
    odds = digit_odds()
    count = sum(c.isdigit() for c in digits)
    for at, seen in enumerate(digits):
        if not seen.isdigit():
            continue
        for meant in _DIGITS:
            other = digits[:at] + meant + digits[at + 1 :]
            if meant == seen or _padded(other, digits):
                continue
            reason = f"{seen} read for {meant}" + (f" in {digits}" if count > 1 else "")
            number = sign * Fraction(other)
            yield _Slip(
                "misread_digit", number, odds[meant, seen] / count, reason, side.place, other
            )


def _transposed(side: Side, digits: str, sign: int) -> Iterator[_Slip]:
    where = [i for i, c in enumerate(digits) if c.isdigit()]
    pairs = [(i, j) for i, j in pairwise(where) if digits[i] != digits[j]]
    for i, j in pairs:
        swapped = list(digits)
        swapped[i], swapped[j] = swapped[j], swapped[i]
        other = "".join(swapped)
        if _padded(other, digits):
            continue
        reason = f"{digits} set for {other}"
        number = sign * Fraction(other)
        yield _Slip("transposed_digits", number, 1 / len(pairs), reason, side.place, other)


def _padded(other: str, digits: str) -> bool:
    """A leading nought that the printed form has not."""
    return other[0] == "0" and digits[0] != "0" and len(other.split(".")[0]) > 1


def _signs(side: Side, end: Fraction) -> Iterator[_Slip]:
    if not end or (side.form not in _SIGNED_FORMS and side.kind not in _SIGNED_KINDS):
        return
    if _SIGN.match(side.text):
        # A plus is set from habit; a minus where none belongs is rarer.
        weight = 1.0 if end > 0 else 0.6
        yield _Slip("wrong_sign", -end, weight, "", side.place)
    else:
        yield _Slip("lost_sign", -end, 1.0, "", side.place)
        # A sign supplied by the copyist looks the same as one that was there.
        yield _Slip("wrong_sign", -end, 0.25, "", side.place)


def _habits(side: Side, end: Fraction) -> Iterator[_Slip | None]:
    """Slips of habit, in one fixed order (None where one cannot be), for pairing ends."""
    digits = printed_digits(end, side.place)
    sign = -1 if end < 0 else 1
    yield from _lost_points(side, digits, sign)
    yield from _marks(side, end)
    yield _degree_mark(side, end, digits)
    yield from _multipliers(side, end)


def _lost_points(side: Side, digits: str, sign: int) -> Iterator[_Slip | None]:
    whole = bool(digits) and "." not in digits and len(digits) > 1
    for decimals in (1, 2, 3):
        if not whole or decimals >= len(digits) + 1 or digits == "0":
            yield None
            continue
        body = digits.rjust(decimals + 1, "0")
        other = f"{body[:-decimals]}.{body[-decimals:]}"
        # One decimal is the common case; decimals that are all noughts are seldom printed.
        weight = {1: 0.6, 2: 0.3, 3: 0.1}[decimals]
        if not other.split(".")[1].strip("0"):
            weight *= 0.15
        place = side.place / 10**decimals
        number = sign * Fraction(other)
        reason = f"{digits} set for {other}"
        yield _Slip("lost_decimal_point", number, weight, reason, place, other)


def _marks(side: Side, end: Fraction) -> Iterator[_Slip | None]:
    comma, point = _COMMA_GROUP.search(side.text), _POINT_GROUP.search(side.text)
    for power in (3, 2, 1):
        thousand = 10**power
        whole = end.denominator == 1 and abs(end) >= thousand / 10
        if not whole or (comma and power != 3):
            yield None
            continue
        weight = 0.9 if comma else {3: 0.15, 2: 0.1, 1: 0.08}[power]
        reason = f"{show(end)} for {show(end / thousand)}"
        yield _Slip(
            "decimal_comma_as_thousands", end / thousand, weight, reason, side.place / thousand
        )
    fine = end.denominator != 1 or point or "." in side.text
    if not fine or (end * 1000).denominator != 1 or not end:
        yield None
        return
    weight = 0.95 if point else 0.3
    reason = f"{show(end)} for {show(end * 1000)}"
    place = max(side.place * 1000, Fraction(1))
    yield _Slip("thousands_point_as_decimal", end * 1000, weight, reason, place)


def _degree_mark(side: Side, end: Fraction, digits: str) -> _Slip | None:
    if side.kind not in ("temperature", "angle") or len(digits) < 2 or digits[-1] != "0":
        return None
    if "." in digits:
        return None
    # A mark still standing beside the number speaks against its having become a nought.
    weight = 0.3 if words("degree").search(side.text) else 1.0
    reason = f"{digits} for {digits[:-1]}°"
    return _Slip("degree_mark_as_zero", end / 10, weight, reason, side.place, digits[:-1])


def _multipliers(side: Side, end: Fraction) -> Iterator[_Slip | None]:
    for factor, weight in ((100, 0.3), (10, 0.4), (Fraction(1, 10), 0.2), (Fraction(1, 100), 0.1)):
        number = end * factor
        if not end or (factor < 1 and number.denominator != 1 and end.denominator == 1):
            # 285 is not what a x10 dial would show for 28.5; that is a lost point.
            weight *= 0.2
        if not end:
            yield None
            continue
        if side.kind not in _DIALLED:
            weight *= 0.3
        if factor > 1 and end.denominator != 1:
            weight *= 0.3  # a number with decimals was hardly read off such a dial
        name = f"×{factor}" if factor >= 1 else f"÷{1 / factor}"
        place = side.place * factor if factor >= 1 else min(side.place, side.place * factor)
        yield _Slip("scale_multiplier", number, weight, name, place)
