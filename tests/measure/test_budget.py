"""Budgets: labels kept apart, shared inputs, degrees of freedom, rows to print."""

from fractions import Fraction
from math import inf, sqrt

import pytest

from reconcile.errors import MeasureError, OutOfRangeError, UnknownTermError, UsageError
from reconcile.measure.budget import Budget, budget_of
from reconcile.measure.contributions import (
    Contribution,
    combine,
    coverage_factor_of,
    half_width_contribution,
)
from reconcile.measure.quantity import Quantity

BOOST = Quantity(
    nominal=Fraction(8), unit="[psi]", kind="pressure", form="fixed_datum", resolution=Fraction(1)
)
OIL = Quantity(
    nominal=Fraction(75),
    plus_minus=Fraction(5),
    unit="[psi]",
    kind="pressure",
    form="gauge",
    resolution=Fraction(5),
)
PSI = 6894.757293168361


def budget(*entries, correlations=None):
    """A budget of normal contributions (name, u)."""
    made = tuple(Contribution(name, "certificate", 0.0, u) for name, u in entries)
    return Budget("y", 1.0, "m", made, correlations or {})


def test_shares_add_up_and_the_largest_comes_first():
    """Shares of the variance add to one, and rows go from the largest down."""
    rows = budget(("small", 1.0), ("large", 3.0)).rows()
    assert [row["name"] for row in rows] == ["large", "small"]
    assert [row["share"] for row in rows] == pytest.approx([0.9, 0.1])


@pytest.mark.parametrize(("r", "u"), [(1.0, 7.0), (-1.0, 1.0), (0.0, 5.0)])
def test_correlations_enter_the_combined_uncertainty(r, u):
    """Two inputs of 3 and 4 combine to 7, 1 or 5 as they are correlated."""
    made = budget(("a", 3.0), ("b", 4.0), correlations={("a", "b"): r})
    assert made.standard_uncertainty == pytest.approx(u)
    assert sum(row["share"] for row in made.rows()) == pytest.approx(1.0)


def test_a_printed_tolerance_is_never_added():
    """What the paper allows stands in the budget, and outside the combined uncertainty."""
    made = budget_of(OIL)
    assert made.value == pytest.approx(75 * PSI)
    assert made.standard_uncertainty == pytest.approx(2.5 * PSI / sqrt(3))
    rows = {row["label"]: row for row in made.rows()}
    assert rows["printed tolerance"]["share"] is None
    assert rows["printed tolerance"]["u"] == pytest.approx(5 * PSI / sqrt(3))
    assert rows["resolution"]["share"] == pytest.approx(1.0)


@pytest.mark.parametrize(("lo", "hi", "width"), [(60, 80, 20), (None, 80, 10), (60, None, 10)])
def test_lopsided_tolerances(lo, hi, width):
    """A tolerance with unlike sides, or one side only, is rectangular between its ends."""
    ends = {k: None if v is None else Fraction(v) for k, v in (("lo", lo), ("hi", hi))}
    oil = Quantity(nominal=Fraction(70), unit="Pa", kind="pressure", form="gauge", **ends)
    (row,) = (row for row in oil.budget().rows() if row["label"] == "printed tolerance")
    assert row["u"] == pytest.approx(width / 2 / sqrt(3))


def test_nothing_known_is_not_taken_for_nought():
    """A figure of unknown resolution has no uncertainty, and no expanded one."""
    made = budget_of(Quantity(nominal=Fraction(3), unit="m", kind="length"))
    assert made.standard_uncertainty is None
    assert not made.is_complete
    assert made.rows()[0]["label"] == "none known"
    with pytest.raises(MeasureError, match="nothing is known of the uncertainty"):
        made.expanded()
    with pytest.raises(MeasureError, match="not read"):
        budget_of(Quantity(unit="m", kind="length"))


def test_budget_agrees_with_the_figure_itself():
    """The combined uncertainty is the one the figure gives in the same form."""
    for quantity, form in ((BOOST, "absolute"), (BOOST, "gauge"), (OIL, "absolute")):
        made = quantity.budget(form, 3_000.0)
        there = quantity.in_form(form, 3_000.0)
        assert made.value == pytest.approx(there.nominal, rel=1e-12)
        assert made.standard_uncertainty == pytest.approx(there.standard_uncertainty, rel=1e-9)


@pytest.mark.parametrize(
    ("source", "target"),
    [
        ("fixed_datum", "absolute"), ("fixed_datum", "gauge"), ("gauge", "absolute"),
        ("below_ambient", "absolute"), ("absolute", "below_ambient"), ("gauge", "below_ambient"),
        ("fixed_datum", "below_ambient"), ("absolute", "fixed_datum"),
    ],
)  # fmt: skip
def test_signs_of_the_zeros(source, target):
    """Each sensitivity is the change of the answer for a change of that input."""
    from reconcile.measure.ambient import stated_ambient

    def answer(reading, ambient):
        quantity = Quantity(
            nominal=Fraction(reading),
            unit="Pa",
            kind="pressure",
            form=source,
            resolution=Fraction(2),
        )
        air = stated_ambient(ambient, 100)
        return quantity, air, quantity.in_form(target, ambient=air).nominal

    quantity, air, middle = answer(20_000, 90_000)
    for row in quantity.budget(target, ambient=air).rows():
        if row["label"] == "resolution":
            assert answer(20_001, 90_000)[2] - middle == pytest.approx(row["sensitivity"])
        if row["label"] == "atmosphere":
            assert answer(20_000, 90_001)[2] - middle == pytest.approx(row["sensitivity"])
    labels = {row["label"] for row in quantity.budget(target, ambient=air).rows()}
    assert ("datum" in labels) == ("fixed_datum" in (source, target))
    around = {"gauge", "below_ambient"}
    assert ("atmosphere" in labels) == (len(around & {source, target}) == 1)


def test_factors_that_are_not_exact_have_a_share():
    """A factor known to so many parts in a million is shared by all figures of the unit."""
    litres = Quantity(
        nominal=Fraction(400), unit="L", kind="volume", year=1930, resolution=Fraction(1, 10**6)
    )
    made = litres.budget()
    assert litres.row.u_rel == pytest.approx(1e-6)
    (row,) = (row for row in made.rows() if row["label"] == "conversion")
    assert row["contribution"] == pytest.approx(0.4 * 1e-6, rel=1e-3)
    assert made.standard_uncertainty == pytest.approx(litres.si.standard_uncertainty, rel=1e-9)
    apart = made.difference(litres.budget())
    assert apart.standard_uncertainty == pytest.approx(sqrt(2) * 0.5e-9 / sqrt(3), rel=1e-4)


def test_degrees_of_a_liquid_scale():
    """A hydrometer's degrees carry their factor's uncertainty, though they fall as it rises."""
    oil = Quantity(nominal=Fraction(35), unit="{degAPI}", kind="density", resolution=Fraction(1))
    made = oil.budget()
    assert made.standard_uncertainty == pytest.approx(oil.si.standard_uncertainty, rel=1e-6)
    (row,) = (row for row in made.rows() if row["label"] == "conversion")
    assert abs(row["contribution"]) == pytest.approx(1e-5 * made.value, rel=1e-3)


def test_a_difference_to_ambient_needs_no_ambient_for_its_gauge():
    """A pressure counted from the air around is a gauge pressure; absolute needs the air."""
    cabin = Quantity(
        nominal=Fraction(3), unit="[psi]", kind="pressure", form="differential",
        partner="ambient", resolution=Fraction(1),
    )  # fmt: skip
    assert [row["label"] for row in cabin.budget("gauge").rows()] == ["resolution"]
    labels = {row["label"] for row in cabin.budget("absolute", 3_000.0).rows()}
    assert labels == {"resolution", "atmosphere"}
    there = cabin.absolute(3_000.0).standard_uncertainty
    made = cabin.budget("absolute", 3_000.0)
    assert made.standard_uncertainty == pytest.approx(there, rel=1e-9)


def test_a_shared_datum_goes_out_of_a_difference():
    """Two boosts of one datum differ without the datum's uncertainty."""
    other = Quantity(
        nominal=Fraction(6), unit="[psi]", kind="pressure", form="fixed_datum",
        resolution=Fraction(1),
    )  # fmt: skip
    a, b = BOOST.budget("absolute"), other.budget("absolute")
    apart = a.difference(b)
    assert apart.value == pytest.approx(2 * PSI)
    assert apart.standard_uncertainty == pytest.approx(sqrt(2) * 0.5 * PSI / sqrt(3))
    alone = sqrt(a.standard_uncertainty**2 + b.standard_uncertainty**2)
    covariance = a.covariance(b)
    assert covariance > 0.0
    assert apart.standard_uncertainty**2 == pytest.approx(alone**2 - 2 * covariance)


def test_differences_keep_private_inputs_apart():
    """Two inputs of one name but no common source stay two inputs."""
    apart = budget(("a", 3.0)).difference(budget(("a", 4.0)))
    assert apart.standard_uncertainty == pytest.approx(5.0)
    assert {row["name"] for row in apart.rows()} == {"first: a", "second: a"}
    tied = budget(("a", 3.0), ("b", 4.0), correlations={("a", "b"): 1.0})
    assert tied.difference(budget(("c", 0.0))).standard_uncertainty == pytest.approx(7.0)
    with pytest.raises(MeasureError, match="one unit"):
        apart.difference(Budget("y", 1.0, "s", ()))


def test_effective_degrees_of_freedom():
    """Welch-Satterthwaite: two like inputs of 5 degrees make 10; correlated ones refuse."""
    made = Budget(
        "y", 0.0, "", tuple(Contribution(n, "readings", 0.0, 2.0, degrees=5) for n in "ab")
    )
    assert made.degrees == pytest.approx(10.0)
    assert made.expanded(0.95).coverage_factor == pytest.approx(2.228, abs=5e-4)
    tied = Budget("y", 0.0, "", made.contributions, {("a", "b"): 0.5})
    with pytest.raises(MeasureError, match="independent inputs only"):
        tied.expanded(0.95)
    assert tied.expanded(coverage_factor=2.0).uncertainty == pytest.approx(2 * sqrt(12))
    assert tied.expanded(coverage_factor=2.0).probability == pytest.approx(0.9545, abs=5e-5)
    assert budget(("a", 1.0)).expanded(0.95).coverage_factor == pytest.approx(1.959964)
    assert budget(("a", 1.0)).degrees == inf


def test_faulty_budgets_are_refused():
    """Unknown labels, negative uncertainties, doubled names, impossible correlations."""
    with pytest.raises(UnknownTermError, match="printed tolerance"):
        Contribution("a", "guess", 0.0, 1.0)
    for u in (-1.0, float("nan"), inf):
        with pytest.raises(OutOfRangeError, match="standard uncertainty of a"):
            Contribution("a", "resolution", 0.0, u)
    with pytest.raises(OutOfRangeError, match="degrees of freedom"):
        Contribution("a", "resolution", 0.0, 1.0, degrees=0)
    with pytest.raises(UsageError, match="one name"):
        budget(("a", 1.0), ("a", 1.0))
    for pair in (("a", "c"), ("a", "a")):
        with pytest.raises(UsageError, match="correlation of"):
            budget(("a", 1.0), ("b", 1.0), correlations={pair: 0.5})
    with pytest.raises(OutOfRangeError, match=r"correlation of 1\.5"):
        budget(("a", 1.0), ("b", 1.0), correlations={("a", "b"): 1.5})
    for probability in (0.0, 1.0, float("nan")):
        with pytest.raises(OutOfRangeError, match="coverage probability"):
            coverage_factor_of(probability)
    with pytest.raises(OutOfRangeError, match="coverage factor"):
        budget(("a", 1.0)).expanded(coverage_factor=0.0)
    with pytest.raises(OutOfRangeError, match="degrees of freedom"):
        coverage_factor_of(0.95, 0.5)


def test_half_widths_and_sums():
    """A half-width is rectangular; unknown parts are left out of a root sum of squares."""
    assert half_width_contribution("a", "datum", 0.0, 3.0).u == pytest.approx(sqrt(3))
    assert half_width_contribution("a", "none known", 0.0, None).u is None
    assert combine([3.0, None, 4.0]) == 5.0
    assert combine([None]) is None
    unknown = Budget("y", 0, "", (Contribution("a", "none known", 0, None, source="s"),))
    with pytest.raises(MeasureError, match="shared input"):
        unknown.covariance(unknown)
