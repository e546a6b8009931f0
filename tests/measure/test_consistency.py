"""Normalised errors, chi-square, Birge ratio."""

from math import exp, inf

import pytest
from scipy import stats

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.consistency import consistency, normalised_error


def test_three_values_by_hand():
    """10, 12 and 11, each to 1: mean 11, chi-square 2, Birge ratio 1, p = 1/e."""
    found = consistency([10.0, 12.0, 11.0], [1.0, 1.0, 1.0])
    assert (found.mean, found.birge_ratio) == pytest.approx((11.0, 1.0))
    assert found.u == pytest.approx(0.577350, abs=5e-7)
    assert found.p_value == pytest.approx(exp(-1))
    assert found.is_consistent()
    assert found.u_expanded == found.u
    assert found.normalised == pytest.approx((-1.0, 1.0, 0.0))


def test_no_correlation_is_the_unit_matrix():
    """With a unit matrix the general way gives what the plain one gives."""
    values, us = [1.0, 1.5, 0.7], [0.2, 0.3, 0.1]
    plain = consistency(values, us)
    unit = consistency(values, us, correlations=[[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    assert unit.mean == pytest.approx(plain.mean)
    assert unit.chi_square == pytest.approx(plain.chi_square)
    assert plain.p_value == pytest.approx(stats.chi2.sf(plain.chi_square, 2))


def test_scattered_values_widen_the_mean():
    """Where the values scatter more than they say, the Birge ratio enlarges u."""
    found = consistency([1.0, 2.0, 3.0], [0.1, 0.1, 0.1])
    assert found.birge_ratio == pytest.approx(10.0)
    assert found.u_expanded == pytest.approx(10 * found.u)
    assert not found.is_consistent()


def test_shared_inputs_sharpen_the_comparison():
    """A covariance takes the shared part out of E_n; all shared, any gap is endless."""
    assert normalised_error(10.005, 0.004, 10.000, 0.003) == pytest.approx(1.0)
    shared = normalised_error(1.2, 0.2, 1.0, 0.2, covariance=0.005)
    assert shared == pytest.approx(0.2 / 0.2)
    assert normalised_error(1.1, 0.0, 1.0, 0.0) == inf
    assert normalised_error(0.9, 0.2, 1.0, 0.2, covariance=0.01) == -inf
    assert normalised_error(1.0, 0.0, 1.0, 0.0) == 0.0


def test_what_cannot_be_compared():
    """One value, unlike numbers, no uncertainty, correlations that cannot be."""
    with pytest.raises(UsageError, match="two or more"):
        consistency([1.0], [0.1])
    with pytest.raises(UsageError, match="in pairs"):
        consistency([1.0, 2.0], [0.1])
    with pytest.raises(OutOfRangeError, match="nought"):
        consistency([1.0, 2.0], [0.1, 0.0])
    with pytest.raises(OutOfRangeError, match="finite"):
        consistency([1.0, float("nan")], [0.1, 0.1])
    with pytest.raises(UsageError, match="shape"):
        consistency([1.0, 2.0], [0.1, 0.1], correlations=[[1.0]])
    for matrix in ([[1.0, 0.5], [0.4, 1.0]], [[2.0, 0.0], [0.0, 1.0]]):
        with pytest.raises(OutOfRangeError, match="no correlation matrix"):
            consistency([1.0, 2.0], [0.1, 0.1], correlations=matrix)
    with pytest.raises(OutOfRangeError, match="hold together"):
        consistency([1.0, 2.0], [0.1, 0.1], correlations=[[1.0, 1.5], [1.5, 1.0]])
    with pytest.raises(OutOfRangeError, match="more than the uncertainties allow"):
        normalised_error(1.0, 0.1, 1.0, 0.1, covariance=1.0)
    with pytest.raises(OutOfRangeError, match="nought or more"):
        normalised_error(1.0, -0.1, 1.0, 0.1)
