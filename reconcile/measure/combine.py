"""Sums, differences, multiples and means of quantities, where they mean something.

A reading on a scale whose zero is not nothing (gauge pressure, boost, degrees Celsius) may
have a difference added to it and another such reading taken from it; nothing else. What is
not allowed raises and says why.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from reconcile.errors import MeasureError, ReferenceFormError, UsageError
from reconcile.measure.datums import find_datum
from reconcile.measure.pressure import FORM_MEANS, Values, is_difference, signed, zero_of

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity
    from reconcile.records import Form


def add(a: Quantity, b: Quantity) -> Quantity:
    """a + b, in the unit of `a`; exact.

    Raises
    ------
    ReferenceFormError
        Both are readings counted from a zero of their own.
    MeasureError
        They are not of one kind.
    """
    return _combined(a, b, 1)


def subtract(a: Quantity, b: Quantity) -> Quantity:
    """a - b, in the unit of `a`; of two readings of one scale, a difference. As `add`."""
    return _combined(a, b, -1)


def multiply(q: Quantity, k: int | Fraction) -> Quantity:
    """k times q; refused where the scale's zero is not nothing."""
    row = q.row
    form: Form = form_of_multiple(q) if row.si_unit == "Pa" else q.form
    if row.scale != "linear" or (row.has_zero_of_its_own and not q.is_difference):
        raise ReferenceFormError(
            f"{q} cannot be multiplied: the zero of its scale is not nothing",
            do="bring it to SI first",
        )
    size = abs(Fraction(k))
    nominal, lo, hi = signed((q.nominal, q.lo, q.hi), -1 if k < 0 else 1)
    return replace(
        q,
        nominal=None if nominal is None else nominal * size,
        lo=None if lo is None else lo * size,
        hi=None if hi is None else hi * size,
        plus_minus=None if q.plus_minus is None else q.plus_minus * size,
        resolution=None if q.resolution is None else q.resolution * size,
        form=form,
    )


def mean(quantities: Sequence[Quantity]) -> Quantity:
    """Mean of several single values, in the unit of the first.

    Raises
    ------
    ReferenceFormError
        Pressures of different forms or datums, temperatures mixed with differences.
    UsageError
        None given, or one has no single value.
    """
    if not quantities or any(q.nominal is None for q in quantities):
        raise UsageError("a mean needs at least one quantity, each with a single value")
    first = quantities[0]
    for q in quantities[1:]:
        _check_one_kind(first, q)
        if q.is_difference != first.is_difference:
            raise ReferenceFormError(
                f"{first} and {q} cannot be averaged: one is a temperature, one a difference"
            )
    if first.row.si_unit == "Pa":
        form_of_mean(quantities)
    row = first.modern_row
    total = sum((q.exact_si()[0] or Fraction(0) for q in quantities), Fraction(0))
    halves = [q.exact_half_width() for q in quantities]
    step = None
    if all(h is not None for h in halves):
        step = 2 * sum((h for h in halves if h is not None), Fraction(0)) / len(halves)
    nominal = row.from_si(total / len(quantities), difference=first.is_difference)
    return replace(
        first,
        nominal=nominal,
        lo=None,
        hi=None,
        plus_minus=None,
        resolution=None if step is None else step / row.slope(nominal),
        year=None,
        country="",
    )


def _combined(a: Quantity, b: Quantity, sign: int) -> Quantity:
    _check_one_kind(a, b)
    form: Form = a.form
    if a.row.si_unit == "Pa":
        form = form_of_sum(a, b) if sign > 0 else form_of_difference(a, b)
    difference = _is_difference(a, b, sign)
    # Suction counts downwards: turn both into parts of an absolute pressure, and back.
    left = signed(_filled(a), -1 if a.form == "below_ambient" else 1)
    right = signed(_filled(b), -sign if b.form == "below_ambient" else sign)
    total = signed(
        (_sum(left[0], right[0]), _sum(left[1], right[1]), _sum(left[2], right[2])),
        -1 if form == "below_ambient" else 1,
    )
    row = a.modern_row
    if row.scale != "linear":
        raise MeasureError(
            f"readings in {row.name}s cannot be added or subtracted",
            do="bring both to a density first",
        )
    values = [None if x is None else row.from_si(x, difference=difference) for x in total]
    ranged = any(x is not None for q in (a, b) for x in q.ends)
    halves = [a.exact_half_width(), b.exact_half_width()]
    step = None
    if halves[0] is not None and halves[1] is not None:
        step = 2 * (halves[0] + halves[1]) / row.factor
    return replace(
        a,
        nominal=values[0],
        lo=values[1] if ranged else None,
        hi=values[2] if ranged else None,
        plus_minus=None,
        resolution=step,
        form=form,
        datum=a.datum if form == a.form else b.datum if form == b.form else "",
        is_difference=difference,
        year=None,
        country="",
        partner="",
    )


def _check_one_kind(a: Quantity, b: Quantity) -> None:
    if a.row.si_unit != b.row.si_unit:
        raise MeasureError(
            f"{a} and {b} are not of one kind",
            expected=f"a second quantity in a unit of {a.row.si_unit}",
        )


def _filled(q: Quantity) -> Values:
    """Value and ends in SI, a single value standing for both ends."""
    nominal, lo, hi = q.exact_si()
    return nominal, nominal if lo is None else lo, nominal if hi is None else hi


def _sum(x: Fraction | None, y: Fraction | None) -> Fraction | None:
    return None if x is None or y is None else x + y


def _is_difference(a: Quantity, b: Quantity, sign: int) -> bool:
    """Whether the sum or difference of two temperatures is a difference."""
    if a.row.si_unit != "K":
        return False
    if sign > 0 and not (a.is_difference or b.is_difference):
        raise ReferenceFormError(
            f"{a} cannot be added to {b}: both are readings of a temperature",
            expected="a difference of temperatures as one of the two",
        )
    if sign < 0 and a.is_difference and not b.is_difference:
        raise ReferenceFormError(
            f"{b}, a temperature, cannot be taken from {a}, a difference",
            expected="a difference of temperatures",
        )
    return a.is_difference == b.is_difference


def form_of_sum(a: Quantity, b: Quantity) -> Form:
    """Reference form of a + b; ReferenceFormError where a sum means nothing."""
    for q in (a, b):
        _check_known(q)
    if is_difference(a.form) and is_difference(b.form):
        return a.form if a.form == b.form else "none"
    if is_difference(b.form):
        return a.form
    if is_difference(a.form):
        return b.form
    if a.form == b.form:
        why = f"both are {FORM_MEANS[a.form]}, so their sum would count that zero twice"
    else:
        why = f"one is {FORM_MEANS[a.form]}, the other {FORM_MEANS[b.form]}"
    raise ReferenceFormError(
        f"{_call(a)} cannot be added to {_call(b)}: {why}",
        expected="a difference of pressures as one of the two",
        do="bring both to absolute pressures and subtract one from the other",
    )


def form_of_difference(a: Quantity, b: Quantity) -> Form:
    """Reference form of a - b; ReferenceFormError where the zeros differ."""
    for q in (a, b):
        _check_known(q)
    if is_difference(b.form):
        return a.form if not is_difference(a.form) or a.form == b.form else "none"
    _check_same_zero([a, b], "subtracted")
    return "none"


def form_of_multiple(q: Quantity) -> Form:
    """Reference form of k x q; ReferenceFormError where the zero is not nothing."""
    _check_known(q)
    if q.form in ("absolute", "none", "differential"):
        return q.form
    raise ReferenceFormError(
        f"{_call(q)} cannot be multiplied: it is {FORM_MEANS[q.form]}, so twice the reading "
        "is not twice the pressure",
        do="bring it to absolute first",
    )


def form_of_mean(quantities: Iterable[Quantity]) -> Form:
    """Reference form of a mean; ReferenceFormError where the zeros differ."""
    quantities = list(quantities)
    for q in quantities:
        _check_known(q)
    _check_same_zero(quantities, "averaged")
    return quantities[0].form


def _check_known(q: Quantity) -> None:
    if q.form == "unknown":
        zero_of("unknown")


def _check_same_zero(quantities: list[Quantity], verb: str) -> None:
    first = quantities[0]
    for q in quantities[1:]:
        if q.form != first.form:
            raise ReferenceFormError(
                f"{_call(first)} and {_call(q)} cannot be {verb}: the first is "
                f"{FORM_MEANS[first.form]}, the second {FORM_MEANS[q.form]}",
                do="bring both to one reference form first",
            )
        if q.form == "fixed_datum" and find_datum(q.datum) != find_datum(first.datum):
            raise ReferenceFormError(
                f"{_call(first)} and {_call(q)} cannot be {verb}: they are counted from "
                f"{find_datum(first.datum).name} and from {find_datum(q.datum).name}",
                do="bring both to one datum first",
            )


def _call(q: Quantity) -> str:
    return f"{q} ({q.form.replace('_', ' ')})"
