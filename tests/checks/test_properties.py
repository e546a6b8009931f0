"""Properties of the comparison: symmetry, conversions, proposals, contexts."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.checks.compare import compare
from reconcile.checks.context import read_context
from reconcile.checks.rounding import handy_places, judge, judge_ends, may_agree
from reconcile.checks.show import show_difference, show_ends, show_printed, show_value, with_form
from reconcile.checks.sides import scale_of, side_of
from reconcile.measure.quantity import Quantity
from reconcile.records import VERDICTS, Figure

UNITS = {
    "pressure": (["[psi]", "kgf/cm2", "[in_i'Hg]", "mm[Hg]", "kPa"], "gauge"),
    "temperature": (["Cel", "[degF]"], "none"),
    "speed": (["[mi_i]/h", "[kn_i]", "km/h"], "none"),
    "volume": (["[gal_br]", "[gal_us]", "L"], "none"),
    "mass": (["[lb_av]", "kg"], "none"),
    "rotational_speed": (["{rev}/min"], "none"),
}


@st.composite
def figures(draw, kind=None):
    """Any single figure of a kind, as a book might print it."""
    kind = kind or draw(st.sampled_from(sorted(UNITS)))
    units, form = UNITS[kind]
    unit = draw(st.sampled_from(units))
    decimals = draw(st.sampled_from([0, 0, 1, 2]))
    number = Fraction(draw(st.integers(1, 5000)), 10**decimals)
    written = f"{float(number):.{decimals}f} {unit}"
    quantity = Quantity(
        nominal=number, unit=unit, kind=kind, form=form, resolution=Fraction(1, 10**decimals)
    )
    return Figure(written, (0, len(written)), written, quantity)


@st.composite
def pairs(draw):
    """Two figures of one kind."""
    kind = draw(st.sampled_from(sorted(UNITS)))
    return draw(figures(kind)), draw(figures(kind))


@given(pairs())
@settings(max_examples=60, deadline=None)
def test_the_verdict_does_not_depend_on_the_order(pair):
    """Either figure may come first."""
    a, b = pair
    assert compare(a, b).verdict == compare(b, a).verdict
    assert compare(a, b).verdict in VERDICTS


@given(figures())
@settings(max_examples=30, deadline=None)
def test_a_figure_agrees_with_itself(figure):
    """No figure contradicts itself."""
    assert compare(figure, figure).verdict == "agrees"


@given(figures(), st.integers(0, 4))
@settings(max_examples=60, deadline=None)
def test_a_figure_agrees_with_its_own_conversion(figure, other):
    """Converted exactly into any unit of its kind and rounded to four places, it agrees."""
    units, form = UNITS[figure.kind]
    unit = units[other % len(units)]
    side = side_of(figure)
    number = scale_of(unit, form).number(side.si[0])
    place = Fraction(1, 10**4)
    rounded = round(number / place) * place
    quantity = replace(figure.quantity, nominal=rounded, unit=unit, resolution=place)
    assert compare(figure, replace(figure, id="b", quantity=quantity)).verdict == "agrees"


@given(pairs())
@settings(max_examples=60, deadline=None)
def test_what_is_proposed_makes_the_two_agree(pair):
    """Odds are probabilities in falling order, and each proposal mends the contradiction."""
    a, b = pair
    finding = compare(a, b)
    odds = [e.odds for e in finding.emendations]
    assert odds == sorted(odds, reverse=True)
    assert sum(odds) <= 1 + 1e-9
    for emendation in finding.emendations:
        if emendation.proposed is None or "both are spoilt" in emendation.reason:
            continue
        if "changed places" in emendation.reason and "units" in emendation.reason:
            continue  # two labels at once: the other figure is mended with it
        other = b if emendation.proposed.id == a.id else a
        if a.id == b.id:
            continue
        verdict = judge(side_of(emendation.proposed), side_of(other))
        assert verdict != "contradicts", (a.as_written, b.as_written, emendation)


@pytest.mark.parametrize(
    ("number", "place", "kind", "form", "unit", "places"),
    [
        (2850, 1, "rotational_speed", "none", "{rev}/min", 50),
        (2840, 1, "rotational_speed", "none", "{rev}/min", 20),
        (2847, 1, "rotational_speed", "none", "{rev}/min", 1),
        (3000, 1, "rotational_speed", "none", "{rev}/min", 50),
        (100, 1, "temperature", "none", "Cel", 5),
        (250, 1, "temperature", "none", "[degF]", 5),
        (0, 1, "temperature", "none", "Cel", 5),
        (6, 1, "pressure", "fixed_datum", "[psi]", 1),
        (1000, 1, "pressure", "gauge", "[psi]", 20),
        ("42.10", "0.01", "pressure", "absolute", "[in_i'Hg]", 10),
        ("75/2", "1/2", "pressure", "absolute", "[in_i'Hg]", 1),
    ],
)
def test_handy_steps(number, place, kind, form, unit, places):
    """Largest step 1, 2, 5 x 10^k that divides and stays within 1 % (2.5 K), by hand."""
    quantity = Quantity(
        nominal=Fraction(number), unit=unit, kind=kind, form=form, resolution=Fraction(place)
    )
    side = side_of(Figure("f", (0, 1), "f", quantity))
    assert handy_places(side.ends[0], side) == places


def test_contexts_are_read_for_causes_copies_and_heights():
    """Words raise causes, name the copy of the two, and state a height."""
    assert read_context("") == read_context("  ")
    amended = read_context("Amendment list 3 raised it")
    assert max(amended.weights, key=amended.weights.get) == "edition_amended"
    assert read_context("the same issue, not amended").weights["edition_amended"] < 1
    assert read_context("the first is a typed copy of the second").copy == 0
    assert read_context("the printed page and its OCR text").copy == 1
    assert read_context("typed from the original").copy == 0
    assert read_context("both stand on page 4").copy is None
    assert read_context("at 10,000 ft").height_m == pytest.approx(3048.0)
    assert read_context("above 3000 m in S gear").height_m == 3000.0


def test_numbers_are_shown_in_units_people_know():
    """Pressures as their own form counts them, temperatures in degrees, shafts a minute."""

    def side(unit, kind, form="none", **more):
        quantity = Quantity(nominal=Fraction(1), unit=unit, kind=kind, form=form,
                            resolution=Fraction(1), **more)  # fmt: skip
        return side_of(Figure("f", (0, 1), "f", quantity))

    boost = side("[psi]", "pressure", "fixed_datum")
    assert show_value(142694, boost) == "+41.37 kPa over the datum"
    assert show_value(142694, boost, absolute=True) == "142.7 kPa absolute"
    assert show_ends(side("[psi]", "pressure", "gauge")) == "6.895 kPa gauge"
    assert show_ends(side("[in_i'Hg]", "pressure", "below_ambient")) == "3.386 kPa below ambient"
    assert show_ends(side("[psi]", "pressure", "differential")) == "6.895 kPa differential"
    assert show_ends(side("[psi]", "pressure")) == "6.895 kPa"
    assert show_printed(boost) == "+1 lb/in² over the datum"
    assert show_difference(6894.757, boost, printed=True) == "1 lb/in²"
    assert with_form("55 lb./sq. in.", side("[psi]", "pressure", "gauge")).endswith("in. (gauge)")
    assert with_form("55 °F", side("[degF]", "temperature")) == "55 °F"
    assert show_difference(1234567, side("[psi]", "pressure")) == "1235 kPa"
    assert show_value(363.15, side("Cel", "temperature")) == "90 °C"
    assert show_value(50, side("{rev}/min", "rotational_speed")) == "3000 rev/min"
    assert show_difference(5, side("[degF]", "temperature")) == "5 K"
    assert show_value(0.386, side("L", "volume")) == "386 l"
    assert show_value(10, side("Cel", "temperature", is_difference=True)) == "10 K"


@given(pairs())
@settings(max_examples=100, deadline=None)
def test_the_quick_look_never_hides_an_agreement(pair):
    """What the float test rules out, the exact rule contradicts."""
    a, b = (side_of(figure) for figure in pair)
    if judge_ends(a.ends[0], a, b.ends[0], b) != "contradicts":
        assert may_agree(a.ends[0], a, b.ends[0], b)
