"""Linear propagation against the `uncertainties` library, and rounding of results."""

import math
from decimal import Decimal

import numpy as np
import pytest
import uncertainties
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import umath

from reconcile.errors import OutOfRangeError, UnknownTermError, UsageError
from reconcile.measure import uncertainty as unc
from reconcile.measure.results import round_result
from reconcile.measure.uncertainty import Input, Uncertain, propagate

FUNCTIONS = {
    "mixed": lambda m, a, b, c: (a + 2 * b) * (c - a) / (1 + b * b),
    "powers": lambda m, a, b, c: a**b + 2.0**c - b**3 + (-a) ** 2,
    "shared": lambda m, a, b, c: a * b - b * a + c / a + 3 - a / 7,
    "functions": lambda m, a, b, c: m.sin(a) * m.exp(-b) + m.log(c) * m.sqrt(a) - m.tan(b / 9),
    "reverse": lambda m, a, b, c: 5 / a - (2 - b) + m.cos(c) + (+a),
}


@pytest.mark.parametrize("name", FUNCTIONS)
def test_the_uncertainties_library_agrees(name):
    """Value, combined u and every share agree with `uncertainties` to 1e-12."""
    numbers = {"a": (1.7, 0.03), "b": (0.9, 0.02), "c": (2.3, 0.05)}
    theirs_in = {k: uncertainties.ufloat(*v, tag=k) for k, v in numbers.items()}
    theirs = FUNCTIONS[name](umath, *theirs_in.values())
    inputs = [Input(k, *v) for k, v in numbers.items()]
    ours = propagate(lambda *x: FUNCTIONS[name](unc, *x), inputs)
    assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-12)
    assert ours.standard_uncertainty == pytest.approx(theirs.std_dev, rel=1e-12)
    for c in ours.contributions:
        share = theirs.error_components().get(theirs_in[c.name], 0.0)
        assert abs(c.contribution) == pytest.approx(share, rel=1e-9, abs=1e-15)


def test_correlated_inputs_agree_with_uncertainties():
    """Correlated inputs combine as `uncertainties.correlated_values_norm` makes them."""
    r = [[1.0, 0.6, -0.2], [0.6, 1.0, 0.1], [-0.2, 0.1, 1.0]]
    theirs = FUNCTIONS["mixed"](
        umath,
        *uncertainties.correlated_values_norm([(1.7, 0.03), (0.9, 0.02), (2.3, 0.05)], np.array(r)),
    )
    inputs = [Input("a", 1.7, 0.03), Input("b", 0.9, 0.02), Input("c", 2.3, 0.05)]
    ours = propagate(
        lambda *x: FUNCTIONS["mixed"](unc, *x),
        inputs,
        correlations={("a", "b"): 0.6, ("a", "c"): -0.2, ("b", "c"): 0.1},
    )
    assert ours.standard_uncertainty == pytest.approx(theirs.std_dev, rel=1e-9)


def test_an_input_used_twice_is_one_input():
    """x - x has no uncertainty, x + x has twice that of x."""
    x = Uncertain.of(Input("x", 5.0, 0.5))
    assert (x - x).standard_uncertainty == 0.0
    assert (x + x).standard_uncertainty == 1.0
    assert x.covariance(2 * x) == pytest.approx(0.5)
    assert x.covariance(Uncertain.of(Input("x", 5.0, 0.5))) == 0.0
    assert abs(-x).slopes == abs(x).slopes == x.slopes
    assert "u=0.5" in repr(x)


def test_functions_of_plain_floats_are_differentiated_by_differences():
    """A function that takes floats only gives the same slopes, to 1e-8."""
    inputs = [Input("a", 1.7, 0.03), Input("b", 0.9, 0.02)]
    ours = propagate(lambda a, b: math.sin(a) * math.exp(b), inputs)
    exact = propagate(lambda a, b: unc.sin(a) * unc.exp(b), inputs)
    for here, there in zip(ours.contributions, exact.contributions):
        assert here.sensitivity == pytest.approx(there.sensitivity, rel=1e-8)
    exactly_known = propagate(lambda a: math.exp(a), [Input("a", 1.0, 0.0)])
    assert exactly_known.contributions[0].sensitivity == pytest.approx(math.e, rel=1e-6)
    constant = propagate(lambda a: 3.0, [Input("a", 1.0, 0.1)])
    assert (constant.value, constant.standard_uncertainty) == (3.0, 0.0)


def test_results_that_are_not_finite_are_refused():
    """A function endless at the estimate is refused, not propagated."""
    with pytest.raises(OutOfRangeError, match="the function is inf"):
        propagate(lambda a: a * math.inf, [Input("a", 1.0, 0.1)])
    with pytest.raises(OutOfRangeError, match="slope by a"):
        propagate(lambda a: a * 1e308 * 1e10 * 0 + 1, [Input("a", 0.0, 0.1)])


def test_second_order_of_a_square():
    """For y = x1^2 + x2^2 the second-order variance is 4u^4 in all: exact for normals."""
    inputs = [Input("a", 0.01, 0.005), Input("b", 0.0, 0.005), Input("c", 1.0, 0.0)]
    added = unc.second_order_variance(lambda a, b, c: a * a + b * b, inputs)
    assert added == pytest.approx(4 * 0.005**4, rel=1e-6)


@pytest.mark.parametrize(
    ("distribution", "divisor"),
    [("rectangular", math.sqrt(3)), ("triangular", math.sqrt(6)), ("arcsine", math.sqrt(2))],
)
def test_half_widths(distribution, divisor):
    """A half-width over the root of 3, 6 or 2."""
    assert unc.standard_uncertainty_of(2.0, distribution) == pytest.approx(2.0 / divisor)
    with pytest.raises(OutOfRangeError, match="half-width"):
        unc.standard_uncertainty_of(-1.0, distribution)


def test_trapezoids_lie_between_triangle_and_rectangle():
    """A trapezoid with no top is a triangle, with all top a rectangle."""
    assert unc.trapezoid_uncertainty(1.0, 0.0) == unc.standard_uncertainty_of(1.0, "triangular")
    assert unc.trapezoid_uncertainty(1.0, 1.0) == pytest.approx(1 / math.sqrt(3))
    with pytest.raises(OutOfRangeError):
        unc.trapezoid_uncertainty(1.0, 1.1)
    with pytest.raises(UnknownTermError, match="rectangular"):
        unc.standard_uncertainty_of(1.0, "bell")


@pytest.mark.parametrize(
    ("value", "u", "digits", "plain", "brief"),
    [
        (123_456_789.0, 35_000.0, 2, "123457000 ± 35000", "123457000(35000)"),
        (0.000123456, 0.00000996, 1, "0.00012 ± 0.00001", "0.00012(1)"),
        (-1.5, 0.0996, 2, "-1.50 ± 0.10", "-1.50(10)"),
        (1e-12, 1.0, 1, "0 ± 1", "0(1)"),
        (2.5, 1.0, 2, "2.5 ± 1.0", "2.5(10)"),
        (99.97, 9.96, 2, "100 ± 10", "100(10)"),
    ],
)
def test_rounding_of_awkward_results(value, u, digits, plain, brief):
    """Large, small, negative and carrying cases print as they should."""
    rounded = round_result(value, u, digits=digits)
    assert str(rounded) == plain
    assert rounded.brief == brief


@settings(max_examples=80, deadline=None)
@given(st.floats(-1e9, 1e9), st.floats(1e-9, 1e9), st.integers(1, 3), st.booleans())
def test_rounding_stays_close(value, u, digits, upwards):
    """Rounded values move by half a last place at most; rounding up never lowers u."""
    rounded = round_result(value, u, digits=digits, upwards=upwards)
    place = Decimal(10) ** (Decimal(repr(u)).adjusted() - digits + 1)
    if upwards:
        assert Decimal(repr(u)) <= rounded.u <= Decimal(repr(u)) + 10 * place
    else:
        assert abs(rounded.u - Decimal(repr(u))) <= 5 * place
    assert abs(rounded.value - Decimal(repr(value))) <= 5 * place


def test_results_without_an_uncertainty_are_refused():
    """Nought, negative and endless uncertainties cannot set a place to round to."""
    for value, u in ((1.0, 0.0), (1.0, -1.0), (1.0, math.nan), (math.inf, 1.0)):
        with pytest.raises(OutOfRangeError, match="a result of"):
            round_result(value, u)
    with pytest.raises(UsageError, match="digits"):
        round_result(1.0, 1.0, digits=0)
