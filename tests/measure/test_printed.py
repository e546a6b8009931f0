"""Factors as books print them, and the papers' arithmetic they explain."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reconcile.measure.printed import explain_conversion, printed_factors
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import unit_row
from reconcile.reference import load_rows

BOUNDS = {"rounded": 0.006, "rough": 0.06, "wrong": 1.0}


def q(value: str, unit: str, step: str = "1", kind: str = "other") -> Quantity:
    """A single value as printed."""
    return Quantity(Fraction(value), unit=unit, kind=kind, resolution=Fraction(step))


@pytest.mark.parametrize("row", load_rows("units/printed_conversions"), ids=lambda r: r["printed"])
def test_every_printed_factor_is_as_good_as_its_grade(row: dict[str, str]) -> None:
    """A factor called rounded is within 0.6 %, a rough one within 6 %; both units convert."""
    a, b = unit_row(row["unit"]), unit_row(row["other_unit"])
    assert a.si_unit == b.si_unit and a.scale == b.scale == "linear"
    off = abs(float(Fraction(row["printed"]) / (a.factor / b.factor) - 1))
    assert off <= BOUNDS[row["grade"]]


def test_nearest_factor_first_and_both_ways() -> None:
    """Factors printed the other way are divided by; the best stands first."""
    factors = printed_factors("[mi_i]/h", "km/h")
    assert [f for f in factors if f.divided] and [f for f in factors if not f.divided]
    sizes = [abs(f.relative) for f in factors]
    assert sizes == sorted(sizes)
    assert printed_factors("kg", "m") == ()


def test_units_of_one_size_share_factors() -> None:
    """What is printed of at holds of ata, atü and kg to the square centimetre."""
    ata = {f.printed for f in printed_factors("technical-atmosphere-absolute", "[psi]")}
    kg = {f.printed for f in printed_factors("kgf/cm2", "[psi]")}
    assert ata == kg and Fraction("14.2") in ata


@pytest.mark.parametrize(
    ("a", "b", "text"),
    [
        (q("100", "[gal_br]"), q("125", "[gal_us]"), "five U.S. quarts"),
        (q("1200", "[HP]"), q("1200", "75.kgf.m/s"), "two horsepowers taken for one"),
        (q("300", "att"), q("4260", "[psi]"), "taken as 14.2 lb/in²"),
        (q("480", "km/h"), q("300", "[mi_i]/h"), "taken as 1.6 km/h"),
        (q("1.5", "att"), q("1140", "mm[Hg]"), "taken as 760 mm Hg"),
    ],
)
def test_a_papers_own_arithmetic_is_recognised(a: Quantity, b: Quantity, text: str) -> None:
    """The factor that gives the other figure to its last place is named."""
    factors = explain_conversion(a, b)
    assert factors and text in " ".join(str(f) for f in factors)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (q("100", "[gal_br]"), q("120", "[gal_us]")),  # right to its last place
        (q("100", "[gal_br]"), q("190", "[gal_us]")),  # by no factor in the table
        (q("100", "[gal_br]"), q("100", "kg")),
        (q("100", "Cel"), q("212", "[degF]")),
        (q("10", "{degAPI}"), q("1", "kg/L")),
        (Quantity(unit="[gal_br]"), q("120", "[gal_us]")),
        (q("100", "[gal_br]"), Quantity(Fraction(125), unit="[gal_us]")),
        (
            Quantity(Fraction(1), unit="att", form="gauge"),
            Quantity(Fraction(14), unit="[psi]", form="absolute", resolution=Fraction(1)),
        ),
    ],
)
def test_nothing_is_explained_where_nothing_can_be(a: Quantity, b: Quantity) -> None:
    """Agreement needs no excuse, and other kinds, forms or scales get none."""
    assert explain_conversion(a, b) == ()
