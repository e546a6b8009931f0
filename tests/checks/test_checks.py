"""Every check on small witnesses: what it finds, and when it keeps silent."""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from fractions import Fraction

import pytest

import reconcile.checks
from reconcile.checks import check, check_rows, group_limits, tally
from reconcile.checks.series import out_of_line, slipped_rows
from reconcile.errors import UnknownTermError
from reconcile.measure.atmosphere import isa
from reconcile.measure.quantity import Quantity
from reconcile.records import Figure, Limit, Place, Source, Witness
from tests.checks.planted import bad, machine, print_witness, weigh_plants


class Paper:
    """Builds a witness line by line."""

    def __init__(self, name="w0", role="manual", **source):
        self.source = Source(name, f"{name}.txt", name, role=role, **source)
        self.figures, self.limits, self.line = {}, [], 0

    def add(self, number, unit, kind, parameter=None, condition=None, bound="max", *,
            form="none", place="1", written=None, row=(), column=(), qualifiers=(), hi=None,
            same_line=False, **limit):  # fmt: skip
        """Print one figure on a line of its own (or beside the last)."""
        self.line += not same_line
        written = written or f"{number} {unit}"
        start = self.line * 100 + (len(self.figures) % 7 + 1 if same_line else 0)
        span = (start, start + len(written))
        value = None if number is None else Fraction(str(number))
        quantity = Quantity(
            nominal=value if hi is None else None, lo=value if hi is not None else None,
            hi=None if hi is None else Fraction(str(hi)), unit=unit, kind=kind, form=form,
            resolution=Fraction(place),
        )  # fmt: skip
        name = f"{self.source.id}-{len(self.figures)}"
        at = Place(self.source.id, 1, self.line, span, row=tuple(row), column=tuple(column))
        self.figures[name] = Figure(
            name, span, written, quantity, "read" if value is not None else "unread",
            qualifiers=tuple(qualifiers), place=at,
        )  # fmt: skip
        self.limits.append(Limit("L" + name, parameter, condition, bound, (name,), **limit))
        return self

    @property
    def witness(self):
        """What was printed so far."""
        return Witness(self.source, self.figures, tuple(self.limits))


def run(slug, *papers):
    """Findings of one check."""
    return check([p.witness for p in papers], only=[slug])


def test_the_registry_states_needs_abstentions_and_source_of_every_check():
    """Each row of the table names a function that exists, and says what it rests on."""
    assert list(check_rows()) == [
        "twins", "witnesses", "order", "sums", "products", "series", "engine", "airspeed",
        "atmosphere", "plausible", "heights", "instrument",
    ]  # fmt: skip
    for slug, row in check_rows().items():
        module, _, function = row["function"].partition(":")
        assert run(slug) == []
        text = sys.modules[module].__doc__
        assert callable(getattr(sys.modules[module], function))
        for word in ("Needs:", "Abstains:", "Source"):
            assert word in text, (slug, word)


def test_an_unknown_check_is_refused():
    """The error names the checks there are."""
    with pytest.raises(UnknownTermError, match="witnesses"):
        check([], only=["spelling"])


def test_public_names_are_those_listed():
    """The package's exports and their homes do not part ways."""
    for name in reconcile.checks.__all__:
        assert callable(getattr(reconcile.checks, name))


def test_twins_stand_side_by_side_in_two_units():
    """A figure and its bracketed twin are compared; figures lines apart are not."""
    paper = Paper().add(105, "Cel", "temperature", "coolant temperature")
    paper.add(221, "[degF]", "temperature", "coolant temperature", same_line=True)
    start = paper.figures["w0-0"].place.span[1]
    place = replace(paper.figures["w0-1"].place, span=(start + 2, start + 9))
    paper.figures["w0-1"] = replace(paper.figures["w0-1"], place=place)
    [finding] = run("twins", paper)
    assert finding.verdict == "agrees"
    assert finding.limit_ids == ("Lw0-0", "Lw0-1")
    apart = Paper().add(105, "Cel", "temperature", "coolant temperature")
    apart.add(230, "[degF]", "temperature", "coolant temperature")
    assert run("twins", apart) == []


def test_witnesses_agree_vary_and_abstain():
    """Equal limits agree, a misreading contradicts, an unread figure cannot tell."""
    one = Paper().add(2850, "{rev}/min", "rotational_speed", "engine speed", "climb")
    one.add(80, "[psi]", "pressure", "oil pressure", bound="nominal", form="gauge")
    one.add(95, "Cel", "temperature", "oil temperature")
    two = Paper("w1", "transcription")
    two.add(80, "[psi]", "pressure", "oil pressure", bound="nominal", form="gauge")
    two.add(2350, "{rev}/min", "rotational_speed", "engine speed", "climb")
    two.add(None, "Cel", "temperature", "oil temperature", written="9?°C")
    verdicts = {f.figure_ids[0]: f for f in run("witnesses", one, two)}
    assert verdicts["w0-1"].verdict == "agrees"
    assert verdicts["w0-2"].verdict == "cannot tell"
    found = verdicts["w0-0"]
    assert found.verdict == "contradicts"
    first = found.emendations[0]
    assert (first.cause, first.proposed.id, first.proposed.nominal) == (
        "misread_digit", "w1-1", 2850,
    )  # fmt: skip


def test_the_same_words_in_two_files_are_one_witness():
    """Captions of a transcript prove nothing; a speaker's copy of the manual does."""

    def say(name, role, **source):
        paper = Paper(name, role, **source)
        return paper.add(60, "[psi]", "pressure", "brake pressure", form="gauge")

    manual, talk = say("w0", "manual"), say("w1", "transcript", of="w0.txt")
    captions = say("w2", "transcript", of="w1.txt")
    other = say("w3", "transcript", of="w1.txt")
    assert [f.verdict for f in run("witnesses", talk, captions)] == ["cannot tell"]
    assert {f.verdict for f in run("witnesses", talk, captions, other)} == {"cannot tell"}
    assert [f.verdict for f in run("witnesses", manual, talk)] == ["agrees"]
    assert [f.verdict for f in run("witnesses", manual, captions)] == ["agrees"]


def test_a_difference_by_amendment_is_no_error():
    """A note that names the figure and an amendment turns a contradiction into two truths."""
    one = Paper().add(7, "[psi]", "pressure", "boost", "climb", form="fixed_datum")
    two = Paper("w1", "edition").add(
        9, "[psi]", "pressure", "boost", "climb", form="fixed_datum",
        notes=("amended by A.L. 4",),
    )  # fmt: skip
    [finding] = run("witnesses", one, two)
    assert finding.verdict == "cannot tell"
    assert finding.emendations[0].cause == "edition_amended"
    assert finding.emendations[0].proposed is None


def test_a_third_witness_decides_which_of_two_is_wrong():
    """Odds are weighed again by all witnesses: two against one."""
    papers = [Paper(f"w{n}", edition=str(n)) for n in range(3)]
    for paper, value in zip(papers, (2350, 2850, 2850)):
        paper.add(value, "{rev}/min", "rotational_speed", "engine speed", "climb")
    findings = [f for f in run("witnesses", *papers) if f.verdict == "contradicts"]
    assert len(findings) == 2
    for finding in findings:
        first = finding.emendations[0]
        assert first.proposed.id == "w0-0"
        assert first.proposed.nominal == 2850
        assert "witnesses" in first.agrees_with


@pytest.mark.parametrize(
    ("first", "second", "verdict"),
    [
        ((60, None, "min"), (40, None, "max"), "in doubt"),
        ((60, "cruise", "min"), (40, "cruise", "max"), "in doubt"),
        ((40, None, "min"), (60, None, "max"), None),
    ],
)
def test_order_of_bounds(first, second, verdict):
    """A minimum above a maximum contradicts; the right order says nothing."""
    paper = Paper()
    for number, condition, bound in (first, second):
        paper.add(number, "[psi]", "pressure", "oil pressure", condition, bound, form="gauge")
    assert [f.verdict for f in run("order", paper)] == ([verdict] if verdict else [])


def test_order_on_one_line_and_of_suction():
    """On one line a broken order contradicts; 3½ to 4½ in.Hg of suction is in order."""
    paper = Paper().add(60, "[psi]", "pressure", "oil pressure", "cruise", "min", form="gauge")
    paper.add(40, "[psi]", "pressure", "oil pressure", "cruise", "max", form="gauge",
              same_line=True)  # fmt: skip
    assert [f.verdict for f in run("order", paper)] == ["contradicts"]
    suction = Paper()
    for number, bound in ((3, "min"), (5, "max")):
        suction.add(number, "[in_i'Hg]", "pressure", "suction", "level", bound,
                    form="below_ambient")  # fmt: skip
    assert run("order", suction) == []


def test_order_of_ratings_and_of_times():
    """A climb that allows more than take-off is doubtful, and so is longer at more."""
    paper = Paper().add(12, "[psi]", "pressure", "boost", "climb", form="fixed_datum")
    paper.add(9, "[psi]", "pressure", "boost", "take-off", form="fixed_datum")
    assert [f.verdict for f in run("order", paper)] == ["in doubt"]
    timed = Paper()
    for number, minutes, rating in ((3000, 30, "military"), (2600, 5, "combat")):
        timed.add(number, "{rev}/min", "rotational_speed", "engine speed", rating,
                  time_limit_s=Fraction(60 * minutes))  # fmt: skip
    assert [f.verdict for f in run("order", timed)] == ["in doubt"]


def test_sums_of_tanks_with_pairs_and_a_slip():
    """Parts and total agree with "each" counted twice; a misread part is named."""

    def tanks(total):
        paper = Paper().add(85, "[gal_br]", "volume", "fuel capacity", "inner", "nominal",
                            qualifiers=("each",))  # fmt: skip
        paper.add(52, "[gal_br]", "volume", "fuel capacity", "fuselage", "nominal")
        return paper.add(total, "[gal_br]", "volume", "fuel capacity", "total", "nominal")

    assert [f.verdict for f in run("sums", tanks(222))] == ["agrees"]
    [finding] = run("sums", tanks(228))
    assert finding.verdict == "contradicts"
    assert any(
        e.proposed is not None and e.proposed.nominal == 222 for e in finding.emendations[:2]
    )
    alone = Paper().add(85, "[gal_br]", "volume", "fuel capacity", "total", "nominal")
    assert run("sums", alone) == []


def test_products_of_ratio_and_revolutions():
    """3,000 rev/min through 8.15 to 1 is 24,450; a lost point in the ratio is found."""

    def gear(ratio, place):
        paper = Paper().add(3000, "{rev}/min", "rotational_speed", "engine speed", "take-off")
        paper.add(ratio, "1", "ratio", "gear ratio", bound="nominal", place=place)
        return paper.add(24450, "{rev}/min", "rotational_speed", "supercharger speed", "take-off")

    assert [f.verdict for f in run("products", gear("8.15", "0.01"))] == ["agrees"]
    [finding] = run("products", gear("815", "1"))
    assert finding.verdict == "contradicts"
    assert finding.emendations[0].cause == "lost_decimal_point"
    assert finding.emendations[0].proposed.nominal == Fraction("8.15")


def test_engine_sense_of_piston_speed_and_mean_pressure():
    """Printed piston speed follows from stroke and revolutions; absurd ones are doubtful."""
    paper = Paper().add(6, "[in_i]", "length", "stroke", bound="nominal")
    paper.add(3000, "{rev}/min", "rotational_speed", "engine speed", "take-off")
    paper.add(3000, "[ft_i]/min", "speed", "piston speed", "take-off", "nominal")
    assert [f.verdict for f in run("engine", paper)] == ["agrees"]
    wild = Paper().add(6, "[in_i]", "length", "stroke", bound="nominal")
    wild.add(30000, "{rev}/min", "rotational_speed", "engine speed", "take-off")
    [finding] = run("engine", wild)
    assert finding.verdict == "in doubt"
    assert "piston speed" in finding.evidence


def row_of(indicated, true, feet=10000):
    """A performance table's row."""
    paper = Paper().add(
        feet, "[ft_i]", "altitude", "altitude", row=(str(feet),), column=("Height",)
    )
    for number, column in ((indicated, "I.A.S."), (true, "T.A.S.")):
        paper.add(number, "[mi_i]/h", "speed", "airspeed", row=(str(feet),), column=(column,),
                  same_line=True)  # fmt: skip
    return paper


def test_airspeeds_of_one_row():
    """200 m.p.h. indicated at 10,000 ft is 231 true; 213 printed for 231 is named."""
    assert [f.verdict for f in run("airspeed", row_of(200, 231))] == ["agrees"]
    [finding] = run("airspeed", row_of(200, 312))
    assert finding.verdict == "contradicts"
    assert run("airspeed", Paper().add(200, "[mi_i]/h", "speed", "airspeed")) == []


def test_air_at_a_height():
    """20.58 in.Hg at 10,000 ft is the standard atmosphere; 25.08 is a misprint of it."""

    def air(inches):
        paper = Paper().add(10000, "[ft_i]", "altitude", "altitude", row=("1",), column=("Height",))
        return paper.add(inches, "[in_i'Hg]", "pressure", "barometric pressure", form="absolute",
                         place="0.01", row=("1",), column=("Bar.",), same_line=True)  # fmt: skip

    assert isa(3048.0).pressure == pytest.approx(69681.6, abs=0.5)
    assert [f.verdict for f in run("atmosphere", air("20.58"))] == ["agrees"]
    [finding] = run("atmosphere", air("25.08"))
    assert finding.verdict == "contradicts"
    assert finding.emendations[0].cause == "transposed_digits"


def test_a_figure_out_of_line_in_its_column():
    """One misread row of a smooth column is found and mended; a kink is left alone."""

    def column(values):
        paper = Paper()
        for at, value in enumerate(values):
            paper.add(value, "[HP]", "power", "power", row=(str(at),), column=("B.h.p.",))
        return paper

    [finding] = run("series", column([900, 940, 980, 1620, 1060, 1100, 1140]))
    assert finding.figure_ids == ("w0-3",)
    assert run("series", column([900, 950, 1000, 1050, 1100, 1060, 1020, 980])) == []
    assert run("series", column([900, 940, 1620, 1020])) == []
    assert out_of_line([1.0, 2.0, 3.0, 4.0, 5.0], [0.5] * 5) == []
    assert slipped_rows([1.0, 2.0, 3.0, 4.0, 5.0], [1.0, 2.0, 3.0, 4.0, 5.0]) is None


def test_parts_of_a_total_are_no_series():
    """Weights that add up to a total stand in a column, and need not run smoothly."""

    def column(last):
        paper = Paper()
        for at, value in enumerate([900, 940, 980, 1620, 1060, 1100, 1140]):
            row = (last if at == 6 else str(at),)
            paper.add(value, "kg", "mass", "weight", None, "nominal", row=row, column=("kg",))
        return paper

    assert run("series", column("total")) == []
    assert run("series", column("sixth")) != []


def test_a_unit_that_changes_half_way_down_a_column():
    """Heights that go on in metres under a heading of feet are found, and the unit named."""
    paper = Paper()
    for at, value in enumerate([2000, 4000, 6000, 8000, 3048, 3658, 4267, 4877]):
        paper.add(value, "[ft_i]", "altitude", "altitude", row=(str(at),), column=("Height",))
    [finding] = run("series", paper)
    assert finding.figure_ids == tuple(f"w0-{n}" for n in range(4, 8))
    assert finding.emendations[0].proposed.unit == "m"


def test_rows_that_slipped_in_a_copy():
    """A copy whose column repeats a row and runs one off from there is named a column slip."""

    def column(name, values):
        paper = Paper(name, "manual" if name == "w0" else "transcription")
        for at, value in enumerate(values):
            paper.add(value, "[HP]", "power", "power", row=(str(at),), column=("B.h.p.",))
        return paper

    model = column("w0", [900, 955, 1000, 1045, 1090, 1130, 1165])
    copy = column("w1", [900, 955, 955, 1000, 1045, 1090, 1130])
    [finding] = run("series", model, copy)
    assert finding.verdict == "contradicts"
    assert finding.emendations[0].cause == "column_slip"
    assert finding.emendations[0].proposed.nominal == 1000
    assert finding.figure_ids[0] == "w1-2"


def test_a_figure_that_cannot_be():
    """An oil temperature of 950 °C is hardly credible, and a lost point is proposed."""
    paper = Paper().add(950, "Cel", "temperature", "oil temperature")
    [finding] = run("plausible", paper)
    assert finding.verdict == "in doubt"
    assert finding.emendations[0].proposed.nominal == 95
    assert run("plausible", Paper().add(95, "Cel", "temperature", "oil temperature")) == []


def test_a_limit_beyond_its_dial():
    """100 lb/sq.in. cannot be read on a dial said to end at 80."""
    paper = Paper().add(0, "[psi]", "pressure", "oil pressure", "dial graduated", "range",
                        form="gauge", hi=80)  # fmt: skip
    paper.add(100, "[psi]", "pressure", "oil pressure", "take-off", form="gauge")
    [finding] = run("instrument", paper)
    assert finding.verdict == "in doubt"
    assert finding.figure_ids == ("w0-1", "w0-0")


def test_counts_add_up_to_the_number_of_limits():
    """Every limit is counted once, under the gravest verdict on it."""
    cells = machine(random.Random(3))
    witnesses = [print_witness(cells, name) for name in ("w0", "w1")]
    findings = check(witnesses)
    counts = tally(witnesses, findings)
    assert sum(counts.values()) == sum(len(w.limits) for w in witnesses)
    assert counts["contradicts"] == counts["in doubt"] == 0
    groups = group_limits(witnesses)
    assert all(groups["w1" + i.id[2:]] == i.id for i in witnesses[0].limits)


def test_clean_machines_raise_no_alarm():
    """Tables that are right by construction pass every check."""
    for seed in range(12):
        cells = machine(random.Random(seed))
        findings = check([print_witness(cells, "w0"), print_witness(cells, "w1")])
        assert [f for f in findings if bad(f)] == []


def test_planted_faults_are_found_and_named():
    """Of faults planted in a copy, 95 in 100 are found and 90 named rightly."""
    table, misses = weigh_plants(60, 77, 1)
    planted = sum(row["planted"] for row in table.values())
    assert sum(row["found"] for row in table.values()) >= 0.95 * planted, misses
    assert sum(row["named"] for row in table.values()) >= 0.9 * planted


def test_the_cost_of_checking_grows_with_n_log_n():
    """Function calls for four times the limits stay under five times as many."""

    def calls(copies):
        cells = [
            replace(cell, condition=f"{cell.condition}, {n}", column=())
            for n in range(copies)
            for cell in machine(random.Random(n))
            if cell.twin_of is None
        ]
        witnesses = [print_witness(cells, name) for name in ("w0", "w1")]
        count = 0

        def tick(frame, event, argument):
            nonlocal count
            count += 1

        sys.setprofile(tick)
        try:
            check(witnesses)
        finally:
            sys.setprofile(None)
        return count

    calls(1)
    small, large = calls(4), calls(16)
    assert large < 5 * small
