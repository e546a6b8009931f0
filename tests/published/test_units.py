"""Unit factors against other implementations and the printed tables of NIST SP 811."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pint
import pytest
import scipy.constants

from reconcile.measure.units import all_units, unit_row
from reconcile.reference import _lines

HERE = Path(__file__).parent

# Rows no other implementation here has; their sources are named in the table itself.
ALONE = {
    "calorie-15",  # libraries differ between 4.1855 and 4.1858 J
    "degree-reaumur",  # pint alone
    "reaumur-interval",  # pint alone
    "specific-gravity-60-60f",  # a convention of the petroleum trade
    "specific-gravity-4c",
    "degree-api",  # not linear
    "degree-baume-light",  # not linear
    "degree-baume-heavy",  # not linear
    "decimetre-of-mercury",  # pint alone
    "metre-of-mercury",  # pint alone
    "funt",
    "pood",
}


def _table(name: str) -> list[dict[str, str]]:
    import csv

    lines = [line for line in _lines(HERE / name) if line.strip()]
    return list(csv.DictReader(lines))


CHECKS = {row["slug"]: row for row in _table("units-crosscheck.csv")}


def _scipy(expression: str) -> float:
    value = 1.0
    for sign, word in re.findall(r"([*/]?)([\w.]+)", expression):
        x = float(word) if word[0].isdigit() else getattr(scipy.constants, word)
        value = value / x if sign == "/" else value * x
    return value


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    """A registry of pint's own, never the shared one."""
    return pint.UnitRegistry()


def _printed_agrees(printed: str, ours: Fraction) -> bool:
    """Whether our value rounds to the printed digits."""
    mantissa = printed.split("E")[0]
    digits = len(mantissa.replace(".", "").lstrip("0"))
    exponent = int(printed.split("E")[1]) - (len(mantissa.split(".")[1]))
    half = Fraction(10) ** exponent / 2
    assert digits <= 7
    return abs(ours - Fraction(printed)) <= half


@pytest.mark.parametrize("slug", [s for s, row in CHECKS.items() if row["pint"]])
def test_factor_agrees_with_pint(slug: str, registry: pint.UnitRegistry) -> None:
    """Each factor is pint's, multiplied out from pint's own names, to a part in 1e12."""
    quantity = registry.Quantity(registry.parse_expression(CHECKS[slug]["pint"]))
    theirs = quantity.to_base_units().magnitude
    # SP 811 prints columns at 60 degF rounded to six digits; pint works them out.
    tolerance = 5e-7 if slug.endswith("-60f") else 1e-12
    assert theirs == pytest.approx(float(unit_row(slug).factor), rel=tolerance)


@pytest.mark.parametrize("slug", [s for s, row in CHECKS.items() if row["scipy"]])
def test_factor_agrees_with_scipy(slug: str) -> None:
    """Each factor is the product of scipy.constants values, to a part in 1e12."""
    theirs = _scipy(CHECKS[slug]["scipy"])
    assert theirs == pytest.approx(float(unit_row(slug).factor), rel=1e-12)


@pytest.mark.parametrize("slug", [s for s, row in CHECKS.items() if row["sp811"]])
def test_factor_rounds_to_nist_sp811(slug: str) -> None:
    """Each factor rounds to what NIST SP 811 (2008), appendix B.8, prints."""
    assert _printed_agrees(CHECKS[slug]["sp811"], unit_row(slug).factor)


@pytest.mark.parametrize("slug", [s for s, row in CHECKS.items() if row["qudt"]])
def test_factor_agrees_with_qudt(slug: str) -> None:
    """Each factor is QUDT's multiplier, to its last digit or to a part in 1e12."""
    theirs, ours = Fraction(CHECKS[slug]["qudt"]), unit_row(slug).factor
    mantissa, _, power = CHECKS[slug]["qudt"].lower().partition("e")
    last = Fraction(10) ** (int(power or 0) - len(mantissa.partition(".")[2]))
    assert abs(ours - theirs) <= max(last / 2, ours / 10**12)


def test_every_modern_unit_has_two_confirmations() -> None:
    """No modern factor rests on one implementation alone, but for those listed."""
    short = {
        row.slug
        for row in all_units()
        if row.era == "modern" or not row.of
        if sum(bool(CHECKS[row.slug][c]) for c in ("pint", "scipy", "qudt", "sp811")) < 2
    }
    assert short == ALONE


def test_every_unit_is_in_the_list() -> None:
    """The list of checks has a line for each row of the table."""
    assert list(CHECKS) == [row.slug for row in all_units()]


@pytest.mark.parametrize("row", _table("known-wrong-units.csv"), ids=lambda r: r["expression"])
def test_known_wrong_values_are_not_ours(row: dict[str, str], registry: pint.UnitRegistry) -> None:
    """Where a library is wrong or means another unit, it still is, and we are not."""
    if row["library"] == "scipy":
        theirs = float(getattr(scipy.constants, row["expression"]))
    elif row["library"] == "qudt":
        # Its table is no Python package; the value is held here as data.
        theirs = float(row["gives"])
    elif " to " in row["expression"]:
        source, target = row["expression"].split(" to ")
        theirs = registry.Quantity(source).to(target).magnitude
    else:
        quantity = registry.Quantity(1, row["expression"]).to_base_units()
        theirs = quantity.magnitude
        if row["gives"].endswith("siemens"):
            assert str(registry.Quantity(1, row["expression"]).units) == "petasiemens"
            theirs = 1e15
    gives = float(row["gives"].split()[0])
    assert theirs == pytest.approx(gives, rel=1e-12)
    ours = float(Fraction(row["ours"]))
    assert abs(theirs / ours - 1) > 1e-8
    if row["slug"]:
        assert float(unit_row(row["slug"]).factor) == pytest.approx(ours, rel=1e-15)


@pytest.mark.parametrize(
    ("code", "year", "country", "si", "source"),
    [
        ("[gal_br]", 1970, "GB", "0.004546091879", "BS 350:1974 foreword, as quoted"),
        ("[gal_br]", 1980, "GB", "0.00454609", "Weights and Measures Act 1985"),
        ("[gal_br]", 1943, "GB", "0.0045460904", "4.5459631 l of 1.000028 dm3, from memory"),
        ("[ft_i]", 1943, "US", "0.3048006096", "NIST SP 811 B.8, US survey foot"),
        ("[in_i]", 1943, "GB", "0.02539995583", "inch of 25.399956 mm, common software value"),
        ("[lb_av]", 1943, "GB", "0.453592338", "UK value quoted at the agreement of 1959"),
        ("[lb_av]", 1943, "US", "0.4535924277", "1 kg = 2.20462234 lb"),
        ("[nmi_i]", 1943, "GB", "1853.184", "6080 ft"),
        ("[nmi_i]", 1943, "US", "1853.248", "6080.20 ft"),
        ("[nmi_i]", 1943, "DE", "1852", "Monaco 1929"),
        ("[nmi_i]", 1955, "US", "1852", "adopted 1 July 1954"),
        ("[nmi_i]", 1971, "GB", "1852", "UK practice by 1970"),
        ("[kn_i]", 1943, "GB", "0.5147733333", "6080 ft/h"),
        ("[kn_i]", 1943, "US", "0.5147911111", "6080.20 ft/h"),
        ("L", 1943, None, "0.001000028", "litre of 1901-64"),
        ("L", 1970, None, "0.001", "12th CGPM, 1964"),
    ],
)
def test_period_definitions(
    code: str, year: int, country: str | None, si: str, source: str
) -> None:
    """A figure's year and country choose the definition its source gives."""
    factor = unit_row(code, year=year, country=country).factor
    assert float(factor) == pytest.approx(float(si), rel=5e-9), source
