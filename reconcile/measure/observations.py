"""Evaluation of uncertainty from readings (GUM type A): means, joint means, a straight line.

References
----------
[GUM] JCGM 100:2008, 4.2, H.2, H.3.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import fsum, isfinite, sqrt

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.uncertainty import Input


def input_from_readings(name: str, readings: Sequence[float], *, unit: str = "") -> Input:
    """The mean of repeated readings, with its standard uncertainty.

    Parameters
    ----------
    name : str
    readings : sequence of float
        Two or more.
    unit : str

    Returns
    -------
    mean : Input

    Raises
    ------
    UsageError
        Fewer than two readings.
    OutOfRangeError
        A reading that is not finite.

    References
    ----------
    [GUM] 4.2.3.
    """
    n = _checked(readings)
    mean = fsum(readings) / n
    scatter = fsum((x - mean) ** 2 for x in readings) / (n - 1)
    return Input(name, mean, sqrt(scatter / n), label="readings", degrees=float(n - 1), unit=unit)


def inputs_from_joint_readings(
    readings: Mapping[str, Sequence[float]],
) -> tuple[list[Input], dict[tuple[str, str], float]]:
    """Means of quantities read together, with their correlations.

    Parameters
    ----------
    readings : mapping of name to sequence of float
        As many readings of each, taken at the same moments.

    Returns
    -------
    inputs : list of Input
    correlations : dict of (name, name) to coefficient

    Raises
    ------
    UsageError
        Numbers of readings that differ, or fewer than two.

    References
    ----------
    [GUM] 5.2.3, H.2.
    """
    lengths = {len(column) for column in readings.values()}
    if len(lengths) != 1:
        raise UsageError(
            f"readings taken together number {sorted(lengths)}", expected="as many of each"
        )
    inputs = [input_from_readings(name, column) for name, column in readings.items()]
    n = lengths.pop()
    correlations = {}
    for i, a in enumerate(inputs):
        for b in inputs[i + 1 :]:
            if a.u and b.u:
                pairs = zip(readings[a.name], readings[b.name])
                product = fsum((x - a.value) * (y - b.value) for x, y in pairs)
                r = product / (n * (n - 1)) / (a.u * b.u)
                correlations[a.name, b.name] = min(max(r, -1.0), 1.0)
    return inputs, correlations


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line through points, y = intercept + slope (x - x0), by least squares."""

    x0: float
    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    correlation: float
    residual: float
    """Standard deviation of the points about the line."""
    degrees: int

    def at(self, x: float) -> Input:
        """What the line gives at `x`, with its standard uncertainty."""
        far = x - self.x0
        both = self.correlation * self.u_intercept * self.u_slope
        variance = self.u_intercept**2 + (far * self.u_slope) ** 2 + 2.0 * far * both
        return Input(
            f"line at {x:g}",
            self.intercept + self.slope * far,
            sqrt(max(variance, 0.0)),
            label="readings",
            degrees=float(self.degrees),
        )


def fit_line(x: Sequence[float], y: Sequence[float], *, x0: float = 0.0) -> Line:
    """Straight line by least squares through points of equal weight.

    Parameters
    ----------
    x, y : sequences of float
        Three points or more, not all at one `x`; the scatter is taken to be in `y`.
    x0 : float
        Where the intercept stands.

    Returns
    -------
    line : Line

    Raises
    ------
    UsageError
        Too few points, or unlike numbers of x and y.
    OutOfRangeError
        All points at one `x`, or a number that is not finite.

    References
    ----------
    [GUM] H.3.
    """
    n = _checked(x, least=3)
    if len(y) != n:
        raise UsageError(f"{n} values of x and {len(y)} of y", expected="as many of each")
    _checked(y, least=3)
    middle, level = fsum(x) / n, fsum(y) / n
    spread = fsum((v - middle) ** 2 for v in x)
    if not spread > 0.0:
        raise OutOfRangeError("all points stand at one x", expected="a spread of x")
    slope = fsum((v - middle) * (w - level) for v, w in zip(x, y)) / spread
    scatter = fsum((w - level - slope * (v - middle)) ** 2 for v, w in zip(x, y)) / (n - 2)
    far = x0 - middle
    u_slope = sqrt(scatter / spread)
    u_intercept = sqrt(scatter * (1.0 / n + far * far / spread))
    # Covariance of intercept and slope is far * scatter / spread.
    correlation = far / sqrt(spread / n + far * far)
    return Line(
        x0, level + slope * far, slope, u_intercept, u_slope, correlation, sqrt(scatter), n - 2
    )


def _checked(readings: Sequence[float], least: int = 2) -> int:
    if len(readings) < least:
        raise UsageError(f"{len(readings)} readings", expected=f"{least} or more")
    if not all(isfinite(x) for x in readings):
        raise OutOfRangeError("a reading is not finite", expected="numbers")
    return len(readings)
