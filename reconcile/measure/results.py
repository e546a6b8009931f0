"""Results as they are printed: value and uncertainty rounded to agree with each other.

References
----------
[GUM] JCGM 100:2008, 7.2.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_UP, Decimal
from math import isfinite

from reconcile.errors import OutOfRangeError, UsageError


@dataclass(frozen=True, slots=True)
class Rounded:
    """A result rounded as it should be printed."""

    value: Decimal
    u: Decimal

    def __str__(self) -> str:
        """As ``10.047 ± 0.011``."""
        return f"{self.value:f} ± {self.u:f}"

    @property
    def brief(self) -> str:
        """As ``10.047(11)``: the digits in brackets are of the last places."""
        exponent = self.u.as_tuple().exponent
        if isinstance(exponent, int) and exponent < 0:
            return f"{self.value:f}({int(self.u.scaleb(-exponent))})"
        return f"{self.value:f}({self.u:f})"


def round_result(value: float, u: float, *, digits: int = 2, upwards: bool = False) -> Rounded:
    """Round a result and its uncertainty to agree with each other.

    Parameters
    ----------
    value : float
    u : float
        Standard or expanded uncertainty, above nought.
    digits : int
        Significant digits of the uncertainty, 1 or 2 as a rule.
    upwards : bool
        Round the uncertainty up, never down.

    Returns
    -------
    rounded : Rounded
        Exact decimals.

    Raises
    ------
    OutOfRangeError
        A value or uncertainty that is not finite, or an uncertainty not above nought.

    References
    ----------
    [GUM] 7.2.6.

    Examples
    --------
    >>> str(round_result(10.05762, 0.02747)), round_result(10.05762, 0.02747).brief
    ('10.058 ± 0.027', '10.058(27)')
    """
    if not (isfinite(value) and isfinite(u) and u > 0.0):
        raise OutOfRangeError(
            f"a result of {value:g} with uncertainty {u:g}",
            expected="finite numbers, the uncertainty above nought",
        )
    if digits < 1:
        raise UsageError(f"{digits} significant digits", expected="1 or more")
    exact = Decimal(repr(u))
    way = ROUND_UP if upwards else ROUND_HALF_EVEN
    place = exact.adjusted() - digits + 1
    rounded = _to_place(exact, place, way)
    if rounded.adjusted() > exact.adjusted():
        # 0.0996 became 0.100: one place too many.
        place += 1
        rounded = _to_place(rounded, place, way)
    return Rounded(_to_place(Decimal(repr(value)), place, ROUND_HALF_EVEN), rounded)


def _to_place(x: Decimal, place: int, way: str) -> Decimal:
    step = Decimal(1).scaleb(place)
    whole = (x / step).to_integral_value(rounding=way) * step
    return whole.quantize(step) if place < 0 else whole.quantize(Decimal(1))
