"""Emendation of one figure by all that bears on it."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from reconcile.checks.damage import digit_odds, printed_digits, suppose
from reconcile.checks.emend import emend_figure
from reconcile.checks.sides import scale_of, side_of, written_place
from reconcile.checks.weigh import roundness
from tests.checks.test_compare import made


def test_twin_and_witness_together_settle_a_figure():
    """66 lb/sq.in. that stands beside 4.2 kg/cm2, and elsewhere as 60, ought to be 60."""
    printed = made("66 lb./sq.in.", 66, "[psi]", "pressure", "gauge")
    twin = made("4.2 kg./sq.cm.", "4.2", "kgf/cm2", "pressure", "gauge", "0.1")
    other = made("60 lb./sq.in.", 60, "[psi]", "pressure", "gauge")
    first = emend_figure(printed, [twin, other])[0]
    assert (first.cause, first.proposed.nominal) == ("misread_digit", 60)
    assert set(first.agrees_with) == {"twins", "witnesses"}
    assert first.odds > 0.8


def test_a_figure_that_breaks_nothing_is_left_alone():
    """No emendation where all constraints hold, or where there are none."""
    printed = made("60 lb./sq.in.", 60, "[psi]", "pressure", "gauge")
    assert emend_figure(printed) == ()
    assert emend_figure(printed, [printed]) == ()


def test_it_may_stand_as_printed():
    """Where no slip explains the difference, the answer is that both may stand."""
    printed = made("95 °C", 95, "Cel", "temperature")
    other = made("72 °C", 72, "Cel", "temperature")
    first = emend_figure(printed, [other], context="one for summer, one for winter")[0]
    assert first.proposed is None
    assert first.cause == "different_condition"


@pytest.mark.parametrize(
    ("number", "place", "digits"),
    [
        ("1.40", "0.01", "1.40"),
        ("2850", "1", "2850"),
        ("0.42", "0.01", "0.42"),
        ("75/2", "1/2", ""),
    ],
)
def test_printed_digits(number, place, digits):
    """Numbers are turned back into the digits a printer set; vulgar fractions are not."""
    assert printed_digits(F(number), F(place)) == digits


def test_the_odds_of_misreadings_are_probabilities():
    """For every digit meant, the odds of the digits seen sum to one."""
    odds = digit_odds()
    for meant in "0123456789":
        assert sum(w for (m, _), w in odds.items() if m == meant) == pytest.approx(1)
    assert odds["3", "8"] > odds["3", "1"]


def test_suppositions_never_repeat_the_printed_number_and_are_weighed():
    """Every supposition changes something, and its weight is a probability."""
    for figure in (
        made("1,250 r.p.m.", 1250, "{rev}/min", "rotational_speed"),
        made("-4 lb./sq.in.", -4, "[psi]", "pressure", "fixed_datum"),
        made("1.42 ata", "1.42", "att", "pressure", "absolute", "0.01"),
        made("950 C", 950, "Cel", "temperature"),
    ):
        side = side_of(figure)
        found = list(suppose(side))
        assert found
        for one in found:
            assert one.side.ends != side.ends
            assert 0 < one.weight <= 1


def test_scales_carry_the_zero_of_each_form():
    """Gauge and boost add an atmosphere, suction turns the scale, absolute adds nothing."""
    assert scale_of("kPa", "absolute").si(F(5)) == 5000
    assert scale_of("kPa", "gauge").si(F(5)) == 106325
    assert scale_of("kPa", "below_ambient").si(F(5)) == 96325
    assert scale_of("Cel").si(F(0)) == F("273.15")
    assert scale_of("Cel", is_difference=True).si(F(10)) == 10
    assert scale_of("[degF]").number(F("273.15")) == 32


def test_places_where_the_reading_did_not_say():
    """The last place follows from the number: decimals, or the fraction's denominator."""
    assert written_place(F(60)) == 1
    assert written_place(F("4.25")) == F(1, 100)
    assert written_place(F(75, 2), "37 1/2") == F(1, 2)


def test_round_numbers_are_likelier_to_have_been_set():
    """60 before 65, 65 before 66, 66 before 67."""
    share = [roundness(F(n), F(1)) for n in (60, 65, 66, 67)]
    assert share == sorted(share, reverse=True)
