"""The unit rows: lookup, definitions by year, exactness, refusals."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reconcile.errors import OutOfRangeError, UnknownTermError, UnknownUnitError
from reconcile.measure.units import (
    all_units,
    country_of,
    equivalents,
    near_units,
    period_definitions,
    unit_row,
)
from reconcile.reference import load_rows


def test_a_unit_goes_by_code_and_by_slug() -> None:
    """Code and slug lead to one row."""
    assert unit_row("[psi]") == unit_row("pound-force-per-square-inch")
    assert unit_row("[psi]").symbol == "lb/in²"


def test_factors_are_exact() -> None:
    """A factor is the exact number of its definition, not a rounded one."""
    assert unit_row("[psi]").factor == Fraction(8896443230521, 1290320000)
    assert unit_row("[HP]").factor == Fraction("745.69987158227022")
    assert unit_row("[in_i'Hg]").factor == Fraction("3386.388640341")


def test_codes_that_say_the_same() -> None:
    """Both ways to write a compound code find one unit."""
    assert unit_row("[lb_av]/([HP].h)").slug == unit_row("[lb_av]/[HP]/h").slug
    assert unit_row("[lbf_av]/[ft_i]2").slug == unit_row("[lbf_av]/[sft_i]").slug


def test_kind_tells_units_of_one_code_apart() -> None:
    """A bare "1" is a number, unless the figure is a density."""
    assert unit_row("1").slug == "number"
    assert unit_row("1", kind="density").slug == "specific-gravity-60-60f"
    assert unit_row("1", kind="ratio").slug == "number"


def test_revolutions_are_not_radians() -> None:
    """Revolutions a minute are a frequency: no 2 pi unless asked for by name."""
    assert unit_row("{rev}/min").factor == Fraction(1, 60)
    assert unit_row("{rev}/min").si_unit == "1/s"
    assert unit_row("revolution-per-minute-angular").si_unit == "rad/s"


def test_unknown_unit_names_near_misses() -> None:
    """The refusal says what was probably meant."""
    with pytest.raises(UnknownUnitError, match=r"no unit '\[ps\]'.*\[psi\]"):
        unit_row("[ps]")
    with pytest.raises(UnknownUnitError, match="see `reconcile factors`"):
        unit_row("qqqqqqqqqqqqqq")
    assert any("gal_br" in near for near in near_units("imperial galon"))


def test_unknown_country() -> None:
    """A country that is none is refused with the list."""
    with pytest.raises(UnknownTermError, match="no country or tradition 'mars'"):
        unit_row("[lb_av]", year=1943, country="mars")
    assert country_of("british") == "GB"
    assert country_of("unknown") == ""


def test_compound_units_follow_the_definitions_of_their_parts() -> None:
    """Pounds to the square inch by parts equal the row worked out by hand."""
    for year, country, slug in (
        (1943, "GB", "pound-force-per-square-inch-uk-1933"),
        (1943, "US", "pound-force-per-square-inch-us-1894"),
    ):
        by_parts = unit_row("thousand-pound-force-per-square-inch", year=year, country=country)
        assert by_parts.factor == 1000 * unit_row(slug).factor
    mile = unit_row("[mi_i]/h", year=1943, country="GB")
    assert mile.factor == Fraction("0.91439841") * 1760 / 3600
    assert mile.u_rel == 1e-7


def test_horsepower_does_not_count_the_pound_twice() -> None:
    """Pounds per horsepower hour depend on the foot alone: the pound cancels."""
    now = unit_row("[lb_av]/[HP]/h")
    then = unit_row("[lb_av]/[HP]/h", year=1943, country="GB")
    assert then.factor / now.factor == Fraction("0.9144") / Fraction("0.91439841")


def test_mercury_columns_do_not_follow_the_inch() -> None:
    """An inch of mercury is a convention of 25.4 mm whatever the year."""
    assert unit_row("[in_i'Hg]", year=1943, country="GB") == unit_row("[in_i'Hg]")


def test_without_a_country_only_shared_definitions_change() -> None:
    """A pound of no known country stays the modern one; a litre does not."""
    assert unit_row("[lb_av]", year=1943).factor == Fraction("0.45359237")
    assert unit_row("L", year=1943).factor == Fraction("0.001000028")
    assert unit_row("[gal_us]/h", year=1943).era == "period"


def test_centigrade_of_the_old_ice_point_is_never_chosen_by_year() -> None:
    """A thermometer reads the same whatever the tables add."""
    assert unit_row("Cel", year=1930, country="GB").offset == Fraction("273.15")
    assert unit_row("degree-centigrade-273").offset == 273


def test_years_bound_the_definitions() -> None:
    """The first year of validity counts, the year it ceased does not."""
    assert unit_row("[lb_av]", year=1958, country="GB").era == "period"
    assert unit_row("[lb_av]", year=1959, country="GB").era == "modern"
    assert unit_row("[nmi_i]", year=1953, country="US").factor == Fraction("1853.248")
    assert unit_row("[nmi_i]", year=1954, country="US").factor == 1852


def test_reciprocal_scales() -> None:
    """10 degrees API are specific gravity 1; the scale has an end."""
    api = unit_row("{degAPI}")
    assert api.to_si(Fraction(10)) == Fraction("999.016")
    assert api.from_si(api.to_si(Fraction(60))) == 60
    with pytest.raises(OutOfRangeError, match="beyond the end of the scale"):
        api.to_si(Fraction(-132))
    with pytest.raises(OutOfRangeError, match="no fixed size"):
        api.to_si(Fraction(10), difference=True)
    with pytest.raises(OutOfRangeError, match="no fixed size"):
        api.from_si(Fraction(10), difference=True)
    with pytest.raises(OutOfRangeError, match="no place on this scale"):
        api.from_si(Fraction(0))
    heavy = unit_row("{degBe_heavy}")
    assert heavy.to_si(Fraction(0)) == Fraction("999.016")
    assert heavy.from_si(heavy.to_si(Fraction(30))) == 30


def test_every_row_is_whole() -> None:
    """Each row has a symbol or is a bare number, a source, and parts that exist."""
    slugs = {row.slug for row in all_units()}
    for row in all_units():
        assert row.symbol or row.slug == "number"
        assert row.source and row.definition
        assert row.factor
        assert {part for part, _ in row.follows} <= slugs
        assert not row.of or row.of in slugs
        assert row.grade in ("measured", "conventional") or row.u_rel == 0.0
        if row.u_rel:
            assert row.grade in ("measured", "conventional")


def test_codes_have_one_owner_a_kind() -> None:
    """Two modern rows of one code and one kind would hide each other; listed are all."""
    owners: dict[tuple[str, str], list[str]] = {}
    for row in all_units():
        if row.era == "modern" and row.ucum:
            owners.setdefault((row.ucum, row.kind), []).append(row.slug)
    shared = sorted(slugs[1] for slugs in owners.values() if len(slugs) > 1)
    assert shared == [
        "celsius-interval",
        "fahrenheit-interval",
        "mean-effective-pressure-kilograms",
        "mean-effective-pressure-pounds",
    ]


def test_period_definitions_are_listed_oldest_first() -> None:
    """The rival definitions of a unit come with their years."""
    years = [row.valid_from for row in period_definitions("imperial-gallon")]
    assert years == sorted(years) and len(years) == 4


def test_equivalents_convert() -> None:
    """Every unit offered as an equivalent is one of the quantity's SI unit."""
    for row in load_rows("units/equivalents"):
        for unit in equivalents(row["si_unit"], row["form"]):
            assert unit.si_unit == row["si_unit"]
    assert equivalents("nothing") == ()


def test_every_si_unit_has_an_equivalent() -> None:
    """Whatever a figure measures, a modern unit can be shown for it."""
    missing = {r.si_unit for r in all_units() if not equivalents(r.si_unit) and r.si_unit != "Pa"}
    assert missing == set()


def test_a_loading_written_as_a_pressure_is_mass_on_area() -> None:
    """Pounds to the square foot of wing are a mass on an area; of air, a pressure."""
    assert unit_row("[lbf_av]/[sft_i]").si_unit == "Pa"
    assert unit_row("[lbf_av]/[sft_i]", kind="pressure").si_unit == "Pa"
    assert unit_row("[lbf_av]/[sft_i]", kind="other").si_unit == "kg/m2"
    assert unit_row("kgf/m2", kind="other").factor == 1
