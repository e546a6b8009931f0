"""Does a thing conform, given that its measurement is uncertain? Probabilities, guard bands.

A *tolerance interval* holds what is allowed, an *acceptance interval* what an indication
must lie in to be accepted; a guard band lies between the two. Guarded acceptance pulls the
acceptance limits inwards and protects whoever relies on the thing; guarded rejection pushes
them outwards and protects whoever made it.

References
----------
[JCGM106] JCGM 106:2012, The role of measurement uncertainty in conformity assessment.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isfinite, isinf, isnan, sqrt
from statistics import NormalDist

from reconcile.errors import EmptyRangeError, OutOfRangeError, UnknownTermError, UsageError
from reconcile.measure.distributions import Normal

_NORMAL = NormalDist()
_DIRECTION = {"simple": 0.0, "guarded acceptance": 1.0, "guarded rejection": -1.0}
RULES = tuple(_DIRECTION)


@dataclass(frozen=True, slots=True)
class Interval:
    """Lower and upper limit; an endless one stands for a limit that there is not.

    Raises
    ------
    EmptyRangeError
        Nothing lies between the limits.
    """

    lower: float = -inf
    upper: float = inf

    def __post_init__(self) -> None:
        if isnan(self.lower) or isnan(self.upper) or not self.lower < self.upper:
            raise EmptyRangeError(
                f"nothing lies between {self.lower:g} and {self.upper:g}",
                expected="limits that rise",
            )
        if isinf(self.lower) and isinf(self.upper):
            raise UsageError("an interval with no limit", expected="a lower or an upper limit")

    def holds(self, y: float) -> bool:
        """True where `y` lies within, the limits included."""
        return self.lower <= y <= self.upper


def conformance_probability(
    y: float, u: float, tolerance: Interval, *, degrees: float = inf
) -> float:
    """Probability that a thing measured as `y` conforms.

    Parameters
    ----------
    y, u : float
        Best estimate and standard uncertainty.
    tolerance : Interval
    degrees : float
        Degrees of freedom of `u`; the normal law without.

    Returns
    -------
    probability : float

    References
    ----------
    [JCGM106] 7.2 to 7.4.

    Examples
    --------
    >>> round(conformance_probability(-5.47, 0.05, Interval(upper=-5.40)), 2)
    0.92
    """
    check_measured(y, u)
    below = _law(degrees)
    # The smaller tail is taken, so that small probabilities keep their digits.
    low, high = (tolerance.lower - y) / u, (tolerance.upper - y) / u
    if low > 0.0:
        return below(-low) - below(-high)
    return below(high) - below(low)


def guard_band_of(u: float, probability: float, *, degrees: float = inf) -> float:
    """Width of the guard band that leaves a conformance probability at its inner edge.

    Parameters
    ----------
    u : float
        Standard uncertainty.
    probability : float
        Conformance probability wanted of a thing just accepted, by one limit.

    Returns
    -------
    width : float, in the unit of `u`

    References
    ----------
    [JCGM106] 8.3.2.

    Examples
    --------
    >>> round(guard_band_of(1.0, 0.95), 2)
    1.64
    """
    check_measured(0.0, u)
    if not 0.0 < probability < 1.0:
        raise OutOfRangeError(f"a probability of {probability:g}", expected="between 0 and 1")
    if isinf(degrees):
        return u * _NORMAL.inv_cdf(probability)
    from scipy.special import stdtrit

    return u * float(stdtrit(degrees, probability))


def acceptance_interval(
    tolerance: Interval, guard: float, rule: str = "guarded acceptance"
) -> Interval:
    """Acceptance limits for a decision rule.

    Parameters
    ----------
    tolerance : Interval
    guard : float
        Width of the guard band, nought or more; U = 2u is usual.
    rule : str
        ``"simple"`` (no guard band), ``"guarded acceptance"`` or ``"guarded rejection"``.

    Returns
    -------
    acceptance : Interval

    Raises
    ------
    UnknownTermError
        No such rule.
    EmptyRangeError
        The guard bands leave nothing: the measurement is not good enough to accept by.

    References
    ----------
    [JCGM106] 8.2, 8.3.

    Examples
    --------
    >>> acceptance_interval(Interval(60.0, 90.0), 4.0)
    Interval(lower=64.0, upper=86.0)
    """
    if rule not in _DIRECTION:
        raise UnknownTermError(f"no decision rule {rule!r}", expected="one of " + ", ".join(RULES))
    if not (isfinite(guard) and guard >= 0.0):
        raise OutOfRangeError(f"a guard band of {guard:g}", expected="nought or more")
    inwards = _DIRECTION[rule] * guard
    lower, upper = tolerance.lower + inwards, tolerance.upper - inwards
    if not lower < upper:
        raise EmptyRangeError(
            f"guard bands of {guard:g} leave nothing of {tolerance.lower:g} to {tolerance.upper:g}",
            do="measure with a smaller uncertainty, or take another rule",
        )
    return Interval(lower, upper)


def guarded_limit(limit: float, bound: str, guard: float) -> float:
    """A limit moved to the safe side by a guard band: a maximum down, a minimum up.

    Parameters
    ----------
    limit : float
    bound : str
        ``"max"`` or ``"min"``.
    guard : float
        Nought or more.

    Examples
    --------
    >>> guarded_limit(90.0, "max", 1.5), guarded_limit(60.0, "min", 1.5)
    (88.5, 61.5)
    """
    sides = {"max": "upper", "min": "lower"}
    if bound not in sides:
        raise UnknownTermError(f"no guard band stands beside a {bound!r}", expected="max or min")
    side = sides[bound]
    moved: float = getattr(acceptance_interval(Interval(**{side: limit}), guard), side)
    return moved


@dataclass(frozen=True, slots=True)
class Decision:
    """What a rule says of one measured value."""

    is_accepted: bool
    probability: float
    """Conformance probability of this very thing."""
    risk: float
    """Probability of being wrong: of non-conforming if accepted, conforming if rejected."""
    acceptance: Interval
    rule: str

    def __str__(self) -> str:
        """The decision in one sentence."""
        word = "accepted" if self.is_accepted else "rejected"
        return (
            f"{word} by {self.rule}; conforms with probability {self.probability:.3f}, "
            f"risk of a wrong decision {self.risk:.3g}"
        )


def decide(
    y: float,
    u: float,
    tolerance: Interval,
    *,
    rule: str = "guarded acceptance",
    coverage_factor: float = 2.0,
    degrees: float = inf,
) -> Decision:
    """Accept or reject a measured value.

    Parameters
    ----------
    y, u : float
        Best estimate and standard uncertainty.
    tolerance : Interval
    rule : str
        As for `acceptance_interval`.
    coverage_factor : float
        The guard band is this many u.
    degrees : float
        Degrees of freedom of u.

    Returns
    -------
    decision : Decision

    References
    ----------
    [JCGM106] clause 8.
    """
    p = conformance_probability(y, u, tolerance, degrees=degrees)
    acceptance = acceptance_interval(tolerance, coverage_factor * u, rule)
    accepted = acceptance.holds(y)
    return Decision(accepted, p, 1.0 - p if accepted else p, acceptance, rule)


def capability_index(tolerance: Interval, u: float) -> float:
    """Measurement capability index C_m: tolerance over four standard uncertainties.

    References
    ----------
    [JCGM106] 7.6.3.
    """
    check_measured(0.0, u)
    width = tolerance.upper - tolerance.lower
    if isinf(width):
        raise OutOfRangeError("a tolerance with one limit only", expected="two limits")
    return width / (4.0 * u)


def posterior_of(prior: Normal, y: float, u: float) -> Normal:
    """What is known of a thing after a measurement, from what was known of its like.

    Parameters
    ----------
    prior : Normal
        Of the things as they are made.
    y, u : float
        Indication and standard uncertainty of the measuring system.

    References
    ----------
    [JCGM106] A.4.4.

    Examples
    --------
    >>> posterior_of(Normal(10.0, 1.0), 12.0, 1.0).mean
    11.0
    """
    check_measured(y, u)
    weights = 1.0 / prior.u**2, 1.0 / u**2
    total = sum(weights)
    return Normal((weights[0] * prior.mean + weights[1] * y) / total, 1.0 / sqrt(total))


def _law(degrees: float) -> Callable[[float], float]:
    if isinf(degrees):
        return _NORMAL.cdf
    if not degrees > 0.0:
        raise OutOfRangeError(f"{degrees:g} degrees of freedom", expected="more than nought")
    from scipy.special import stdtr

    return lambda t: float(stdtr(degrees, t))


def check_measured(y: float, u: float) -> None:
    """Refuse a value that is not finite and a standard uncertainty not above nought."""
    if not isfinite(y):
        raise OutOfRangeError(f"a value of {y:g}", expected="a finite number")
    if not (isfinite(u) and u > 0.0):
        raise OutOfRangeError(f"a standard uncertainty of {u:g}", expected="more than nought")
