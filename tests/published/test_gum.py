"""Worked examples of the GUM (JCGM 100:2008) and of the papers on consistency.

Values marked "from memory" below were not at hand in print and were kept because they are
reproduced; all others were seen quoted from the document in open test suites.
"""

from math import cos, sin, sqrt

import pytest

from reconcile.measure import uncertainty as unc
from reconcile.measure.budget import Budget
from reconcile.measure.consistency import consistency, normalised_error
from reconcile.measure.contributions import Contribution, coverage_factor_of
from reconcile.measure.observations import fit_line, inputs_from_joint_readings
from reconcile.measure.results import round_result
from reconcile.measure.uncertainty import Input, propagate

D_PARTS = (
    Contribution("repeatability", "readings", 215.0, 5.8, degrees=24, unit="nm"),
    Contribution("comparator, random", "instrument", 0.0, 3.9, "normal", degrees=5, unit="nm"),
    Contribution("comparator, systematic", "instrument", 0.0, 6.7, "normal", degrees=8, unit="nm"),
)
GAUGE = [
    Input("l_s", 50_000_623.0, 25.0, degrees=18, unit="nm"),
    Input("d", 215.0, sqrt(5.8**2 + 3.9**2 + 6.7**2), degrees=25.6, unit="nm"),
    Input("alpha_s", 11.5e-6, 2e-6 / sqrt(3), label="instrument"),
    Input("theta", -0.1, sqrt(0.2**2 + 0.5**2 / 2), label="instrument"),
    Input("delta_alpha", 0.0, 1e-6 / sqrt(3), label="instrument", degrees=50),
    Input("delta_theta", 0.0, 0.05 / sqrt(3), label="instrument", degrees=2),
]


def gauge_length(l_s, d, alpha_s, theta, delta_alpha, delta_theta):
    """Length of an end gauge by comparison, GUM H.1.3."""
    return l_s + d - l_s * (delta_alpha * theta + alpha_s * delta_theta)


def test_h1_end_gauge():
    """H.1: length 50 000 838 nm, u 32 nm, 16 degrees of freedom, U99 93 nm."""
    comparison = Budget("d", 215.0, "nm", D_PARTS)
    assert comparison.standard_uncertainty == pytest.approx(9.7, abs=0.05)
    assert comparison.degrees == pytest.approx(25.6, abs=0.2)  # from u rounded to 9.7
    budget = propagate(gauge_length, GAUGE, name="l", unit="nm")
    assert budget.value == pytest.approx(50_000_838.0, abs=0.5)
    rows = {row["name"]: row for row in budget.rows()}
    assert abs(rows["delta_alpha"]["contribution"]) == pytest.approx(2.9, abs=0.05)
    assert abs(rows["delta_theta"]["contribution"]) == pytest.approx(16.6, abs=0.05)
    assert rows["alpha_s"]["contribution"] == 0.0
    assert rows["theta"]["contribution"] == 0.0
    assert budget.standard_uncertainty == pytest.approx(32.0, abs=0.5)
    assert budget.standard_uncertainty == pytest.approx(31.6639, abs=5e-4)
    expanded = budget.expanded(0.99)
    assert expanded.degrees == 16.0
    assert expanded.coverage_factor == pytest.approx(2.92, abs=0.005)
    assert expanded.uncertainty == pytest.approx(93.0, abs=1.0)
    assert sum(row["share"] for row in rows.values()) == pytest.approx(1.0)


def test_h1_second_order_terms():
    """H.1.7: terms of 11.7 nm and 1.7 nm (from memory) bring u to 34 nm."""
    added = unc.second_order_variance(gauge_length, GAUGE)
    assert added == pytest.approx(11.7**2 + 1.7**2, rel=0.01)
    total = sqrt(propagate(gauge_length, GAUGE).standard_uncertainty ** 2 + added)
    assert total == pytest.approx(34.0, abs=0.5)


READINGS = {
    "V": [5.007, 4.994, 5.005, 4.990, 4.999],
    "I": [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
    "phi": [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
}
IMPEDANCE = {
    "R": (lambda v, i, phi: v / i * unc.cos(phi), 127.732, 0.071),
    "X": (lambda v, i, phi: v / i * unc.sin(phi), 219.847, 0.295),
    "Z": (lambda v, i, phi: v / i, 254.260, 0.236),
}


def test_h2_joint_readings():
    """H.2: means, standard uncertainties and correlations of five joint readings."""
    inputs, correlations = inputs_from_joint_readings(READINGS)
    means = {x.name: (x.value, x.u, x.degrees) for x in inputs}
    assert means["V"] == pytest.approx((4.9990, 0.0032, 4), abs=5e-5)
    assert means["I"] == pytest.approx((19.6610e-3, 0.0095e-3, 4), abs=5e-8)
    assert means["phi"] == pytest.approx((1.04446, 0.00075, 4), abs=5e-6)
    assert correlations["V", "I"] == pytest.approx(-0.36, abs=0.005)
    assert correlations["V", "phi"] == pytest.approx(0.86, abs=0.005)
    assert correlations["I", "phi"] == pytest.approx(-0.65, abs=0.0051)


@pytest.mark.parametrize("name", IMPEDANCE)
def test_h2_resistance_and_reactance(name):
    """H.2: R, X, Z and their u; X is 0.295 by the second way of the document, 0.296 here."""
    function, value, u = IMPEDANCE[name]
    inputs, correlations = inputs_from_joint_readings(READINGS)
    budget = propagate(function, inputs, correlations=correlations)
    assert budget.value == pytest.approx(value, abs=6e-4)
    assert budget.standard_uncertainty == pytest.approx(u, abs=1e-3)


def test_h2_without_correlations():
    """H.2 warns: with correlations left out R would have 0.195, X 0.201, Z 0.204 (memory)."""
    inputs, _ = inputs_from_joint_readings(READINGS)
    for (function, _, _), u in zip(IMPEDANCE.values(), (0.195, 0.201, 0.204)):
        assert propagate(function, inputs).standard_uncertainty == pytest.approx(u, abs=5e-4)


def test_h2_correlation_of_the_results():
    """H.2: r(R, X) = -0.588, r(R, Z) = -0.485, r(X, Z) = 0.993 from the five readings."""
    columns = {
        "R": [v / i * cos(p) for v, i, p in zip(*READINGS.values())],
        "X": [v / i * sin(p) for v, i, p in zip(*READINGS.values())],
        "Z": [v / i for v, i, _ in zip(*READINGS.values())],
    }
    inputs, r = inputs_from_joint_readings(columns)
    assert r["R", "X"] == pytest.approx(-0.588, abs=1.5e-3)
    assert r["R", "Z"] == pytest.approx(-0.485, abs=1.5e-3)
    assert r["X", "Z"] == pytest.approx(0.993, abs=1.5e-3)
    assert {x.name: round(x.u, 3) for x in inputs} == {"R": 0.071, "X": 0.295, "Z": 0.236}


def test_h3_thermometer_line():
    """H.3: intercept, slope, correlation, residual, and the correction at 30 degC."""
    t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
    b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
    line = fit_line(t, b, x0=20.0)
    assert line.intercept == pytest.approx(-0.1712, abs=5e-5)
    assert line.u_intercept == pytest.approx(0.0029, abs=5e-5)
    assert line.slope == pytest.approx(0.00218, abs=5e-6)
    assert line.u_slope == pytest.approx(0.00067, abs=5e-6)
    assert line.correlation == pytest.approx(-0.930, abs=5e-4)
    assert line.residual == pytest.approx(0.0035, abs=5e-6)
    at_30 = line.at(30.0)
    assert at_30.value == pytest.approx(-0.1494, abs=5e-5)
    assert at_30.u == pytest.approx(0.0041, abs=5e-5)
    assert at_30.degrees == 9


def test_small_rectangular_examples():
    """4.3.7 and F.2.2.1: expansion coefficient, voltmeter, resolution; from memory."""
    assert unc.standard_uncertainty_of(0.40e-6) == pytest.approx(0.23e-6, abs=5e-9)
    bound = 14e-6 * 0.928571 + 2e-6
    assert bound == pytest.approx(15e-6, abs=5e-9)
    specified = unc.standard_uncertainty_of(bound)
    assert specified == pytest.approx(8.7e-6, abs=5e-8)
    assert sqrt(specified**2 + 12e-6**2) == pytest.approx(15e-6, abs=5e-7)
    assert unc.standard_uncertainty_of(0.5) == pytest.approx(0.29, abs=5e-3)


@pytest.mark.parametrize(
    ("probability", "degrees", "factor"),
    [
        (0.95, 1, 12.71), (0.95, 10, 2.23), (0.95, 50, 2.01), (0.6827, 5, 1.11),
        (0.99, 16, 2.92), (0.9973, 20, 3.42), (0.9545, float("inf"), 2.000),
    ],
)  # fmt: skip
def test_table_g2(probability, degrees, factor):
    """Table G.2, values of t for a coverage probability; from memory."""
    assert coverage_factor_of(probability, degrees) == pytest.approx(factor, abs=6e-3)


@pytest.mark.parametrize(
    ("value", "u", "upwards", "printed"),
    [
        (10.05762, 0.027, False, "10.058 ± 0.027"),  # 7.2.6: 10.057 62 with 27 mOhm
        (100.02147, 0.00035, False, "100.02147 ± 0.00035"),  # 7.2.2
        (1.0, 0.01047, True, "1.000 ± 0.011"),  # 7.2.6: 10.47 mOhm rounded up to 11
        (1.0, 28.05, False, "1 ± 28"),  # 7.2.6: 28.05 kHz rounded down to 28
    ],
)
def test_rounding_of_results(value, u, upwards, printed):
    """7.2.6 on rounding results and uncertainties; from memory."""
    assert str(round_result(value, u, upwards=upwards)) == printed


def test_brief_form():
    """7.2.2 prints the mass as 100.021 47(35) g."""
    assert round_result(100.02147, 0.00035).brief == "100.02147(35)"


GRAVITY = [
    (6.67248, 0.00043), (6.6729, 0.0005), (6.67398, 0.00070), (6.674255, 0.000092),
    (6.67559, 0.00027), (6.67422, 0.00098), (6.67387, 0.00027), (6.67228, 0.00087),
    (6.67425, 0.00012), (6.67349, 0.00018), (6.67234, 0.00014),
]  # fmt: skip


def test_codata_2010_gravitation():
    """CODATA 2010 on G, from memory: mean 6.67384, chi-square 209.6, Birge ratio 4.58."""
    found = consistency(*zip(*GRAVITY))
    assert found.mean == pytest.approx(6.67384, abs=1e-5)
    assert found.chi_square == pytest.approx(209.6, abs=0.1)
    assert found.birge_ratio == pytest.approx(4.58, abs=0.005)
    assert 14 * found.u == pytest.approx(0.00080, abs=1e-5)
    assert not found.is_consistent()
    assert found.p_value < 1e-30


def test_codata_2010_with_its_correlations():
    """The same with r = 0.351 and 0.134 between laboratories; computed independently."""
    matrix = [[float(i == j) for j in range(11)] for i in range(11)]
    for i, j, r in ((0, 2, 0.351), (7, 9, 0.134)):
        matrix[i][j] = matrix[j][i] = r
    found = consistency(*zip(*GRAVITY), correlations=matrix)
    assert found.mean == pytest.approx(6.6738535, abs=5e-8)
    assert found.chi_square == pytest.approx(210.6016, abs=5e-5)
    assert found.birge_ratio == pytest.approx(4.589135, abs=5e-7)


def test_normalised_error_of_two_determinations():
    """E_n of two of those values with k = 2 is -5.179: they do not agree."""
    e_n = normalised_error(6.67234, 2 * 0.00014, 6.67425, 2 * 0.00012)
    assert e_n == pytest.approx(-5.17921, abs=5e-6)
