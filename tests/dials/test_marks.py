"""Marks for modern gauges: the safe side, guard bands, refusals, calibration, meanings."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.dials import (
    Calibration,
    CalibrationPoint,
    Gauge,
    MarkSet,
    find_gauge,
    gauges,
    gauges_for,
    make_marks,
    read_calibration,
    read_gauge,
)
from reconcile.dials.heights import sealed_error
from reconcile.dials.markings import markings, role_of
from reconcile.dials.placing import Placed, Refusal, place
from reconcile.errors import (
    MissingSourceError,
    OutOfRangeError,
    UnknownTermError,
    UsageError,
)
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import all_units, unit_row
from reconcile.records import Figure, Place


@dataclass(frozen=True)
class Row:
    """A row of a limit table, as far as gauges need it."""

    id: str
    parameter: str | None
    condition: str | None
    bound: str
    figure: Figure
    time_limit_s: Fraction | None = None
    time_unlimited: bool = False
    standing: str = "verified"
    lead: bool = True


def quantity(
    number: str | None,
    unit: str,
    form: str = "none",
    *,
    lo: str | None = None,
    hi: str | None = None,
    plus_minus: str | None = None,
) -> Quantity:
    row = unit_row(unit)
    one, low, high, spread = (
        None if v is None else Fraction(v) for v in (number, lo, hi, plus_minus)
    )
    return Quantity(
        one,
        low,
        high,
        spread,
        row.ucum,
        row.kind,
        form,
        Fraction(1),
        unit_slug=row.slug,  # type: ignore[arg-type]
    )


def row(name: str, parameter: str, condition: str | None, bound: str, q: Quantity, **more) -> Row:  # type: ignore[no-untyped-def]
    return Row(name, parameter, condition, bound, Figure(name, (0, 1), str(q), q), **more)


def boost(name: str, condition: str, number: str, bound: str = "max", minutes: int = 0) -> Row:
    return row(
        name, "boost", condition, bound, quantity(number, "[psi]", "fixed_datum"),
        time_limit_s=Fraction(60 * minutes) if minutes else None,
    )  # fmt: skip


BOOST = [
    boost("b1", "take-off", "9", minutes=5),
    boost("b2", "climb", "6", minutes=60),
    boost("b3", "continuous", "4"),
    boost("b4", "weak cruising", "2"),
    boost("b5", "idling", "-4", "approx"),
]
RIGHT = 'unit = "bar"\nform = "gauge"\nlo = 0\nhi = 1\ndivision = 0.1\naccuracy = 1\n'
OIL = [
    row(
        "o1", "oil pressure", "normal", "range", quantity(None, "[psi]", "gauge", lo="60", hi="75")
    ),
    row("o2", "oil pressure", "idling", "min", quantity("25", "[psi]", "gauge")),
    row("o3", "oil pressure", "starting", "min", quantity("20", "[psi]", "gauge")),
]


def by_slug(found: MarkSet) -> dict[str, list[tuple[str, str]]]:
    out: dict[str, list[tuple[str, str]]] = {}
    for mark in found.marks:
        out.setdefault(mark.marking.slug, []).append((mark.at(found.gauge.symbol), mark.label))
    return out


def test_boost_on_an_absolute_gauge() -> None:
    """Boost of 9, 6, 4, 2 lb/in2 is 48.2454, 42.1374, 38.0653, 33.9933 in.Hg, marked below.

    The equivalents are those of 101 325 Pa with the inch of mercury of NIST SP 811,
    appendix B.8, worked out apart.
    """
    found = make_marks(BOOST, find_gauge("manifold-10-75-inhg"), "boost", set_values=True)
    assert by_slug(found) == {
        "maximum": [("48 in. Hg", "take-off, 5 min")],
        "caution": [("38 to 48 in. Hg", "above continuous, up to take-off, 5 min")],
        "conditional maximum": [
            ("42 in. Hg", "climb, 1 h"),
            ("38 in. Hg", "continuous"),
            ("33 in. Hg", "weak cruising"),
        ],
        "value to set": [("22 in. Hg", "idling")],
    }
    assert found.marks[0].exact == "48.2454"
    assert found.marks[0].rounded == "down"
    assert not found.refused


def test_values_to_set_are_marked_on_request_and_counted_otherwise() -> None:
    """What bounds nothing is no limit; leaving it out is said, and so is its number."""
    found = make_marks(BOOST, find_gauge("manifold-10-75-inhg"), "boost")
    assert "value to set" not in by_slug(found)
    assert any("1 printed value to set" in remark for remark in found.remarks)


def test_oil_pressure_on_a_gauge_open_to_the_air() -> None:
    """A printed normal range is the green arc, the lowest minimum the red line."""
    found = make_marks(OIL, find_gauge("oil-0-100-psi"), "oil pressure")
    assert by_slug(found) == {
        "minimum": [("25 lb/in²", "idling")],
        "normal": [("60 to 75 lb/in²", "normal")],
        "conditional minimum": [("20 lb/in²", "starting")],
    }


def test_boost_on_a_gauge_open_to_the_air_is_refused_in_plain_words() -> None:
    """A gauge that reads gauge pressure cannot show boost, and the answer says why."""
    found = make_marks(BOOST, find_gauge("pressure-0-4-bar"), "boost")
    assert not found.marks
    assert {r.reason for r in found.refused} == {
        "this gauge reads gauge pressure, counted from the air around; boost needs an absolute "
        "one, or the mark would be true at one height only"
    }


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ("unknown", "does not say what"),
        ("none", "a change of pressure"),
        ("differential", "between the same two places"),
        ("gauge", "needs one open to the air around"),
    ],
)
def test_a_wrong_reference_form_is_refused(form: str, says: str) -> None:
    """No pressure goes onto an absolute gauge unless it is counted from a fixed zero."""
    one = row("x", "oil pressure", None, "max", quantity("20", "[psi]", form))
    outcome = place(one, find_gauge("manifold-10-75-inhg"))
    assert isinstance(outcome, Refusal) and says in outcome.reason


@pytest.mark.parametrize(
    ("parameter", "unit", "gauge", "words", "says"),
    [
        ("airspeed", "statute-mile-per-hour", "airspeed-40-400-kt", "T.A.S.", "a true air speed"),
        ("airspeed", "statute-mile-per-hour", "airspeed-40-400-kt", "I.A.S.", ""),
        (
            "engine speed",
            "revolution-per-minute",
            "tachometer-digital",
            "the airscrew",
            "crankshaft",
        ),
        ("oil pressure", "statute-mile-per-hour", "oil-0-100-psi", "", "does not convert"),
    ],
)
def test_a_figure_of_something_else_is_refused(
    parameter: str, unit: str, gauge: str, words: str, says: str
) -> None:
    """A unit that fits is not enough: the words beside the figure are looked at too."""
    q = quantity("150", unit)
    figure = Figure("x", (0, 1), "150", q, qualifiers=(words,))
    outcome = place(Row("x", parameter, None, "max", figure), find_gauge(gauge))
    if says:
        assert isinstance(outcome, Refusal) and says in outcome.reason
    else:
        assert isinstance(outcome, Placed)


def test_suction_turns_round_on_a_vacuum_gauge() -> None:
    """The most suction is the least reading of a gauge that counts upwards."""
    one = row("s", "suction", None, "max", quantity("5.2", "[in_i'Hg]", "below_ambient"))
    outcome = place(one, find_gauge("vacuum-minus-1-0-bar"))
    assert isinstance(outcome, Placed)
    # 5.2 in.Hg = 17 609 Pa below the air around = -0.17609 bar: rounded up, to less suction.
    assert outcome.bound == "min"
    assert outcome.lo == Fraction("-0.16")


def test_a_range_that_rounding_would_empty_is_refused() -> None:
    """61 to 64 lb/in2 holds no division of 5, so there is no mark, and the reason is said."""
    one = row(
        "o", "oil pressure", "normal", "range", quantity(None, "[psi]", "gauge", lo="61", hi="64")
    )
    outcome = place(one, find_gauge("oil-0-100-psi"))
    assert isinstance(outcome, Refusal)
    assert "empty once it is rounded inwards at divisions of 5 lb/in²" in outcome.reason
    guarded = place(OIL[0], find_gauge("pressure-0-40-bar"), guard_band=True)
    assert isinstance(guarded, Refusal) and "guarded by" in guarded.reason


def test_a_scale_too_short_is_said() -> None:
    """A limit beyond the scale is refused with both."""
    outcome = place(row("o", "oil pressure", "cold", "max", quantity("120", "[psi]", "gauge")),
                    find_gauge("oil-0-100-psi"))  # fmt: skip
    assert isinstance(outcome, Refusal)
    assert outcome.reason == "the scale runs from 0 to 100 lb/in²; the limit is 120 lb/in²"


def test_divisions_too_coarse_to_tell_limits_apart_are_said() -> None:
    """Two limits that differ on paper and share a mark are named."""
    rows = [boost("a", "climb", "6"), boost("b", "combat", "6.3")]
    found = make_marks(rows, find_gauge("absolute-0-250-kpa"), "boost")
    assert any("too coarse to tell climb" in remark for remark in found.remarks)


def test_guard_band_is_the_expanded_uncertainty() -> None:
    """With a guard band each bound moves inwards by U = 2u before rounding (JCGM 106, 8.3.2).

    u of a gauge of 0 to 10 bar, class 1.6: 0.16/sqrt(3) bar, with a fifth of its division of
    0.2 bar likewise, worked out apart.
    """
    outcome = place(OIL[1], find_gauge("pressure-0-10-bar"), guard_band=True)
    assert isinstance(outcome, Placed)
    by_hand = 2 * ((0.16**2 + 0.04**2) / 3) ** 0.5
    assert float(outcome.guard) == pytest.approx(by_hand, rel=1e-9)
    assert outcome.lo == Fraction(2)  # 1.7237 + 0.1904 = 1.914, up to 2.0


def test_a_guarded_tolerance_goes_inwards_or_is_refused() -> None:
    """A value with a printed tolerance is a range to a guard band, never "to the nearest"."""
    wide = row("w", "boost", "static", "nominal",
               quantity("0", "[psi]", "fixed_datum", plus_minus="2"))  # fmt: skip
    narrow = row("n", "boost", "static", "nominal",
                 quantity("0", "[psi]", "fixed_datum", plus_minus="1/100"))  # fmt: skip
    gauge = find_gauge("manifold-10-75-inhg")
    found = make_marks([wide], gauge, "boost", guard_band=True, set_values=True)
    (mark,) = found.marks
    assert mark.rounded == "inwards" and mark.guard > 0
    # 0 ± 2 lb/in2 is 25.849 to 33.993 in. Hg absolute (NIST SP 811, B.8, worked out apart).
    assert Fraction("25.849") + mark.guard <= mark.lo <= mark.hi
    assert mark.hi <= Fraction("33.994") - mark.guard
    refused = make_marks([narrow], gauge, "boost", guard_band=True, set_values=True)
    assert not refused.marks and "is empty" in refused.refused[0].reason


def test_the_red_line_is_the_minimum_that_holds_always() -> None:
    """A lower minimum under a condition of its own is a mark beside the general one."""
    rows = [
        row("g", "oil pressure", None, "min", quantity("55", "[psi]", "gauge")),
        row("c", "oil pressure", "combat", "min", quantity("50", "[psi]", "gauge")),
    ]
    found = make_marks(rows, find_gauge("oil-0-100-psi"), "oil pressure")
    assert by_slug(found) == {
        "minimum": [("55 lb/in²", "no condition stated")],
        "conditional minimum": [("50 lb/in²", "combat")],
    }


def test_a_minimum_above_a_maximum_is_no_red_line() -> None:
    """A minimum of no stated condition above another condition's maximum holds not always."""
    rows = [
        row("m", "boost", None, "min", quantity("0", "[psi]", "fixed_datum")),
        boost("t", "taxying", "-1"),
        boost("o", "take-off", "9", minutes=5),
    ]
    found = make_marks(rows, find_gauge("manifold-10-75-inhg"), "boost")
    assert by_slug(found) == {
        "maximum": [("48 in. Hg", "take-off, 5 min")],
        "conditional minimum": [("30 in. Hg", "no condition stated")],
        "conditional maximum": [("27 in. Hg", "taxying")],
    }
    assert any("does not go with" in remark for remark in found.remarks)


def test_only_verified_rows_are_marked_unless_asked() -> None:
    """A row that is not verified is left out and named, or marked and named."""
    rows = [OIL[0], row("o9", "oil pressure", "flight", "min", quantity("45", "[psi]", "gauge"),
                        standing="contradicted")]  # fmt: skip
    gauge = find_gauge("oil-0-100-psi")
    some = make_marks(rows, gauge, "oil pressure")
    assert [m.row_ids for m in some.marks] == [("o1",)]
    assert "Not marked, since not verified: flight" in some.remarks[0]
    every = make_marks(rows, gauge, "oil pressure", every=True)
    assert ("o9",) in [m.row_ids for m in every.marks]
    assert "MARKED THOUGH NOT VERIFIED: flight" in every.remarks[0]


def test_unread_and_ambiguous_figures_are_refused() -> None:
    """What is not surely read gets no mark."""
    gauge = find_gauge("oil-0-100-psi")
    q = quantity("60", "[psi]", "gauge")
    for status, says in (("ambiguous", "more than one way"), ("unread", "could not be read")):
        one = Row("o", "oil pressure", None, "max", Figure("o", (0, 1), "6O", q, status))  # type: ignore[arg-type]
        outcome = place(one, gauge)
        assert isinstance(outcome, Refusal) and says in outcome.reason


def test_the_gauges_own_calibration_moves_the_mark() -> None:
    """A gauge that shows 62 when the truth is 60 is marked at its reading, not at the truth."""
    points = tuple(
        CalibrationPoint(Fraction(r), Fraction(t), Fraction(1, 2))
        for r, t in ((0, 0), (62, 60), (101, 100))
    )
    gauge = find_gauge("oil-0-100-psi")
    own = Gauge(
        **{f: getattr(gauge, f) for f in gauge.__slots__} | {"calibration": Calibration(points)}
    )
    outcome = place(OIL[0], own)
    assert isinstance(outcome, Placed)
    assert outcome.exact == (None, Fraction(62), 62 + Fraction(15 * 39, 40))
    assert (outcome.lo, outcome.hi) == (65, 75)
    assert own.standard_uncertainty(Fraction(62)) < gauge.standard_uncertainty(Fraction(62))


def test_a_limit_outside_the_calibration_is_refused() -> None:
    """Nothing is known of the gauge beyond its calibration points."""
    points = (CalibrationPoint(Fraction(0), Fraction(0), Fraction(0)),
              CalibrationPoint(Fraction(70), Fraction(70), Fraction(0)))  # fmt: skip
    gauge = find_gauge("oil-0-100-psi")
    own = Gauge(
        **{f: getattr(gauge, f) for f in gauge.__slots__} | {"calibration": Calibration(points)}
    )
    outcome = place(OIL[0], own)
    assert isinstance(outcome, Refusal) and "outside the calibration" in outcome.reason


@pytest.mark.parametrize(
    "points", [((0, 0),), ((0, 0), (5, 0)), ((5, 5), (5, 6))], ids=["one", "flat", "steep"]
)
def test_a_calibration_must_rise(points: tuple[tuple[int, int], ...]) -> None:
    """A calibration that does not rise cannot be read back, and is refused."""
    with pytest.raises(UsageError):
        Calibration(
            tuple(CalibrationPoint(Fraction(r), Fraction(t), Fraction(0)) for r, t in points)
        )


def test_a_sealed_gauge_says_what_height_does() -> None:
    """A sealed gauge reads low by the fall of the air: 0.3164 bar at 10,000 ft.

    101 325 - 69 681.6 Pa, from the US Standard Atmosphere, 1976, table II.
    """
    gauge = find_gauge("sealed-0-10-bar")
    assert sealed_error(gauge, 10000) == pytest.approx(-0.316434, abs=1e-5)
    found = make_marks(OIL, gauge, "oil pressure")
    assert any("reads low by" in r and "0.32 bar at 10 000 ft" in r for r in found.remarks)


def test_a_gauge_described_in_a_file(tmp_path: Path) -> None:
    """A TOML file describes a gauge, its calibration with it."""
    path = tmp_path / "mine.toml"
    path.write_text(
        'name = "Mine"\nunit = "bar"\nform = "gauge"\nlo = 0\nhi = 7\ndivision = 0.1\n'
        'accuracy = 1.5\nparameters = ["oil pressure"]\n'
        "[[calibration]]\nreading = 0\ntrue = 0\nuncertainty = 0.05\n"
        "[[calibration]]\nreading = 7.1\ntrue = 7\nuncertainty = 0.05\n",
        encoding="utf-8",
    )
    gauge = read_gauge(path)
    assert (gauge.slug, gauge.division, gauge.parameters) == (
        "mine",
        Fraction(1, 10),
        ("oil pressure",),
    )
    assert gauge.calibration is not None and gauge.calibration.points[1].reading == Fraction("7.1")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("name = ", "is not TOML"),
        ('unit = "bar"', "does not say 'lo'"),
        (RIGHT + "size = 3", "says 'size'"),
        (RIGHT.replace('"gauge"', '"gage"'), "form is 'gage'"),
        (RIGHT.replace('form = "gauge"', ""), "reference form"),
        (RIGHT.replace("lo = 0", "lo = 2"), "a scale from"),
        (RIGHT.replace("division = 0.1", "division = 0"), "a division of 0"),
        (RIGHT.replace("lo = 0", 'lo = "x"'), "no number"),
    ],
)
def test_a_faulty_description_is_one_sentence(tmp_path: Path, text: str, says: str) -> None:
    """What is wrong with a gauge's file is said, with the file's name."""
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises((UsageError, UnknownTermError)) as fault:
        read_gauge(path)
    assert says in str(fault.value)


def test_missing_files_and_bad_calibrations(tmp_path: Path) -> None:
    """A missing file and a cell that is no number are said as such."""
    with pytest.raises(MissingSourceError):
        read_gauge(tmp_path / "none.toml")
    with pytest.raises(MissingSourceError):
        read_calibration(tmp_path / "none.csv")
    path = tmp_path / "c.csv"
    path.write_text("reading,true,uncertainty\n0,0,0.1\n10,ten,0.1\n", encoding="utf-8")
    with pytest.raises(UsageError, match="point 2"):
        read_calibration(path)
    path.write_text("reading,true,uncertainty\n0,0,0.1\n10,9.8,0.1\n", encoding="utf-8")
    assert read_calibration(path).reading_of(Fraction("4.9")) == 5
    with pytest.raises(OutOfRangeError):
        read_calibration(path).reading_of(Fraction(10))


def test_unknown_gauge_and_parameter_name_what_there_is() -> None:
    """A wrong name is answered with near ones."""
    with pytest.raises(UnknownTermError, match="oil-0-100-psi"):
        find_gauge("oil-0-100")
    with pytest.raises(UnknownTermError, match="oil pressure"):
        make_marks(OIL, find_gauge("oil-0-100-psi"), "oil presure")


def test_the_tables_hold_together() -> None:
    """Every gauge suits its own parameters' units, and every marking has its source."""
    assert gauges_for("oil pressure")
    for gauge in gauges():
        assert gauge.source and gauge.parameters
        assert gauge.division * 8 <= gauge.hi - gauge.lo
        assert gauge.standard_uncertainty(gauge.hi) > 0
    assert all(m.source for m in markings().values())
    assert role_of(None) == "rated" and role_of("run-up") == "special"


def test_a_normal_range_beyond_a_limit_gets_no_green_arc() -> None:
    """Green never reaches beyond red (14 CFR 25.1549(b)); the conflict is said."""
    rows = [
        OIL[0],
        row("m", "oil pressure", "all operations", "max", quantity("70", "[psi]", "gauge")),
    ]
    found = make_marks(rows, find_gauge("oil-0-100-psi"), "oil pressure")
    assert "normal" not in by_slug(found)
    assert any("reaches beyond a limit" in remark for remark in found.remarks)


def test_a_limit_of_no_condition_never_forbids_normal_running() -> None:
    """A maximum of no stated condition below the normal range is no red line; it is said."""
    rows = [OIL[0], row("m", "oil pressure", None, "max", quantity("45", "[psi]", "gauge"))]
    found = make_marks(rows, find_gauge("oil-0-100-psi"), "oil pressure")
    assert by_slug(found) == {
        "normal": [("60 to 75 lb/in²", "normal")],
        "conditional maximum": [("45 lb/in²", "no condition stated")],
    }
    assert any("no limit line but a mark of its own" in remark for remark in found.remarks)


def test_points_of_a_performance_table_are_no_limits() -> None:
    """A column along heights tabulates, whatever bound its figures were taken for."""
    rows: list[Row] = [*BOOST]
    for n, heading in enumerate(("Sea level", "5,000", "10,000")):
        q = quantity(str(8 - n), "[psi]", "fixed_datum")
        at = Place("s", 3, n, row=(heading,), column=("Boost",))
        rows.append(Row(f"p{n}", "boost", None, "max", Figure(f"p{n}", (0, 1), "x", q, place=at)))
    found = make_marks(rows, find_gauge("manifold-10-75-inhg"), "boost")
    assert not [m for m in found.marks for i in m.row_ids if i.startswith("p")]
    assert any("4 printed values to set or to expect" in remark for remark in found.remarks)


_GAUGES = gauges()
_UNITS = {
    si: [u for u in all_units() if u.si_unit == si and u.scale == "linear" and u.ucum]
    for si in {g.unit.si_unit for g in _GAUGES}
}


@settings(max_examples=300, deadline=None)
@given(st.data())
def test_no_mark_is_ever_on_the_unsafe_side(data: st.DataObject) -> None:
    """Over all gauges and all units that fit: a maximum's mark never stands above the limit,
    a minimum's never below, a range's ends never outside, whatever rounding and guard band.

    The truth is worked out here by the unit rows' exact factors and the forms' zeros, apart
    from the way the marks are made.
    """
    gauge = data.draw(st.sampled_from(_GAUGES))
    unit = data.draw(st.sampled_from(_UNITS[gauge.unit.si_unit]))
    families = (["absolute", "fixed_datum"], ["gauge", "below_ambient"], ["none"])
    form = data.draw(st.sampled_from(next(f for f in families if gauge.form in f)))
    places = st.integers(0, 10**6).map(
        lambda n: gauge.lo + (gauge.hi - gauge.lo) * Fraction(n, 10**6)
    )
    low, high = sorted(data.draw(st.lists(places, min_size=2, max_size=2)))
    bound = data.draw(st.sampled_from(["max", "min", "range"]))

    zero = {"absolute": Fraction(0), "fixed_datum": Fraction(101325)}

    def on_paper(value: Fraction) -> Fraction:
        si = gauge.unit.factor * value + gauge.unit.offset
        if form != "none":
            si += zero.get(gauge.form, Fraction(0)) - zero.get(form, Fraction(0))
            if (gauge.form == "below_ambient") != (form == "below_ambient"):
                si = -si
        # Papers print short numbers.
        return Fraction(round((si - unit.offset) / unit.factor, 3))

    def on_gauge(paper: Fraction) -> Fraction:
        si = unit.factor * paper + unit.offset
        if form != "none":
            if (gauge.form == "below_ambient") != (form == "below_ambient"):
                si = -si
            si += zero.get(form, Fraction(0)) - zero.get(gauge.form, Fraction(0))
        return (si - gauge.unit.offset) / gauge.unit.factor

    ends = sorted((on_paper(low), on_paper(high)))
    q = Quantity(
        None if bound == "range" else ends[0],
        ends[0] if bound == "range" else None,
        ends[1] if bound == "range" else None,
        None, unit.ucum, unit.kind, form, Fraction(1), unit_slug=unit.slug,
    )  # fmt: skip
    one = row("r", gauge.parameters[0], None, bound, q)
    outcome = place(one, gauge, guard_band=data.draw(st.booleans()))
    if isinstance(outcome, Refusal):
        assert outcome.reason
        return
    turned = (gauge.form == "below_ambient") != (form == "below_ambient")
    expected = {"max": "min", "min": "max"}.get(bound, bound) if turned else bound
    assert outcome.bound == expected
    true = sorted(on_gauge(x) for x in ends) if bound == "range" else [on_gauge(ends[0])] * 2
    if outcome.hi is not None:
        assert outcome.hi <= true[1] - outcome.guard
        assert (outcome.hi / gauge.division).denominator == 1
    if outcome.lo is not None:
        assert outcome.lo >= true[0] + outcome.guard
        assert (outcome.lo / gauge.division).denominator == 1
    assert (outcome.hi is None) == (expected == "min")
    assert (outcome.lo is None) == (expected == "max")
