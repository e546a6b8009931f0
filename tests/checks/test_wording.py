"""The words of findings: reference forms, units as people write them, nothing said twice."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from fractions import Fraction

import pytest

from reconcile.checks import check
from reconcile.checks.compare import compare
from reconcile.checks.show import end_sentence, tell
from reconcile.checks.sides import side_of
from reconcile.commands.show import finding_row, proposal, reads
from reconcile.measure.quantity import Quantity
from reconcile.records import Emendation, Figure
from reconcile.reference import load_rows
from tests.checks.pairs import as_figure, load_pairs
from tests.checks.planted import machine, print_witness
from tests.checks.test_checks import Paper, run

UCUM = re.compile(r"\[(?:psi|gal_|in_i|mi_i|kn_i|lb_av|ft_i|deg|HP)|\{rev\}|\bCel\b|kgf/cm2")


def made(written, number, unit, kind, form="none", place=1):
    """A figure as a reader would have made it."""
    quantity = Quantity(Fraction(str(number)), unit=unit, kind=kind, form=form,
                        resolution=Fraction(str(place)))  # fmt: skip
    return Figure(written, (0, len(written)), written, quantity)


def said(finding):
    """All that a finding says to a person."""
    return " | ".join(
        [finding.evidence, finding.seen, finding.expected, *finding.steps,
         *(proposal(e) for e in finding.emendations)]
    )  # fmt: skip


OIL = made("55 lb./sq. in.", 55, "[psi]", "pressure", "gauge")
METRIC = made("4.6 kg./sq. cm.", "4.6", "kgf/cm2", "pressure", "gauge", "0.1")
BOOST = made("+4 lb./sq. in.", 4, "[psi]", "pressure", "fixed_datum")
INCHES = made("38.1 in. Hg", "38.1", "[in_i'Hg]", "pressure", "absolute", "0.1")
SUCTION = made("4½ in. Hg", "4.5", "[in_i'Hg]", "pressure", "below_ambient", "0.5")
POUNDS = made("4½ lb./sq. in.", "4.5", "[psi]", "pressure", "below_ambient", "0.5")


@pytest.mark.parametrize(
    ("one", "other", "has", "hasnt"),
    [
        (OIL, made("75 lb./sq. in.", 75, "[psi]", "pressure", "gauge"),
         ["55 lb./sq. in. (gauge)", "20 lb/in² apart"], ["absolute", "kPa"]),
        (OIL, METRIC, ["379.2 kPa gauge"], ["absolute"]),
        (SUCTION, POUNDS, ["15.24 kPa below ambient", "31.03 kPa below ambient"], ["absolute"]),
        (BOOST, made("-4 lb./sq. in.", -4, "[psi]", "pressure", "fixed_datum"),
         ["over the datum", "8 lb/in² apart"], ["absolute", "fixed datum"]),
        (BOOST, INCHES, ["128.9 kPa absolute", "129 kPa absolute"], ["gauge"]),
    ],
)  # fmt: skip
def test_pressures_are_told_in_their_own_form(one, other, has, hasnt):
    """Gauge with gauge, suction with suction; absolute only where the forms differ."""
    finding = compare(one, other)
    text = " | ".join([finding.evidence, *finding.steps])
    for word in has:
        assert word in text
    for word in hasnt:
        assert word not in text.split(" Most likely")[0]
    assert finding.seen.endswith(")") and "(" in finding.seen


def test_the_sentences_name_units_as_people_write_them():
    """No code of units stands in evidence, steps or proposals, nor "handy" steps."""
    for pair in load_pairs():
        finding = compare(as_figure(pair["a"], "a"), as_figure(pair["b"], "b"),
                          context=pair["context"])  # fmt: skip
        written = (pair["a"]["as_written"], pair["b"]["as_written"])
        text = said(finding)
        for words in written:
            text = text.replace(words, "")
        assert not UCUM.search(text), text
        assert "handy" not in text
        assert ".." not in text
        assert not re.search(r"\de[+-]\d", text), text


def test_nothing_is_said_twice():
    """A fault is named once, by its title, with what the title does not say."""
    for pair in load_pairs():
        finding = compare(as_figure(pair["a"], "a"), as_figure(pair["b"], "b"),
                          context=pair["context"])  # fmt: skip
        for emendation in finding.emendations:
            title, _, detail = emendation.reason.partition(": ")
            assert not detail or title not in detail
            assert emendation.reason.count("the sign was lost") <= 1
            assert emendation.reason.count("changed places") <= 1
        if finding.emendations:
            assert finding.evidence.endswith(
                f"Most likely: {end_sentence(finding.emendations[0].reason)}"
            )
            row = finding_row(finding, 1)
            assert finding.emendations[0].reason not in row["proposed"]
    swapped = compare(made("3,510 r.p.m.", 3510, "{rev}/min", "rotational_speed"),
                      made("3,150 r.p.m.", 3150, "{rev}/min", "rotational_speed"))  # fmt: skip
    assert re.fullmatch(
        r"two neighbouring digits changed places: (\d+) set for (\d+)( \(or \2 set for \1\))?",
        swapped.emendations[0].reason,
    )


def test_the_evidence_names_what_is_proposed_after_all_is_weighed():
    """Where a third witness turns the odds, the sentence turns with them."""
    papers = [Paper(f"w{n}", edition=str(n)) for n in range(3)]
    for paper, value in zip(papers, (2350, 2850, 2850)):
        paper.add(value, "{rev}/min", "rotational_speed", "engine speed", "climb")
    for finding in run("witnesses", *papers):
        if finding.emendations:
            reason = finding.emendations[0].reason
            assert finding.evidence.endswith(f"Most likely: {end_sentence(reason)}")
    cells = machine(random.Random(3))
    for finding in check([print_witness(cells, "w0"), print_witness(cells, "w1")]):
        if "Most likely" in finding.evidence:
            reason = finding.emendations[0].reason
            assert finding.evidence.endswith(end_sentence(reason))


@pytest.mark.parametrize(
    ("figure", "printed", "told"),
    [
        (made("2,600", 2600, "{rev}/min", "rotational_speed"), True, "2600 rev/min"),
        (made("sixty pounds", 60, "[psi]", "pressure", "gauge"), True,
         "sixty pounds [60 lb/in² gauge]"),
        (made("1200C", 120, "Cel", "temperature"), False, "1200C is 120 °C"),
        (made("955", 955, "L", "volume"), False, "955 l"),
        (made("–2", -2, "[psi]", "pressure", "fixed_datum"), True, "-2 lb/in² over the datum"),
        (SUCTION, True, "4½ in. Hg (below ambient)"),
    ],
)  # fmt: skip
def test_a_figure_is_told_once(figure, printed, told):
    """A bare number gets its unit; words and repaired letters what they come to."""
    assert tell(figure.as_written, side_of(figure), printed=printed) == told


def test_findings_are_read_in_symbols():
    """The commands say lb/in² and the form's one name, and that a figure has no unit."""
    assert reads(OIL) == "55 lb/in² gauge"
    assert reads(BOOST) == "+4 lb/in² over the datum"
    assert reads(SUCTION) == "4.5 in. Hg below ambient"
    assert reads(made("7", 7, "", "")) == "7, unit not known"
    assert reads(Figure("f", (0, 1), "x", Quantity(unit="[psi]", kind="pressure"))) == (
        "cannot be read"
    )
    emendation = Emendation("wrong_sign", BOOST, 0.7, "the opposite sign was printed")
    assert proposal(emendation) == (
        "read +4 lb/in² over the datum (the opposite sign was printed, odds 70%)"
    )
    assert proposal(emendation, "Most likely: the opposite sign was printed.") == (
        "read +4 lb/in² over the datum (odds 70%)"
    )
    assert proposal(Emendation("edition_amended", None, 0.5, "")) == (
        "both may stand (edition amended, odds 50%)"
    )


def test_figures_of_different_things_are_said_to_be():
    """The numbers are judged as asked, and the answer says that they are two limits."""
    oil = replace(made("90 C", 90, "Cel", "temperature"), parameter="oil temperature")
    coolant = replace(oil, parameter="coolant temperature", condition="climb")
    finding = compare(oil, coolant)
    assert finding.verdict == "agrees"
    assert finding.evidence.endswith(
        "But one is of oil temperature, the other of coolant temperature: these are two limits."
    )
    cruise = replace(coolant, condition="cruise")
    assert "one is for climb, the other for cruise" in compare(coolant, cruise).evidence
    assert (
        "two limits"
        not in compare(
            replace(BOOST, parameter="boost"), replace(INCHES, parameter="manifold pressure")
        ).evidence
    )


def test_a_volume_is_not_set_against_a_mass_of_fuel():
    """Pints and grams for the same work are one kind in name, and no numbers to compare."""
    pints = made(".70 pint/b.h.p./hr.", "0.7", "[pt_br]/[HP].h", "specific_consumption")
    grams = made("282 g/PSh", 282, "g/kW.h", "specific_consumption")
    units = [r for r in load_rows("units/units") if r["kind"] == "specific_consumption"]
    codes = {r["si_unit"]: r["slug"] for r in units}
    pints, grams = (
        replace(f, quantity=replace(f.quantity, unit=codes[si], unit_slug=codes[si]))
        for f, si in ((pints, "m3/J"), (grams, "kg/J"))
    )
    finding = compare(pints, grams)
    assert finding.verdict == "cannot tell"
    assert "not of one dimension" in finding.evidence
