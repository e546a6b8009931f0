"""Conformance, guard bands and risks."""

from math import inf, nan

import numpy as np
import pytest
from scipy import stats

from reconcile.errors import EmptyRangeError, OutOfRangeError, UnknownTermError, UsageError
from reconcile.measure import distributions as dist
from reconcile.measure.conformity import (
    Interval,
    acceptance_interval,
    capability_index,
    conformance_probability,
    decide,
    guard_band_of,
    guarded_limit,
    posterior_of,
)
from reconcile.measure.risks import global_risks, guard_band_for_consumer

ALLOWED = Interval(9.0, 11.0)


def test_probabilities_are_scipys():
    """Two-sided probabilities by the normal and the t law are those of SciPy."""
    for y, u in ((10.0, 0.5), (11.3, 0.2), (8.0, 0.1), (30.0, 2.0)):
        law = stats.norm(y, u)
        expected = law.cdf(11) - law.cdf(9) if y < 10 else law.sf(9) - law.sf(11)
        found = conformance_probability(y, u, ALLOWED)
        assert found == pytest.approx(expected, rel=1e-9)
    t = stats.t(5, 10.0, 0.5)
    assert conformance_probability(10.0, 0.5, ALLOWED, degrees=5) == pytest.approx(
        t.cdf(11) - t.cdf(9)
    )


def test_small_tails_keep_their_digits():
    """Far outside, the probability is small but not nought."""
    p = conformance_probability(20.0, 1.0, Interval(upper=10.0))
    assert p == pytest.approx(stats.norm.sf(10), rel=1e-9)


def test_rules_move_the_limits():
    """Guarded acceptance pulls the limits inwards, guarded rejection pushes them out."""
    assert acceptance_interval(ALLOWED, 0.2, "simple") == ALLOWED
    assert acceptance_interval(ALLOWED, 0.25) == Interval(9.25, 10.75)
    assert acceptance_interval(ALLOWED, 0.25, "guarded rejection") == Interval(8.75, 11.25)
    assert acceptance_interval(Interval(upper=11.0), 0.25) == Interval(upper=10.75)
    with pytest.raises(EmptyRangeError, match="leave nothing"):
        acceptance_interval(ALLOWED, 1.0)
    with pytest.raises(UnknownTermError, match="guarded acceptance"):
        acceptance_interval(ALLOWED, 0.1, "lenient")
    for bad in (-0.1, nan, inf):
        with pytest.raises(OutOfRangeError, match="guard band"):
            acceptance_interval(ALLOWED, bad)


def test_limits_of_a_gauge_move_to_the_safe_side():
    """A guarded maximum goes down, a guarded minimum up."""
    assert guarded_limit(100.0, "max", 2.0) == 98.0
    assert guarded_limit(100.0, "min", 2.0) == 102.0
    with pytest.raises(UnknownTermError, match="max or min"):
        guarded_limit(100.0, "nominal", 2.0)


@pytest.mark.parametrize(
    ("rule", "accepted"),
    [("simple", True), ("guarded acceptance", False), ("guarded rejection", True)],
)
def test_decisions_near_a_limit(rule, accepted):
    """A value just inside is accepted or not as the rule says, its risk stated."""
    made = decide(10.95, 0.1, ALLOWED, rule=rule)
    assert made.is_accepted is accepted
    assert made.probability == pytest.approx(stats.norm.cdf(0.5), rel=1e-6)
    assert made.risk == pytest.approx(1 - made.probability if accepted else made.probability)
    assert ("accepted" if accepted else "rejected") in str(made)
    assert rule in str(made)


def test_guard_bands_by_probability():
    """At the edge of its guard band a value conforms with just that probability."""
    for degrees in (inf, 4.0):
        guard = guard_band_of(0.3, 0.95, degrees=degrees)
        p = conformance_probability(10 - guard, 0.3, Interval(upper=10.0), degrees=degrees)
        assert p == pytest.approx(0.95)
    with pytest.raises(OutOfRangeError, match="probability"):
        guard_band_of(0.3, 1.0)


def test_capability():
    """Tolerance over four u; one-sided tolerances have none."""
    assert capability_index(ALLOWED, 0.1) == pytest.approx(5.0)
    with pytest.raises(OutOfRangeError, match="two limits"):
        capability_index(Interval(upper=1.0), 0.1)


def test_posterior_lies_between():
    """What is known after is a weighted mean, surer than either."""
    after = posterior_of(dist.Normal(10.0, 0.2), 10.6, 0.1)
    assert after.mean == pytest.approx(10.48)
    assert after.u == pytest.approx((1 / 0.04 + 1 / 0.01) ** -0.5)


@pytest.mark.parametrize(
    "prior",
    [
        dist.Normal(10.1, 0.6),
        dist.Rectangular(8.5, 11.2),
        dist.Triangular(8.0, 12.0),
        dist.Exponential(10.0),
        dist.Gamma(100.0, 0.1),
    ],
    ids=lambda prior: type(prior).__name__,
)
def test_risks_agree_with_a_count(prior):
    """Risks are what a million made and measured things come to."""
    rng = np.random.default_rng(9)
    things = prior.draw(rng, 1_000_000)
    seen = things + rng.normal(0.0, 0.3, things.size)
    good, taken = (things >= 9) & (things <= 11), (seen >= 9.2) & (seen <= 10.8)
    risks = global_risks(prior, 0.3, ALLOWED, Interval(9.2, 10.8))
    assert risks.consumer == pytest.approx(np.mean(~good & taken), abs=1e-3)
    assert risks.producer == pytest.approx(np.mean(good & ~taken), abs=1.5e-3)
    assert risks.non_conforming == pytest.approx(np.mean(~good), abs=2e-3)


def test_a_sharp_measurement_risks_little():
    """With a very small u hardly anything is decided wrongly, and no hump is missed."""
    risks = global_risks(dist.Normal(10.0, 1.0), 1e-6, ALLOWED)
    assert risks.consumer == pytest.approx(
        2 * stats.norm.pdf(1) * 1e-6 / np.sqrt(2 * np.pi), rel=0.01
    )
    assert risks.producer == pytest.approx(risks.consumer, rel=0.01)


def test_guard_band_for_a_wanted_risk():
    """The guard band found gives the risk wanted; impossible risks are refused."""
    prior = dist.Normal(10.0, 0.6)
    guard = guard_band_for_consumer(prior, 0.2, ALLOWED, 0.01)
    risks = global_risks(prior, 0.2, ALLOWED, acceptance_interval(ALLOWED, guard))
    assert risks.consumer == pytest.approx(0.01, rel=1e-6)
    for bad in (0.0, 0.5, nan):
        with pytest.raises(OutOfRangeError, match="no guard band"):
            guard_band_for_consumer(prior, 0.2, ALLOWED, bad)
    assert guard_band_for_consumer(prior, 0.2, ALLOWED, 0.08) < 0.0


def test_what_cannot_be_decided():
    """Intervals without room or limits, values and uncertainties that are none."""
    for lower, upper in ((2.0, 1.0), (1.0, 1.0), (nan, 1.0)):
        with pytest.raises(EmptyRangeError, match="nothing lies between"):
            Interval(lower, upper)
    with pytest.raises(UsageError, match="no limit"):
        Interval()
    for y, u in ((nan, 1.0), (1.0, 0.0), (1.0, nan)):
        with pytest.raises(OutOfRangeError):
            conformance_probability(y, u, ALLOWED)
    with pytest.raises(OutOfRangeError, match="degrees of freedom"):
        conformance_probability(1.0, 1.0, ALLOWED, degrees=0)
    with pytest.raises(UsageError, match="StudentT"):
        global_risks(dist.StudentT(0, 1, 5), 0.1, ALLOWED)
