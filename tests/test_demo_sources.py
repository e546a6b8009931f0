"""The demo's sources come out the same each time, and their truth is true."""

from __future__ import annotations

import csv
import importlib
import itertools
import math
import re
import sys
import tomllib
from collections import Counter
from fractions import Fraction
from pathlib import Path
from types import ModuleType

import pypdfium2
import pytest

from reconcile.reference import load_rows, tables_dir

DEMO = Path(tables_dir()) / "demo"
FIRST = "handbook-first-edition.pdf"
SECOND = "handbook-second-edition.pdf"
TYPED = "typed-transcription.txt"

Row = dict[str, str]


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    """The script that makes the demo."""
    pytest.importorskip("reportlab")
    sys.path.insert(0, str(DEMO))
    try:
        return importlib.import_module("make_demo")
    finally:
        sys.path.remove(str(DEMO))


@pytest.fixture(scope="module")
def truth() -> dict[str, list[Row]]:
    """Rows of truth by source, in order."""
    by_source: dict[str, list[Row]] = {}
    for row in load_rows("demo/truth"):
        by_source.setdefault(row["source"], []).append(row)
    return by_source


def pages_of(path: Path) -> list[str]:
    """Text of each page, blanks and line ends run together."""
    if path.suffix != ".pdf":
        return [" ".join(path.read_text(encoding="utf-8").split())]
    document = pypdfium2.PdfDocument(path)
    try:
        texts = []
        for page in document:
            textpage = page.get_textpage()
            texts.append(" ".join(textpage.get_text_bounded().split()))
            textpage.close()
            page.close()
        return texts
    finally:
        document.close()


def value(row: Row) -> float:
    """The single value of a row."""
    return float(Fraction(row["nominal"]))


def pick(rows: list[Row], **cells: str) -> list[float]:
    """Single values of the rows whose cells are as given."""
    return [value(r) for r in rows if all(r[name] == cell for name, cell in cells.items())]


def test_made_twice_the_same(maker: ModuleType, tmp_path: Path) -> None:
    """Two runs give the same bytes, and the texts and pages are those that are kept."""
    maker.make(tmp_path / "one")
    maker.make(tmp_path / "two")
    kept = sorted(p.relative_to(DEMO) for p in (DEMO / "sources").iterdir())
    made = sorted(p.relative_to(tmp_path / "one") for p in (tmp_path / "one/sources").iterdir())
    assert made == kept
    for name in [*made, Path("truth.csv")]:
        one, two = tmp_path / "one" / name, tmp_path / "two" / name
        assert one.read_bytes() == two.read_bytes()
        # Another reportlab or zlib may pack the same page into other bytes.
        if name.suffix == ".pdf":
            assert pages_of(one) == pages_of(DEMO / name)
        else:
            assert one.read_bytes() == (DEMO / name).read_bytes()


def test_files_are_small_and_all_listed() -> None:
    """The dossier lists each file once, copies name what they copy, none is over 300 kB."""
    with (DEMO / "dossier.toml").open("rb") as stream:
        sources = tomllib.load(stream)["source"]
    files = [source["file"] for source in sources]
    assert sorted(files) == sorted(p.name for p in (DEMO / "sources").iterdir())
    assert len(set(files)) == len(files)
    assert all(source["of"] in files for source in sources if "of" in source)
    assert all((DEMO / "sources" / name).stat().st_size < 300_000 for name in files)


def test_at_least_twelve_pages_with_text() -> None:
    """Both editions have text on each of their pages, twelve or more."""
    for name in (FIRST, SECOND):
        pages = pages_of(DEMO / "sources" / name)
        assert len(pages) >= 12
        assert all(pages)


def test_every_figure_stands_where_truth_says(truth: dict[str, list[Row]]) -> None:
    """Each figure is found on its page as written, after the one before it."""
    for source, rows in truth.items():
        pages = pages_of(DEMO / "sources" / source)
        places = [0] * len(pages)
        for row in rows:
            number = int(row["page"]) - 1
            at = pages[number].find(row["as_written"], places[number])
            assert at >= 0, row["id"]
            places[number] = at + len(row["as_written"])


UNIT = re.compile(
    r"\d[½¼¾]?\s?(?:lb|kg|gall|litre|Liter|pint|r\.p\.m|U/min|°|ft\b|in\b|in\.|mins?\b|secs?\b|hours?\b|hr|"
    r"m\.p\.h|knots|km/h|at[aüm]|PS|h\.p|b\.h\.p|volts|amps|miles|yards|mm\b|per cent|g/PSh|to 1\b)"
)


def test_no_figure_is_missing_from_the_truth(truth: dict[str, list[Row]]) -> None:
    """With the truth's figures struck out, no number with a unit is left on any page."""
    for source, rows in truth.items():
        pages = pages_of(DEMO / "sources" / source)
        places = [0] * len(pages)
        left = [""] * len(pages)
        for row in rows:
            number = int(row["page"]) - 1
            at = pages[number].find(row["as_written"], places[number])
            left[number] += pages[number][places[number] : at] + " ## "
            places[number] = at + len(row["as_written"])
        for number, page in enumerate(pages):
            rest = left[number] + page[places[number] :]
            assert not UNIT.search(rest), (source, number + 1, UNIT.search(rest))


def test_values_are_exact_and_of_one_shape(truth: dict[str, list[Row]]) -> None:
    """A row has a single value or both ends of a range, ascending unless misprinted."""
    for row in (row for rows in truth.values() for row in rows):
        if row["fault"] == "illegible":
            assert not row["nominal"] + row["lo"] + row["hi"], row["id"]
        elif row["nominal"]:
            assert not row["lo"] and not row["hi"], row["id"]
        else:
            assert Fraction(row["lo"]) < Fraction(row["hi"]) or row["fault"], row["id"]
        assert (row["kind"] == "pressure") or row["reference_form"] == "none", row["id"]
        assert bool(row["fault"]) == bool(row["true_value"]) == bool(row["true_unit"]), row["id"]


def test_second_edition_differs_only_as_planted(truth: dict[str, list[Row]]) -> None:
    """Apart from slips and the list of amendments, the editions differ in the planted figures."""

    def said(row: Row, number: int) -> tuple[str, ...]:
        return (
            str(int(row["page"]) + number),
            row["parameter"],
            row["condition"],
            row["as_written"],
        )

    slip = "precharge, Mod. 214"
    first = Counter(said(r, 1) for r in truth[FIRST] if r["condition"] != slip)
    second = Counter(said(r, 0) for r in truth[SECOND] if r["page"] != "2")
    planted = [row for row in truth[SECOND] if row["fault"]]
    assert second - first == Counter(said(row, 0) for row in planted)
    assert (first - second).total() == len(planted)


def test_true_value_of_a_misprint_is_the_first_edition_s(maker: ModuleType) -> None:
    """What the makers meant is what the first edition prints, in number and unit."""
    plain = {
        figure.name: figure
        for page in maker.read_handbook("first", FIRST)
        for block in page.blocks
        for figure in maker.figures_of(block)
        if figure.name
    }
    checked = 0
    for source, edition in ((SECOND, "second"), (TYPED, "first")):
        for page in maker.read_handbook(edition, source):
            for figure in (f for block in page.blocks for f in maker.figures_of(block)):
                if not figure.fault:
                    continue
                nominal, lo, hi, _ = maker.values_of(plain[figure.name])
                meant = [Fraction(part) for part in figure.true_value.split(":")]
                before = [nominal] if nominal is not None else [lo, hi]
                if figure.fault == "edition_amended":
                    assert meant == [maker.values_of(figure)[0]] != before
                else:
                    assert (meant, figure.true_unit) == (before, plain[figure.name].ucum)
                    assert figure.written != plain[figure.name].written
                checked += 1
    assert checked >= 25


def test_amendments_are_declared(truth: dict[str, list[Row]]) -> None:
    """Each amended figure's new value, or its twin, stands in the list of amendments."""
    declared = {
        (row["parameter"], row["nominal"])
        for row in truth[SECOND]
        if row["page"] == "2" and "superseded" not in row["condition"]
    }
    amended = [row for row in truth[SECOND] if row["fault"] == "edition_amended"]
    assert len({row["parameter"] for row in amended}) == 5
    twins = ("[kn_i]", "kg")
    for row in amended:
        assert row["unit"] in twins or (row["parameter"], row["nominal"]) in declared, row["id"]


def test_copies_say_what_the_first_edition_says(truth: dict[str, list[Row]]) -> None:
    """A figure of a copy with no planted fault has the value of one in the first edition."""
    known = {
        (r["parameter"], r["nominal"], r["lo"], r["hi"], r["unit"], r["reference_form"])
        for r in truth[FIRST]
    }
    for source in (TYPED, "read-aloud.txt", "performance.csv"):
        for r in truth[source]:
            key = (r["parameter"], r["nominal"], r["lo"], r["hi"], r["unit"], r["reference_form"])
            assert r["fault"] or key in known, r["id"]


def test_captions_carry_the_transcript(truth: dict[str, list[Row]]) -> None:
    """The three transcripts hold the same figures at the same times."""

    def said(name: str) -> list[tuple[str, ...]]:
        return [(r["time_s"], r["as_written"], r["nominal"], r["lo"], r["hi"]) for r in truth[name]]

    assert said("read-aloud.txt") == said("read-aloud.srt") == said("read-aloud.vtt")
    assert len(said("read-aloud.txt")) > 30


def test_tanks_add_up(truth: dict[str, list[Row]]) -> None:
    """Tank contents add up to the printed totals, litres within their roundings."""
    for unit, slack in (("[gal_br]", 0.0), ("L", 2.0)):
        tanks = [
            pick(truth[FIRST], page="5", parameter="fuel capacity", unit=unit, condition=place)
            for place in ("inner tanks", "middle tanks", "outer tanks", "total")
        ]
        for side in (0, 1):
            parts = [tank[side] for tank in tanks]
            assert sum(parts[:3]) == pytest.approx(parts[3], abs=slack)
    oil = pick(truth[FIRST], page="5", parameter="oil capacity", unit="[gal_br]")
    assert oil[0] * 4 == oil[1]
    coolant = pick(truth[FIRST], page="5", parameter="coolant capacity")
    assert coolant[0] * 4 == coolant[1]


def test_weights_add_up(truth: dict[str, list[Row]]) -> None:
    """The make-up of the loaded weight adds up, and fuel and oil follow from the tanks."""
    parts = ("empty", "crew", "fuel", "oil", "equipment", "load", "total")
    for unit, slack in (("[lb_av]", 0.0), ("kg", 3.0)):
        items = [
            pick(truth[FIRST], page="4", parameter="weight", unit=unit, condition=part)[0]
            for part in parts
        ]
        assert sum(items[:-1]) == pytest.approx(items[-1], abs=slack)
        if unit == "[lb_av]":
            assert items[2] == pytest.approx(1180 * 7.2)
            assert items[3] == 88 * 9


# Exact by definition (NIST SP 811, appendix B): pound, Imperial gallon, mile, nautical
# mile, pound-force per square inch from the pound and the standard acceleration.
TWINS = {
    ("[lb_av]", "kg"): 0.45359237,
    ("[gal_br]", "L"): 4.54609,
    ("[mi_i]/h", "[kn_i]"): 1609.344 / 1852,
    ("[psi]", "kgf/cm2"): 0.45359237 / 2.54**2,
    ("[cin_i]", "L"): 0.016387064,
    ("[gal_br]", "[gal_us]"): 4.54609 / 3.785411784,
    ("[lcwt_av]", "[lb_av]"): 112.0,
}


def test_twins_convert(truth: dict[str, list[Row]]) -> None:
    """Where two neighbours of the first edition print one quantity twice, they agree."""
    rows, found = truth[FIRST], Counter[tuple[str, str]]()
    for row, twin in itertools.pairwise(rows):
        factor = TWINS.get((row["unit"], twin["unit"]))
        same = (row["page"], row["parameter"], row["condition"]) == (
            twin["page"],
            twin["parameter"],
            twin["condition"],
        )
        if factor is None or not same:
            continue
        found[row["unit"], twin["unit"]] += 1
        for end in ("nominal", "lo", "hi"):
            if row[end]:
                places = len(twin[end].partition(".")[2])
                expected = float(Fraction(row[end])) * factor
                step = 10.0**-places
                assert float(Fraction(twin[end])) == pytest.approx(expected, abs=0.51 * step)
    assert set(found) == set(TWINS)
    assert found.total() >= 25


def test_boost_and_manifold_pressure_convert(truth: dict[str, list[Row]]) -> None:
    """Boost over 101 325 Pa and inches of mercury (NIST SP 811) agree to the last place."""
    boosts = pick(truth[FIRST], page="16", parameter="boost", bound="max")
    manifolds = pick(truth[FIRST], page="16", parameter="manifold pressure", bound="max")
    assert len(boosts) == len(manifolds) == 5
    for boost, manifold in zip(boosts, manifolds):
        assert manifold == pytest.approx((101325 + boost * 6894.757293) / 3386.389, abs=0.0501)


def test_fahrenheit_column_converts(truth: dict[str, list[Row]]) -> None:
    """The temperatures printed in both degrees are the same temperatures."""
    celsius = pick(truth[FIRST], page="16", unit="Cel")
    fahrenheit = pick(truth[FIRST], page="16", unit="[degF]")
    assert [1.8 * c + 32 for c in celsius] == pytest.approx(fahrenheit)
    assert len(celsius) == 4


def test_engine_figures_fit_each_other(truth: dict[str, list[Row]]) -> None:
    """Bore and stroke give the swept volume; ratios, speeds, power and mean pressure agree."""
    rows = truth[FIRST]

    def one(parameter: str, condition: str = "", unit: str = "") -> float:
        return next(
            value(r)
            for r in rows
            if r["parameter"] == parameter
            and r["condition"] == condition
            and unit in ("", r["unit"])
        )

    volume = 12 * math.pi / 4 * one("bore") ** 2 * one("stroke")
    assert one("swept volume") == pytest.approx(volume, abs=0.5)
    speed = one("engine speed", "take-off")
    assert one("propeller speed", "take-off") == pytest.approx(
        speed * one("gear ratio", "airscrew")
    )
    for gear in ("first supercharger gear", "second supercharger gear"):
        assert one("supercharger speed", gear) == pytest.approx(speed * one("gear ratio", gear))
    assert one("piston speed", "take-off") == pytest.approx(2 * one("stroke") / 12 * speed, abs=0.5)
    # Mean effective pressure of a four-stroke engine: work per two turns over swept volume.
    for condition, turns in (("take-off", speed), ("weak cruising", 2250)):
        power = 500 if condition == "weak cruising" else one("power", condition)
        pressure = power * 33000 * 12 * 2 / (volume * turns)
        printed = one("brake mean effective pressure", condition)
        assert printed == pytest.approx(pressure, abs=0.6)


def calibrated(true_mph: float, height_ft: float) -> float:
    """Calibrated from true air speed [mi/h] in the ISO 2533 standard atmosphere, subsonic."""
    temperature = 288.15 - 0.0065 * height_ft * 0.3048
    pressure = 101325 * (temperature / 288.15) ** 5.25588
    mach = true_mph * 0.44704 / math.sqrt(1.4 * 287.05287 * temperature)
    impact = pressure * ((1 + 0.2 * mach**2) ** 3.5 - 1)
    return 340.294 * math.sqrt(5 * ((impact / 101325 + 1) ** (2 / 7) - 1)) / 0.44704


def sheet() -> list[list[float]]:
    """Numbers of performance.csv, sea level as nought."""
    with (DEMO / "sources/performance.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))[1:]
    return [[float(c.replace(",", "").replace("Sea level", "0")) for c in row] for row in rows]


def test_level_speeds_fit_the_standard_atmosphere() -> None:
    """Temperature, pressure, indicated and true speed at each height are those of ISO 2533."""
    for height, degrees, inches, true, indicated, fuel, miles in sheet():
        temperature = 288.15 - 0.0065 * height * 0.3048
        assert degrees == pytest.approx(temperature - 273.15, abs=0.0501)
        pressure = 101325 * (temperature / 288.15) ** 5.25588
        assert inches == pytest.approx(pressure / 3386.389, abs=0.00501)
        assert indicated == pytest.approx(calibrated(true, height), abs=1.0)
        assert miles == pytest.approx(true / fuel, abs=0.0071)


def test_climb_fits_itself(truth: dict[str, list[Row]]) -> None:
    """Times follow from rates, true from indicated speeds, and the thrust left over climbs."""
    rows = [r for r in truth[FIRST] if r["page"] == "13" and r["condition"].startswith("climb")]
    heights = [0.0, *pick(rows, parameter="altitude", condition="climb")]
    rates = pick(rows, parameter="rate of climb")[:10]
    times = pick(rows, parameter="duration")
    indicated = pick(rows, parameter="airspeed", qualifier="")
    true = pick(rows, parameter="airspeed", qualifier="true")
    assert len(heights) == len(rates) == len(times) == len(indicated) == len(true) == 10
    for low in range(9):
        gain = heights[low + 1] - heights[low]
        slow, fast = sorted((rates[low], rates[low + 1]))
        spent = times[low + 1] - times[low]
        assert gain / (fast + 5) - 0.1 <= spent <= gain / (slow - 5) + 0.1
    for height, ias, tas in zip(heights, indicated, true):
        assert ias == pytest.approx(calibrated(tas, height), abs=1.0)
    # Eight tenths of the shaft power must lift the weight and leave some for drag.
    for power, rate in zip(pick(rows, parameter="power"), rates):
        assert 4 * power * 0.8 * 33000 / 41000 > rate


def test_consumption_is_power_times_specific_consumption(truth: dict[str, list[Row]]) -> None:
    """Gallons an hour in the weak table are power times pints per horse-power hour."""
    rows = [r for r in truth[FIRST] if r["page"] == "7" and r["condition"] == "weak"]
    specific = pick(rows, parameter="specific fuel consumption")[0]
    used = pick(rows, parameter="fuel consumption")
    for power, one, four in zip(pick(rows, parameter="power"), used[::2], used[1::2]):
        assert one == pytest.approx(power * specific / 8, abs=0.051)
        assert four == pytest.approx(4 * power * specific / 8, abs=0.51)
