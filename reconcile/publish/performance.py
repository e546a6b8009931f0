"""Performance tables: columns of figures entered by a first one, and what lies between.

A value between two printed ones is interpolated, never beyond them, and comes with two
shares of doubt kept apart: the rounding of the printed values, and how far the curve may
leave the line between them, estimated from the second differences about the place.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from reconcile.errors import OutOfRangeError, UnknownTermError

METHODS = ("linear", "monotone")


@dataclass(frozen=True, slots=True)
class Interpolated:
    """A value between printed ones, in SI."""

    value: float
    unit: str
    """UCUM code."""
    reference_form: str
    standard_uncertainty: float | None
    """From the rounding of the printed values; None where that is not known."""
    interpolation_error: float
    """Estimate of how far the curve leaves the line, zero on a printed value; no bound."""
    method: str


@dataclass(frozen=True, slots=True)
class PerformanceTable:
    """One column of a printed table as a function of another, in SI.

    `x` ascends. Between two values with a gap after the first, a printed line is missing
    because it was not verified; nothing is interpolated across it.
    """

    name: str
    parameter: str
    condition: str | None
    x_parameter: str
    x_unit: str
    x: tuple[float, ...]
    unit: str
    reference_form: str
    y: tuple[float, ...]
    u: tuple[float | None, ...]
    """Standard uncertainty of each `y`."""
    gap_after: tuple[int, ...]
    row_ids: tuple[str, ...]
    source_id: str
    page: int
    heading: str

    def at(self, x: float, *, method: str = "linear") -> Interpolated:
        """The value at `x`.

        Parameters
        ----------
        x : float, [`x_unit`]
        method : str
            "linear", or "monotone": a cubic that overshoots no printed value.

        Returns
        -------
        Interpolated

        Raises
        ------
        OutOfRangeError
            `x` lies outside the printed values, or in a gap.
        UnknownTermError
            No such method.

        References
        ----------
        F. N. Fritsch, J. Butland, "A method for constructing local monotone piecewise
        cubic interpolants", SIAM J. Sci. Stat. Comput. 5 (1984), for "monotone".
        """
        if method not in METHODS:
            raise UnknownTermError(f"no method {method!r}", expected=" or ".join(METHODS))
        xs, ys = self.x, self.y
        if not xs[0] <= x <= xs[-1]:
            raise OutOfRangeError(
                f"{x:.6g} {self.x_unit} lies outside the printed table",
                where=self.name,
                expected=f"{xs[0]:.6g} to {xs[-1]:.6g} {self.x_unit}",
                do="nothing is extrapolated",
            )
        if x in xs:
            at = xs.index(x)
            return Interpolated(
                ys[at], self.unit, self.reference_form, self.u[at], 0.0, "as printed"
            )
        i = bisect_right(xs, x) - 1
        if i in self.gap_after:
            raise OutOfRangeError(
                f"a printed line between {xs[i]:.6g} and {xs[i + 1]:.6g} {self.x_unit} is not "
                "verified",
                where=self.name,
                do="rule on it, then issue the table again",
            )
        share = (x - xs[i]) / (xs[i + 1] - xs[i])
        line = ys[i] + share * (ys[i + 1] - ys[i])
        value = line if method == "linear" else _monotone(xs, ys, i, x)
        a, b = self.u[i], self.u[i + 1]
        u = None if a is None or b is None else sqrt(((1 - share) * a) ** 2 + (share * b) ** 2)
        bend = _bend(xs, ys, i) * (x - xs[i]) * (xs[i + 1] - x)
        error = max(bend, abs(value - line))
        return Interpolated(value, self.unit, self.reference_form, u, error, method)


def _slope(x: Sequence[float], y: Sequence[float], i: int) -> float:
    return (y[i + 1] - y[i]) / (x[i + 1] - x[i])


def _second(x: Sequence[float], y: Sequence[float], k: int) -> float:
    """Second divided difference at point `k`: half the second derivative."""
    return (_slope(x, y, k) - _slope(x, y, k - 1)) / (x[k + 1] - x[k - 1])


def _bend(x: Sequence[float], y: Sequence[float], i: int) -> float:
    """Largest second divided difference beside interval `i`, its trend carried to an end."""
    inner = [k for k in (i, i + 1) if 0 < k < len(x) - 1]
    found = [_second(x, y, k) for k in inner]
    if len(inner) == 1 and len(x) > 3:
        # At an end only one side is known: carry on the change towards it.
        beyond = _second(x, y, 2 if i == 0 else len(x) - 3)
        found.append(2 * found[0] - beyond)
    return max(map(abs, found), default=0.0)


def _tangent(x: Sequence[float], y: Sequence[float], i: int) -> float:
    """Slope of the monotone cubic at point `i`."""
    last = len(x) - 1
    if i in (0, last):
        j = 0 if i == 0 else last - 1
        k = 1 if i == 0 else last - 2
        end, next_to = _slope(x, y, j), _slope(x, y, k)
        h, g = x[j + 1] - x[j], x[k + 1] - x[k]
        slope = ((2 * h + g) * end - h * next_to) / (h + g)
        if slope * end <= 0:
            return 0.0
        if end * next_to <= 0 and abs(slope) > 3 * abs(end):
            return 3 * end
        return slope
    before, after = _slope(x, y, i - 1), _slope(x, y, i)
    if before * after <= 0:
        return 0.0
    h, g = x[i] - x[i - 1], x[i + 1] - x[i]
    w1, w2 = 2 * g + h, g + 2 * h
    return (w1 + w2) / (w1 / before + w2 / after)


def _monotone(x: Sequence[float], y: Sequence[float], i: int, at: float) -> float:
    h = x[i + 1] - x[i]
    t = (at - x[i]) / h
    m0, m1 = _tangent(x, y, i), _tangent(x, y, i + 1)
    return (
        (1 + 2 * t) * (1 - t) ** 2 * y[i]
        + t * (1 - t) ** 2 * h * m0
        + t * t * (3 - 2 * t) * y[i + 1]
        + t * t * (t - 1) * h * m1
    )
