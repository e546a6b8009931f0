"""`compare` on pairs whose truth is known by construction, and its verdict rule."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from reconcile.checks.compare import compare
from reconcile.checks.weigh import cause_rows
from reconcile.measure.quantity import Quantity
from reconcile.records import Candidate, Figure
from tests.checks.pairs import as_figure, load_pairs, score


def made(written, number, unit, kind, form="none", place="1", **more):
    """A figure as a reader would make it."""
    quantity = Quantity(
        nominal=None if number is None else Fraction(number),
        lo=None,
        hi=None,
        plus_minus=None,
        unit=unit,
        kind=kind,
        form=form,
        resolution=Fraction(place),
    )
    return Figure(written, (0, len(written)), written, quantity, **more)


def ranged(written, low, high, unit, kind, form="none", place="1"):
    """A range as a reader would make it."""
    quantity = Quantity(
        nominal=None,
        lo=Fraction(low),
        hi=Fraction(high),
        plus_minus=None,
        unit=unit,
        kind=kind,
        form=form,
        resolution=Fraction(place),
    )
    return Figure(written, (0, len(written)), written, quantity)


@pytest.fixture(scope="module")
def scored():
    """The labelled pairs, scored once."""
    return score(load_pairs())


def test_every_verdict_of_the_labelled_pairs_is_right(scored):
    """Rounding verdicts match those of an independent reading of the rule, on every pair."""
    counts, misses = scored
    assert counts["verdict"] == counts["pairs"], misses
    assert counts["false alarms"] == 0
    assert counts["conflicts"] >= 100
    assert counts["clean"] >= 60


def test_the_true_cause_and_value_come_first(scored):
    """On pairs with one planted fault the cause is named first in nine of ten, and the value."""
    counts, misses = scored
    assert counts["cause first"] >= 0.9 * counts["conflicts"], misses
    assert counts["cause in three"] >= 0.96 * counts["conflicts"], misses
    assert counts["value first"] >= 0.9 * counts["conflicts"], misses


def test_the_pairs_cover_every_cause():
    """No cause goes untried, but the column slip and the rough factor, tested by themselves."""
    tried = {pair["cause"] for pair in load_pairs()} - {None}
    assert tried | {"column_slip", "rough_factor"} == set(cause_rows())


def test_a_rounded_factor_is_recognised():
    """85 Imperial gallons given as 106 U.S. were worked at 1.25; 102 is proposed."""
    imperial = made("85 Imperial gallons", 85, "[gal_br]", "volume")
    american = made("106 U.S. gallons", 106, "[gal_us]", "volume")
    first = compare(imperial, american).emendations[0]
    assert first.cause == "rough_factor"
    assert "1.25" in first.reason
    assert first.proposed.nominal == 102


# Verdict rule, worked by hand: (a, b, verdict).
RULE = [
    # 2850 may stand for a step of 50 (half of it 0.9 %), 2840 for one of 20 or 10: 25 + 10.
    (
        ("2850", 2850, "{rev}/min", "rotational_speed"),
        ("2840", 2840, "{rev}/min", "rotational_speed"),
        "agrees within rounding",
    ),
    (
        ("2850", 2850, "{rev}/min", "rotational_speed"),
        ("2800", 2800, "{rev}/min", "rotational_speed"),
        "agrees within rounding",
    ),
    (
        ("2850", 2850, "{rev}/min", "rotational_speed"),
        ("2750", 2750, "{rev}/min", "rotational_speed"),
        "contradicts",
    ),
    # 85 Imperial gallons are 102.08 U.S. gallons: within half a gallon.
    (("85", 85, "[gal_br]", "volume"), ("102", 102, "[gal_us]", "volume"), "agrees"),
    (("85", 85, "[gal_br]", "volume"), ("85", 85, "[gal_us]", "volume"), "contradicts"),
    # Temperatures: half a step of 5 degrees is 2.5 K, so 100 and 105 may both be sloppy.
    (
        ("100", 100, "Cel", "temperature"),
        ("105", 105, "Cel", "temperature"),
        "agrees within rounding",
    ),
    (("100", 100, "Cel", "temperature"), ("106", 106, "Cel", "temperature"), "contradicts"),
    (("105", 105, "Cel", "temperature"), ("221", 221, "[degF]", "temperature"), "agrees"),
]


@pytest.mark.parametrize(("a", "b", "verdict"), RULE)
def test_the_rounding_rule(a, b, verdict):
    """Half the coarser last place first, then handy steps, then contradiction."""
    assert compare(made(*a), made(*b)).verdict == verdict
    assert compare(made(*b), made(*a)).verdict == verdict


def test_boost_and_manifold_pressure_are_compared_as_absolute():
    """+6 lb/sq.in. over 101 325 Pa is 42.1 in.Hg, as tables of boost equivalents print."""
    boost = made("+6 lb./sq.in.", 6, "[psi]", "pressure", "fixed_datum")
    inches = made("42.1 in.Hg", "42.1", "[in_i'Hg]", "pressure", "absolute", "0.1")
    assert compare(boost, inches).verdict == "agrees"
    wrong = made("12.2 in.Hg", "12.2", "[in_i'Hg]", "pressure", "absolute", "0.1")
    finding = compare(boost, wrong)
    assert finding.verdict == "contradicts"
    assert finding.emendations[0].cause == "gauge_absolute"
    assert finding.emendations[0].proposed.nominal == Fraction("42.1")


def test_a_gauge_reading_takes_the_ambient_of_the_height_named():
    """20 lb/sq.in. gauge at 20,000 ft, where ISA gives 46 563 Pa, is 184.5 kPa absolute."""
    gauge = made("20 lb./sq.in.", 20, "[psi]", "pressure", "gauge")
    absolute = made("184 kPa", 184, "kPa", "pressure", "absolute")
    assert compare(gauge, absolute).verdict == "contradicts"
    assert compare(gauge, absolute, context="at 20,000 ft").verdict == "agrees"


def test_the_worse_end_of_two_ranges_holds():
    """Ranges are judged end by end."""
    metric = ranged("4.0-5.0 kg/cm²", 4, 5, "kgf/cm2", "pressure", "gauge", "0.1")
    good = ranged("57-71 lb/sq in", 57, 71, "[psi]", "pressure", "gauge")
    bad = ranged("57-77 lb/sq in", 57, 77, "[psi]", "pressure", "gauge")
    assert compare(metric, good).verdict == "agrees"
    finding = compare(metric, bad)
    assert finding.verdict == "contradicts"
    first = finding.emendations[0]
    assert first.cause == "misread_digit"
    assert (first.proposed.lo, first.proposed.hi) == (57, 71)


def test_a_tolerance_states_the_range_it_spans():
    """2,850 ± 150 agrees with 2,700 to 3,000, and not with 2,700 to 3,100."""
    tolerance = made("2,850±150 r.p.m.", 2850, "{rev}/min", "rotational_speed")
    quantity = replace(tolerance.quantity, plus_minus=Fraction(150))
    tolerance = replace(tolerance, quantity=quantity)
    good = ranged("2,700-3,000", 2700, 3000, "{rev}/min", "rotational_speed")
    assert compare(tolerance, good).verdict == "agrees"
    wrong = ranged("2,700-8,000", 2700, 8000, "{rev}/min", "rotational_speed")
    first = compare(tolerance, wrong).emendations[0]
    assert (first.cause, first.proposed.hi) == ("misread_digit", 3000)
    spoilt = replace(quantity, plus_minus=Fraction(750))
    finding = compare(good, replace(tolerance, id="t", quantity=spoilt))
    assert finding.verdict == "contradicts"


def test_a_height_is_a_length():
    """A height read as a bare length is compared all the same."""
    height = made("15,000 ft.", 15000, "[ft_i]", "altitude")
    assert compare(height, made("4,572 m", 4572, "m", "length")).verdict == "agrees"


def test_what_cannot_be_compared_is_not_judged():
    """Another kind, or an unread figure, gives 'cannot tell' and the reason."""
    speed = made("250 m.p.h.", 250, "[mi_i]/h", "speed")
    weight = made("250 lb.", 250, "[lb_av]", "mass")
    blot = made("2?0 m.p.h.", None, "[mi_i]/h", "speed", status="unread")
    assert compare(speed, weight).verdict == "cannot tell"
    assert "speed" in compare(speed, weight).evidence
    assert compare(speed, blot).verdict == "cannot tell"


def test_a_repair_does_not_hide_that_the_paper_contradicts():
    """1200C mended to 120 °C still contradicts its twin as printed, and is proposed mended."""
    mended = made("1200C", 120, "Cel", "temperature", status="repaired")
    twin = made("248°F", 248, "[degF]", "temperature")
    finding = compare(mended, twin)
    assert finding.verdict == "contradicts"
    assert finding.emendations[0].cause == "degree_mark_as_zero"
    assert finding.emendations[0].proposed.nominal == 120
    assert compare(made("120°C", 120, "Cel", "temperature"), twin).verdict == "agrees"


def test_two_repairs_that_bear_each_other_out_agree():
    """1100C and 2300F, mended to 110 and 230, are one value; neither is held to its letters."""
    one = made("1100C", 110, "Cel", "temperature", status="repaired")
    two = made("2300F", 230, "[degF]", "temperature", status="repaired")
    assert compare(one, two).verdict == "agrees"


def test_a_blotted_figure_is_in_doubt_where_a_candidate_agrees():
    """2?50 r.p.m. that may be 2,850 or 2,350 is in doubt beside 2,850, and 2,850 proposed."""
    blot = made("2?50 r.p.m.", None, "{rev}/min", "rotational_speed", status="unread")
    candidates = tuple(
        Candidate(replace(blot.quantity, nominal=Fraction(n)), 0.5, f"? for {n}")
        for n in (2350, 2850)
    )
    blot = replace(blot, candidates=candidates)
    sure = made("2,850 r.p.m.", 2850, "{rev}/min", "rotational_speed")
    finding = compare(blot, sure)
    assert finding.verdict == "in doubt"
    assert [e.proposed.nominal for e in finding.emendations] == [2850]
    far = made("1,200 r.p.m.", 1200, "{rev}/min", "rotational_speed")
    assert compare(far, blot).verdict == "cannot tell"


def test_a_number_against_a_range_is_in_doubt_inside_and_contradicts_outside():
    """70 within 60 to 80 may be the normal of that range; 95 is not."""
    band = ranged("60-80 lb/sq in", 60, 80, "[psi]", "pressure", "gauge")
    inside = made("70 lb/sq in", 70, "[psi]", "pressure", "gauge")
    outside = made("95 lb/sq in", 95, "[psi]", "pressure", "gauge")
    assert compare(band, inside).verdict == "in doubt"
    assert compare(inside, band).verdict == "in doubt"
    assert compare(outside, band).verdict == "contradicts"


def test_bare_pressures_take_the_form_of_what_stands_beside_them():
    """Pounds beside inches are boost, a signed figure always, gauge beside an oil pressure."""
    inches = made("42.1 in.Hg", "42.1", "[in_i'Hg]", "pressure", "absolute", "0.1")
    pounds = made("6 lb/sq in", 6, "[psi]", "pressure", "unknown")
    assert compare(pounds, inches).verdict == "agrees"
    plain = made("12.2 in.Hg", "12.2", "[in_i'Hg]", "pressure", "absolute", "0.1")
    assert compare(pounds, plain).verdict == "agrees"
    signed = made("+6 lb/sq in", 6, "[psi]", "pressure", "unknown")
    assert compare(signed, plain).verdict == "contradicts"
    open_inches = replace(inches, quantity=replace(inches.quantity, form="unknown"))
    assert compare(pounds, open_inches).verdict == "agrees"
    oil = made("60 lb/sq in", 60, "[psi]", "pressure", "gauge", parameter="oil pressure")
    metric = made("4.2 kg/cm2", "4.2", "kgf/cm2", "pressure", "unknown", "0.1")
    assert compare(oil, metric).verdict == "agrees"
    suction = made("4 in.Hg", 4, "[in_i'Hg]", "pressure", "absolute")
    depression = made("2 lb/sq in", 2, "[psi]", "pressure", "below_ambient")
    assert compare(suction, depression).verdict == "agrees"


def test_bare_pounds_and_kilograms_are_a_mass_beside_one():
    """6.1 lb read as a pressure is a mass beside 2.75 kg, however that was read."""
    pounds = made("6.1 lb.", "6.1", "[psi]", "pressure", "gauge", "0.1")
    kilograms = made("2.75 kg.", "2.75", "kg", "mass", place="0.01")
    assert compare(pounds, kilograms).verdict == "agrees"
    both = made("2.75 kg.", "2.75", "kgf/cm2", "pressure", "gauge", "0.01")
    assert compare(pounds, both).verdict == "agrees"
    assert (
        compare(made("6.1 lb/sq in", "6.1", "[psi]", "pressure", "gauge", "0.1"), both).verdict
        == "contradicts"
    )


def test_an_open_gallon_is_settled_by_the_litres_beside_it():
    """85 gallons that may be either agree with 322 litres, as U.S. ones; the steps say so."""
    gallons = made("85 gallons", 85, "[gal_br]", "volume", status="ambiguous")
    american = replace(gallons.quantity, unit="[gal_us]")
    candidates = (
        Candidate(gallons.quantity, 0.5, "Imperial"),
        Candidate(american, 0.5, "U.S. gallon"),
    )
    gallons = replace(gallons, candidates=candidates)
    finding = compare(gallons, made("322 litres", 322, "L", "volume"))
    assert finding.verdict == "agrees"
    assert "U.S. gallon" in finding.steps[0]
    assert compare(gallons, made("386 litres", 386, "L", "volume")).verdict == "agrees"
    assert compare(gallons, made("250 litres", 250, "L", "volume")).verdict == "contradicts"


def test_words_about_the_pair_turn_the_answer():
    """The same two numbers are an amendment or a misreading by what is known of them."""
    a = made("2,850 r.p.m.", 2850, "{rev}/min", "rotational_speed")
    b = made("2,350 r.p.m.", 2350, "{rev}/min", "rotational_speed")
    amended = compare(a, b, context="amendment list 3 lowered it").emendations[0]
    assert (amended.cause, amended.proposed) == ("edition_amended", None)
    misread = compare(a, b, context="the second is a scan of the first").emendations[0]
    assert misread.cause == "misread_digit"
    assert misread.proposed.id == b.id
    assert misread.proposed.nominal == 2850


def test_proposals_are_marked_and_nothing_is_applied():
    """An emendation is a new figure marked repaired; the compared ones stay as they were."""
    pair = next(p for p in load_pairs() if p["cause"] == "transposed_digits")
    a, b = as_figure(pair["a"]), as_figure(pair["b"])
    before = (a, b)
    finding = compare(a, b, context=pair["context"])
    assert (a, b) == before
    proposed = finding.emendations[0].proposed
    assert proposed.status == "repaired"
    assert proposed.repairs
    assert sum(e.odds for e in finding.emendations) == pytest.approx(1, abs=0.01)
