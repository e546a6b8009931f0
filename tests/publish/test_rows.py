"""What a row's standing rests on, and that no figure is lost on the way to a row."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from types import ModuleType
from typing import Any

import pytest

from reconcile.measure.quantity import Quantity
from reconcile.publish.rows import STANDINGS, LimitTable, Row, build_table
from reconcile.records import Figure, Finding, Limit, Place, Ruling, Source, Witness

SOURCE = Source("s", "a.txt", "00" * 32)
COPY = Source("c", "b.txt", "11" * 32)
READ = Figure("f", (0, 2), "60", Quantity(Fraction(60), unit="[psi]", kind="pressure"))
LIMIT = Limit("l", "oil pressure", None, "min", ("f",))


def _table(figure: Figure = READ, *findings: Finding, **more: Any) -> LimitTable:
    return build_table("t", [Witness(SOURCE, {"f": figure}, (LIMIT,))], list(findings), **more)


def _row(figure: Figure = READ, *findings: Finding, **more: Any) -> Row:
    (row,) = _table(figure, *findings, **more).rows
    return row


def _finding(verdict: str, check: str = "twins") -> Finding:
    return Finding(check, verdict, f"{check} {verdict}", ("l",), ("f",))  # type: ignore[arg-type]


def _ruling(decision: str, target: str = "f", number: int = 1) -> Ruling:
    return Ruling(number, "A. Reader", "2026", target, decision, reason="seen")  # type: ignore[arg-type]


def _with(status: str, **numbers: Any) -> Figure:
    quantity = Quantity(**numbers, unit="[psi]", kind="pressure")
    return replace(READ, status=status, quantity=quantity)  # type: ignore[arg-type]


SIXTY = {"nominal": Fraction(60)}


@pytest.mark.parametrize(
    ("figure", "findings", "standing", "reason"),
    [
        (READ, [], "unverified", "nothing in the sources could check it"),
        (READ, [_finding("agrees")], "verified", "agrees: twins"),
        (READ, [_finding("agrees within rounding")], "verified", "agrees: twins"),
        (READ, [_finding("cannot tell")], "unverified", "nothing in the sources could check it"),
        (READ, [_finding("agrees"), _finding("in doubt", "sums")], "in doubt", "sums in doubt"),
        (
            READ,
            [_finding("in doubt", "sums"), _finding("agrees"), _finding("contradicts", "order")],
            "contradicted",
            "order contradicts",
        ),
        (_with("repaired", **SIXTY), [_finding("agrees")], "unverified", "repaired in reading"),
        (_with("ambiguous", **SIXTY), [_finding("agrees")], "in doubt", "more than one way"),
        (_with("unread"), [_finding("agrees")], "in doubt", "could not be read"),
    ],
)
def test_standing_without_a_ruling(
    figure: Figure, findings: list[Finding], standing: str, reason: str
) -> None:
    """Verified means: plainly read, a check agreeing, none in doubt or contradicting."""
    row = _row(figure, *findings)
    assert row.standing == standing and reason in row.reason


def test_a_ruling_decides_over_the_checks() -> None:
    """A person's accept verifies, a reject rejects, "leave open" changes nothing."""
    against = _finding("contradicts")
    assert _row(READ, against, rulings=(_ruling("accept"),)).standing == "verified"
    assert _row(READ, against, rulings=(_ruling("reject"),)).standing == "rejected"
    assert _row(READ, against, rulings=(_ruling("leave open"),)).standing == "contradicted"
    row = _row(READ, against, rulings=(_ruling("accept", "l"),))
    assert row.standing == "verified" and row.reason == "ruling 1 by A. Reader: accept (seen)"


def test_the_last_ruling_is_in_force() -> None:
    """A later ruling on the same target replaces the one before."""
    row = _row(READ, rulings=(_ruling("accept"), _ruling("reject", number=2)))
    assert row.standing == "rejected" and row.ruling is not None and row.ruling.number == 2


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"unit": ""}, "its unit is not known"),
        ({"form": "unknown"}, "what the pressure is counted"),
    ],
)
def test_a_number_without_unit_or_zero_is_not_proved(change: dict[str, Any], said: str) -> None:
    """No check and no ruling verifies a bare number, or a pressure with no known zero."""
    bare = replace(READ, quantity=replace(READ.quantity, **change))
    for row in (_row(bare, _finding("agrees")), _row(bare, rulings=(_ruling("accept"),))):
        assert row.standing == "in doubt" and said in row.reason


def test_an_unread_figure_cannot_be_accepted() -> None:
    """A ruling verifies a reading; where no number is read the row stays in doubt."""
    row = _row(_with("unread"), rulings=(_ruling("accept"),))
    assert row.standing == "in doubt" and "no number is read" in row.reason


def test_accepting_an_ambiguous_figure_settles_it() -> None:
    """An accepted reading is no longer one of several; the row says who settled it."""
    row = _row(_with("ambiguous", **SIXTY), rulings=(_ruling("accept"),))
    assert row.standing == "verified" and row.figure.status == "repaired"
    assert row.figure.repairs == ("ruling 1: accepted as read",)


def test_an_emendation_needs_its_figure() -> None:
    """Emending verifies the figure put in its place; without one the old never passes."""
    emend = (_ruling("emend"),)
    assert _row(READ, rulings=emend).standing == "in doubt"
    new = _with("read", nominal=Fraction(65))
    row = _row(READ, rulings=emend, emended={"f": new})
    assert row.standing == "verified" and row.figure.nominal == 65 and row.id == "f"
    unsure = _with("ambiguous", nominal=Fraction(65))
    assert _row(READ, rulings=emend, emended={"f": unsure}).standing == "in doubt"
    assert _row(READ, rulings=emend, emended={"f": _with("unread")}).standing == "in doubt"
    # A limit cannot be emended, only its figures.
    on_limit = _row(READ, rulings=(_ruling("emend", "l"),))
    assert on_limit.standing == "in doubt" and "not of which figure" in on_limit.reason


@pytest.mark.parametrize(
    ("line", "verdict", "standing"),
    [(2, "contradicts", "in doubt"), (2, "agrees", "verified"), (9, "contradicts", "verified")],
)
def test_a_limit_is_no_surer_than_its_time(line: int, verdict: str, standing: str) -> None:
    """Where the time printed beside a limit is in doubt, so is the limit; far ones do not count."""
    minutes = Quantity(Fraction(5), unit="min", kind="time")
    figures = {
        "f": replace(READ, place=Place("s", 1, 1)),
        "t": replace(READ, id="t", quantity=minutes, place=Place("s", 1, line)),
    }
    limits = (
        replace(LIMIT, time_limit_s=Fraction(300)),
        Limit("lt", "time limit", None, "max", ("t",)),
    )
    findings = [_finding("agrees"), Finding("order", verdict, "why", ("lt",), ("t",))]  # type: ignore[arg-type]
    table = build_table("t", [Witness(SOURCE, figures, limits)], findings)
    row = table.rows[0]
    assert row.standing == standing
    assert standing == "verified" or row.reason == "the time it holds for is contradicted: why"
    ruled = build_table(
        "t", [Witness(SOURCE, figures, limits)], findings, rulings=(_ruling("accept"),)
    )
    assert ruled.rows[0].standing == "verified"  # a person has seen it


def test_every_figure_has_a_row() -> None:
    """Figures no limit claims get a row; one that two limits share stands twice, told apart."""
    figures = {id: replace(READ, id=id) for id in ("a", "b", "c")}
    limits = (
        Limit("l1", "oil pressure", "climb", "max", ("b",)),
        Limit("l2", "oil pressure", "cruise", "max", ("b", "c")),
    )
    table = build_table("t", [Witness(SOURCE, figures, limits)], [])
    assert [row.id for row in table.rows] == ["a", "b", "b-2", "c"]
    assert [row.parameter for row in table.rows] == [None, *["oil pressure"] * 3]
    assert table.count() == {**dict.fromkeys(STANDINGS, 0), "unverified": 4}


def test_the_copy_text_leads_its_group() -> None:
    """Of witnesses that state one limit the copy-text's row leads, wherever it stands."""
    witnesses = [
        Witness(COPY, {"g": replace(READ, id="g")}, (replace(LIMIT, id="m", figure_ids=("g",)),)),
        Witness(SOURCE, {"f": READ}, (LIMIT,)),
    ]
    groups = {"l": "G", "m": "G"}
    for copy_text, leading in (("s", ["f"]), ("c", ["g"]), ("", ["g"])):
        table = build_table("t", witnesses, [], groups=groups, copy_text=copy_text)
        assert [row.id for row in table.rows if row.lead] == leading
        assert {row.group for row in table.rows} == {"G"}


def test_the_sample_holds_every_standing_but_rejected(samples: ModuleType) -> None:
    """The sample that formats are tested on has rows of every kind."""
    assert samples.sample_table().count() == {
        "verified": 9,
        "unverified": 2,
        "in doubt": 3,
        "contradicted": 1,
        "rejected": 0,
    }
