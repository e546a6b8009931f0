"""Drawn gauges: true to size, every mark where it belongs and named, nothing by colour alone."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import atan2, degrees, hypot
from pathlib import Path
from xml.etree import ElementTree

import pytest

from reconcile.dials import (
    Calibration,
    CalibrationPoint,
    Gauge,
    MarkSet,
    dial_svg,
    find_gauge,
    gauges,
    make_marks,
    strip_svg,
)
from reconcile.dials.draw import MARGIN, START, SWEEP
from reconcile.dials.markings import markings
from reconcile.dials.scale import modern_scale, nice_step, period_scale
from reconcile.dials.svg import COLOURS, num, spread, wrap
from reconcile.errors import OutOfRangeError
from reconcile.measure.quantity import Quantity
from reconcile.records import Figure

SVG = "{http://www.w3.org/2000/svg}"


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


def pressure(name: str, condition: str, bound: str, form: str, lo: str, hi: str = "") -> Row:
    ends = (None, Fraction(lo), Fraction(hi)) if hi else (Fraction(lo), None, None)
    q = Quantity(*ends, None, "[psi]", "pressure", form, Fraction(1))  # type: ignore[arg-type]
    return Row(
        name,
        "boost" if form == "fixed_datum" else "oil pressure",
        condition,
        bound,
        Figure(name, (0, 1), f"{lo} lb/sq.in. <&>", q),
    )


def boost_marks(gauge: str = "absolute-0-250-kpa") -> MarkSet:
    rows = [
        pressure("b1", 'take-off "<script>"', "nominal", "fixed_datum", "9"),
        pressure("b2", "all operations", "max", "fixed_datum", "9"),
        pressure("b3", "continuous", "max", "fixed_datum", "4"),
        pressure("b4", "flight", "min", "fixed_datum", "-4"),
        pressure("b5", "run-up", "range", "fixed_datum", "0", "3"),
    ]
    return make_marks(rows, find_gauge(gauge), "boost", set_values=True)


def oil_marks(gauge: str = "pressure-0-10-bar") -> MarkSet:
    rows = [
        pressure("o1", "normal", "range", "gauge", "60", "75"),
        pressure("o2", "idling", "min", "gauge", "25"),
        pressure("o3", "cold", "max", "gauge", "200"),
    ]
    return make_marks(rows, find_gauge(gauge), "oil pressure")


DRAWN = {
    "boost dial": dial_svg(boost_marks()),
    "oil dial": dial_svg(oil_marks(), diameter_mm=57.15, prefix="oil"),
    "strip": strip_svg(boost_marks("absolute-digital-kpa")),
    "bare": dial_svg(oil_marks(), with_legend=False),
}


@pytest.mark.parametrize("svg", DRAWN.values(), ids=DRAWN)
def test_the_drawing_is_well_formed_and_described(svg: str) -> None:
    """Each drawing parses, has a title and a description that are its labels, unique ids."""
    root = ElementTree.fromstring(svg)
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    title, desc = (root.find(f"{SVG}{name}") for name in ("title", "desc"))
    assert title is not None and desc is not None and title.text and desc.text
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert "not approved" in desc.text
    for used in re.findall(r"url\(#([^)]+)\)", svg):
        assert used in ids


@pytest.mark.parametrize("svg", DRAWN.values(), ids=DRAWN)
def test_words_of_a_source_stay_words(svg: str) -> None:
    """Markup in a condition does not become markup in the drawing."""
    assert "<script" not in svg


@pytest.mark.parametrize("diameter", [30, 57.15, 80, 125.5])
def test_the_dial_is_true_to_size(diameter: float) -> None:
    """User units are millimetres, and the face has the stated diameter in them."""
    root = ElementTree.fromstring(dial_svg(oil_marks(), diameter_mm=diameter))
    width = float((root.get("width") or "").removesuffix("mm"))
    assert (root.get("viewBox") or "").split()[2] == num(width)
    assert width == pytest.approx(diameter + 2 * MARGIN)
    face = next(e for e in root.iter(f"{SVG}circle"))
    assert 2 * float(face.get("r") or 0) == pytest.approx(diameter)
    ruler = next(e for e in root.iter(f"{SVG}path") if "h20" in (e.get("d") or ""))
    assert ruler is not None


@pytest.mark.parametrize("diameter", [0, -5, 29.9, 601, float("nan")])
def test_a_size_no_dial_has_is_refused(diameter: float) -> None:
    """A diameter outside what can be drawn is refused."""
    with pytest.raises(OutOfRangeError):
        dial_svg(oil_marks(), diameter_mm=diameter)
    with pytest.raises(OutOfRangeError):
        strip_svg(oil_marks(), width_mm=diameter)


def test_marks_stand_at_their_values() -> None:
    """The inked edge of a limit line and the ends of an arc lie at the value's angle."""
    found = oil_marks()
    root = ElementTree.fromstring(dial_svg(found, diameter_mm=80))
    gauge = found.gauge
    for mark in found.marks:
        pieces = [e for e in root.iter() if e.get("data-row") == " ".join(mark.row_ids)]
        assert pieces
        if mark.marking.shape == "pointer":
            continue
        points = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", pieces[0].get("d") or "")
        angles = {round(degrees(atan2(float(x), -float(y))), 1) for x, y in points}
        for value in {mark.lo, mark.hi}:
            wanted = START + SWEEP * float((value - gauge.lo) / (gauge.hi - gauge.lo))
            assert any(abs(a - wanted) < 0.15 for a in angles), mark


def test_a_limit_line_lies_on_the_far_side_of_its_value() -> None:
    """Red begins at a maximum and goes up, and at a minimum goes down."""
    found = boost_marks()
    root = ElementTree.fromstring(dial_svg(found))
    gauge = found.gauge
    for slug, way in (("maximum", 1), ("minimum", -1)):
        mark = next(m for m in found.marks if m.marking.slug == slug)
        line = next(
            e
            for e in root.iter(f"{SVG}path")
            if e.get("data-row") == " ".join(mark.row_ids) and e.get("fill") == COLOURS["red"]
        )
        at = START + SWEEP * float((mark.hi - gauge.lo) / (gauge.hi - gauge.lo))
        points = re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", line.get("d") or "")
        offsets = [way * (degrees(atan2(float(x), -float(y))) - at) for x, y in points]
        assert min(offsets) > -0.05 and max(offsets) > 1


@pytest.mark.parametrize("svg", [DRAWN["boost dial"], DRAWN["strip"]], ids=["dial", "strip"])
def test_every_mark_is_named_with_its_source_row(svg: str) -> None:
    """The words under the drawing name each mark's number, word, place and row."""
    root = ElementTree.fromstring(svg)
    words = " ".join(e.text or "" for e in root.iter(f"{SVG}text"))
    for mark in boost_marks(
        "absolute-digital-kpa" if svg is DRAWN["strip"] else "absolute-0-250-kpa"
    ).marks:
        assert str(mark.number) in words.split()
        assert f"{mark.marking.word}:" in words
        assert f"Row {', '.join(mark.row_ids)}." in words


def test_what_cannot_be_shown_is_written_on_the_drawing() -> None:
    """A refused limit stands under the dial with its reason."""
    root = ElementTree.fromstring(DRAWN["oil dial"])
    words = " ".join(e.text or "" for e in root.iter(f"{SVG}text"))
    assert "Cannot be shown: 200 lb/sq.in." in words
    assert "the scale runs from 0 to 10 bar" in words


def test_no_two_markings_differ_by_colour_alone() -> None:
    """Each marking has a shape and pattern of its own, and each colour its own lightness."""
    looks = [(m.shape, m.pattern) for m in markings().values()]
    assert len(set(looks)) == len(looks)

    def lightness(colour: str) -> float:
        r, g, b = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    values = sorted(lightness(COLOURS[c]) for c in ("red", "green", "yellow"))
    assert all(b - a > 25 for a, b in pairwise(values))


def test_the_papers_scale_runs_with_the_gauges() -> None:
    """+10 lb/in2 stands where 170.273 kPa does, and 0 at 101.325 kPa (by the datum)."""
    scale = period_scale(boost_marks())
    assert scale is not None and scale.name == "lb/in² over the datum"
    at = {tick.label: float(tick.at) for tick in scale.ticks if tick.label}
    assert at["0"] == pytest.approx(101.325)
    assert at["+10"] == pytest.approx(170.2726, abs=1e-4)
    assert period_scale(oil_marks("oil-0-150-psi")) is None


def test_graduations_are_the_gauges_own_divisions() -> None:
    """The outer scale has a tick at each division and numbers at whole steps of it."""
    gauge = find_gauge("oil-0-100-psi")
    ticks = modern_scale(gauge).ticks
    assert [t.at for t in ticks] == [Fraction(5 * n) for n in range(21)]
    assert [t.label for t in ticks if t.label] == [str(10 * n) for n in range(11)]
    assert nice_step(Fraction(65), 13, multiple_of=Fraction(1)) == 5
    assert nice_step(Fraction(1), 10) == Fraction(1, 10)


def test_numbers_are_moved_apart_no_more_than_needed() -> None:
    """Numbers that would overlap move, in order, and others stay."""
    moved = spread([0.0, 1.0, 50.0], 10.0)
    assert moved == [-4.5, 5.5, 50.0]
    crowd = spread([1.0] * 6, 3.0)
    assert all(b - a == pytest.approx(3) for a, b in pairwise(crowd))
    assert spread([], 5.0) == []


def test_lines_are_broken_at_blanks() -> None:
    """No word is lost in wrapping."""
    words = "the marks hold at every height as long as the gauge feels the same air"
    assert " ".join(wrap(words, 30, 2.5)) == words


def test_numbers_round_the_dial_stay_off_its_face() -> None:
    """Each number stands outside the face and inside the drawing."""
    root = ElementTree.fromstring(dial_svg(boost_marks(), diameter_mm=80, with_legend=False))
    circles = [e for e in root.iter(f"{SVG}circle") if e.get("r") == "2.1"]
    assert len(circles) == len(boost_marks().marks)
    for one in circles:
        r = hypot(float(one.get("cx") or 0), float(one.get("cy") or 0))
        assert 40 + 2.1 <= r <= 40 + MARGIN - 2.1


def test_two_processes_draw_the_same_bytes() -> None:
    """Another hash seed and time zone change nothing."""
    script = (
        "import importlib.util, sys, hashlib\n"
        "spec = importlib.util.spec_from_file_location('t', sys.argv[1])\n"
        "t = importlib.util.module_from_spec(spec); sys.modules['t'] = t\n"
        "spec.loader.exec_module(t)\n"
        "print(hashlib.sha256(''.join(t.DRAWN.values()).encode()).hexdigest())\n"
    )
    digests = {
        subprocess.run(
            [sys.executable, "-c", script, __file__],
            env={"PYTHONHASHSEED": seed, "TZ": zone, "PATH": ""},
            cwd=Path(__file__).parents[2],
            check=True,
            capture_output=True,
        ).stdout
        for seed, zone in (("1", "UTC"), ("7", "Asia/Kathmandu"))
    }
    assert len(digests) == 1


def test_the_papers_scale_follows_the_gauges_calibration() -> None:
    """On a gauge that shows 2 % more than the truth, the paper's 50 stands at the reading 51."""
    points = tuple(
        CalibrationPoint(Fraction(r), Fraction(t), Fraction(1, 10)) for r, t in ((0, 0), (102, 100))
    )
    gauge = replace(find_gauge("oil-0-100-psi"), calibration=Calibration(points))
    rows = [pressure("o1", "normal", "range", "gauge", "60", "75")]
    scale = period_scale(make_marks(rows, gauge, "oil pressure"))
    assert scale is not None and scale.unit == "lb/in²"
    assert {t.label: t.at for t in scale.ticks}["50"] == 51
    assert max(t.at for t in scale.ticks) <= 100


@pytest.mark.parametrize("gauge", gauges(), ids=lambda g: g.slug)
def test_every_ordinary_gauge_can_be_drawn(gauge: Gauge) -> None:
    """Each gauge of the table bears its marks, and no number of its scale runs into the next."""
    span = gauge.hi - gauge.lo

    def at(part: str) -> Fraction:
        return round((gauge.lo + span * Fraction(part)) / gauge.division) * gauge.division

    def row(name: str, condition: str, bound: str, *ends: Fraction) -> Row:
        single = len(ends) == 1
        q = Quantity(
            ends[0] if single else None, None if single else ends[0], None if single else ends[1],
            None, gauge.unit.ucum, gauge.unit.kind, gauge.form, gauge.division,
            unit_slug=gauge.unit.slug, datum=gauge.datum,
        )  # fmt: skip
        figure = Figure(name, (0, 1), str(q), q)
        return Row(name, gauge.parameters[0], condition, bound, figure)

    rows = [
        row("a", "take-off", "max", at("0.85")),
        row("b", "continuous", "max", at("0.7")),
        row("c", "idling", "min", at("0.2")),
        row("d", "normal", "range", at("0.4"), at("0.6")),
    ]
    found = make_marks(rows, gauge, gauge.parameters[0])
    assert [m.marking.slug for m in found.marks] == [
        "maximum", "minimum", "normal", "caution", "conditional maximum",
    ]  # fmt: skip
    assert not found.refused
    ElementTree.fromstring(strip_svg(found))
    root = ElementTree.fromstring(dial_svg(found, diameter_mm=60))
    labels = {t.label for t in modern_scale(gauge).ticks if t.label}
    places = [
        (float(e.get("x") or 0), float(e.get("y") or 0), len(e.text or ""))
        for e in root.iter(f"{SVG}text")
        if e.text in labels and hypot(float(e.get("x") or 0), float(e.get("y") or 0)) > 19
    ]
    for (x1, y1, n1), (x2, y2, n2) in pairwise(places[: len(labels)]):
        assert abs(y1 - y2) > 2.0 or abs(x1 - x2) > (n1 + n2) / 2 * 1.4


def test_a_marks_sentence_bears_the_reference_form() -> None:
    """No mark of a pressure gauge is told without what the gauge counts from."""
    from reconcile.dials.legend import mark_words

    marks = boost_marks()
    for mark in marks.marks:
        words = mark_words(mark, marks.gauge)
        assert f"{mark.at(marks.gauge.symbol)} absolute: " in words
        assert f"{marks.gauge.symbol} (k = 2)" in words
