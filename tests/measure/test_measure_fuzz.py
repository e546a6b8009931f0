"""Whatever is asked of a quantity, the room answers or raises one of its own errors."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import ReconcileError
from reconcile.measure.combine import add, mean, multiply, subtract
from reconcile.measure.display import definition_effect, describe, equivalents_of, rival_definitions
from reconcile.measure.pressure import datums
from reconcile.measure.quantity import Quantity
from reconcile.measure.rounding import round_limit
from reconcile.measure.units import all_units
from reconcile.records import BOUNDS, FORMS, TRADITIONS

numbers = st.one_of(
    st.none(), st.fractions(-(10**6), 10**6, max_denominator=1000), st.just(Fraction(0))
)
quantities = st.builds(
    lambda row, **more: Quantity(unit_slug=row.slug, unit=row.ucum or "1", kind=row.kind, **more),
    st.sampled_from(all_units()),
    nominal=numbers,
    lo=numbers,
    hi=numbers,
    plus_minus=st.one_of(st.none(), st.fractions(0, 100, max_denominator=100)),
    form=st.sampled_from(FORMS),
    resolution=st.one_of(st.none(), st.sampled_from([Fraction(1), Fraction(1, 4), Fraction(50)])),
    datum=st.sampled_from(["", *(d.slug for d in datums())]),
    year=st.one_of(st.none(), st.integers(1800, 2050)),
    is_difference=st.booleans(),
    country=st.sampled_from(TRADITIONS),
    partner=st.sampled_from(["", "ambient"]),
    height_m=st.one_of(st.none(), st.fractions(-6000, 90_000, max_denominator=10)),
)
heights = st.one_of(st.none(), st.floats(allow_nan=True, allow_infinity=True))


@settings(max_examples=250, deadline=None)
@given(quantities, quantities, heights, st.sampled_from(FORMS), st.data())
def test_answers_or_own_errors(
    a: Quantity, b: Quantity, height: float | None, form: Any, data: st.DataObject
) -> None:
    """No operation on any quantity raises anything but the package's errors."""
    unit = data.draw(st.sampled_from(all_units())).slug
    bound = data.draw(st.sampled_from(BOUNDS))
    step = data.draw(st.sampled_from([Fraction(1), Fraction(1, 8), Fraction(0)]))
    for act in (
        lambda: a.si,
        lambda: a.absolute(height),
        lambda: a.gauge(height),
        lambda: a.in_form(form, height, datum=b.datum),
        lambda: a.to(unit, form, height),
        lambda: a.to(unit),
        lambda: a.budget(form, height),
        lambda: add(a, b),
        lambda: subtract(a, b),
        lambda: multiply(a, 3),
        lambda: mean([a, b]),
        lambda: round_limit(a, bound, unit, step, form=form, height_m=height),
        lambda: str(a),
        lambda: describe(a),
        lambda: definition_effect(a),
        lambda: rival_definitions(a),
        lambda: equivalents_of(a, height),
    ):
        try:
            act()
        except ReconcileError as fault:
            assert fault.what and str(fault) == fault.sentence


@settings(max_examples=150, deadline=None)
@given(quantities, st.sampled_from(FORMS), st.floats(0, 10_000))
def test_floats_are_the_exact_values(q: Quantity, form: Any, height: float) -> None:
    """The fast way to an answer gives the nearest floats to the exact way, ends included."""
    try:
        exact, _ = q.exact_in_form(form, height)
        answer = q.in_form(form, height)
    except ReconcileError:
        return
    assert (answer.nominal, answer.lo, answer.hi) == tuple(
        None if x is None else float(x) for x in exact
    )
