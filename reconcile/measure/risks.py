"""Risks of inspecting what is made: of accepting the bad, of rejecting the good.

References
----------
[JCGM106] JCGM 106:2012, The role of measurement uncertainty in conformity assessment, 9.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from statistics import NormalDist
from typing import Any

from reconcile.errors import EmptyRangeError, OutOfRangeError, UsageError
from reconcile.measure.conformity import Interval, check_measured
from reconcile.measure.distributions import (
    Distribution,
    Exponential,
    Gamma,
    Normal,
    Rectangular,
    Triangular,
)

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Risks:
    """Risks of a rule over all things made."""

    consumer: float
    """Of accepting a thing that does not conform."""
    producer: float
    """Of rejecting a thing that conforms."""
    non_conforming: float
    """Share of the things made that do not conform."""


def global_risks(
    prior: Distribution, u: float, tolerance: Interval, acceptance: Interval | None = None
) -> Risks:
    """Consumer's and producer's risk of inspecting what is made by a measuring system.

    Parameters
    ----------
    prior : Distribution
        Of the things as they are made: normal, gamma, exponential, rectangular or
        triangular.
    u : float
        Standard uncertainty of the measuring system, normal.
    tolerance : Interval
    acceptance : Interval, optional
        The tolerance interval itself by default (simple acceptance).

    Returns
    -------
    risks : Risks

    References
    ----------
    [JCGM106] 9.5.2, formulas 17 and 19.

    Examples
    --------
    >>> risks = global_risks(Gamma(4, 0.25), 0.25, Interval(upper=2.0))
    >>> round(risks.non_conforming, 3), round(risks.consumer, 3)
    (0.042, 0.008)
    """
    check_measured(0.0, u)
    law, least, most = _density(prior)
    accepted = acceptance or tolerance

    def taken(x: float) -> float:
        return _NORMAL.cdf((accepted.upper - x) / u) - _NORMAL.cdf((accepted.lower - x) / u)

    lower, upper = max(tolerance.lower, least), min(tolerance.upper, most)
    marks = [
        edge + k * u
        for edge in (accepted.lower, accepted.upper, tolerance.lower, tolerance.upper)
        if isfinite(edge)
        for k in (-8.0, -3.0, 0.0, 3.0, 8.0)
    ]
    outside = [(least, lower), (upper, most)]
    consumer = sum(_integral(lambda x: law.pdf(x) * taken(x), *span, marks) for span in outside)
    producer = _integral(lambda x: law.pdf(x) * (1.0 - taken(x)), lower, upper, marks)
    non_conforming = float(law.cdf(tolerance.lower) + law.sf(tolerance.upper))
    return Risks(consumer, producer, non_conforming)


def guard_band_for_consumer(
    prior: Distribution, u: float, tolerance: Interval, risk: float
) -> float:
    """Width of the guard band that brings the consumer's risk to a wanted one.

    Parameters
    ----------
    risk : float
        Wanted global consumer's risk. A width below nought is a guard band outwards.

    Raises
    ------
    OutOfRangeError
        No guard band brings this about.
    EmptyRangeError
        It would leave nothing to accept.
    """
    from scipy.optimize import brentq

    def excess(guard: float) -> float:
        try:
            moved = Interval(tolerance.lower + guard, tolerance.upper - guard)
        except EmptyRangeError:
            return -risk
        return global_risks(prior, u, tolerance, moved).consumer - risk

    # Beyond ten u the rule accepts, or rejects, all that it could.
    span = 10.0 * u
    if not (isfinite(risk) and excess(-span) > 0.0 > excess(span) and risk > 0.0):
        raise OutOfRangeError(
            f"no guard band brings the consumer's risk to {risk:g}",
            expected=f"above nought and below {excess(-span) + risk:.3g}",
        )
    width = float(brentq(excess, -span, span, xtol=1e-9 * u))
    Interval(tolerance.lower + width, tolerance.upper - width)
    return width


def _integral(
    function: Callable[[float], float], lower: float, upper: float, marks: list[float]
) -> float:
    from scipy.integrate import quad

    if not lower < upper:
        return 0.0
    # Pieces between the marks, so that no narrow hump is stepped over.
    edges = [lower, *sorted(m for m in marks if lower < m < upper), upper]
    total = 0.0
    for a, b in pairwise(edges):
        total += quad(function, a, b, epsabs=1e-13, epsrel=1e-10, limit=200)[0]
    return total


def _density(prior: Distribution) -> tuple[Any, float, float]:
    """The prior as a SciPy distribution, and the ends beyond which nothing of it counts."""
    from scipy import stats

    if isinstance(prior, Normal):
        law = stats.norm(prior.mean, prior.u)
    elif isinstance(prior, Gamma):
        law = stats.gamma(prior.shape, scale=prior.scale)
    elif isinstance(prior, Exponential):
        law = stats.expon(scale=prior.mean)
    elif isinstance(prior, Rectangular):
        law = stats.uniform(prior.lower, prior.upper - prior.lower)
    elif isinstance(prior, Triangular):
        law = stats.triang(0.5, prior.lower, prior.upper - prior.lower)
    else:
        raise UsageError(
            f"no risks are worked out for a prior {type(prior).__name__}",
            expected="Normal, Gamma, Exponential, Rectangular or Triangular",
        )
    return law, float(law.ppf(1e-16)), float(law.isf(1e-16))
