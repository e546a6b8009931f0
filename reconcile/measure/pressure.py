"""Reference forms of pressure: what the zero of a pressure scale is, and how to change it.

A pressure is a number counted from a zero. On all scales here

    absolute pressure = zero + sign x reading

with the zero at vacuum, at the ambient air, at a fixed datum (boost), or at another pressure
in the machine; the sign is -1 where the reading counts downwards (suction). Everything else
follows from that one line, and what it does not allow is refused.

A *difference* of pressures (form "none", or "differential" between two places) has no zero:
it may be added to a pressure, but is not one.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import sqrt
from typing import NamedTuple

from reconcile.errors import (
    AmbientNeededError,
    OutOfRangeError,
    ReferenceFormError,
    UnknownTermError,
)
from reconcile.measure.ambient import Ambient, ambient_at, stated_ambient
from reconcile.measure.datums import Datum, datums, find_datum
from reconcile.records import FORMS, Form

Values = tuple[Fraction | None, Fraction | None, Fraction | None]
"""Nominal value, lower end, upper end."""

__all__ = [
    "Ambient",
    "Datum",
    "FormLine",
    "Values",
    "ambient_at",
    "change_form",
    "check_form",
    "datums",
    "find_datum",
    "form_line",
    "from_absolute",
    "is_difference",
    "signed",
    "stated_ambient",
    "to_absolute",
    "to_gauge",
    "zero_of",
]

FORM_MEANS = {
    "absolute": "counted from vacuum",
    "gauge": "counted from the air around",
    "fixed_datum": "counted from the datum",
    "below_ambient": "counted downwards from the air around",
    "differential": "a difference between two places",
    "unknown": "counted from a zero that is not known",
    "none": "a difference, counted from nothing",
}
_SIGN = {"below_ambient": -1}


def check_form(form: str) -> Form:
    """`form`, if it is one; UnknownTermError otherwise."""
    if form not in FORMS:
        raise UnknownTermError(f"no reference form {form!r}", expected="one of " + ", ".join(FORMS))
    return form


def zero_of(
    form: str,
    *,
    datum: str = "",
    ambient: Ambient | None = None,
    partner: Fraction | None = None,
) -> tuple[Fraction, int]:
    """Absolute pressure of a form's zero [Pa] and the sign its readings count with.

    Raises
    ------
    AmbientNeededError
        The zero is the air around, and that was not given.
    ReferenceFormError
        The form has no zero, or it is not known.
    """
    check_form(form)
    if form == "absolute":
        return Fraction(0), 1
    if form == "fixed_datum":
        return find_datum(datum).pressure, 1
    if form in ("gauge", "below_ambient"):
        if ambient is None:
            raise AmbientNeededError(
                f"a {form.replace('_', '-')} pressure is {FORM_MEANS[form]}, whose pressure "
                "is not known",
                do="give the height or the ambient pressure",
            )
        return ambient.pressure, _SIGN.get(form, 1)
    if form == "differential":
        if partner is None:
            raise ReferenceFormError(
                "a differential pressure is counted from another pressure, which is not known",
                do="give the partner's absolute pressure",
            )
        return partner, 1
    if form == "unknown":
        raise ReferenceFormError(
            "this pressure is counted from a zero that is not known",
            expected="absolute, gauge, fixed_datum or below_ambient",
            do="say which, from the instrument or the paper",
        )
    raise ReferenceFormError(
        "this is a difference of pressures (or a mean effective pressure): it has no zero",
        do="add it to a pressure instead",
    )


def to_absolute(
    value: Fraction,
    form: str,
    *,
    datum: str = "",
    ambient: Ambient | None = None,
    partner: Fraction | None = None,
) -> Fraction:
    """Absolute pressure [Pa] of a reading `value` [Pa] in a reference form, exact.

    Raises
    ------
    AmbientNeededError, ReferenceFormError
        See `zero_of`.
    OutOfRangeError
        The absolute pressure would be below vacuum.

    Examples
    --------
    >>> to_absolute(Fraction(55158), "fixed_datum")
    Fraction(156483, 1)
    """
    zero, sign = zero_of(form, datum=datum, ambient=ambient, partner=partner)
    absolute = zero + sign * value
    if absolute < 0:
        raise _below_vacuum(value, form, absolute)
    return absolute


def _below_vacuum(value: Fraction, form: str, absolute: Fraction) -> OutOfRangeError:
    return OutOfRangeError(
        f"{float(value):g} Pa {FORM_MEANS[form]} would be {float(absolute):g} Pa absolute",
        expected="zero or more",
        do="look at the sign, the unit and the reference form",
    )


def from_absolute(
    absolute: Fraction,
    form: str,
    *,
    datum: str = "",
    ambient: Ambient | None = None,
    partner: Fraction | None = None,
) -> Fraction:
    """Reading [Pa] that a form shows for an `absolute` pressure [Pa]; inverse of `to_absolute`."""
    zero, sign = zero_of(form, datum=datum, ambient=ambient, partner=partner)
    return (absolute - zero) * sign


def to_gauge(
    value: Fraction,
    form: str,
    *,
    datum: str = "",
    ambient: Ambient | None = None,
    partner: Fraction | None = None,
) -> Fraction:
    """Gauge pressure [Pa] of a reading `value` [Pa]; below ambient is negative.

    A gauge or below-ambient reading needs no ambient for this.
    """
    if form in ("gauge", "below_ambient"):
        return value * _SIGN.get(form, 1)
    absolute = to_absolute(value, form, datum=datum, ambient=ambient, partner=partner)
    return from_absolute(absolute, "gauge", ambient=ambient)


class FormLine(NamedTuple):
    """Change of reference form: new reading = sign x reading + shift, in pascals."""

    sign: int
    shift: Fraction
    half_width: Fraction
    """Of the zeros brought in, together [Pa]."""
    sense: int
    """1 where the new reading grows with the absolute pressure, else -1; 0 where no zero
    of the two is known, so that nothing can be said of vacuum."""
    vacuum: float
    """New reading that stands for vacuum [Pa]."""


@lru_cache(maxsize=4096)
def form_line(
    form: Form,
    to_form: Form,
    *,
    datum: str = "",
    to_datum: str = "",
    ambient: Ambient | None = None,
    beside_ambient: bool = False,
) -> FormLine:
    """The line that leads from one reference form to another; see `change_form`."""
    check_form(to_form)
    if form == "differential" and beside_ambient and to_form != form:
        form = "gauge"
    before = find_datum(datum) if form == "fixed_datum" else None
    after = find_datum(to_datum) if to_form == "fixed_datum" else None
    if form == to_form and before == after:
        return FormLine(1, Fraction(0), Fraction(0), int(form == "absolute"), 0.0)
    around = {"gauge", "below_ambient"}
    if {form, to_form} == around:
        return FormLine(-1, Fraction(0), Fraction(0), 0, 0.0)
    zero, sign = zero_of(form, datum=datum, ambient=ambient)
    zero_there, sign_there = zero_of(to_form, datum=to_datum, ambient=ambient)
    half_widths = [d.half_width for d in (before, after) if d is not None]
    if {form, to_form} & around and ambient is not None:
        half_widths.append(ambient.half_width)
    half_width = half_widths[0] if half_widths else Fraction(0)
    if len(half_widths) > 1:
        # Independent shares add in quadrature.
        half_width = Fraction(sqrt(sum(float(w) ** 2 for w in half_widths)))
    return FormLine(
        sign * sign_there,
        sign_there * (zero - zero_there),
        half_width,
        sign_there,
        float(-sign_there * zero_there),
    )


def change_form(
    values: Values,
    form: Form,
    to_form: Form,
    *,
    datum: str = "",
    to_datum: str = "",
    ambient: Ambient | None = None,
    beside_ambient: bool = False,
) -> tuple[Values, Fraction]:
    """Value and ends of a pressure [Pa] from one reference form to another, exact.

    Parameters
    ----------
    values : tuple of three Fraction or None, [Pa]
        Nominal value, lower end, upper end.
    form, to_form : str
    datum, to_datum : str
        Of "fixed_datum" readings before and after.
    ambient : Ambient, optional
        The air around, where either form counts from it.
    beside_ambient : bool
        A "differential" pressure counts from the air around.

    Returns
    -------
    values : tuple, [Pa]
        Ends ascending in the new form's sense.
    half_width : Fraction, [Pa]
        Of the zeros brought in, together.

    Raises
    ------
    AmbientNeededError, ReferenceFormError, OutOfRangeError
        As `to_absolute`.
    """
    line = form_line(
        form,
        to_form,
        datum=datum,
        to_datum=to_datum,
        ambient=ambient,
        beside_ambient=beside_ambient,
    )
    nominal, lo, hi = (None if x is None else x + line.shift for x in signed(values, line.sign))
    if line.sense:
        zero_there, _ = zero_of(to_form, datum=to_datum, ambient=ambient)
        for x in (nominal, lo, hi):
            if x is not None and zero_there + line.sense * x < 0:
                raise _below_vacuum(x, to_form, zero_there + line.sense * x)
    return (nominal, lo, hi), line.half_width


def signed(values: Values, sign: int) -> Values:
    """Value and ends times 1 or -1, the ends kept in ascending order."""
    if sign > 0:
        return values
    nominal, lo, hi = (None if x is None else -x for x in values)
    return nominal, hi, lo


def is_difference(form: str) -> bool:
    """True for a form that is a difference of two pressures."""
    return form in ("none", "differential")
