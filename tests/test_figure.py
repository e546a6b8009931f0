"""What the keywords and the other words of a short text make of its one figure."""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import reconcile
from reconcile.errors import UsageError
from reconcile.records import TRADITIONS

READ: list[tuple[str, dict[str, Any], str, F, str, str]] = [
    # text, keywords, as written, number, unit, status
    ("2,850 r.p.m. +9 lb. boost", {"parameter": "boost"}, "+9 lb.", F(9), "[psi]", "read"),
    (
        "Ladedruck 1,42 ata bei 2600 U/min",
        {"tradition": "german", "parameter": "engine speed"},
        "2600 U/min", F(2600), "{rev}/min", "read",
    ),
    ("bore 2.800 in.", {}, "2.800 in.", F(14, 5), "[in_i]", "read"),
    ("Ladedruck (ata) 1,42", {"tradition": "german"}, "1,42", F(71, 50), "att", "read"),
    ("Wing loading (lb/sq.ft.) 28.4", {}, "28.4", F(142, 5), "[lbf_av]/[sft_i]", "read"),
    ("85 gallons a side, Imperial", {}, "85 gallons", F(85), "[gal_br]", "read"),
    ("85 gallons each (U.S.)", {}, "85 gallons", F(85), "[gal_us]", "read"),
    (
        "85 gallons a side, Imperial", {"tradition": "american"},
        "85 gallons", F(85), "[gal_us]", "ambiguous",
    ),
    ("oil pressure 500 lb/sq.in.", {}, "500 lb/sq.in.", F(500), "[psi]", "ambiguous"),
    ("m.p.h. 180", {}, "180", F(180), "[mi_i]/h", "read"),
    ("75 lb/sq.in. (gauge)", {}, "75 lb/sq.in.", F(75), "[psi]", "read"),
    ("5 ft 3", {}, "5 ft", F(5), "[ft_i]", "ambiguous"),
    ("12 h. 15 m.", {}, "12 h. 15 m.", F(49, 4), "h", "read"),
    ("boost plus fourteen", {}, "plus fourteen", F(14), "[psi]", "ambiguous"),
    ("boost +50 mm", {}, "+50 mm", F(50), "mm[Hg]", "read"),
    ("2.800", {"unit": "[in_i]"}, "2.800", F(14, 5), "[in_i]", "read"),
    ("2.800", {"unit": "{rev}/min"}, "2.800", F(2800), "{rev}/min", "repaired"),
    ("2.800", {"unit": "kg", "tradition": "german"}, "2.800", F(2800), "kg", "read"),
    ("5.250", {"unit": "[lb_av]"}, "5.250", F(21, 4), "[lb_av]", "read"),
    ("5.250 lb.", {}, "5.250 lb.", F(21, 4), "[lb_av]", "ambiguous"),
    ("4 lb. 6 oz.", {}, "4 lb. 6 oz.", F(35, 8), "[lb_av]", "read"),
    ("at 15,000 ft 75", {"unit": "[psi]"}, "75", F(75), "[psi]", "ambiguous"),
    ("20° Réaumur below zero", {}, "20° Réaumur", F(-20), "[degRe]", "read"),
    ("10° C. below zero", {}, "10° C.", F(-10), "Cel", "read"),
    ("5 lb/ft", {}, "5 lb", F(5), "[lb_av]", "ambiguous"),
    ("85 °C", {"parameter": "oil pressure"}, "85 °C", F(85), "Cel", "ambiguous"),
    ("oil pressure 75 lb/sq.in.", {}, "75 lb/sq.in.", F(75), "[psi]", "read"),
    ("Öldruck 5 atu", {"tradition": "german"}, "5 atu", F(5), "att", "ambiguous"),
    ("85 gallons", {"unit": "[gal_us]"}, "85 gallons", F(85), "[gal_us]", "read"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "keywords", "written", "number", "unit", "status"), READ)
def test_which_number_and_how_surely(
    text: str, keywords: dict[str, Any], written: str, number: F, unit: str, status: str
) -> None:
    """The figure meant is found, with its number as printed, and doubt where there is any."""
    figure = reconcile.figure(text, **keywords)
    assert (figure.as_written, figure.nominal, figure.unit) == (written, number, unit)
    assert figure.status == status
    assert text[slice(*figure.span)] == written


FORMED: list[tuple[str, dict[str, Any], str]] = [
    ("+0.35 kg/cm² boost", {"tradition": "german"}, "fixed_datum"),
    ("Ladedruck +150 mm Hg", {"tradition": "german"}, "unknown"),
    ("pressione di alimentazione +150 mm Hg", {"tradition": "italian"}, "unknown"),
    ("-100 mm Hg", {"tradition": "german"}, "unknown"),
    ("+4 in. Hg", {"parameter": "boost"}, "fixed_datum"),
    ("suction 31 in. Hg", {}, "below_ambient"),
    ("differential pressure 5 psi", {}, "differential"),
    ("suction 5 in. of water", {}, "below_ambient"),
    ("tyre pressure 5 lb/sq.in.", {}, "gauge"),
    ("46 in. Hg", {"parameter": "boost"}, "absolute"),
    ("+6 lb/sq.in.", {"parameter": "manifold pressure"}, "unknown"),
    ("+6 lb/sq.in.", {"parameter": "manifold pressure", "tradition": "british"}, "fixed_datum"),
    ("Überdruck 0,35 at", {"tradition": "german"}, "gauge"),
    ("absolute pressure 30 lb/sq.in.", {}, "absolute"),
    ("pressure 30 lb/sq.in. above atmospheric", {}, "gauge"),
    ("boost gauge reads 6 lb./sq. in.", {}, "fixed_datum"),
    ("suction gauge 4 in. Hg", {}, "below_ambient"),
    ("75 psi", {"reference_form": "none"}, "none"),
    ("oil pressure 75 psi", {"reference_form": "unknown"}, "unknown"),
    ("boost 46 in.Hg", {"tradition": "american"}, "absolute"),
]


@pytest.mark.parametrize(("text", "keywords", "form"), FORMED)
def test_reference_form(text: str, keywords: dict[str, Any], form: str) -> None:
    """The form is what the words or the caller say, and unknown where neither does."""
    assert reconcile.figure(text, **keywords).reference_form == form


@pytest.mark.parametrize(
    ("datum", "slug"),
    [
        ("14.7 lb/in2", "nominal-14-7-psi"),
        ("14.70 lb/sq.in.", "nominal-14-7-psi"),
        ("30 in.Hg", "nominal-30-in-hg"),
        ("30 inches of mercury", "nominal-30-in-hg"),
        ("101325 Pa", "standard-sea-level"),
        ("1013.25 mb", "standard-sea-level"),
        ("760 mm Hg", "nominal-760-mm-hg"),
    ],
)
def test_datums_however_written(datum: str, slug: str) -> None:
    """A datum is known by its value, in whatever unit and with whatever zeros."""
    assert reconcile.figure("+6 lb boost", datum=datum).quantity.datum == slug


def test_a_compound_keeps_its_units() -> None:
    """Hundredweights, quarters and pounds are not to be called so many kilograms."""
    with pytest.raises(UsageError):
        reconcile.figure("3 cwt. 2 qr. 5 lb.", unit="kg")
    assert reconcile.figure("3 cwt. 2 qr. 5 lb.", unit="[lcwt_av]").nominal == F(397, 112)


def test_a_rise_is_no_reading() -> None:
    """A temperature interval, said or named by the caller, has no zero."""
    for figure in (
        reconcile.figure("oil temperature drop 20 °C"),
        reconcile.figure("20", unit="Cel", parameter="temperature interval"),
    ):
        assert (figure.si.nominal, figure.parameter) == (20.0, "temperature interval")


def test_sea_level_is_a_height() -> None:
    """Said to hold at sea level, suction has an absolute value."""
    figure = reconcile.figure("suction 4 in.Hg at sea level")
    assert figure.absolute().nominal == pytest.approx(101325 - 4 * 3386.388640341)


_WORDS = st.sampled_from(
    [
        "boost",
        "suction",
        "oil",
        "pressure",
        "+6",
        "-2½",
        "3",
        "cwt.",
        "2",
        "qr.",
        "lb/sq.in.",
        "in.",
        "Hg",
        "mm",
        "ata",
        "85",
        "gallons",
        "°C",
        "at",
        "20,000",
        "ft",
        "±",
        "+",
        "-",
        "1,42",
        "2.800",
        "per",
        "hour",
        "/",
        "hp",
        "g",
        "specific",
        "gravity",
        ".72",
        "60/60",
        "°",
        '"',
        "(",
        ")",
        "1/0",
        "½",
        "to",
        "NaN",
        "1e9",
        "٣",
        "二四〇〇",
        "粍",
        "кг/см²",
        "water",
        "below",
        "zero",
        "Réaumur",
        "m²",
        "PS",
        "tons",
        "25/100",
        ":",
        "1",
        "|",
    ]
)


@given(
    words=st.lists(_WORDS, max_size=8),
    tradition=st.sampled_from(TRADITIONS),
    unit=st.sampled_from([None, "[psi]", "Cel", "{degAPI}", "kgf/m2", "1", "[lcwt_av]"]),
    parameter=st.sampled_from([None, "boost", "specific gravity", "weight", "no such thing"]),
)
@settings(max_examples=200, deadline=None)
def test_it_answers_or_refuses(
    words: list[str], tradition: str, unit: str | None, parameter: str | None
) -> None:
    """Whatever the text, there is a figure of its own words, or one clear refusal."""
    text = " ".join(words)
    try:
        figure = reconcile.figure(text, tradition=tradition, unit=unit, parameter=parameter)
        si = figure.si
    except reconcile.ReconcileError:
        return  # no figure, or a number beyond the end of its scale
    assert text[slice(*figure.span)] == figure.as_written
    assert si.reference_form == figure.reference_form


@pytest.mark.parametrize("keywords", [{"reference_form": "gauge"}, {"datum": "30 in.Hg"}])
def test_a_form_given_leaves_no_doubt(keywords: dict[str, Any]) -> None:
    """Once the caller says what a pressure counts from, it is read, without rivals."""
    figure = reconcile.figure("9 lb/sq.in.", **keywords)
    assert (figure.status, figure.candidates, figure.repairs) == ("read", (), ())
