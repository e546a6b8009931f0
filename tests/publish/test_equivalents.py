"""Equivalents never let a limit grow, for any unit, form and bound."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import MeasureError, UnknownUnitError
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import all_units, equivalents, unit_row
from reconcile.publish.equivalents import (
    Equivalent,
    equivalents_of,
    figure_equivalents,
    round_safely,
    safe_step,
)
from reconcile.records import FORMS, Figure

F = Fraction
UNITS = [unit for unit in all_units() if equivalents(unit.si_unit, "none")]
BOUNDS = ("max", "min", "range", "nominal", "approx")


@st.composite
def quantities(draw: Any) -> Quantity:
    """A figure in any unit that has modern equivalents."""
    unit = draw(st.sampled_from(UNITS))
    step = F(draw(st.sampled_from(["1/8", "1/4", "0.1", "1", "5", "10", "50"])))
    low = draw(st.integers(-20, 4000)) * step
    form = "none"
    if unit.si_unit == "Pa":
        form = draw(st.sampled_from(FORMS))
    numbers: dict[str, Any] = {"nominal": low}
    shape = draw(st.sampled_from(["single", "range", "tolerance"]))
    if shape == "range":
        numbers = {"lo": low, "hi": low + draw(st.integers(1, 50)) * step}
    elif shape == "tolerance":
        numbers["plus_minus"] = step * draw(st.integers(1, 5))
    return Quantity(
        **numbers,
        unit=unit.ucum or unit.slug,
        unit_slug=unit.slug,
        kind=unit.kind,
        form=form,  # type: ignore[arg-type]
        resolution=draw(st.sampled_from([step, None])),
        year=draw(st.sampled_from([None, 1943])),
    )


def _exact(quantity: Quantity, one: Equivalent) -> Quantity:
    return quantity.to(one.unit, None if one.form == quantity.form else one.form)


@settings(max_examples=300, deadline=None)
@given(quantities(), st.sampled_from(BOUNDS))
def test_no_equivalent_lets_a_limit_grow(quantity: Quantity, bound: str) -> None:
    """Held against the exact conversion: down for a maximum, up for a minimum, inwards."""
    for one in equivalents_of(quantity, bound):
        there = _exact(quantity, one)
        turned = sum(
            row.scale == "reciprocal" and row.factor > 0
            for row in (quantity.row, unit_row(one.unit, kind=quantity.kind))
        )
        side = {"max": "min", "min": "max"}.get(bound, bound) if turned == 1 else bound
        pairs = list(zip((there.nominal, *there.ends), (one.nominal, one.lo, one.hi)))
        # What people read is the number itself, to the last digit.
        words = re.sub(r"(?<=\d) (?=\d)", "", one.number)
        shown = [F(word) for word in re.findall(r"[-+]?\d+(?:\.\d+)?", words)]
        ends = [x for x in (one.lo, one.hi) if x is not None]
        values = [one.nominal] if one.nominal is not None else ends
        assert shown == (values + ends if len(ends) == 2 and one.nominal is not None else values)
        for exact, rounded in pairs:
            assert (exact is None) == (rounded is None)
            if exact is None or rounded is None:
                continue
            assert (rounded / one.step).denominator == 1
            if side == "max":
                assert rounded <= exact
            elif side == "min":
                assert rounded >= exact
        if side not in ("max", "min"):
            (_, nominal), (lo, low), (hi, high) = pairs
            assert lo is None or low is None or low >= lo
            assert hi is None or high is None or high <= hi
            if low is not None and high is not None:
                assert low <= high
                assert nominal is None or low <= nominal <= high


@settings(max_examples=200, deadline=None)
@given(quantities())
def test_rounding_adds_less_than_the_paper_did(quantity: Quantity) -> None:
    """Where the printed step is known, the step rounded to is no larger."""
    for one in equivalents_of(quantity, "max"):
        there = _exact(quantity, one)
        if there.resolution:
            assert one.step <= abs(there.resolution) / 4


def test_boost_is_given_absolute_as_well() -> None:
    """+6 lb/in2 of boost is 42.1 in.Hg absolute, rounded down; its datum is 101 325 Pa."""
    boost = Quantity(F(6), unit="[psi]", kind="pressure", form="fixed_datum", resolution=F(1))
    said = [str(one) for one in equivalents_of(boost, "max")]
    # Exact by NIST SP 811: 142 693.5 Pa, 42.14 conventional inches of mercury.
    assert "142 kPa absolute" in said and "42.1 in. Hg absolute" in said
    assert "+41 kPa over the datum" in said


def test_units_may_be_chosen() -> None:
    """A reader's own units are used; those that do not fit are left out; a non-unit refused."""
    oil = Quantity(F(60), unit="[psi]", kind="pressure", form="gauge", resolution=F(1))
    assert [str(one) for one in equivalents_of(oil, "min", ("bar", "Cel"))] == ["4.14 bar gauge"]
    with pytest.raises(UnknownUnitError):
        equivalents_of(oil, "min", ("no-such-unit",))


def test_a_narrow_range_is_not_emptied() -> None:
    """A range that rounding inwards would empty gets a finer step instead."""
    narrow = Quantity(lo=F(12), hi=F("12.1"), unit="[psi]", kind="pressure", form="gauge",
                      resolution=F(1))  # fmt: skip
    for one in equivalents_of(narrow, "range"):
        there = _exact(narrow, one)
        assert one.lo is not None and one.hi is not None
        assert there.lo is not None and there.hi is not None
        assert there.lo <= one.lo <= one.hi <= there.hi


def test_an_unsure_figure_has_no_equivalents() -> None:
    """No number of a figure that may be another is offered to be set."""
    quantity = Quantity(F(6), unit="[psi]", kind="pressure", form="gauge")
    for status in ("unread", "ambiguous"):
        assert figure_equivalents(Figure("a", (0, 1), "6", quantity, status), "max") == ()  # type: ignore[arg-type]
    assert figure_equivalents(Figure("a", (0, 1), "6", quantity), "max")
    assert equivalents_of(Quantity(unit="[psi]", kind="pressure"), "max") == ()


def test_below_vacuum_is_left_out() -> None:
    """A boost lower than vacuum (a misreading) has no absolute equivalent."""
    deep = Quantity(F(-20), unit="[psi]", kind="pressure", form="fixed_datum", resolution=F(1))
    assert {one.form for one in equivalents_of(deep, "max")} == {"fixed_datum"}
    with pytest.raises(MeasureError):
        deep.absolute()


@pytest.mark.parametrize(
    ("resolution", "size", "step"),
    [("6.89", "1", "1"), ("10", "1", "1"), ("0.4", "1", "0.1"), (None, "1234", "1"),
     (None, "0.5", "0.0001"), (None, "0", "1")],
)  # fmt: skip
def test_steps_are_powers_of_ten_within_the_printed_step(
    resolution: str | None, size: str, step: str
) -> None:
    """The step is the largest power of ten not above a quarter of the printed one."""
    assert safe_step(F(resolution) if resolution else None, F(size)) == F(step)


def test_an_exact_equivalent_says_so() -> None:
    """Nothing is called rounded that was not."""
    assert round_safely((F(10), None, None), "max", F(5)) == ((F(10), None, None), "exact")
    assert round_safely((F(11), None, None), "max", F(5)) == ((F(10), None, None), "down")
    assert round_safely((F(11), None, None), "min", F(5)) == ((F(15), None, None), "up")
    assert round_safely((None, F(11), None), "range", F(5)) == ((None, F(15), None), "inwards")


def test_a_scale_that_runs_backwards_turns_the_bound() -> None:
    """The most degrees API is the least density: its equivalent is rounded up."""
    light = Quantity(F(45), unit_slug="degree-api", unit="", kind="density", resolution=F(1))
    for one in equivalents_of(light, "max"):
        exact = light.to(one.unit).nominal
        assert exact is not None and one.nominal is not None
        assert one.nominal >= exact and one.rounded in ("up", "exact")
    assert equivalents_of(light, "max")


def test_a_reading_its_scale_cannot_have_gives_none() -> None:
    """A misread density beyond the end of its scale has no equivalent, and breaks nothing."""
    beyond = Quantity(F(145), unit="{degBe_heavy}", unit_slug="degree-baume-heavy", kind="density")
    assert equivalents_of(beyond, "max") == ()


NUMBERS = st.one_of(st.none(), st.fractions(-(10**6), 10**6, max_denominator=64))


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from(all_units()),
    st.tuples(NUMBERS, NUMBERS, NUMBERS, NUMBERS, NUMBERS),
    st.sampled_from(FORMS),
    st.booleans(),
    st.sampled_from(["read", "repaired", "ambiguous", "unread"]),
    st.sampled_from(BOUNDS),
)
def test_any_figure_can_be_issued(
    unit: Any, numbers: Any, form: Any, difference: bool, status: Any, bound: Any
) -> None:
    """Whatever was read, however wrong, becomes a row of a document and a profile."""
    from reconcile.publish.document import make_document
    from reconcile.publish.profile import make_profile
    from reconcile.publish.rows import build_table
    from reconcile.records import Finding, Limit, Source, Witness

    nominal, lo, hi, plus_minus, resolution = numbers
    quantity = Quantity(
        nominal,
        lo,
        hi,
        plus_minus,
        unit.ucum,
        unit.kind,
        form,
        resolution,
        unit_slug=unit.slug,
        is_difference=difference,
    )
    figure = Figure("f", (0, 1), "x", quantity, status)
    witness = Witness(
        Source("s", "a.txt", "00" * 32),
        {"f": figure},
        (Limit("l", "boost", "climb", bound, ("f",)),),
    )
    table = build_table("t", [witness], [Finding("twins", "agrees", "e", ("l",), ("f",))])
    document = make_document(table)
    assert sum(len(document[part]) for part in ("limits", "not_verified")) == 1
    make_profile(document, verified_only=False)
