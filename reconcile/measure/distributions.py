"""Distributions of the inputs of a Monte Carlo run, each with its mean, u and way to draw.

References
----------
[S1] JCGM 101:2008, Supplement 1 to the GUM: propagation of distributions, clause 6.4.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isfinite, sqrt
from typing import TYPE_CHECKING, Any, Protocol

from reconcile.errors import MeasureError, OutOfRangeError, UsageError

if TYPE_CHECKING:
    import numpy as np

    Column = np.ndarray[Any, np.dtype[np.float64]]


class Distribution(Protocol):
    """What a Monte Carlo run asks of an input."""

    @property
    def mean(self) -> float:
        """Expectation."""

    @property
    def u(self) -> float:
        """Standard deviation."""

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""


def _check_finite(*numbers: float) -> None:
    for x in numbers:
        if not isfinite(x):
            raise OutOfRangeError(f"a distribution with {x:g} in it", expected="finite numbers")


def _check_above(x: float, what: str) -> None:
    _check_finite(x)
    if not x > 0.0:
        raise OutOfRangeError(f"{what} of {x:g}", expected="more than nought")


@dataclass(frozen=True, slots=True)
class Normal:
    """Normal distribution: a best estimate and its standard uncertainty. [S1] 6.4.7."""

    mean: float
    u: float

    def __post_init__(self) -> None:
        _check_finite(self.mean)
        _check_above(self.u, "a standard uncertainty")

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        return rng.normal(self.mean, self.u, trials)


@dataclass(frozen=True, slots=True)
class StudentT:
    """Scaled and shifted t-distribution: few readings, or a u with few degrees of freedom.

    Its standard deviation is larger than `scale` by sqrt(nu / (nu - 2)), and endless for two
    degrees of freedom or fewer. [S1] 6.4.9.
    """

    mean: float
    scale: float
    degrees: float

    def __post_init__(self) -> None:
        _check_finite(self.mean)
        _check_above(self.scale, "a standard uncertainty")
        if not self.degrees > 0.0:
            raise OutOfRangeError(
                f"{self.degrees:g} degrees of freedom", expected="more than nought"
            )

    @property
    def u(self) -> float:
        """Standard deviation."""
        if self.degrees == inf:
            return self.scale
        if self.degrees <= 2.0:
            return inf
        return self.scale * sqrt(self.degrees / (self.degrees - 2.0))

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        if self.degrees == inf:
            return rng.normal(self.mean, self.scale, trials)
        values: Column = self.mean + self.scale * rng.standard_t(self.degrees, trials)
        return values


@dataclass(frozen=True, slots=True)
class Rectangular:
    """Anything between two ends, all alike: rounding, error limits. [S1] 6.4.2."""

    lower: float
    upper: float

    def __post_init__(self) -> None:
        _check_ends(self.lower, self.upper)

    @property
    def mean(self) -> float:
        """Expectation."""
        return 0.5 * (self.lower + self.upper)

    @property
    def u(self) -> float:
        """Standard deviation."""
        return (self.upper - self.lower) / sqrt(12.0)

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        return rng.uniform(self.lower, self.upper, trials)


@dataclass(frozen=True, slots=True)
class CurvilinearTrapezoid:
    """Between two ends that are themselves only known to +/- `inexactness`. [S1] 6.4.3."""

    lower: float
    upper: float
    inexactness: float

    def __post_init__(self) -> None:
        _check_ends(self.lower, self.upper)
        _check_finite(self.inexactness)
        if not 0.0 <= self.inexactness <= 0.5 * (self.upper - self.lower):
            raise OutOfRangeError(
                f"ends known to {self.inexactness:g} only", expected="0 to half their distance"
            )

    @property
    def mean(self) -> float:
        """Expectation."""
        return 0.5 * (self.lower + self.upper)

    @property
    def u(self) -> float:
        """Standard deviation."""
        return sqrt((self.upper - self.lower) ** 2 / 12.0 + self.inexactness**2 / 9.0)

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        lower = self.lower - self.inexactness + 2.0 * self.inexactness * rng.random(trials)
        upper = self.lower + self.upper - lower
        values: Column = lower + (upper - lower) * rng.random(trials)
        return values


@dataclass(frozen=True, slots=True)
class Trapezoid:
    """Sum of two rectangular inputs; `top_ratio` is top over base. [S1] 6.4.4."""

    lower: float
    upper: float
    top_ratio: float

    def __post_init__(self) -> None:
        _check_ends(self.lower, self.upper)
        if not 0.0 <= self.top_ratio <= 1.0:
            raise OutOfRangeError(f"a top of {self.top_ratio:g} of the base", expected="0 to 1")

    @property
    def mean(self) -> float:
        """Expectation."""
        return 0.5 * (self.lower + self.upper)

    @property
    def u(self) -> float:
        """Standard deviation."""
        return (self.upper - self.lower) * sqrt((1.0 + self.top_ratio**2) / 24.0)

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        first = (1.0 + self.top_ratio) * rng.random(trials)
        second = (1.0 - self.top_ratio) * rng.random(trials)
        values: Column = self.lower + 0.5 * (self.upper - self.lower) * (first + second)
        return values


@dataclass(frozen=True, slots=True)
class Triangular:
    """Symmetric triangle: sum of two like rectangular inputs. [S1] 6.4.5."""

    lower: float
    upper: float

    def __post_init__(self) -> None:
        _check_ends(self.lower, self.upper)

    @property
    def mean(self) -> float:
        """Expectation."""
        return 0.5 * (self.lower + self.upper)

    @property
    def u(self) -> float:
        """Standard deviation."""
        return (self.upper - self.lower) / sqrt(24.0)

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        both = rng.random(trials) + rng.random(trials)
        values: Column = self.lower + 0.5 * (self.upper - self.lower) * both
        return values


@dataclass(frozen=True, slots=True)
class Arcsine:
    """U-shaped: a value that swings between two ends as a sine does. [S1] 6.4.6."""

    lower: float
    upper: float

    def __post_init__(self) -> None:
        _check_ends(self.lower, self.upper)

    @property
    def mean(self) -> float:
        """Expectation."""
        return 0.5 * (self.lower + self.upper)

    @property
    def u(self) -> float:
        """Standard deviation."""
        return (self.upper - self.lower) / sqrt(8.0)

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        import numpy as np

        swing = np.sin(2.0 * np.pi * rng.random(trials))
        values: Column = self.mean + 0.5 * (self.upper - self.lower) * swing
        return values


@dataclass(frozen=True, slots=True)
class Exponential:
    """A value above nought of which only a best estimate is known. [S1] 6.4.10."""

    mean: float

    def __post_init__(self) -> None:
        _check_above(self.mean, "a mean")

    @property
    def u(self) -> float:
        """Standard deviation."""
        return self.mean

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        return rng.exponential(self.mean, trials)


@dataclass(frozen=True, slots=True)
class Gamma:
    """Gamma distribution by shape and scale; shape q + 1 and scale 1 for a count q.

    [S1] 6.4.11.
    """

    shape: float
    scale: float = 1.0

    def __post_init__(self) -> None:
        _check_above(self.shape, "a shape")
        _check_above(self.scale, "a scale")

    @property
    def mean(self) -> float:
        """Expectation."""
        return self.shape * self.scale

    @property
    def u(self) -> float:
        """Standard deviation."""
        return sqrt(self.shape) * self.scale

    def draw(self, rng: np.random.Generator, trials: int) -> Column:
        """Values, shape (trials,)."""
        return rng.gamma(self.shape, self.scale, trials)


_BY_HALF_WIDTH: dict[str, tuple[Callable[[float, float], Distribution], float]] = {
    "rectangular": (Rectangular, sqrt(3.0)),
    "triangular": (Triangular, sqrt(6.0)),
    "arcsine": (Arcsine, sqrt(2.0)),
}


def distribution_of(name: str, mean: float, u: float | None, degrees: float = inf) -> Distribution:
    """The distribution of a budget's entry, from its mean and standard uncertainty.

    Parameters
    ----------
    name : str
        ``"normal"``, ``"t"``, ``"rectangular"``, ``"triangular"`` or ``"arcsine"``.
    mean, u : float
        For ``"t"``, and for ``"normal"`` with finite degrees of freedom, `u` is the scale.
    degrees : float

    Raises
    ------
    MeasureError
        Nothing is known of the uncertainty.
    UsageError
        No such distribution.
    """
    if u is None:
        raise MeasureError(
            "nothing is known of the uncertainty, so there is no distribution to draw from",
            do="give one",
        )
    if name in ("normal", "t"):
        return Normal(mean, u) if degrees == inf else StudentT(mean, u, degrees)
    if name not in _BY_HALF_WIDTH:
        raise UsageError(
            f"no distribution {name!r} follows from a mean and an uncertainty",
            expected="one of normal, t, " + ", ".join(_BY_HALF_WIDTH),
        )
    kind, divisor = _BY_HALF_WIDTH[name]
    return kind(mean - divisor * u, mean + divisor * u)


def _check_ends(lower: float, upper: float) -> None:
    _check_finite(lower, upper)
    if not lower < upper:
        raise OutOfRangeError(
            f"a distribution between {lower:g} and {upper:g}", expected="ends that rise"
        )
