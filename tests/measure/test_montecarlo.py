"""Distributions, the adaptive procedure, and the check of linear budgets."""

from math import inf, sqrt

import numpy as np
import pytest
from scipy import stats

from reconcile.errors import MeasureError, OutOfRangeError, UsageError
from reconcile.measure import distributions as dist
from reconcile.measure.budget import Budget
from reconcile.measure.contributions import Contribution
from reconcile.measure.montecarlo import (
    check_budget,
    numerical_tolerance,
    propagate_distributions,
    validate_linear,
)
from reconcile.measure.uncertainty import Input, propagate

KINDS = [
    (dist.Normal(3.0, 2.0), stats.norm(3, 2)),
    (dist.StudentT(1.0, 0.5, 6), stats.t(6, 1.0, 0.5)),
    (dist.StudentT(1.0, 0.5, inf), stats.norm(1.0, 0.5)),
    (dist.Rectangular(-1.0, 3.0), stats.uniform(-1, 4)),
    (dist.Triangular(0.0, 2.0), stats.triang(0.5, 0, 2)),
    (dist.Trapezoid(0.0, 4.0, 0.5), stats.trapezoid(0.25, 0.75, 0, 4)),
    (dist.Arcsine(-2.0, 2.0), stats.arcsine(-2, 4)),
    (dist.Exponential(2.0), stats.expon(scale=2)),
    (dist.Gamma(3.0, 0.5), stats.gamma(3, scale=0.5)),
]


@pytest.mark.parametrize(("ours", "theirs"), KINDS, ids=lambda x: type(x).__name__)
def test_distributions_are_those_of_scipy(ours, theirs):
    """Mean and u are SciPy's, and draws pass a Kolmogorov-Smirnov test."""
    assert ours.mean == pytest.approx(theirs.mean())
    assert ours.u == pytest.approx(theirs.std())
    drawn = ours.draw(np.random.default_rng(5), 20_000)
    assert drawn.shape == (20_000,)
    assert stats.kstest(drawn, theirs.cdf).pvalue > 1e-3


def test_curvilinear_trapezoid():
    """Mean and u follow the closed form; no inexactness leaves a rectangle."""
    kind = dist.CurvilinearTrapezoid(-1.0, 1.0, 0.5)
    drawn = kind.draw(np.random.default_rng(6), 200_000)
    assert kind.u == pytest.approx(sqrt(4 / 12 + 0.25 / 9))
    assert drawn.std() == pytest.approx(kind.u, rel=0.01)
    assert drawn.mean() == pytest.approx(kind.mean, abs=0.01)
    assert np.abs(drawn).max() <= 1.5
    straight = dist.CurvilinearTrapezoid(0.0, 1.0, 0.0)
    assert straight.u == pytest.approx(dist.Rectangular(0.0, 1.0).u)


def test_few_readings_have_endless_spread():
    """A t-distribution of two degrees of freedom has no standard deviation."""
    assert dist.StudentT(0.0, 1.0, 2).u == inf


@pytest.mark.parametrize(
    "make",
    [
        lambda: dist.Normal(0.0, 0.0),
        lambda: dist.Normal(float("nan"), 1.0),
        lambda: dist.StudentT(0.0, 1.0, 0),
        lambda: dist.Rectangular(1.0, 1.0),
        lambda: dist.CurvilinearTrapezoid(0.0, 1.0, 0.6),
        lambda: dist.Trapezoid(0.0, 1.0, 1.5),
        lambda: dist.Exponential(-1.0),
        lambda: dist.Gamma(1.0, inf),
    ],
)
def test_impossible_distributions_are_refused(make):
    """Ends that do not rise, spreads not above nought, numbers that are none."""
    with pytest.raises(OutOfRangeError):
        make()


@pytest.mark.parametrize("name", ["normal", "t", "rectangular", "triangular", "arcsine"])
def test_distributions_of_budget_entries(name):
    """An entry's distribution has the mean and u of the entry."""
    kind = dist.distribution_of(name, 2.0, 0.3)
    assert (kind.mean, kind.u) == pytest.approx((2.0, 0.3))


def test_entries_without_a_distribution():
    """Nothing known, or a name that gives no distribution, is refused."""
    with pytest.raises(MeasureError, match="nothing is known"):
        dist.distribution_of("none", 2.0, None)
    with pytest.raises(UsageError, match="gamma"):
        dist.distribution_of("gamma", 2.0, 0.3)


def test_adaptive_run_stops_when_it_is_steady():
    """With few digits asked for it stops early; with many it says it gave up."""
    inputs = [dist.Normal(0.0, 1.0), dist.Rectangular(-1.0, 1.0)]
    loose = propagate_distributions(np.add, inputs, digits=1)
    assert loose.is_stable
    assert loose.tolerance == pytest.approx(0.05 if loose.u < 1 else 0.5)
    assert loose.u == pytest.approx(sqrt(1 + 1 / 3), abs=0.05)
    tight = propagate_distributions(np.add, inputs, digits=4, max_trials=50_000)
    assert not tight.is_stable
    assert tight.trials <= 50_000


def test_same_seed_same_result():
    """A run can be made again to the last bit."""
    inputs = [dist.Normal(0.0, 1.0)]
    runs = [propagate_distributions(np.exp, inputs, trials=20_000, seed=s) for s in (1, 1, 2)]
    assert runs[0] == runs[1]
    assert runs[0] != runs[2]


def test_shortest_interval_is_never_longer():
    """Of a skew distribution the shortest interval hugs the steep side."""
    found = propagate_distributions(lambda x: x, [dist.Exponential(1.0)], trials=200_000)
    short = found.interval("shortest")
    even = found.interval("symmetric")
    assert short[1] - short[0] < even[1] - even[0]
    assert short == pytest.approx((0.0, -np.log(0.05)), abs=0.05)
    assert even == pytest.approx((-np.log(0.975), -np.log(0.025)), abs=0.08)
    with pytest.raises(UsageError, match="symmetric or shortest"):
        found.interval("longest")


def test_correlated_normals():
    """u of a sum is that of the linear law with the correlation, fully tied included."""
    inputs = [dist.Normal(0.0, 3.0), dist.Rectangular(-1e-3, 1e-3), dist.Normal(0.0, 4.0)]
    for r in (1.0, -1.0, 0.5):
        found = propagate_distributions(
            lambda a, b, c: a + b + c, inputs, correlations={(0, 2): r}, trials=100_000
        )
        assert found.u == pytest.approx(sqrt(25 + 24 * r), rel=0.01)
    with pytest.raises(UsageError, match="input 1 is correlated"):
        propagate_distributions(np.add, inputs, correlations={(0, 1): 0.5}, trials=10_000)
    with pytest.raises(OutOfRangeError, match="hold together"):
        propagate_distributions(
            np.add, 3 * inputs[:1], correlations={(0, 1): 1.0, (1, 2): 1.0, (0, 2): -1.0},
            trials=10_000,
        )  # fmt: skip


def test_functions_that_will_not_do():
    """Endless values, columns of another length, too few trials, no probability."""
    one = [dist.Normal(0.0, 1.0)]
    with pytest.raises(OutOfRangeError, match="not finite at"):
        propagate_distributions(np.log, one, trials=10_000)
    with pytest.raises(UsageError, match="one value a trial"):
        propagate_distributions(np.sum, one, trials=10_000)
    with pytest.raises(UsageError, match="10000 or more"):
        propagate_distributions(np.exp, one, probability=0.99, trials=100)
    with pytest.raises(OutOfRangeError, match="between 0 and 1"):
        propagate_distributions(np.exp, one, probability=1.0)
    with pytest.raises(OutOfRangeError, match="digits"):
        numerical_tolerance(0.0)


def test_a_linear_budget_is_proved():
    """A budget of a linear function passes, one of a strongly bent function does not."""
    inputs = [
        Input("a", 5.0, 0.1),
        Input("b", 2.0, 0.1, distribution="rectangular"),
        Input("c", 1.0, 0.2),
    ]
    tied = {("a", "c"): 0.8}
    straight = propagate(lambda a, b, c: a + 3 * b + c, inputs, correlations=tied)
    assert check_budget(lambda a, b, c: a + 3 * b + c, straight).is_valid
    bent = propagate(lambda a, b, c: (a - 5) ** 2 + 0 * b + 0 * c, inputs)
    assert not check_budget(lambda a, b, c: (a - 5) ** 2 + 0 * b + 0 * c, bent).is_valid


def test_nothing_known_cannot_be_proved():
    """A budget with an unknown part is refused."""
    empty = Budget("y", 0.0, "", (Contribution("a", "none known", 0.0, None),))
    with pytest.raises(MeasureError, match="nothing is known"):
        check_budget(lambda a: a, empty)


def test_validation_uses_the_interval_asked_for():
    """The shortest interval of a skew result stands further from the linear one."""
    found = propagate_distributions(lambda x: x, [dist.Exponential(1.0)], trials=50_000)
    even = validate_linear(1.0, 1.0, found)
    short = validate_linear(1.0, 1.0, found, which="shortest")
    assert even.monte_carlo == found.symmetric
    assert short.upper_difference != even.upper_difference
    fixed = validate_linear(1.0, 1.0, found, coverage_factor=2.0)
    assert fixed.linear == (-1.0, 3.0)
