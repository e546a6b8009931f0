"""Rounding that never crosses to the unsafe side, and rounding of results for display.

A maximum is rounded down, a minimum up, a range inwards, to a division of a dial or a
decimal step; the exact value stays beside the rounded one. All of it is done on exact
fractions, after the unit and the reference form have been changed, so that nothing on the
way can push a limit outwards.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from reconcile.errors import EmptyRangeError, OutOfRangeError, UsageError
from reconcile.measure.ambient import Ambient
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.units import UnitRow, unit_row
from reconcile.records import BOUNDS, Bound, Form

_TURNED: dict[Bound, Bound] = {"max": "min", "min": "max"}


@dataclass(frozen=True, slots=True)
class SafeLimit:
    """A limit in a modern unit, rounded to the safe side, with the exact value beside it."""

    bound: Bound
    """As it applies in the new unit and form: the most suction is the least pressure."""
    nominal: Fraction | None
    lo: Fraction | None
    hi: Fraction | None
    exact_nominal: Fraction | None
    exact_lo: Fraction | None
    exact_hi: Fraction | None
    unit: UnitRow
    form: Form
    step: Fraction
    guard: Fraction
    """Guard band taken off before rounding, in the new unit."""

    def __str__(self) -> str:
        symbol = f" {self.unit.symbol}" if self.unit.symbol else ""
        if self.bound == "max":
            return f"not over {show(self.hi or Fraction(0))}{symbol}"
        if self.bound == "min":
            return f"not under {show(self.lo or Fraction(0))}{symbol}"
        if self.lo is not None and self.hi is not None:
            return f"{show(self.lo)} to {show(self.hi)}{symbol}"
        return f"{show(self.nominal or Fraction(0))}{symbol}"


def round_down(x: Fraction, step: Fraction) -> Fraction:
    """Largest multiple of `step` not above `x`."""
    return floor(x / _checked(step)) * step


def round_up(x: Fraction, step: Fraction) -> Fraction:
    """Smallest multiple of `step` not below `x`."""
    return ceil(x / _checked(step)) * step


def round_nearest(x: Fraction, step: Fraction) -> Fraction:
    """Nearest multiple of `step`; of two as near, the even one (ISO 80000-1, B.3 rule A)."""
    return round(x / _checked(step)) * step


def round_inwards(lo: Fraction, hi: Fraction, step: Fraction) -> tuple[Fraction, Fraction]:
    """Multiples of `step` within a range, as near to its ends as can be.

    Raises
    ------
    EmptyRangeError
        No multiple of the step lies within the range.
    """
    inner = round_up(lo, step), round_down(hi, step)
    if inner[0] > inner[1]:
        raise EmptyRangeError(
            f"no multiple of {show(step)} lies between {show(lo)} and {show(hi)}",
            expected=f"a step of {show(hi - lo)} or finer" if hi > lo else "a range with a width",
            do="use a finer division",
        )
    return inner


def _checked(step: Fraction) -> Fraction:
    if step <= 0:
        raise UsageError(f"a step of {step}", expected="above zero")
    return step


def round_limit(
    quantity: Quantity,
    bound: Bound,
    unit: str,
    step: Fraction | int | str,
    *,
    form: Form | None = None,
    height_m: float | None = None,
    ambient: Ambient | None = None,
    datum: str = "",
    guard: Fraction | int | str = 0,
) -> SafeLimit:
    """A limit in another unit (and form), rounded to the safe side of a step.

    Parameters
    ----------
    quantity : Quantity
        The limit as written.
    bound : str
        "max", "min", "range", "nominal" or "approx".
    unit : str
        UCUM code or slug of the unit wanted.
    step : exact number, in `unit`
        Division of the dial, or decimal step.
    form, height_m, ambient, datum
        Reference form wanted, see `Quantity.to`.
    guard : exact number, in `unit`, zero or more
        Guard band: taken off every bound before rounding (JCGM 106:2012, 8.3).

    Returns
    -------
    limit : SafeLimit

    Raises
    ------
    EmptyRangeError
        Rounding inwards leaves nothing of a range.
    UsageError
        The bound needs a number that the figure does not have, or the step is not above 0.

    Notes
    -----
    A maximum is the upper end of a range where one is given, a minimum the lower; a
    printed tolerance opens a range only under the bound "range". Nominal values go to the
    nearest step: they bound nothing, and their tolerance, if any, goes inwards.
    """
    if bound not in BOUNDS:
        raise UsageError(f"no bound {bound!r}", expected="one of " + ", ".join(BOUNDS))
    there = unit_row(unit, kind=quantity.kind)
    try:
        division, band = Fraction(step), Fraction(guard)
    except (ValueError, ZeroDivisionError, OverflowError):
        raise UsageError(
            f"a step of {step} and a guard band of {guard}", expected="exact numbers"
        ) from None
    if band < 0:
        raise UsageError(f"a guard band of {guard}", expected="zero or more")
    as_written = quantity.to(unit, form=form, height_m=height_m, ambient=ambient, datum=datum)
    nominal, (lo, hi) = as_written.nominal, as_written.ends
    if _turns(quantity, there, as_written.form):
        bound = _TURNED.get(bound, bound)
    single = quantity.lo is None and quantity.hi is None
    if bound == "max":
        nominal, lo, hi = None, None, _needed(nominal if single else hi, quantity)
    elif bound == "min":
        nominal, lo, hi = None, _needed(nominal if single else lo, quantity), None
    elif lo is None and hi is None:
        _needed(nominal, quantity)
    exact = nominal, lo, hi
    hi = None if hi is None else hi - band
    lo = None if lo is None else lo + band
    if lo is not None and hi is not None:
        lo, hi = round_inwards(lo, hi, division)
    else:
        lo = None if lo is None else round_up(lo, division)
        hi = None if hi is None else round_down(hi, division)
    if nominal is not None:
        nominal = round_nearest(nominal, division)
        if lo is not None and hi is not None:
            nominal = min(max(nominal, lo), hi)
    return SafeLimit(
        bound, nominal, lo, hi, *exact, unit=there, form=as_written.form, step=division, guard=band
    )


def _needed(x: Fraction | None, quantity: Quantity) -> Fraction:
    if x is None:
        raise UsageError(f"{quantity} has no number for that bound")
    return x


def _turns(quantity: Quantity, there: UnitRow, form: Form) -> bool:
    """Whether more on the written scale is less on the new one."""
    turned = (quantity.form == "below_ambient") != (form == "below_ambient")
    for row in (quantity.row, there):
        if row.scale == "reciprocal" and row.factor > 0:
            turned = not turned
    return turned


def decimal_step(half_width: float | Fraction) -> Fraction:
    """Decimal step that shows a value no more finely than it is known: at most the half-width.

    Examples
    --------
    >>> decimal_step(Fraction(34, 10))
    Fraction(1, 1)
    >>> decimal_step(0.05)
    Fraction(1, 100)
    """
    from math import log10

    if not 0 < half_width < float("inf"):
        raise UsageError(f"a half-width of {half_width}", expected="above zero and finite")
    exact = Fraction(half_width)
    power = floor(log10(float(exact)))
    step = Fraction(10) ** power
    # log10 may be off by one at an exact power of ten.
    while step > exact:
        step /= 10
    while step * 10 <= exact:
        step *= 10
    return step


def gum_round(value: float, u: float, digits: int = 2) -> tuple[str, str]:
    """A result and its standard uncertainty as text, rounded to the same place.

    Parameters
    ----------
    value, u : float
        In the same unit; `u` above zero.
    digits : int
        Significant digits of the uncertainty, 1 or 2.

    Returns
    -------
    value, u : str
        Whole numbers keep the zeros that stand for unknown digits.

    Raises
    ------
    OutOfRangeError
        Not finite, or `u` not above zero.

    References
    ----------
    JCGM 100:2008, 7.2.6.

    Examples
    --------
    >>> gum_round(10.05762, 0.02705)
    ('10.058', '0.027')
    >>> gum_round(156483.058, 1990.34)
    ('156500', '2000')
    """
    inf = float("inf")
    if not (abs(value) < inf and 0 < u < inf):
        raise OutOfRangeError(
            f"a value of {value} with uncertainty {u}", expected="finite, uncertainty above zero"
        )
    if digits not in (1, 2):
        raise UsageError(f"{digits} digits of an uncertainty", expected="1 or 2")
    exact_u, exact_value = Fraction(u), Fraction(value)
    step = decimal_step(exact_u) / 10 ** (digits - 1)
    # 0.0996 rounds to 0.10, a place coarser than its first digit stands.
    if round_nearest(exact_u, step) >= step * 10**digits:
        step *= 10
    return _fixed(round_nearest(exact_value, step), step), _fixed(
        round_nearest(exact_u, step), step
    )


def _fixed(x: Fraction, step: Fraction) -> str:
    places = 0
    while (step * 10**places).denominator != 1:
        places += 1
    scaled = abs(x) * 10**places
    text = f"{int(scaled):0{places + 1}d}"
    if places:
        text = f"{text[:-places]}.{text[-places:]}"
    return ("-" if x < 0 else "") + text
