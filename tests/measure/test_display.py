"""What a person is shown of a figure's measure."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reconcile.errors import MeasureError, OutOfRangeError, ReferenceFormError
from reconcile.measure.display import (
    budget_lines,
    by_height,
    definition_effect,
    describe,
    equivalents_of,
    rival_datums,
    rival_definitions,
)
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import all_units

BOOST = Quantity(
    Fraction(6), unit="[psi]", kind="pressure", form="fixed_datum", resolution=Fraction(1)
)


def test_equivalents_of_boost() -> None:
    """A boost is shown absolute without a height, and over the air with one."""
    texts = [e.text for e in equivalents_of(BOOST)]
    assert "42.1 in. Hg absolute" in texts
    assert "142.7 kPa absolute" in texts
    assert "+310 mm Hg over the datum" in texts
    assert not any("gauge" in t for t in texts)
    assert "+6 lb/in² over the datum" not in texts
    high = [e.text for e in equivalents_of(BOOST, 3048.0)]
    assert any(t.endswith("kPa gauge") for t in high)


def test_equivalents_of_everything() -> None:
    """Every unit has an equivalent to show that reads back to the same SI value."""
    for row in all_units():
        q = Quantity(Fraction(20), unit_slug=row.slug, kind=row.kind, form="none")
        for e in equivalents_of(q):
            back, own = e.quantity.exact_si()[0], q.exact_si()[0]
            assert back == own, row.slug


def test_oil_pressure_without_a_height_stays_gauge() -> None:
    """The forms that need the air are left out, not guessed."""
    oil = Quantity(Fraction(75), unit="[psi]", kind="pressure", form="gauge")
    assert {e.quantity.form for e in equivalents_of(oil)} == {"gauge"}
    assert {e.quantity.form for e in equivalents_of(oil, 0.0)} == {"gauge", "absolute"}


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (BOOST, "+6 lb/in² over the datum"),
        (Quantity(unit="[psi]"), "not read"),
        (Quantity(lo=Fraction(60), hi=Fraction(80), unit="Cel"), "60 to 80 °C"),
        (Quantity(hi=Fraction(80), unit="Cel"), "up to 80 °C"),
        (Quantity(lo=Fraction(80), unit="Cel"), "80 or more °C"),
        (Quantity(Fraction(5), unit="Cel", is_difference=True), "5 °C difference"),
        (Quantity(Fraction(5), plus_minus=Fraction(1, 2), unit="mm"), "5 ± 0.5 mm"),
        (Quantity(Fraction(5), Fraction(4), Fraction(6), unit="mm"), "5 (4 to 6) mm"),
        (
            Quantity(Fraction(4), unit="[in_i'Hg]", form="below_ambient"),
            "4 in. Hg below ambient",
        ),
        (Quantity(Fraction(1000, 7), unit="kPa", resolution=Fraction(5)), "142.9 kPa"),
    ],
)
def test_descriptions(quantity: Quantity, text: str) -> None:
    """Numbers to the places known, symbol, reference form."""
    assert describe(quantity) == text


def test_rival_datums() -> None:
    """The spread of the datums is shown beside the one used."""
    rows = rival_datums(BOOST)
    assert [r.is_own for r in rows] == [True, False, False, False]
    assert [round(r.difference, 1) for r in rows] == [0.0, 27.9, 266.7, 0.0]
    with pytest.raises(ReferenceFormError):
        rival_datums(Quantity(Fraction(1), unit="[psi]", form="gauge"))
    with pytest.raises(MeasureError, match="not read"):
        rival_datums(Quantity(unit="[psi]", form="fixed_datum"))


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (
            Quantity(
                Fraction(85), unit="[gal_br]", year=1943, country="GB", resolution=Fraction(1)
            ),
            "by the definition of 1943 (gallon, imperial, order of 1898): 0.000007 in 85; "
            "below the last printed digit",
        ),
        (
            Quantity(
                Fraction(1200), unit="[kn_i]", year=1943, country="GB", resolution=Fraction(1)
            ),
            "by the definition of 1943 (knot, UK (6080 ft/h)): 0.8 in 1200; "
            "above the last printed digit, so the definition matters",
        ),
        (
            Quantity(lo=Fraction(60), hi=Fraction(80), unit="[lb_av]", year=1943, country="GB"),
            "by the definition of 1943 (pound, UK 1933-59): 0.000006 in 80",
        ),
        (Quantity(Fraction(85), unit="[gal_br]", year=1990), ""),
        (Quantity(Fraction(85), unit="Cel", year=1943), ""),
        (Quantity(unit="[gal_br]", year=1943), ""),
    ],
)
def test_effect_of_a_period_definition(quantity: Quantity, text: str) -> None:
    """The difference stands beside the printed resolution, or nothing is said."""
    assert definition_effect(quantity) == text


def test_rival_definitions() -> None:
    """Every definition the gallon has had, with what it would make of the figure."""
    q = Quantity(Fraction(100), unit="[gal_br]", year=1943)
    rows = {row.slug: value for row, value in rival_definitions(q)}
    assert rows["imperial-gallon"] == pytest.approx(0.454609)
    assert "imperial-gallon-1898" not in rows
    assert rival_definitions(Quantity(unit="[gal_br]")) == []


def test_one_reading_at_several_heights() -> None:
    """Boost keeps its absolute pressure, oil its gauge pressure, as the height grows."""
    heights = (0.0, 3000.0, 6000.0)
    boost = by_height(BOOST, heights)
    assert len({row.absolute for row in boost}) == 1
    assert boost[0].gauge < boost[1].gauge < boost[2].gauge
    oil = by_height(Quantity(Fraction(75), unit="[psi]", kind="pressure", form="gauge"), heights)
    assert len({row.gauge for row in oil}) == 1
    assert oil[0].absolute > oil[2].absolute
    with pytest.raises(OutOfRangeError):
        by_height(BOOST, (200_000.0,))
    with pytest.raises(ReferenceFormError):
        by_height(Quantity(Fraction(75), unit="[psi]", form="unknown"), heights)


def test_budget_fits_a_screen() -> None:
    """The budget keeps to 80 columns, sets the printed tolerance apart, and sums up."""
    q = Quantity(
        Fraction(8), plus_minus=Fraction(1, 2), unit="[psi]", kind="pressure", form="fixed_datum",
        resolution=Fraction(1), year=1943, country="GB",
    )  # fmt: skip
    lines = budget_lines(q.budget("gauge", 3048.0))
    assert all(len(line) <= 80 for line in lines)
    text = "\n".join(lines)
    assert "resolution" in text and "apart" in text and "datum" in text and "atmosphere" in text
    assert lines[-1].startswith("standard uncertainty: 2100 Pa; value 86800 Pa")


def test_budget_of_what_is_not_known() -> None:
    """Nothing known is said to be so, not taken for nought."""
    lines = budget_lines(Quantity(Fraction(8), unit="[psi]", form="gauge").budget())
    assert lines[-1] == "standard uncertainty: not known"
