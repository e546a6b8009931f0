"""Readings, joint readings and straight lines."""

import numpy as np
import pytest

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.observations import (
    fit_line,
    input_from_readings,
    inputs_from_joint_readings,
)


def test_mean_of_readings():
    """Mean, s over root n and n - 1 degrees of freedom, as numpy has them."""
    readings = [10.1, 10.3, 9.9, 10.0]
    mean = input_from_readings("x", readings, unit="m")
    assert mean.value == pytest.approx(np.mean(readings))
    assert mean.u == pytest.approx(np.std(readings, ddof=1) / 2)
    assert (mean.degrees, mean.label, mean.unit) == (3, "readings", "m")


def test_joint_readings_have_numpys_correlations():
    """Coefficients are those of numpy.corrcoef; constant readings have none."""
    rng = np.random.default_rng(3)
    a = rng.normal(size=9)
    table = {"a": list(a), "b": list(a + rng.normal(size=9)), "c": [2.0] * 9}
    _, found = inputs_from_joint_readings(table)
    assert found["a", "b"] == pytest.approx(np.corrcoef(table["a"], table["b"])[0, 1])
    assert set(found) == {("a", "b")}
    with pytest.raises(UsageError, match="as many of each"):
        inputs_from_joint_readings({"a": [1.0, 2.0], "b": [1.0]})


def test_line_agrees_with_numpy():
    """Slope, intercept and covariance are those of numpy.polyfit with unscaled weights."""
    rng = np.random.default_rng(4)
    x = np.linspace(0.0, 9.0, 12)
    y = 3.0 - 0.4 * x + rng.normal(scale=0.1, size=12)
    line = fit_line(list(x), list(y))
    (slope, intercept), covariance = np.polyfit(x, y, 1, cov=True)
    assert (line.slope, line.intercept) == pytest.approx((slope, intercept))
    assert (line.u_slope**2, line.u_intercept**2) == pytest.approx(
        (covariance[0, 0], covariance[1, 1])
    )
    both = line.correlation * line.u_slope * line.u_intercept
    assert both == pytest.approx(covariance[0, 1])
    far = np.array([5.5, 1.0])
    assert line.at(5.5).u ** 2 == pytest.approx(far @ covariance @ far)


def test_readings_that_will_not_do():
    """Too few readings, readings that are no numbers, points all at one x."""
    with pytest.raises(UsageError, match="2 or more"):
        input_from_readings("x", [1.0])
    with pytest.raises(OutOfRangeError, match="not finite"):
        input_from_readings("x", [1.0, float("nan")])
    with pytest.raises(UsageError, match="3 or more"):
        fit_line([1.0, 2.0], [1.0, 2.0])
    with pytest.raises(UsageError, match="as many of each"):
        fit_line([1.0, 2.0, 3.0], [1.0, 2.0])
    with pytest.raises(OutOfRangeError, match="at one x"):
        fit_line([1.0, 1.0, 1.0], [1.0, 2.0, 3.0])
