"""Worked examples of JCGM 101:2008 (GUM Supplement 1) and of an NPL report.

Most of the printed values are from memory and were kept because they are reproduced, here
and in closed form; the tolerances leave room for the scatter of the runs, the document's
own included.
"""

from math import log, sqrt

import numpy as np
import pytest

from reconcile.measure.distributions import (
    Arcsine,
    CurvilinearTrapezoid,
    Normal,
    Rectangular,
    StudentT,
)
from reconcile.measure.montecarlo import (
    check_budget,
    numerical_tolerance,
    propagate_distributions,
    validate_linear,
)
from reconcile.measure.uncertainty import Input, propagate, second_order_variance

TRIALS = 400_000


def add(*columns):
    """Sum of the inputs."""
    return sum(columns)


def test_9_2_2_normal_inputs():
    """Four N(0, 1): y = 0, u = 2.0, [-3.92, 3.92]; the linear law is validated."""
    found = propagate_distributions(add, 4 * [Normal(0.0, 1.0)], trials=TRIALS)
    assert found.mean == pytest.approx(0.0, abs=0.02)
    assert found.u == pytest.approx(2.0, abs=0.01)
    assert found.symmetric == pytest.approx((-3.92, 3.92), abs=0.04)
    assert validate_linear(0.0, 2.0, found).is_valid


def test_9_2_3_rectangular_inputs():
    """Four rectangular inputs: [-3.88, 3.88] against [-3.92, 3.92] of the linear law."""
    found = propagate_distributions(add, 4 * [Rectangular(-sqrt(3), sqrt(3))], trials=TRIALS)
    exact = 2 * sqrt(3) * (2 - (3 / 5) ** 0.25)
    assert exact == pytest.approx(3.88, abs=0.005)
    assert found.symmetric == pytest.approx((-exact, exact), abs=0.02)
    assert validate_linear(0.0, 2.0, found, digits=1).is_valid
    assert not validate_linear(0.0, 2.0, found, digits=3).is_valid


def test_9_2_4_one_input_ten_times_the_others():
    """One dominant rectangular input: u = 10.1, [-17.0, 17.0]; the linear law fails."""
    inputs = [*3 * [Rectangular(-sqrt(3), sqrt(3))], Rectangular(-10 * sqrt(3), 10 * sqrt(3))]
    found = propagate_distributions(add, inputs, trials=TRIALS)
    assert found.u == pytest.approx(10.1, abs=0.07)
    assert found.symmetric == pytest.approx((-17.0, 17.0), abs=0.08)
    checked = validate_linear(0.0, sqrt(103), found, digits=2)
    assert checked.linear == pytest.approx((-19.9, 19.9), abs=0.05)
    assert not checked.is_valid


def mass(reference, added, air, weight, standard):
    """Mass difference from nominal by comparison in air [mg], JCGM 101 9.3."""
    return (reference + added) * (1 + (air - 1.2) * (1 / weight - 1 / standard)) - 100_000.0


MASS = [
    Input("m_Rc", 100_000.0, 0.050, unit="mg"),
    Input("dm_Rc", 1.234, 0.020, unit="mg"),
    Input("rho_a", 1.20, 0.10 / sqrt(3), distribution="rectangular", unit="kg/m3"),
    Input("rho_W", 8_000.0, 1_000.0 / sqrt(3), distribution="rectangular", unit="kg/m3"),
    Input("rho_R", 8_000.0, 50.0 / sqrt(3), distribution="rectangular", unit="kg/m3"),
]


def test_9_3_mass_calibration():
    """First order 0.0539 mg, higher terms 0.0750 mg, Monte Carlo 0.0754 mg, width 0.2991."""
    linear = propagate(mass, MASS, unit="mg")
    assert linear.value == pytest.approx(1.2340, abs=5e-5)
    assert linear.standard_uncertainty == pytest.approx(0.0539, abs=5.1e-5)
    k = linear.expanded(0.95)
    assert linear.value - k.uncertainty == pytest.approx(1.1285, abs=1e-4)
    assert linear.value + k.uncertainty == pytest.approx(1.3395, abs=1e-4)
    higher = sqrt(linear.standard_uncertainty**2 + second_order_variance(mass, MASS))
    assert higher == pytest.approx(0.0750, abs=5e-5)
    found = propagate_distributions(
        mass,
        [
            Normal(100_000.0, 0.050),
            Normal(1.234, 0.020),
            Rectangular(1.10, 1.30),
            Rectangular(7_000.0, 9_000.0),
            Rectangular(7_950.0, 8_050.0),
        ],
        trials=1_000_000,
    )
    assert found.mean == pytest.approx(1.2340, abs=3e-4)
    assert found.u == pytest.approx(0.0754, abs=2e-4)
    width = found.shortest[1] - found.shortest[0]
    assert width == pytest.approx(0.2991, abs=1e-3)
    assert found.symmetric == pytest.approx((1.0834, 1.3825), abs=2e-3)
    assert not check_budget(mass, linear).is_valid


@pytest.mark.parametrize(
    ("x1", "mean", "u", "shortest", "room"),
    [
        (0.000, 50e-6, 50e-6, (0.0, 150e-6), 1e-6),
        (0.010, 150e-6, 112e-6, (0.0, 367e-6), 3e-6),
        (0.050, 2551e-6, 502e-6, (1590e-6, 3543e-6), 12e-6),
    ],
)
def test_9_4_comparison_loss(x1, mean, u, shortest, room):
    """Sum of squares with zero covariance, estimates 0, 0.010 and 0.050."""

    def loss(a, b):
        return a * a + b * b

    found = propagate_distributions(loss, [Normal(x1, 0.005), Normal(0.0, 0.005)], trials=TRIALS)
    assert found.mean == pytest.approx(mean, abs=2e-6)
    assert found.u == pytest.approx(u, abs=1.5e-6)
    assert found.shortest == pytest.approx(shortest, abs=room)
    linear = propagate(loss, [Input("x1", x1, 0.005), Input("x2", 0.0, 0.005)])
    assert linear.value == pytest.approx(x1**2)
    assert linear.standard_uncertainty == pytest.approx(2 * 0.005 * x1)
    assert not validate_linear(linear.value, linear.standard_uncertainty, found).is_valid


@pytest.mark.parametrize(
    ("x1", "mean", "u", "shortest", "room"),
    [
        (0.000, 50e-6, 67e-6, (0.0, 185e-6), 2e-6),
        (0.010, 150e-6, 121e-6, (13e-6, 398e-6), 4e-6),
        (0.050, 2551e-6, 505e-6, (1628e-6, 3555e-6), 25e-6),
    ],
)
def test_9_4_comparison_loss_with_covariance(x1, mean, u, shortest, room):
    """The same with a correlation of 0.9 between the two parts."""
    found = propagate_distributions(
        lambda a, b: a * a + b * b,
        [Normal(x1, 0.005), Normal(0.0, 0.005)],
        correlations={(0, 1): 0.9},
        trials=TRIALS,
    )
    assert found.mean == pytest.approx(mean, abs=2e-6)
    assert found.u == pytest.approx(u, abs=1.5e-6)
    assert found.shortest == pytest.approx(shortest, abs=room)


def test_9_5_gauge_block():
    """Gauge block: 838 nm, u 36 nm, 99 % interval [745, 932] nm."""

    def deviation(l_s, d, d1, d2, alpha, theta0, swing, d_alpha, d_theta):
        theta = theta0 + swing
        length = l_s + d + d1 + d2 - l_s * (d_alpha * theta + alpha * d_theta)
        return length - 50_000_000.0

    found = propagate_distributions(
        deviation,
        [
            StudentT(50_000_623.0, 25.0, 18),
            StudentT(215.0, 6.0, 24),
            StudentT(0.0, 4.0, 5),
            StudentT(0.0, 7.0, 8),
            Rectangular(9.5e-6, 13.5e-6),
            Normal(-0.1, 0.2),
            Arcsine(-0.5, 0.5),
            CurvilinearTrapezoid(-1e-6, 1e-6, 0.1e-6),
            CurvilinearTrapezoid(-0.050, 0.050, 0.025),
        ],
        probability=0.99,
        trials=TRIALS,
    )
    assert found.mean == pytest.approx(838.0, abs=0.5)
    assert found.u == pytest.approx(36.0, abs=0.5)
    assert found.shortest == pytest.approx((745.0, 932.0), abs=2.5)
    assert found.symmetric == pytest.approx((745.0, 932.0), abs=2.5)


def test_npl_logarithm():
    """NPL report DEM-ES-011, 9.2: ln x, x rectangular on (0.1, 1.1)."""
    linear = propagate(np.log, [Input("x", 0.6, 1 / sqrt(12), distribution="rectangular")])
    assert linear.value == pytest.approx(-0.511, abs=5e-4)
    assert linear.standard_uncertainty == pytest.approx(0.481, abs=5e-4)
    assert linear.value + linear.expanded(0.95).uncertainty == pytest.approx(0.432, abs=5e-4)
    found = propagate_distributions(np.log, [Rectangular(0.1, 1.1)], trials=1_000_000)
    assert found.mean == pytest.approx(-0.665, abs=2e-3)
    assert found.u == pytest.approx(0.606, abs=2e-3)
    assert found.shortest == pytest.approx((-1.895, 0.095), abs=6e-3)
    assert found.shortest[1] == pytest.approx(log(1.1), abs=1e-3)


@pytest.mark.parametrize(
    ("u", "digits", "tolerance"),
    [
        (0.000_35, 2, 0.000_005),
        (0.000_35, 1, 0.000_05),
        (2.0, 1, 0.5),
        (0.000_000_32, 2, 5e-9),
        (0.0996, 2, 0.005),
    ],
)
def test_numerical_tolerance(u, digits, tolerance):
    """7.9.2: half a unit in the last digit that matters, as with its 100.021 47(35) g."""
    assert numerical_tolerance(u, digits) == pytest.approx(tolerance)
