"""What two witnesses must print alike, and what agreement between them is worth."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from reconcile.checks.collate import collate, write_apparatus
from reconcile.checks.copies import is_of_one_print, print_of, which_copies
from reconcile.checks.forms import quantity_of
from reconcile.publish.rows import build_table
from reconcile.records import Source
from reconcile.reference import load_rows
from tests.checks.test_checks import Paper, run

CEL = ("Cel", "temperature", "coolant temperature", "climb")
RPM = ("{rev}/min", "rotational_speed", "engine speed", "climb")
OIL = ("[psi]", "pressure", "oil pressure", "flight")


def two(first, second, cell, role="edition", bounds=("max", "max"), **more):
    """Two papers that print one limit each."""
    one, other = Paper(), Paper("w1", role)
    one.add(first, *cell, bounds[0], **more)
    other.add(second, *cell, bounds[1], **more)
    return one, other


NEAR = [
    (95, 100, CEL, {}),
    (120, 125, CEL, {}),
    (2600, 2650, RPM, {}),
    (3000, 3050, RPM, {}),
    (6, 7, ("[psi]", "pressure", "boost", "climb"), {"form": "fixed_datum"}),
    (5, 6, ("min", "time", "time limit", "climb"), {}),
]


@pytest.mark.parametrize(("first", "second", "cell", "more"), NEAR)
def test_one_unit_is_held_to_the_print(first, second, cell, more):
    """Two papers that print other numbers in one unit are in doubt, however near; a copy errs."""
    one, other = two(first, second, cell, **more)
    [finding] = run("witnesses", one, other)
    assert finding.verdict == "in doubt"
    assert "apart in one unit, where no conversion was rounded" in finding.evidence
    assert "allow" not in finding.evidence
    causes = [e.cause for e in finding.emendations]
    assert "edition_amended" in causes
    for emendation in finding.emendations:
        if emendation.proposed is not None:
            assert emendation.proposed.nominal in (first, second)
    table = build_table("t", [one.witness, other.witness], [finding])
    assert {row.standing for row in table.rows} == {"in doubt"}
    [copied] = run("witnesses", *two(first, second, cell, role="transcription", **more))
    assert copied.verdict == "contradicts"
    assert copied.emendations


def test_a_limit_without_condition_is_held_to_the_print_too():
    """Where the name stands once in each, a near number is in doubt, not waved through."""
    cell = ("Cel", "temperature", "oil temperature", None)
    assert [f.verdict for f in run("witnesses", *two(95, 100, cell))] == ["in doubt"]


def test_roundings_count_between_units_and_for_what_is_approximate():
    """Degrees against degrees of another scale, or "about", may differ by a rounding."""
    one = Paper().add(120, *CEL)
    other = Paper("w1", "edition").add(250, "[degF]", *CEL[1:])
    [finding] = run("witnesses", one, other)
    assert finding.verdict == "agrees within rounding"
    rows = build_table("t", [one.witness, other.witness], [finding]).rows
    assert {row.standing for row in rows} == {"verified"}
    one, other = two(2600, 2650, RPM, bounds=("nominal", "approx"))
    [finding] = run("witnesses", one, other)
    assert finding.verdict == "agrees within rounding"
    rows = build_table("t", [one.witness, other.witness], [finding]).rows
    assert {row.standing for row in rows} == {"unverified"}


@pytest.mark.parametrize(
    ("numbers", "bounds", "verdict", "words"),
    [
        ((55, 55), ("min", "max"), "in doubt", "the minimum in one and the maximum in the other"),
        ((55, 90), ("min", "max"), "cannot tell", "which are two limits"),
        ((55, 55), ("nominal", "max"), "cannot tell", "proves neither"),
        ((55, 55), ("nominal", "approx"), "agrees", "55"),
    ],
)
def test_the_same_number_as_another_bound_is_no_agreement(numbers, bounds, verdict, words):
    """A least and a greatest value of one number do not bear each other out."""
    one, other = two(*numbers, OIL, bounds=bounds, form="gauge")
    found = run("witnesses", one, other)
    assert [f.verdict for f in found] == [verdict]
    assert words in found[0].evidence
    rows = build_table("t", [one.witness, other.witness], found).rows
    assert ({row.standing for row in rows} == {"verified"}) == (verdict == "agrees")


def test_the_same_number_for_another_condition_is_no_agreement():
    """A figure for taking off is not proved by the same figure for cruising."""
    one = Paper().add(2850, *RPM)
    other = Paper("w1", "edition").add(2850, *RPM[:3], "combat")
    [finding] = run("witnesses", one, other)
    assert finding.verdict == "cannot tell"
    assert "for climb in one and for combat in the other" in finding.evidence
    rows = build_table("t", [one.witness, other.witness], [finding]).rows
    assert {row.standing for row in rows} == {"unverified"}
    assert all("proves neither" in row.reason for row in rows)


def test_figures_of_different_parameters_are_not_set_against_each_other():
    """The oil's 90 °C says nothing of the coolant's."""
    one = Paper().add(90, *CEL)
    other = Paper("w1").add(90, *CEL[:2], "oil temperature", "climb")
    assert run("witnesses", one, other) == []


def test_the_apparatus_calls_no_near_number_an_agreement():
    """Another number in one unit is a variant in doubt."""
    one, other = two(95, 100, CEL)
    [entry] = write_apparatus(collate([one.witness, other.witness]))
    assert "100 Cel B (in doubt)" in str(entry)


def test_a_copy_proves_the_reading_and_not_the_print():
    """The reason of a row says when all that agrees with it is a copy, or a copy's copy."""
    manual = Paper().add(2850, *RPM)
    typed = Paper("w1", "transcription", of="w0.txt").add(2850, *RPM)
    spoken = Paper("w2", "transcript", of="w1").add(2850, *RPM)
    papers = [manual, typed, spoken]
    witnesses = [p.witness for p in papers]
    findings = run("witnesses", *papers)
    reasons = {row.reason for row in build_table("t", witnesses, findings).rows}
    assert reasons == {"agrees: witnesses (a copy, which proves the reading and not the print)"}
    other = Paper("w3", "edition", of="w0").add(2850, *RPM)
    findings = run("witnesses", *papers, other)
    rows = build_table("t", [*witnesses, other.witness], findings).rows
    assert [row.reason for row in rows if row.source.id in ("w0", "w3")] == [
        "agrees: witnesses", "agrees: witnesses",
    ]  # fmt: skip
    assert {row.standing for row in rows} == {"verified"}


def test_copies_are_followed_to_their_print():
    """A copy of a copy is of the first print; an edition is a print of its own."""
    manual = Source("m", "m.pdf", "0")
    copy = Source("c", "c.txt", "1", role="transcription", of="m.pdf")
    spoken = Source("s", "s.txt", "2", role="transcript", of="c")
    edition = Source("e", "e.pdf", "3", role="edition", of="m")
    stray = Source("x", "x.txt", "4", role="transcription")
    loop = Source("y", "y.txt", "5", role="transcript", of="z")
    back = Source("z", "z.txt", "6", role="transcript", of="y")
    everything = [manual, copy, spoken, edition, stray, loop, back]
    assert [print_of(s, everything) for s in everything] == ["m", "m", "m", "e", None, None, None]
    assert is_of_one_print(manual, spoken, everything)
    assert is_of_one_print(copy, spoken, everything)
    assert is_of_one_print(stray, edition, everything)
    assert not is_of_one_print(copy, edition, everything)
    assert not is_of_one_print(manual, edition, everything)
    assert which_copies(manual, copy) == 1
    assert which_copies(spoken, copy) == 0
    assert which_copies(manual, edition) is None


BOOST = ("[psi]", "pressure", "boost", "climb")
INTAKE = ("[in_i'Hg]", "pressure", "manifold pressure", "climb")


def beside(paper, gap=2):
    """Move the last figure to stand `gap` characters behind the one before it."""
    one, two = list(paper.figures)[-2:]
    start = paper.figures[one].place.span[1] + gap
    place = replace(paper.figures[two].place, span=(start, start + 9))
    paper.figures[two] = replace(paper.figures[two], place=place)
    return paper


@pytest.mark.parametrize(
    ("inches", "bound", "verdict"), [("38.1", "max", "agrees"), ("83.1", "max", "contradicts"),
                                     ("38.1", "nominal", "agrees")]
)  # fmt: skip
def test_boost_and_manifold_pressure_in_brackets_are_twins(inches, bound, verdict):
    """+4 lb./sq. in. (38.1 in. Hg) prints one pressure twice, whatever name each goes by."""
    paper = Paper().add(4, *BOOST, form="fixed_datum", written="+4 lb./sq. in.")
    paper.add(inches, *INTAKE, bound, form="absolute", place="0.1", same_line=True,
              written=f"{inches} in. Hg")  # fmt: skip
    [finding] = run("twins", beside(paper))
    assert finding.verdict == verdict
    assert "128.9 kPa absolute" in finding.evidence
    if verdict == "contradicts":
        assert finding.emendations[0].proposed.nominal == Fraction("38.1")


@pytest.mark.parametrize(
    ("boost", "place", "ata", "verdict"),
    [("9", "1", "1.65", "agrees"), ("6.5", "0.5", "1.49", "agrees"),
     ("9", "1", "1.56", "contradicts")],
)  # fmt: skip
def test_boost_is_set_against_the_manifold_pressure_of_another_paper(boost, place, ata, verdict):
    """A boost over a datum and an absolute intake pressure of one rating are one limit."""
    one = Paper().add(boost, *BOOST, form="fixed_datum", place=place)
    other = Paper("w1").add(ata, "att", "pressure", "manifold pressure", "climb", form="absolute",
                            place="0.01")  # fmt: skip
    [finding] = run("witnesses", one, other)
    assert finding.verdict == verdict
    rows = build_table("t", [one.witness, other.witness], [finding]).rows
    assert {row.standing for row in rows} == {"verified" if verdict == "agrees" else "contradicted"}
    assert [row.parameter for row in rows] == ["boost", "manifold pressure"]


def test_the_table_of_like_quantities_names_each_parameter_once():
    """No parameter is compared as one that is itself compared as another."""
    rows = load_rows("checks/same_quantity")
    assert not {row["quantity"] for row in rows} & {row["parameter"] for row in rows}
    assert quantity_of("manifold pressure") == quantity_of("boost") == "boost"
    assert quantity_of("oil pressure") == "oil pressure"
    assert quantity_of(None) is None
