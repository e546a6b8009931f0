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

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from reconcile.errors import (
    AmbientNeededError,
    OutOfRangeError,
    ReferenceFormError,
    UnknownTermError,
)
from reconcile.records import FORMS, Form
from reconcile.reference import load_rows

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

DEFAULT_DATUM = "standard-sea-level"

_FORM_MEANS = {
    "absolute": "counted from vacuum",
    "gauge": "counted from the air around",
    "fixed_datum": "counted from a fixed datum",
    "below_ambient": "counted downwards from the air around",
    "differential": "a difference between two places",
    "unknown": "counted from a zero that is not known",
    "none": "a difference, counted from nothing",
}
_SIGN = {"below_ambient": -1}


@dataclass(frozen=True, slots=True)
class Datum:
    """A fixed pressure that boost is counted from."""

    slug: str
    name: str
    pressure: Fraction
    """[Pa], exact."""
    half_width: Fraction
    """Half-width of what is not known of it [Pa], rectangular."""
    reason: str
    source: str


@cache
def datums() -> tuple[Datum, ...]:
    """The rival datums, the default first."""
    return tuple(
        Datum(
            slug=row["slug"],
            name=row["name"],
            pressure=Fraction(row["pressure"]),
            half_width=Fraction(row["half_width"]),
            reason=row["reason"],
            source=row["source"],
        )
        for row in load_rows("units/datums")
    )


def _key(text: str) -> str:
    return "".join(text.casefold().split()).replace(",", "").rstrip(".")


@cache
def _datum_names() -> dict[str, Datum]:
    found: dict[str, Datum] = {}
    for datum, row in zip(datums(), load_rows("units/datums")):
        for name in (row["slug"], row["name"], *row["aliases"].split("|")):
            found[_key(name)] = datum
    return found


def find_datum(text: str = "") -> Datum:
    """The datum of that slug or written value; the default for a blank.

    Parameters
    ----------
    text : str
        ``"nominal-14-7-psi"``, ``"14.7 lb/in2"``, ``"30 in.Hg"``, ``"101325 Pa"``.

    Returns
    -------
    datum : Datum

    Raises
    ------
    UnknownTermError
        No such datum.

    Examples
    --------
    >>> find_datum("30 in.Hg").slug
    'nominal-30-in-hg'
    """
    if not text:
        return datums()[0]
    try:
        return _datum_names()[_key(text)]
    except KeyError:
        raise UnknownTermError(
            f"no datum {text!r}",
            expected="one of " + ", ".join(f"{d.slug} ({d.name})" for d in datums()),
        ) from None


@dataclass(frozen=True, slots=True)
class Ambient:
    """Pressure of the air around, and how it is known."""

    pressure: Fraction
    """[Pa]"""
    half_width: Fraction
    """Half-width of what is not known of it [Pa], rectangular."""
    how: str


WEATHER = Fraction(2, 100)
"""Half-width of a day's pressure about the standard one at a height, relative: 2 kPa at sea
level. From memory; the order of size is common knowledge of weather services."""


def _finite(value: float, what: str) -> Fraction:
    try:
        return Fraction(value)
    except (OverflowError, ValueError):
        raise OutOfRangeError(f"{what} is {value}", expected="a finite number") from None


def stated_ambient(pressure: float | Fraction, half_width: float | Fraction = 0) -> Ambient:
    """Ambient pressure given by the caller or the paper: a barometer, a station pressure.

    A station pressure is the pressure at the place itself; an altimeter setting (QNH) is
    not, and has to be brought to the place's height first.

    Parameters
    ----------
    pressure, half_width : number, [Pa]

    Raises
    ------
    OutOfRangeError
        Not finite, or not above zero.
    """
    p = _finite(pressure, "the ambient pressure")
    if p <= 0:
        raise OutOfRangeError(f"an ambient pressure of {float(p):g} Pa", expected="above zero")
    return Ambient(p, abs(_finite(half_width, "its half-width")), "stated")


def ambient_at(height_m: float, *, warmer_by: float = 0.0, standard: str = "iso2533") -> Ambient:
    """Ambient pressure at a geopotential height.

    Parameters
    ----------
    height_m : float, [m]
        Geopotential height. On a day as standard, the same as the pressure height.
    warmer_by : float, [K]
        A hot (or, below zero, cold) day: the whole column is warmer by this much and the
        pressure at sea level standard. Leave it 0 for a *pressure* height, which fixes
        the pressure whatever the day.
    standard : str
        Slug of the standard atmosphere.

    Returns
    -------
    ambient : Ambient
        With the weather's half-width.

    Raises
    ------
    OutOfRangeError
        The height is outside the standard atmosphere, or no air could be that cold.

    References
    ----------
    ISO 2533:1975.
    """
    from reconcile.measure.atmosphere import isa

    if warmer_by:
        p = Fraction(_pressure_on_day(height_m, warmer_by, standard))
        how = f"standard atmosphere at {float(height_m):g} m, {warmer_by:+g} K throughout"
    else:
        p = Fraction(isa(height_m, standard=standard).pressure)
        how = f"standard atmosphere at {float(height_m):g} m"
    return Ambient(p, p * WEATHER, how)


def _pressure_on_day(height: float, warmer_by: float, standard: str) -> float:
    """Pressure [Pa] at a height in a column warmer by `warmer_by` than standard.

    The hydrostatic equation for the standard temperature plus a constant, from sea level
    to the height, layer by layer.
    """
    from math import exp, log

    from reconcile.measure.atmosphere import isa
    from reconcile.measure.standard_atmospheres import standard_atmosphere

    isa(height, offset_k=warmer_by, standard=standard)  # refuses what cannot be
    isa(0.0, offset_k=warmer_by, standard=standard)
    model = standard_atmosphere(standard)
    low, high = sorted((0.0, float(height)))
    bases = [low, *(h for h in model.upper_bases if low < h < high), high]
    total = 0.0
    for bottom, top in pairwise(bases):
        layer = model.layer_at(bottom)
        at_bottom = layer.base_temperature + layer.gradient * (bottom - layer.base_height)
        t = at_bottom + warmer_by
        rise = top - bottom
        total += log(1 + layer.gradient * rise / t) / layer.gradient if layer.gradient else rise / t
    fall = total * model.gravity / model.gas_constant
    p: float = isa(0.0, standard=standard).pressure * exp(-fall if height > 0 else fall)
    return p


def check_form(form: str) -> Form:
    """`form`, if it is one; UnknownTermError otherwise."""
    if form not in FORMS:
        raise UnknownTermError(f"no reference form {form!r}", expected="one of " + ", ".join(FORMS))
    return form  # type: ignore[return-value]


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
                f"a {form.replace('_', '-')} pressure is {_FORM_MEANS[form]}, whose pressure "
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
        raise OutOfRangeError(
            f"{float(value):g} Pa {_FORM_MEANS[form]} would be {float(absolute):g} Pa absolute",
            expected="zero or more",
            do="look at the sign, the unit and the reference form",
        )
    return absolute


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


def is_difference(form: str) -> bool:
    """True for a form that is a difference of two pressures."""
    return form in ("none", "differential")


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
        why = f"both are {_FORM_MEANS[a.form]}, so their sum would count that zero twice"
    else:
        why = f"one is {_FORM_MEANS[a.form]}, the other {_FORM_MEANS[b.form]}"
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
        f"{_call(q)} cannot be multiplied: it is {_FORM_MEANS[q.form]}, so twice the reading "
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
                f"{_FORM_MEANS[first.form]}, the second {_FORM_MEANS[q.form]}",
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
