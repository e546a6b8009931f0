"""The profile for models: limits, drills, performance tables, and which limits bind."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from types import ModuleType
from typing import Any

import jsonschema
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

import reconcile
from reconcile.errors import (
    ArtefactError,
    MissingSourceError,
    OutOfRangeError,
    UnknownTermError,
    UsageError,
)
from reconcile.measure.quantity import Quantity
from reconcile.publish.binding import binding_limits
from reconcile.publish.document import make_document
from reconcile.publish.performance import PerformanceTable
from reconcile.publish.profile import (
    Profile,
    find_fields,
    load_profile,
    make_profile,
    write_profile,
)
from reconcile.publish.rows import SCHEMA_VERSION, LimitTable, build_table
from reconcile.publish.schemas import frozen_schema
from reconcile.records import Figure, Finding, Limit, Source, Witness

PSI, FT = 6894.757293168361, 0.3048
SOURCE = Source("s", "book.pdf", "aa" * 32, "pdf", tradition="british")
HEIGHTS = (2000, 5000, 8500, 12000, 14000, 16500)
BOOSTS = ("6", "6", "6", "6", "5.5", "4.75")
SPEEDS = ("149", "156", "165", "174", "179", "187")


class Book:
    """Builds the rows of an invented handbook."""

    def __init__(self, samples: ModuleType) -> None:
        self.make = samples.figure
        self.figures: dict[str, Figure] = {}
        self.limits: list[Limit] = []

    def add(
        self,
        id: str,
        value: str,
        unit: tuple[str, str],
        parameter: str,
        condition: str | None,
        bound: str,
        *,
        time: int | None = None,
        line: int = 1,
        page: int = 1,
        column: str = "",
        row: str = "",
        status: str = "read",
        unlimited: bool = False,
        applies: tuple[str, ...] = (),
        **more: Any,
    ) -> None:
        """One figure with its limit."""
        place = {"source_id": "s", "page": page, "line": line}
        place |= {"column": (column,)} if column else {}
        place |= {"row": (row,)} if row else {}
        self.figures[id] = self.make(
            id, value, value, step="1/4", place=place, status=status, unit=unit[0], kind=unit[1],
            **more,
        )  # fmt: skip
        self.limits.append(
            Limit(
                f"l-{id}",
                parameter,
                condition,
                bound,  # type: ignore[arg-type]
                (id,),
                None if time is None else Fraction(time),
                unlimited,
                applies,
            )
        )

    def table(self, doubtful: tuple[str, ...] = ()) -> LimitTable:
        """The rows, all verified but the doubtful ones."""
        findings = [
            Finding("twins", "in doubt" if f in doubtful else "agrees", "x", (), (f,))
            for f in self.figures
        ]
        return build_table("Book", [Witness(SOURCE, self.figures, tuple(self.limits))], findings)


BOOST = ("[psi]", "pressure")
RPM = ("{rev}/min", "rotational_speed")
CEL = ("Cel", "temperature")


@pytest.fixture
def book(samples: ModuleType) -> Book:
    """An engine with three ratings, two drills and a table of performance."""
    b = Book(samples)
    boost: dict[str, Any] = {"form": "fixed_datum"}
    b.add("to-b", "9", BOOST, "boost", "take-off", "max", time=300, **boost)
    b.add("to-n", "2800", RPM, "engine speed", "take-off", "max", time=300)
    b.add("co-b", "12", BOOST, "boost", "combat", "max", time=300, applies=("M gear",), **boost)
    b.add("co-n", "2800", RPM, "engine speed", "combat", "max", time=300)
    b.add("cl-b", "6", BOOST, "boost", "climb", "max", time=3600, **boost)
    b.add("cl-n", "2600", RPM, "engine speed", "climb", "max", time=3600)
    b.add("rc-b", "4", BOOST, "boost", "rich cruising", "max", unlimited=True, **boost)
    b.add("rc-n", "2400", RPM, "engine speed", "rich cruising", "max", unlimited=True)
    b.add("oil", "45", BOOST, "oil pressure", None, "min", form="gauge")
    b.add("tank", "15000", ("[ft_i]", "altitude"), "altitude", "outer tanks", "max")
    b.add("cool", "125", CEL, "coolant outlet temperature", "combat", "max", time=300)
    b.add("st-1", "20", ("s", "time"), "starter operating time", "starting", "max", line=2)
    b.add("wa-1", "1000", RPM, "engine speed", "warm-up", "nominal", line=4)
    b.add("ru-1", "1500", RPM, "engine speed", "run-up", "nominal", line=5)
    b.add("ru-2", "150", RPM, "magneto drop", "ground test", "max", line=6)
    for line, (height, b_, s) in enumerate(zip(HEIGHTS, BOOSTS, SPEEDS), 10):
        where: dict[str, Any] = {"page": 9, "line": line, "row": f"{height}"}
        b.add(f"h{line}", str(height), ("[ft_i]", "altitude"), "altitude", "climb", "nominal",
              column="Height; ft.", **where)  # fmt: skip
        b.add(f"b{line}", b_, BOOST, "boost", "climb", "nominal", column="Boost", **where, **boost)
        b.add(f"s{line}", s, ("[mi_i]/h", "speed"), "airspeed", "climb", "nominal",
              column="T.A.S.", **where)  # fmt: skip
    return b


def _profile(table: LimitTable, folder: Path) -> Profile:
    write_profile(make_document(table), folder / "profile.json")
    return load_profile(folder)


def test_a_profile_satisfies_its_schema_and_reads_back(book: Book, tmp_path: Path) -> None:
    """profile.json holds by the frozen JSON Schema, and load_profile gives the same."""
    profile = _profile(book.table(), tmp_path)
    data = json.loads((tmp_path / "profile.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(frozen_schema("profile", SCHEMA_VERSION)).validate(data)
    assert data == make_profile(make_document(book.table()))
    assert profile == load_profile(tmp_path / "profile.json")
    assert profile.cautions and profile.sources[0]["sha256"] == "aa" * 32
    assert profile.verified_only and profile.left_out == {}


def test_limits_are_in_si_with_form_and_uncertainty(book: Book, tmp_path: Path) -> None:
    """Boost is Pa over its datum and Pa absolute; speeds are per second; time in seconds."""
    profile = _profile(book.table(), tmp_path)
    (boost,) = profile.find("boost", "combat")
    assert boost["value"]["nominal"] == pytest.approx(12 * PSI)
    assert boost["value"]["reference_form"] == "fixed_datum"
    assert boost["value"]["absolute"]["nominal"] == pytest.approx(101325 + 12 * PSI)
    assert boost["value"]["standard_uncertainty"] == pytest.approx(PSI / 8 / 3**0.5)
    assert boost["time_limit_s"] == 300 and boost["gear"] == "low"
    (speed,) = profile.find("engine speed", "climb")
    assert speed["value"]["nominal"] == pytest.approx(2600 / 60)
    assert profile.conditions[:4] == ("take-off", "combat", "climb", "rich cruising")
    assert "oil pressure" in profile.parameters


def test_drills_stand_in_order_with_their_times(book: Book, tmp_path: Path) -> None:
    """Start, warm-up and run-up come in the order of the day, their figures as printed."""
    profile = _profile(book.table(), tmp_path)
    assert [name for name, _ in profile.drills] == ["start", "warm-up", "run-up"]
    assert [limit["row_id"] for limit in profile.drill("run-up")] == ["ru-1", "ru-2"]
    (crank,) = profile.drill("start")
    assert crank["value"]["nominal"] == 20 and crank["value"]["unit"] == "s"
    assert profile.drill("stop") == ()


def test_unproved_limits_are_named_without_numbers(book: Book, tmp_path: Path) -> None:
    """A limit in doubt is left out, counted, and known to be there; its number is not."""
    profile = _profile(book.table(doubtful=("cl-b",)), tmp_path)
    assert profile.find("boost", "climb")[0]["row_id"] != "cl-b"
    assert profile.left_out == {"in doubt": 1}
    (unproved,) = profile.unproved
    assert unproved["row_id"] == "cl-b" and unproved["standing"] == "in doubt"
    assert "value" not in unproved and "as_written" not in unproved
    everything = make_profile(make_document(book.table(doubtful=("cl-b",))), verified_only=False)
    assert everything["unproved"] == [] and everything["left_out"] == {}
    assert any(limit["standing"] == "in doubt" for limit in everything["limits"])


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("combat, S gear; 100 octane", {"gear": "high", "fuel_grade": "100"}),
        ("first supercharger gear, grade 100/130", {"gear": "low", "fuel_grade": "100/130"}),
        ("M gear or S gear", {}),  # two gears are no gear
        ("weak cruising", {"mixture": "weak"}),
        ("climb", {}),
    ],
)
def test_gear_fuel_and_mixture_are_found(text: str, fields: dict[str, str]) -> None:
    """Fields are taken from words; a field named in two ways is left out."""
    assert find_fields(text) == fields


def test_a_changed_profile_is_refused(book: Book, tmp_path: Path) -> None:
    """A number altered after issue, an unknown version and junk are refused."""
    _profile(book.table(), tmp_path)
    path = tmp_path / "profile.json"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('"time_limit_s": 300.0', '"time_limit_s": 900.0', 1))
    with pytest.raises(ArtefactError, match="not the one that was issued"):
        load_profile(path)
    path.write_text(text.replace('"schema_version": "1.0.0"', '"schema_version": "7.0.0"'))
    with pytest.raises(ArtefactError, match=r"'7\.0\.0' is not known here"):
        load_profile(path)
    for junk in ("", "[]", "{}", '{"schema": "reconcile profile"}'):
        path.write_text(junk)
        with pytest.raises(ArtefactError, match="not a profile"):
            load_profile(path)
    path.unlink()
    with pytest.raises(MissingSourceError):
        load_profile(tmp_path)


# Performance tables


def _find(profile: Profile, parameter: str) -> PerformanceTable:
    (table,) = [t for t in profile.performance if t.parameter == parameter]
    return table


def test_performance_columns_become_functions(book: Book, tmp_path: Path) -> None:
    """Each column is a function of height in SI; printed values come back as printed."""
    table = _find(_profile(book.table(), tmp_path), "airspeed")
    assert table.x == pytest.approx([h * FT for h in HEIGHTS])
    assert table.y == pytest.approx([float(s) * 1609.344 / 3600 for s in SPEEDS])
    for x, y in zip(table.x, table.y):
        at = table.at(x)
        assert at.value == y and at.method == "as printed" and at.interpolation_error == 0
    assert _find(_profile(book.table(), tmp_path), "boost").reference_form == "fixed_datum"


def test_interpolation_states_its_error(book: Book, tmp_path: Path) -> None:
    """Between two lines: the mean, the points' uncertainty shared, and the bend's estimate."""
    table = _find(_profile(book.table(), tmp_path), "boost")
    i = HEIGHTS.index(14000)
    middle = (table.x[i] + table.x[i + 1]) / 2
    at = table.at(middle)
    assert at.value == pytest.approx((table.y[i] + table.y[i + 1]) / 2)
    assert at.standard_uncertainty == pytest.approx(PSI / 8 / 3**0.5 / 2**0.5)
    assert at.interpolation_error > 0
    flat = table.at((table.x[0] + table.x[1]) / 2)
    assert flat.interpolation_error == 0 and flat.value == pytest.approx(6 * PSI)
    with pytest.raises(UnknownTermError, match="no method 'cubic'"):
        table.at(middle, method="cubic")


@pytest.mark.parametrize("x", [0.0, HEIGHTS[0] * FT - 1, HEIGHTS[-1] * FT + 1, 1e6, float("nan")])
def test_nothing_is_extrapolated(x: float, book: Book, tmp_path: Path) -> None:
    """Beyond the printed lines the answer is a refusal."""
    table = _find(_profile(book.table(), tmp_path), "airspeed")
    with pytest.raises(OutOfRangeError, match="outside the printed table"):
        table.at(x)


@pytest.mark.parametrize("doubtful", ["s12", "h12"])
def test_a_missing_line_is_not_bridged(doubtful: str, book: Book, tmp_path: Path) -> None:
    """Where a printed value or its height is in doubt, nothing is read across the gap."""
    table = _find(_profile(book.table(doubtful=(doubtful,)), tmp_path), "airspeed")
    assert len(table.x) == len(HEIGHTS) - 1 and table.gap_after == (1,)
    with pytest.raises(OutOfRangeError, match="not verified"):
        table.at(8500 * FT)
    assert table.at(13000 * FT).value > 0
    assert table.at(3000 * FT).value > 0


def test_sea_level_is_the_height_nought(book: Book, tmp_path: Path) -> None:
    """A line headed "Sea level" holds at height zero."""
    book.add("s9", "145", ("[mi_i]/h", "speed"), "airspeed", "climb", "nominal",
             column="T.A.S.", page=9, line=9, row="Sea level")  # fmt: skip
    book.add("b9", "6", BOOST, "boost", "climb", "nominal", column="Boost", page=9, line=9,
             row="Sea level", form="fixed_datum")  # fmt: skip
    table = _find(_profile(book.table(), tmp_path), "airspeed")
    assert table.x[0] == 0 and table.at(0.0).value == pytest.approx(145 * 0.44704)


def test_a_column_of_two_kinds_is_no_function(book: Book, tmp_path: Path) -> None:
    """A column whose figures are not all of one parameter is left alone."""
    book.limits = [
        Limit(li.id, "boost", li.condition, li.bound, li.figure_ids) if li.id == "l-s12" else li
        for li in book.limits
    ]
    profile = _profile(book.table(), tmp_path)
    assert [t.parameter for t in profile.performance] == ["boost"]


POINTS = st.lists(
    st.tuples(
        st.integers(50, 5000).map(lambda n: n / 100),
        st.integers(-10000, 10000).map(lambda n: n / 100),
    ),
    min_size=3,
    max_size=12,
)


@settings(max_examples=100, deadline=None)
@given(POINTS, st.floats(0, 1))
def test_monotone_interpolation_is_that_of_scipy(
    points: list[tuple[float, float]], share: float
) -> None:
    """The monotone cubic agrees with scipy's PchipInterpolator and overshoots no point."""
    xs = np.cumsum([step for step, _ in points])
    ys = np.array([y for _, y in points])
    table = PerformanceTable(
        "t", "p", None, "x", "m", tuple(xs), "m", "none", tuple(ys), (None,) * len(xs), (), (),
        "s", 1, "h",
    )  # fmt: skip
    x = float(xs[0] + share * (xs[-1] - xs[0]))
    x = min(x, float(xs[-1]))
    at = table.at(x, method="monotone")
    assert at.value == pytest.approx(float(PchipInterpolator(xs, ys)(x)), rel=1e-9, abs=1e-9)
    i = min(int(np.searchsorted(xs, x, side="right")), len(xs) - 1)
    low, high = sorted((ys[i - 1], ys[i]))
    assert low - 1e-9 <= at.value <= high + 1e-9
    assert abs(at.value - table.at(x).value) <= at.interpolation_error + 1e-9


@pytest.mark.parametrize("curve", [lambda x: x * x, lambda x: np.exp(x / 3), np.sin])
def test_the_stated_error_is_of_the_right_size(curve: Any) -> None:
    """On smooth curves the estimate covers the true error, or misses it by little."""
    xs = np.linspace(0, 4, 9)
    table = PerformanceTable(
        "t", "p", None, "x", "m", tuple(xs), "m", "none", tuple(curve(xs)), (0.0,) * 9, (), (),
        "s", 1, "h",
    )  # fmt: skip
    for x in np.linspace(0.01, 3.99, 101):
        at = table.at(float(x))
        assert abs(at.value - curve(x)) <= 1.25 * at.interpolation_error + 1e-12


# Which limits bind


def test_a_point_between_climb_and_combat(book: Book, tmp_path: Path) -> None:
    """+8 lb/in2 at 2,600: too much for climbing, allowed for five minutes as take-off."""
    profile = _profile(book.table(), tmp_path)
    point = reconcile.binding_limits(profile, boost=8 * PSI, engine_speed=2600 / 60)
    states = {v.rating: v.state for v in point.ratings}
    assert states["climb"] == "exceeded" and states["rich cruising"] == "exceeded"
    assert states["take-off"] == "within" and states["combat"] == "within"
    assert point.time_s == 300 and not point.time_unlimited
    climb = next(b for b in point.bindings if b.row_id == "cl-b")
    assert climb.margin == pytest.approx(-2 * PSI) and climb.state == "exceeded"
    assert climb.margin_u == pytest.approx(-2 / (1 / 8 / 3**0.5))
    speed = next(b for b in point.bindings if b.row_id == "cl-n")
    assert speed.state == "at the limit" and speed.margin == pytest.approx(0)
    assert [b.row_id for b in point.exceeded] == ["rc-b", "cl-b", "rc-n"]


def test_a_low_point_may_be_held_without_limit(book: Book, tmp_path: Path) -> None:
    """+2 at 2,000 is within every rating; the one without a limit of time is taken."""
    point = binding_limits(_profile(book.table(), tmp_path), boost=2 * PSI, engine_speed=2000 / 60)
    assert point.rating == "rich cruising" and point.time_unlimited and point.time_s is None


def test_an_unproved_limit_leaves_a_rating_undecided(book: Book, tmp_path: Path) -> None:
    """Where the climb's boost is in doubt, nothing is permitted under climbing."""
    profile = _profile(book.table(doubtful=("cl-b",)), tmp_path)
    point = binding_limits(profile, boost=5 * PSI, engine_speed=2500 / 60)
    states = {v.rating: v.state for v in point.ratings}
    assert states["climb"] == "cannot tell"
    assert point.rating in ("take-off", "combat") and point.time_s == 300
    assert any("printed, but it is in doubt" in b.reason for b in point.bindings)


def test_no_rating_permits_what_a_general_limit_forbids(book: Book, tmp_path: Path) -> None:
    """A limit without a condition holds under every rating that is silent on it."""
    profile = _profile(book.table(), tmp_path)
    low = binding_limits(profile, boost=0.0, engine_speed=30.0, oil_pressure=40 * PSI)
    assert low.rating is None and all(v.state == "not met" for v in low.ratings)
    good = binding_limits(profile, boost=0.0, engine_speed=30.0, oil_pressure=60 * PSI)
    assert good.time_unlimited
    book.add("un", "800", RPM, "engine speed", None, "max", time=60)
    more = _profile(book.table(), tmp_path)
    own = binding_limits(more, boost=0.0, engine_speed=30.0)
    assert own.time_unlimited  # each rating has its own word on engine speed
    assert "un" in {b.row_id for b in own.exceeded}
    high = binding_limits(more, boost=0.0, height_m=16000 * FT)
    assert high.time_unlimited and high.exceeded  # a height for the tanks is no rating's


def test_height_temperature_gear_and_condition(book: Book, tmp_path: Path) -> None:
    """Height meets limits of height, temperatures their parameters; gear and condition choose."""
    profile = _profile(book.table(), tmp_path)
    high = binding_limits(profile, height_m=16000 * FT)
    assert [b.row_id for b in high.exceeded] == ["tank"]
    hot = binding_limits(profile, temperature={"coolant outlet temperature": 400.0})
    assert hot.exceeded[0].margin == pytest.approx(125 + 273.15 - 400)
    assert binding_limits(profile, temperature=300.0).unchecked == ("outside air temperature",)
    rows = {b.row_id for b in binding_limits(profile, boost=0.0, gear="high").bindings}
    assert "co-b" not in rows and "cl-b" in rows
    rows = {b.row_id for b in binding_limits(profile, boost=0.0, condition="climb").bindings}
    assert rows == {"cl-b"}
    with pytest.raises(UsageError, match="no operating point"):
        binding_limits(profile)


def test_a_misspelt_choice_is_refused(book: Book, tmp_path: Path) -> None:
    """Conditions, gears, mixtures and grades that are none would leave limits out unseen."""
    profile = _profile(book.table(), tmp_path)
    with pytest.raises(UnknownTermError, match=r"'clim'.*climb"):
        binding_limits(profile, boost=0.0, condition="clim")
    with pytest.raises(UnknownTermError, match="low or high"):
        binding_limits(profile, boost=0.0, gear="middle")
    with pytest.raises(UnknownTermError, match="weak or rich"):
        binding_limits(profile, boost=0.0, mixture="thin")


def test_the_middle_of_a_range_is_within_it(samples: ModuleType, tmp_path: Path) -> None:
    """Suction 4.5 in a printed 4 to 5 is within; its ends are at the limit; below is not met."""
    b = Book(samples)
    b.figures["s"] = samples.figure("s", "4-5", lo=4, hi=5, form="below_ambient",
                                    unit="[in_i'Hg]", kind="pressure")  # fmt: skip
    b.limits.append(Limit("l-s", "suction", None, "range", ("s",)))
    profile = _profile(b.table(), tmp_path)
    inch = 13595.1 * 9.80665 * 0.0254  # Pa, conventional; NIST SP 811, appendix B.8
    states = [
        binding_limits(profile, suction=x * inch).bindings[0].state
        for x in (3.9, 4, 4.1, 4.5, 4.9, 5, 5.1)
    ]
    assert states == [
        "not met", "at the limit", "at the limit", "within", "at the limit", "at the limit",
        "exceeded",
    ]  # fmt: skip


def test_manifold_pressure_meets_boost(samples: ModuleType, tmp_path: Path) -> None:
    """A boost is held against a limit on manifold pressure through its datum."""
    b = Book(samples)
    b.add("mp", "42", ("[in_i'Hg]", "pressure"), "manifold pressure", "climb", "max",
          form="absolute")  # fmt: skip
    profile = _profile(b.table(), tmp_path)
    over = binding_limits(profile, boost=8 * PSI).bindings[0]
    assert over.state == "exceeded" and over.value == pytest.approx(101325 + 8 * PSI)
    assert binding_limits(profile, boost=4 * PSI).bindings[0].state == "within"


def test_a_quantity_is_brought_to_the_limits_form(book: Book, tmp_path: Path) -> None:
    """An absolute oil pressure needs the height; without it the answer is "cannot tell"."""
    profile = _profile(book.table(), tmp_path)
    oil = Quantity(Fraction(400000), unit="Pa", kind="pressure", form="absolute")
    blind = binding_limits(profile, oil_pressure=oil).bindings[0]
    assert blind.state == "cannot tell" and blind.margin is None
    seen = binding_limits(profile, oil_pressure=oil, height_m=0.0)
    held = next(b for b in seen.bindings if b.row_id == "oil")
    assert held.value == pytest.approx(400000 - 101325)
    assert held.margin == pytest.approx(400000 - 101325 - 45 * PSI)
    wrong = Quantity(Fraction(3), unit="Cel", kind="temperature")
    assert "the value is in K" in binding_limits(profile, oil_pressure=wrong).bindings[0].reason


def test_a_range_binds_on_its_nearer_side(samples: ModuleType, tmp_path: Path) -> None:
    """Of a range the nearer end is the limit, from either side."""
    b = Book(samples)
    b.figures["r"] = samples.figure("r", "60-75", lo=60, hi=75, form="gauge", unit="[psi]",
                                    kind="pressure")  # fmt: skip
    b.limits.append(Limit("l-r", "oil pressure", "normal", "range", ("r",)))
    profile = _profile(b.table(), tmp_path)
    for value, edge, margin in ((62, 60, 2), (74, 75, 1), (80, 75, -5), (50, 60, -10)):
        one = binding_limits(profile, oil_pressure=value * PSI).bindings[0]
        assert one.limit == pytest.approx(edge * PSI)
        assert one.margin == pytest.approx(margin * PSI)
