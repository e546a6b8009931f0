"""`compare` through the public face: figures read from text, then set against each other."""

from __future__ import annotations

from fractions import Fraction

import pytest

import reconcile
from tests.checks.pairs import load_pairs

# (first text, second text, tradition, words about the pair, verdict, cause, proposed number, unit)
PAIRS = [
    ("Take-off boost +9 lb./sq.in.", "42.8 in. Hg", "", "transposed_digits", "48.2", "[in_i'Hg]"),
    ("Fuel: 85 Imperial gallons", "18.7 litres", "", "conversion_inverted", "386.4", "L"),
    ("coolant outlet 105°C.", "2210F.", "on a scan", "degree_mark_as_zero", "221", "[degF]"),
    ("oil inlet temperature 90°C.", "162°F.", "", "fahrenheit_celsius", "194", "[degF]"),
    ("boost +6 lb./sq.in.", "12.2 in. Hg manifold pressure", "", "gauge_absolute", "42.1",
     "[in_i'Hg]"),
    ("limiting speed 250 m.p.h.", "463 km/h", "", "statute_nautical", "402", "km/h"),
    ("oil pressure 75 lb./sq.in.", "53 kg./sq.cm.", "", "lost_decimal_point", "5.3", "kgf/cm2"),
    ("boost 4 lb./sq.in.", "21.8 in. Hg", "", "lost_sign", "-4", "[psi]"),
    ("2,850 r.p.m.", "2,580 r.p.m.", "the second is a typed copy of the first",
     "transposed_digits", "2850", "{rev}/min"),
    ("maximum 3,000 r.p.m.", "8,000 r.p.m.", "printed page against its OCR text",
     "misread_digit", "3000", "{rev}/min"),
    ("boost +7 lb./sq.in.", "+9 lb./sq.in. boost", "amendment list 3 raised it",
     "edition_amended", None, None),
    ("climb 2,650 r.p.m.", "take-off 3,000 r.p.m.", "", "different_condition", None, None),
    ("fuel 85 gallons", "102 gallons", "the second was printed for an American depot",
     "imperial_us_gallon", "102", "[gal_us]"),
    ("2.800 r.p.m.", "2,800 r.p.m.", "", "thousands_point_as_decimal", "2800", "{rev}/min"),
    ("1.25 ata", "1,250 ata", "typed copy of a German card", "decimal_comma_as_thousands",
     "1.25", "att"),
    ("engine speed 28 r.p.m.", "2,800 r.p.m.", "the dial is marked in hundreds",
     "scale_multiplier", "2800", "{rev}/min"),
    ("oil pressure 5 ata", "71 lb./sq.in.", "", "gauge_absolute", "5", "att"),
    ("suction 4½ lb./sq.in.", "4½ in. Hg", "", "wrong_unit_label", "9/2", "[in_i'Hg]"),
    ("boost -3 lb./sq.in.", "+3 lb./sq.in. boost", "", "wrong_sign", None, None),
]  # fmt: skip
AGREE = [
    ("+18 lb/sq.in. boost", "66.6 in.Hg"),
    ("95°C.", "205°F."),
    ("200 lb./sq.in. brake pressure", "14 kg./sq.cm."),
    ("2,850 r.p.m.", "2850 rpm"),
    ("250 m.p.h.", "400 km/h"),
    ("15,000 ft.", "4,600 m."),
    ("58 litres", "15.3 U.S. gal"),
    ("-4 lb./sq.in. boost", "21.8 in.Hg"),
    ("oil 5 atü", "71 lb./sq.in."),
    ("30 minutes", "½ hour"),
]


@pytest.mark.parametrize(("first", "second", "context", "cause", "number", "unit"), PAIRS)
def test_the_fault_of_a_pair_is_named(first, second, context, cause, number, unit):
    """One planted fault a pair: found, named first, and the right figure proposed."""
    a = reconcile.figure(first, tradition="british")
    b = reconcile.figure(second, tradition="british")
    finding = reconcile.compare(a, b, context=context)
    assert finding.verdict == "contradicts"
    assert finding.emendations[0].cause == cause
    proposed = finding.emendations[0].proposed
    if number is not None:
        assert proposed.nominal == Fraction(number)
        assert proposed.unit == unit
    elif cause != "wrong_sign":
        assert proposed is None


@pytest.mark.parametrize(("first", "second"), AGREE)
def test_sloppy_roundings_raise_no_alarm(first, second):
    """Period conversions, rounded as books rounded them, agree."""
    a = reconcile.figure(first, tradition="british")
    b = reconcile.figure(second, tradition="british")
    assert reconcile.compare(a, b).verdict.startswith("agrees")


def test_labelled_pairs_through_the_reader():
    """Read from their printed text, the labelled pairs score nearly as those built directly."""
    pairs = [p for p in load_pairs() if p["a"]["parameter"] != "fuel weight"]
    verdicts = causes = conflicts = 0
    for pair in pairs:
        a, b = (
            reconcile.figure(f"{pair[k]['parameter']} {pair[k]['as_written']}", tradition="british")
            for k in "ab"
        )
        finding = reconcile.compare(a, b, context=pair["context"])
        verdicts += finding.verdict == pair["verdict"]
        if pair["verdict"] == "contradicts" and finding.emendations:
            conflicts += 1
            causes += finding.emendations[0].cause == pair["cause"]
    assert verdicts >= 0.95 * len(pairs)
    assert causes >= 0.85 * conflicts
